"""``frostwatch import`` and ``export``: whole files or nothing, and back again unchanged."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from frostwatch.storage.ledger import open_ledger
from tests.builders import FLEET_TOML
from tests.cli.conftest import Cli

EXAMPLES = Path(__file__).parents[2] / "config"
NOW = datetime(2026, 12, 1, 7, 40, tzinfo=UTC)


@pytest.fixture
def fleet(at_home: Path) -> Path:
    path = at_home / "fleet.toml"
    path.write_text(FLEET_TOML, encoding="utf-8")
    return path


def entered(at_home: Path) -> list[str]:
    ledger = open_ledger(f"sqlite:///{at_home}/var/frostwatch.db")
    keys = [vehicle.key for vehicle in ledger.load(NOW).vehicles]
    ledger.close()
    return keys


def test_a_fleet_goes_in_and_is_counted(cli: Cli, fleet: Path, at_home: Path) -> None:
    ran = cli("import", "fleet.toml")

    assert ran.status == 0, ran.err
    assert ran.out == "fleet.toml: 1 sites, 1 people, 2 vehicles, 1 entries\n"
    assert entered(at_home) == ["Y02", "Y03"]


@pytest.mark.parametrize("form", ["fleet", "vehicles", "entries"])
def test_what_is_exported_can_be_imported_and_exported_again(
    cli: Cli, fleet: Path, at_home: Path, form: str
) -> None:
    cli("import", "fleet.toml")
    first = cli("export", form).out
    name = f"again.{'toml' if form == 'fleet' else 'csv'}"
    (at_home / name).write_text(first, encoding="utf-8")

    ran = cli("import", name)

    assert ran.status == 0, ran.err
    if form != "entries":
        assert cli("export", form).out == first


def test_the_whole_of_a_fleet_moves_to_another_computer(
    cli: Cli, fleet: Path, at_home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cli("import", "fleet.toml")
    toml, entries = cli("export", "fleet").out, cli("export", "entries").out
    (at_home / "moved.toml").write_text(toml, encoding="utf-8")
    (at_home / "moved.csv").write_text(entries, encoding="utf-8")
    monkeypatch.setenv("FROSTWATCH_DATABASE_URL", f"sqlite:///{at_home}/other.db")

    ran = cli("import", "moved.toml", "moved.csv")

    assert ran.status == 0, ran.err
    assert cli("export", "fleet").out == toml
    assert cli("export", "entries").out == entries


def test_importing_the_same_fleet_again_adds_nothing_to_the_record(cli: Cli, fleet: Path) -> None:
    cli("import", "fleet.toml")
    before = cli("export", "entries").out

    ran = cli("import", "fleet.toml")

    assert ran.out.endswith("0 entries, 1 more were there already\n")
    assert cli("export", "entries").out == before


def test_the_example_fleet_loads_as_it_is(cli: Cli) -> None:
    ran = cli("import", str(EXAMPLES / "example-fleet.toml"))

    assert ran.status == 0, ran.err


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("latitude = 54.74", "latitude = 154.74", "latitude"),
        ('time_zone = "Europe/London"', 'time_zone = "Europe/Atlantis"', "Europe/Atlantis"),
        ('layout = "panel-van"', 'layout = "pannel-van"', "Did you mean"),
        ("litres = 20", "litres = 2000", "2000"),
        ('site = "cold-rigg"\nbay = "A-02"', 'site = "cold-rig"\nbay = "A-02"', "cold-rig"),
        ('reading = ["07:40"]', 'reading = ["7 o\'clock"]', "07:40"),
        ('state = "travel level"', 'state = "half"', "half"),
        ("[[vehicle]]", "[[vehicle", "no TOML"),
    ],
)
def test_a_fault_is_told_with_its_line_and_nothing_is_imported(
    cli: Cli, fleet: Path, at_home: Path, old: str, new: str, words: str
) -> None:
    fleet.write_text(FLEET_TOML.replace(old, new), encoding="utf-8")

    ran = cli("import", "fleet.toml")

    assert ran.status == 2
    assert ran.out == ""
    assert "nothing was imported" in ran.err
    assert words in ran.err
    assert "line " in ran.err
    assert entered(at_home) == []


def test_a_second_file_with_a_fault_leaves_the_first_one_in(
    cli: Cli, fleet: Path, at_home: Path
) -> None:
    (at_home / "vehicles.csv").write_text("key;site\nY09;nowhere\n", encoding="utf-8")

    ran = cli("import", "fleet.toml", "vehicles.csv")

    assert ran.status == 2
    assert ran.out.startswith("fleet.toml: ")
    assert "vehicles.csv: nothing was imported" in ran.err
    assert entered(at_home) == ["Y02", "Y03"]


def test_vehicles_of_a_spreadsheet_are_taken(cli: Cli, fleet: Path, at_home: Path) -> None:
    cli("import", "fleet.toml")
    sheet = cli("export", "vehicles").out.replace("Y03", "Y04")
    (at_home / "sheet.csv").write_bytes(sheet.encode("utf-8-sig"))

    ran = cli("import", "sheet.csv")

    assert ran.status == 0, ran.err
    assert entered(at_home) == ["Y02", "Y03", "Y04"]


def test_replacing_takes_out_what_the_file_does_not_name(
    cli: Cli, fleet: Path, at_home: Path
) -> None:
    cli("import", "fleet.toml")
    head, _, _ = FLEET_TOML.rpartition("[[vehicle]]")
    fleet.write_text(head, encoding="utf-8")

    cli("import", "fleet.toml")
    assert entered(at_home) == ["Y02", "Y03"]
    cli("import", "--replace", "fleet.toml")
    assert entered(at_home) == ["Y02"]


def test_a_vehicle_that_was_taken_out_and_comes_back_is_unknown_until_somebody_looks(
    cli: Cli, fleet: Path, at_home: Path
) -> None:
    cli("import", "fleet.toml")
    cli("record", "Y03", "drained", "--by", "kit")
    whole = fleet.read_text(encoding="utf-8")
    fleet.write_text(whole.rpartition("[[vehicle]]")[0], encoding="utf-8")
    cli("import", "--replace", "fleet.toml")
    fleet.write_text(whole, encoding="utf-8")

    cli("import", "fleet.toml")

    known = json.loads(cli("record", "Y03", "--json").out)
    assert "left" in {one["event"] for one in known["entries"]}
    assert {one["state"] for one in known["circuits"]} == {"unknown"}


def test_a_file_that_is_not_there_is_named(cli: Cli) -> None:
    ran = cli("import", "missing.toml")

    assert ran.status == 2
    assert "missing.toml cannot be read" in ran.err


def test_a_form_nobody_knows_is_answered_with_those_there_are(cli: Cli, fleet: Path) -> None:
    ran = cli("export", "vans")

    assert ran.status == 2
    assert "fleet, vehicles or entries" in ran.err


def test_an_export_can_be_cut_short(shell: Cli, fleet: Path) -> None:
    ran = shell("frostwatch import fleet.toml >/dev/null && frostwatch export fleet | head -1")

    assert ran.out == "[[site]]\n"
    assert ran.err == ""


OWNERS = """
[[person]]
key = "ned"
duty = "owner"

