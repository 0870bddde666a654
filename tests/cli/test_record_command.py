"""``frostwatch record``: shown, added to, exported, verified; forgiving in how it is asked."""

import hashlib
import sqlite3
from pathlib import Path

import pytest

from frostwatch.service.photos import Sent, take_photo
from frostwatch.storage.ledger import open_ledger
from tests.builders import FLEET_TOML, NOW
from tests.cli.conftest import Cli
from tests.photographs import a_photo


@pytest.fixture(autouse=True)
def fleet(cli: Cli, at_home: Path) -> None:
    (at_home / "fleet.toml").write_text(FLEET_TOML, encoding="utf-8")
    assert cli("import", "fleet.toml").status == 0


def tamper(at_home: Path, number: int) -> None:
    with sqlite3.connect(at_home / "var" / "frostwatch.db") as database:
        database.execute(
            "UPDATE entry SET body = replace(body, 'drained', 'full') WHERE number = ?", (number,)
        )


def test_a_vehicle_nobody_recorded_says_so(cli: Cli) -> None:
    ran = cli("record", "Y03")

    assert ran.status == 0, ran.err
    assert "Y03, at cold-rigg. Layout panel-van." in ran.out
    assert "never recorded" in ran.out
    assert "Nothing was ever recorded." in ran.out


def test_drained_is_one_short_command_and_is_believed_as_told(cli: Cli) -> None:
    ran = cli("record", "y03", "drained", "--by", "Ailsa")

    assert ran.status == 0, ran.err
    assert "nothing in it holds water that frost could harm" in ran.out
    shown = cli("record", "Y03").out
    assert "told" in shown
    assert "ailsa" in shown
    circuits = cli("record", "Y03", "--json").json["circuits"]
    assert {one["state"] for one in circuits} == {"drained"}
    assert {one["evidence"] for one in circuits} == {"asserted"}


def test_a_preview_shows_what_follows_and_keeps_nothing(cli: Cli) -> None:
    ran = cli("record", "Y03", "drained", "--by", "kit", "--seen", "--preview")

    assert ran.status == 0, ran.err
    assert "would be added. Nothing was kept." in ran.out
    assert "is now" in ran.out
    assert cli("record", "Y03", "--json").json["entries"] == []


def test_circuits_litres_doses_notes_and_photos_are_kept(cli: Cli) -> None:
    words = ("waste=8L", "traps=0.5L@50%", "fresh=travel")
    about = ("--by", "kit", "--note", "no key", "--photo", "IMG_7")
    ran = cli("record", "Y03", *words, *about, "--at", "2026-01-05 16:30", "--json")

    assert ran.status == 0, ran.err
    assert ran.json["kept"] is True
    entries = {entry["circuit"]: entry for entry in cli("record", "Y03", "--json").json["entries"]}
    assert entries["W3"]["litres"] == 8.0
    assert (entries["W1"]["litres"], entries["W1"]["dose_percent"]) == (0.5, 50.0)
    assert entries["F1"]["state"] == "travel level"
    assert {one["evidence"] for one in entries.values()} == {"seen"}, "a photo is seen"
    assert {one["at"] for one in entries.values()} == {"2026-01-05T16:30:00Z"}
    assert {(one["note"], one["photo"]) for one in entries.values()} == {("no key", "IMG_7")}


def test_draining_all_of_it_leaves_the_antifreeze_in_the_traps(cli: Cli) -> None:
    cli("record", "Y03", "traps=35%", "waste=bucket", "--by", "kit")

    cli("record", "Y03", "drained", "--by", "kit")

    circuits = {one["circuit"]: one for one in cli("record", "Y03", "--json").json["circuits"]}
    assert circuits["W1"]["state"] == "dosed"
    assert circuits["W3"]["open_end"] is True
    assert circuits["F1"]["state"] == "drained"


