"""``frostwatch links`` as an operator calls it."""

import pytest

from frostwatch.storage.ledger import open_ledger
from frostwatch.wiring import utc_now
from tests.builders import a_drive, a_vehicle, an_owner
from tests.cli.conftest import Cli

DATABASE = "sqlite:///var/frostwatch.db"


@pytest.fixture(autouse=True)
def _a_drive(at_home: object) -> None:
    ledger = open_ledger(DATABASE)
    van = a_vehicle("M1", name="Her van", site="aunt-drive", bay="", keeper="maelle")
    ledger.save_fleet(
        sites=[a_drive()],
        people=[an_owner(), an_owner("other", name="Other")],
        vehicles=[van],
    )
    ledger.close()


def test_a_link_is_made_for_the_keeper_and_opens_their_vehicle(cli: Cli) -> None:
    made = cli("links", "make", "M1", "--json")
    assert made.status == 0, made.err
    assert made.json["person"] == "maelle"
    assert made.json["vehicles"] == ["M1"]
    assert made.json["link"] == f"/a/{made.json['code']}"
    ledger = open_ledger(DATABASE)
    kept = ledger.links.find(made.json["code"])
    ledger.close()
    assert kept is not None
    assert (kept.recipient, kept.draft.vehicles) == ("maelle", ("M1",))
    assert kept.expires_at > utc_now()


def test_a_link_is_shown_once_with_whom_it_is_for(cli: Cli) -> None:
    out = cli("links", "make", "M1").out
    assert out.startswith("/a/")
    assert "For maelle, M1 alone, until " in out
    assert "public_url" in out
    code = out.split()[0].removeprefix("/a/")
    shown = cli("links", "list", "aunt-drive")
    assert "maelle" in shown.out
    assert code not in shown.out
    assert code not in cli("links", "list", "aunt-drive", "--json").out


def test_what_was_sent_to_a_person_is_withdrawn(cli: Cli) -> None:
    code = cli("links", "make", "M1", "--json").json["code"]
    cli("links", "make", "M1")
    gone = cli("links", "withdraw", "maelle", "--site", "aunt-drive", "--json")
    assert gone.json == {"person": "maelle", "site": "aunt-drive", "withdrawn": 2}
    assert cli("links", "list", "aunt-drive", "--json").json == []
    assert "No link about aunt-drive" in cli("links", "list", "aunt-drive").out
    ledger = open_ledger(DATABASE)
    ended = ledger.links.find(code)
    ledger.close()
    assert ended is not None
    assert ended.expires_at <= utc_now()
    again = cli("links", "withdraw", "maelle", "--site", "aunt-drive")
    assert again.status == 2
    assert "no open link" in again.err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("make", "X9"), "There is no vehicle 'X9'"),
        (("make", "M1", "--person", "nobody"), "There is no person 'nobody'"),
        (("make", "M1", "--person", "other"), "Other has no say over M1"),
        (("list", "nowhere"), "There is no site 'nowhere'. There are: aunt-drive."),
        (("withdraw", "maelle", "--site", "nowhere"), "There is no site 'nowhere'"),
    ],
)
def test_what_cannot_be_is_refused_and_said(
    cli: Cli, arguments: tuple[str, ...], words: str
) -> None:
    ran = cli("links", *arguments)
    assert ran.status == 2
    assert ran.out == ""
    assert words in ran.err


def test_the_help_says_what_each_command_does(cli: Cli) -> None:
    shown = cli("links", "--help").out
    for word in ("make", "list", "withdraw", "without an account"):
        assert word in shown