[[person]]
key = "maelle"
duty = "owner"

[[site]]
key = "other"
kind = "yard"
latitude = 54.0
longitude = -2.0
time_zone = "Europe/London"
operator = "ailsa"
"""


def test_a_vehicle_that_changes_hands_or_place_is_unknown_until_somebody_looks(
    cli: Cli, at_home: Path
) -> None:
    kept = FLEET_TOML.replace('layout = "panel-van"', 'layout = "panel-van"\nkeeper = "ned"')
    (at_home / "a.toml").write_text(kept + OWNERS, encoding="utf-8")
    sold = kept.replace('keeper = "ned"', 'keeper = "maelle"')
    (at_home / "b.toml").write_text(sold + OWNERS, encoding="utf-8")
    moved = sold.replace('key = "Y03"\nsite = "cold-rigg"', 'key = "Y03"\nsite = "other"')
    (at_home / "c.toml").write_text(moved + OWNERS, encoding="utf-8")
    assert cli("import", "a.toml").status == 0
    cli("record", "Y03", "drained", "--seen", "--by", "ned")

    assert "keeper change" not in cli("import", "a.toml").out
    ran = cli("import", "b.toml")

    assert ran.status == 0, ran.err
    assert "Y03: keeper change, from ned to maelle: look at its water" in ran.out
    known = cli("record", "Y03", "--json").json
    assert {one["unsure"] for one in known["circuits"]} == {"may have been re-wetted"}
    cli("record", "Y03", "drained", "--seen", "--by", "maelle")
    assert "Y03: moved, from cold-rigg to other" in cli("import", "c.toml").out
    assert "let it drip a second time" in cli("record", "Y03").out


def test_a_keeper_entered_for_the_first_time_is_no_change(cli: Cli, at_home: Path) -> None:
    (at_home / "a.toml").write_text(FLEET_TOML + OWNERS, encoding="utf-8")
    kept = FLEET_TOML.replace('layout = "panel-van"', 'layout = "panel-van"\nkeeper = "ned"')
    (at_home / "b.toml").write_text(kept + OWNERS, encoding="utf-8")
    cli("import", "a.toml")

    assert "keeper change" not in cli("import", "b.toml").out