def test_a_happening_alone_is_recorded_and_its_consequence_shown(cli: Cli) -> None:
    cli("record", "Y03", "drained", "--by", "kit", "--seen", "--at", "2026-11-01")

    ran = cli("record", "Y03", "--event", "Moved", "--by", "ailsa", "--at", "2026-11-02")

    assert ran.status == 0, ran.err
    assert "let it drip a second time" in ran.out


def test_two_people_who_differ_are_both_kept_and_nobody_is_believed(cli: Cli) -> None:
    cli("record", "Y03", "waste=full", "--by", "kit", "--seen")

    ran = cli("record", "Y03", "waste=drained", "--by", "marek", "--seen")

    assert "two people contradict each other (kit, marek)" in ran.out
    settled = cli("record", "Y03", "waste=drained", "--by", "ailsa", "--event", "settled")
    assert settled.status == 0
    known = cli("record", "Y03", "--json").json
    assert known["entries_in_all"] == 3
    assert [one["state"] for one in known["circuits"] if one["circuit"] == "W3"] == ["drained"]


def test_a_wrong_word_is_taken_back_by_its_writer_alone(cli: Cli) -> None:
    cli("record", "Y03", "waste=drained", "--by", "kit")

    refused = cli("record", "Y03", "--take-back", "1", "--by", "marek")
    assert refused.status == 2
    assert "only its writer takes it back" in refused.err
    ran = cli("record", "Y03", "--take-back", "1", "--by", "kit")

    assert ran.status == 0, ran.err
    (waste,) = [
        one for one in cli("record", "Y03", "--json").json["circuits"] if one["circuit"] == "W3"
    ]
    assert waste["unsure"] == "never recorded"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("record",), "name a vehicle"),
        (("record", "Y33"), "Did you mean 'Y03'?"),
        (("record", "Y03", "drained"), "Add --by with a name or initials."),
        (("record", "Y03", "waste=brimming", "--by", "kit"), "is not understood. Give a state"),
        (("record", "Y03", "--by", "kit"), "nothing is said about the water"),
        (("record", "Y03", "--event", "hired", "--by", "kit"), "Did you mean 'hire'?"),
        (("record", "Y03", "--event", "round", "--by", "kit"), "nothing is said about the water"),
        (("record", "Y03", "drained", "--by", "k", "--at", "tuesday"), "is not a moment"),
        (("record", "Y03", "drained", "--by", "k", "--at", "2126-01-01"), "lies in the future"),
        (("record", "Y03", "--export", "pdf"), "Give csv, sealed or json."),
        (("record", "Y03", "--export", "csv", "--verify"), "do one at a time"),
        (("record", "Y03", "--take-back", "9", "--by", "kit"), "there is no entry 9"),
    ],
)
def test_a_refusal_names_its_mend_and_keeps_nothing(
    cli: Cli, arguments: tuple[str, ...], says: str
) -> None:
    ran = cli(*arguments)

    assert (ran.status, ran.out) == (2, "")
    assert says in ran.err
    assert cli("record", "Y03", "--json").json["entries"] == []


def test_an_export_is_what_export_entries_gives_and_reads_back(cli: Cli, at_home: Path) -> None:
    cli("record", "Y03", "drained", "--by", "kit")
    whole = cli("export", "entries").out.splitlines()

    csv = cli("record", "Y03", "--export", "csv").out.splitlines()
    sealed = cli("record", "Y03", "--export", "sealed").out

    assert csv == [whole[0], *(line for line in whole if ",Y03," in line)]
    (at_home / "sealed.csv").write_text(sealed, encoding="utf-8")
    ran = cli("import", "sealed.csv")
    assert ran.status == 0, ran.err
    assert "more were there already" in ran.out
    exported = cli("record", "Y03", "--export", "json").json
    assert [one["number"] for one in exported] == list(range(1, len(exported) + 1))
    assert len({one["link"] for one in exported}) == len(exported)


