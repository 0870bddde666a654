"""``frostwatch handbook``: what a vehicle's handbook says, entered and shown."""

from pathlib import Path

import pytest

from tests.builders import FLEET_TOML
from tests.cli.conftest import Cli


@pytest.fixture
def yard(cli: Cli, at_home: Path) -> Cli:
    (at_home / "fleet.toml").write_text(FLEET_TOML, encoding="utf-8")
    assert cli("import", "fleet.toml").status == 0
    return cli


def test_what_is_entered_is_shown_with_where_it_stands_and_outlives_an_import(yard: Cli) -> None:
    words = ("waste valve=shut", "pump run=60", "F1.capacity_l=95")
    ran = yard("handbook", "Y03", *words, "--page", "p. 88", "--by", "ada")
    assert ran.status == 0, ran.err
    rows = {line.split("  ")[0]: line for line in ran.out.splitlines()}
    assert "shut" in rows["waste valve"]
    assert "p. 88" in rows["waste valve"]
    assert "60 s" in rows["pump run"]
    assert "95" in rows["F1.capacity_l"]
    assert "common practice" in rows["salt"]
    assert "waste valve = shut; p. 88" in yard("export", "entries").out
    fleet = yard("export", "fleet").out
    assert 'rule = "waste valve"' in fleet
    yard("import", "fleet.toml")
    assert "shut" in yard("handbook", "Y03").out


def test_a_line_is_taken_out_again_by_its_default(yard: Cli) -> None:
    yard("handbook", "Y03", "salt=allowed", "--by", "ada")
    assert yard("handbook", "Y03", "--json").json["handbook"][0]["says"] == "allowed"
    yard("handbook", "Y03", "salt=default", "--by", "ada")
    assert yard("handbook", "Y03", "--json").json["handbook"] == []


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("salt=allowed",), "nobody says so"),
        (("slat=allowed", "--by", "ada"), "Did you mean 'salt'?"),
        (("salt", "--by", "ada"), "says nothing"),
        (("F1.capacity_l=many", "--by", "ada"), "is no number"),
        (("F9.capacity_l=9", "--by", "ada"), "no number of layout"),
    ],
)
def test_what_cannot_be_entered_says_why(yard: Cli, words: tuple[str, ...], expected: str) -> None:
    ran = yard("handbook", "Y03", *words)
    assert ran.status == 2
    assert expected in ran.err
    assert yard("handbook", "Y03", "--json").json["handbook"] == []