def test_a_whole_chain_is_verified_with_the_link_to_note(cli: Cli) -> None:
    cli("record", "Y03", "drained", "--by", "kit")
    last = cli("record", "Y03", "--json").json["last_link"]

    ran = cli("record", "Y03", "--verify")

    assert ran.status == 0
    assert f"Last link {last}" in ran.out
    assert cli("record", "--verify").out.startswith("2 of 2 records hold together")


def test_a_changed_entry_shows_with_its_place(cli: Cli, at_home: Path) -> None:
    cli("record", "Y03", "drained", "--by", "kit")
    tamper(at_home, 2)

    ran = cli("record", "Y03", "--verify")

    assert ran.status == 1
    assert "Y03: broken at entry 2 (Y03 " in ran.out
    assert "changed, added or taken out" in ran.out
    everything = cli("record", "--verify", "--json")
    assert everything.status == 1
    broken = {one["vehicle"]: one["broken"] for one in everything.json}
    assert broken["Y02"] is None
    assert broken["Y03"]["number"] == 2
    shown = cli("record", "Y03")
    assert shown.status == 1
    assert "The chain is broken at entry 2" in shown.out


def test_it_works_in_a_pipe(shell: Cli) -> None:
    add = "frostwatch record Y03 drained --by ailsa | cat"
    ran = shell(f"{add} && frostwatch record Y03 | head -n 1")

    assert "Y03, at cold-rigg" in ran.out
    assert ran.err == ""


def test_who_is_not_entered_is_taken_as_typed_and_that_is_said(cli: Cli) -> None:
    ran = cli("record", "Y03", "drained", "--by", "zed")

    assert ran.status == 0
    assert "zed is not among the people entered" in ran.err
    assert "zed" in cli("record", "Y03").out


def a_photo_of(at_home: Path, vehicle: str = "Y03", id: str = "photo-of-y03") -> None:
    """Somebody added one on a page."""
    ledger = open_ledger(f"sqlite:///{at_home / 'var' / 'frostwatch.db'}")
    sent = Sent(id=id, vehicle=vehicle, by="kit", at=NOW, data=a_photo(), entry=1)
    take_photo(ledger.photos, sent, NOW)
    ledger.close()


def test_photographs_are_counted_and_handed_out_with_their_list(cli: Cli, at_home: Path) -> None:
    cli("record", "Y03", "drained", "--by", "kit", "--seen")
    a_photo_of(at_home)

    assert "1 photograph, the last by kit, 2026-12-01 07:40" in cli("record", "Y03").out
    assert cli("record", "Y03", "--json").json["photos"] == 1
    assert cli("record", "Y03", "--export", "sealed").out.splitlines()[1].endswith(",1")
    ran = cli("record", "Y03", "--photos", "proof")

    assert ran.status == 0, ran.err
    assert "1 photograph written to proof, with photos.csv." in ran.out
    (picture,) = (at_home / "proof").glob("*.jpg")
    row = (at_home / "proof" / "photos.csv").read_text(encoding="utf-8").splitlines()[1]
    assert row.startswith(f"{picture.name},Y03,2026-12-01T07:40:00Z")
    assert hashlib.sha256(picture.read_bytes()).hexdigest() in row


def test_a_sealed_export_with_photographs_reads_back(cli: Cli, at_home: Path) -> None:
    cli("record", "Y03", "drained", "--by", "kit", "--seen")
    a_photo_of(at_home)
    sealed = cli("record", "Y03", "--export", "sealed").out
    (at_home / "again.csv").write_text(sealed, encoding="utf-8")

    ran = cli("import", "again.csv")

    assert ran.status == 0, ran.err


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--photos", "proof"), "Y03 has no photographs"),
        (("--photos", "proof", "--export", "csv"), "do one at a time"),
        (("drained", "--by", "kit", "--photos", "proof"), "do one at a time"),
    ],
)
def test_photographs_that_cannot_be_written_are_refused(
    cli: Cli, words: tuple[str, ...], why: str
) -> None:
    ran = cli("record", "Y03", *words)
    assert ran.status == 2
    assert why in ran.err
