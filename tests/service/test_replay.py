"""Past nights run again: what was said follows from what was known then, and from nothing later."""

import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from frostwatch.errors import FleetError
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.records.entries import Entry, State
from frostwatch.service.nights import point_of
from frostwatch.service.replay import Replay, ReplayFolder, read_folder
from frostwatch.storage.entry_files import write_entries_csv
from frostwatch.weather.learning import Source
from frostwatch.weather.providers.recorded import ARRIVAL, Recorded
from frostwatch.wiring import build_recorded
from tests.builders import a_layout, a_site, a_vehicle, an_operator, entries_for
from tests.folders import write_folder, write_replies
from tests.worlds import Weather, World, a_world

START = datetime(2026, 12, 1, 6, 0, tzinfo=UTC)
END = datetime(2026, 12, 6, 18, 0, tzinfo=UTC)
COLD = datetime(2026, 12, 3, 20, tzinfo=UTC)
MEMBERS = 10

FIELDS = [
    "at",
    "local",
    "to",
    "site",
    "kind",
    "level",
    "vehicles",
    "act_by",
    "earliest",
    "likely",
    "probability",
    "reason",
    "short",
    "long",
]
"""The fields of a line, in the order in which the form of a replay is described."""


def vans(count: int) -> list[Vehicle]:
    return [a_vehicle(f"Y{n:02d}", bay=f"A-{n:02d}") for n in range(1, count + 1)]


def water(vehicles: Sequence[Vehicle], state: State = State.FULL) -> list[Entry]:
    return [
        entry
        for van in vehicles
        for entry in entries_for(
            a_layout(), state, vehicle=van.key, at=START - timedelta(days=2), by="ailsa"
        )
    ]


@pytest.fixture
def weather() -> Weather:
    weather = Weather()
    weather.cold(COLD)
    return weather


@pytest.fixture
def folder(tmp_path: Path, weather: Weather) -> Path:
    """One vehicle full of water, a cold night on 3 December, replies every three hours."""
    path = write_folder(
        tmp_path / "past",
        sites=[a_site()],
        people=[an_operator()],
        vehicles=vans(1),
        entries=water(vans(1)),
    )
    write_replies(path, "cold-rigg", weather, START - timedelta(hours=3), END)
    return path


def recorded(path: Path, read: ReplayFolder) -> Recorded:
    names: dict[str, list[str]] = {}
    for site in read.fleet.sites:
        names.setdefault(point_of(site).key, []).append(site.key)
    return build_recorded(path, dict(names))


def said(path: Path, end: datetime = END, **options: Any) -> list[dict[str, Any]]:
    """The lines of a replay from START."""
    read = read_folder(path)
    run = Replay(read, recorded(path, read), members=MEMBERS, **options)
    return [spoken.as_json() for spoken in run.run(START, end)]


def arrived(file: Path) -> datetime:
    return datetime.strptime(file.stem, ARRIVAL).replace(tzinfo=UTC)


def kinds(lines: list[dict[str, Any]]) -> list[str]:
    return [line["kind"] for line in lines]


def test_a_recorded_ensemble_widens_the_doubt_of_a_replay(folder: Path) -> None:
    plain = said(folder)
    for file in (folder / "forecasts/open-meteo/cold-rigg").glob("*.json"):
        body = json.loads(file.read_bytes())
        hourly, units = body["hourly"], body["hourly_units"]
        spread = {"temperature_2m_spread": [9.0] * len(hourly["time"])}
        air = {name: hourly[name] for name in ("time", "temperature_2m")}
        body["hourly"] = air | spread
        body["hourly_units"] = {name: units[name] for name in air} | dict.fromkeys(spread, "K")
        beside = folder / "ensemble/open-meteo/cold-rigg" / file.name
        beside.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(json.dumps(body), encoding="utf-8")

    doubted = said(folder)

    assert doubted[0]["at"] <= plain[0]["at"]
    first = {line["kind"]: line["probability"] for line in reversed(doubted)}
    sure = {line["kind"]: line["probability"] for line in reversed(plain)}
    assert first["work order"] < sure["work order"]


def test_a_spell_is_told_as_it_was_with_every_field(folder: Path) -> None:
    lines = said(folder)

    assert kinds(lines)[:3] == ["outlook", "work order", "last call"]
    assert {tuple(line) for line in lines} == {tuple(FIELDS)}
    assert [line["at"] for line in lines] == sorted(line["at"] for line in lines)
    order = lines[1]
    assert order["to"] == "ailsa"
    assert order["site"] == "cold-rigg"
    assert order["vehicles"] == ["Y01"]
    assert order["level"] in ("act", "urgent")
    assert order["at"] == "2026-12-03T07:40:00Z"
    assert order["local"].startswith("Thu 2026-12-03 07:40")
    assert order["act_by"] < order["earliest"] < order["likely"]
    assert 0.9 < order["probability"] < 1.0
    assert order["reason"] == "first"
    assert len(order["short"]) <= 160
    json.dumps(lines, allow_nan=False)


def test_the_replay_says_what_the_service_says(folder: Path, weather: Weather) -> None:
    """A service that looks every five minutes, on the same replies, in a real ledger."""
    read = read_folder(folder)
    world = World(ledger=a_world().ledger, boards=False)
    world.weather = recorded(folder, read)  # type: ignore[assignment]
    world.enter(read.fleet.sites[0], read.fleet.people, read.fleet.vehicles, read.entries)

    told = []
    moment = START
    while moment <= END:
        told += [(moment, m.kind, m.short) for m in world.told_at(moment)]
        moment += timedelta(minutes=10)
    world.ledger.close()

    lines = said(folder)
    assert [(line["kind"], line["short"]) for line in lines] == [row[1:] for row in told]
    for line, (moment, *_) in zip(lines, told, strict=True):
        assert abs(datetime.fromisoformat(line["at"]) - moment) <= timedelta(minutes=10)


def test_what_arrives_later_changes_no_earlier_message(folder: Path, weather: Weather) -> None:
    middle = datetime(2026, 12, 3, 9, 30, tzinfo=UTC)
    before = said(folder, end=middle)
    weather.spells.clear()
    weather.cold(COLD, air_c=-25.0, hours=60.0)
    write_replies(folder, "cold-rigg", weather, middle + timedelta(minutes=30), END)
    entries = (folder / "entries.csv").read_text()
    (folder / "entries.csv").write_text(
        entries + "2026-12-04T10:00:00Z,Y01,F1,drained,seen,ailsa,,,,,\n"
    )
    (folder / "answers.csv").write_text("at,vehicle,answer\n2026-12-05T10:00:00Z,Y01,done\n")

    assert said(folder, end=middle) == before
    assert said(folder)[: len(before)] == before


def test_a_reply_counts_from_its_arrival_on(tmp_path: Path, weather: Weather) -> None:
    path = write_folder(
        tmp_path / "late",
        sites=[a_site()],
        people=[an_operator()],
        vehicles=vans(1),
        entries=water(vans(1)),
    )
    first = START + timedelta(hours=4)
    write_replies(path, "cold-rigg", weather, first, END)

    lines = said(path)

    assert kinds(lines)[:2] == ["no forecast", "no forecast"]
    assert lines[0]["at"] == "2026-12-01T06:30:00Z", "after the quiet hours"
    assert lines[1]["reason"] == "cleared"
    assert datetime.fromisoformat(lines[1]["at"]) - first <= timedelta(hours=1, minutes=5)


@pytest.mark.parametrize(
    "broken", [b"", b"{", b'{"error": true, "reason": "Internal"}', b"\xff\xfe", b"[]", b"null"]
)
def test_a_broken_or_empty_reply_is_counted_and_the_one_before_is_used(
    folder: Path, broken: bytes
) -> None:
    files = sorted((folder / "forecasts/open-meteo/cold-rigg").glob("*.json"))
    for file in files[5:8]:
        file.write_bytes(broken)
    end = datetime(2026, 12, 3, 8, tzinfo=UTC)

    read = read_folder(folder)
    replies = recorded(folder, read)
    lines = [s.as_json() for s in Replay(read, replies, members=MEMBERS).run(START, end)]

    assert kinds(lines) == ["outlook", "work order"]
    assert sum(replies.counts.failed.values()) == 3
    assert replies.counts.used == sum(arrived(file) <= end for file in files) - 3


def test_without_answers_nobody_is_called_without_end(folder: Path) -> None:
    calls = [line for line in said(folder) if line["kind"] in ("work order", "last call")]

    assert len(calls) == 2


def test_an_answer_after_two_hours_ends_the_asking(folder: Path) -> None:
    lines = said(folder, answer_after=timedelta(hours=2))

    assert kinds(lines) == ["outlook", "work order"]


def test_answers_come_inside_working_slots(folder: Path) -> None:
    """Eleven hours after 07:40 nobody works: the answer waits for Friday, when it is too late."""
    lines = said(folder, answer_after=timedelta(hours=11))

    assert kinds(lines)[:3] == ["outlook", "work order", "last call"]


def test_answers_out_of_a_file_are_those_of_the_people_who_were_asked(folder: Path) -> None:
    (folder / "answers.csv").write_text(
        "at,vehicle,answer\n2026-12-03T10:00:00Z,Y01,done\n", encoding="utf-8"
    )

    lines = said(folder)

    assert kinds(lines) == ["outlook", "work order"]


def test_people_who_cannot_come_are_not_asked_again_for_the_same_night(folder: Path) -> None:
    (folder / "answers.csv").write_text(
        "at,vehicle,answer\n2026-12-03T08:00:00Z,Y01,cannot\n", encoding="utf-8"
    )

    assert "last call" not in kinds(said(folder))


def test_many_answers_at_one_moment_are_all_taken(tmp_path: Path, weather: Weather) -> None:
    several = vans(6)
    path = write_folder(
        tmp_path / "many",
        sites=[a_site()],
        people=[an_operator()],
        vehicles=several,
        entries=water(several),
    )
    write_replies(path, "cold-rigg", weather, START - timedelta(hours=3), END)

    lines = said(path, answer_after=timedelta(hours=2))

    assert kinds(lines) == ["outlook", "work order"]
    assert lines[1]["vehicles"] == [van.key for van in several]


def test_a_folder_without_any_forecast_says_no_forecast_and_gives_no_hours(tmp_path: Path) -> None:
    path = write_folder(
        tmp_path / "bare",
        sites=[a_site()],
        people=[an_operator()],
        vehicles=vans(1),
        entries=water(vans(1)),
    )

    lines = said(path)

    assert set(kinds(lines)) == {"no forecast"}
    assert all(line["act_by"] is None and line["probability"] is None for line in lines)
    assert len(lines) == 6, "once a day"


def test_entries_count_from_when_they_arrived(folder: Path, weather: Weather) -> None:
    """Drained at 10:00 on the day of the work order: nothing more is said."""
    drained = entries_for(
        a_layout(), State.DRAINED, vehicle="Y01", at=datetime(2026, 12, 3, 10, tzinfo=UTC)
    )
    (folder / "entries.csv").write_text(write_entries_csv([*water(vans(1)), *drained]))

    assert kinds(said(folder)) == ["outlook", "work order"]


@pytest.mark.parametrize(
    ("file", "content", "words"),
    [
        ("fleet.toml", None, "fleet.toml cannot be read"),
        ("fleet.toml", "[[site]]\nkey = 3", "fleet.toml"),
        ("entries.csv", "at,vehicle\n1,2\n", "entries.csv"),
        ("answers.csv", "at,vehicle,answer\nyesterday,Y01,done\n", "answers.csv: line 2"),
        ("answers.csv", "at,vehicle,answer\n2026-12-01,Y77,done\n", "'Y77' is not in fleet.toml"),
        ("answers.csv", "at,vehicle,answer\n2026-12-01,Y01,maybe\n", "done, part, cannot"),
        ("answers.csv", "at;vehicle\n", None),
    ],
)
def test_a_file_that_does_not_hold_together_is_named(
    folder: Path, file: str, content: str | None, words: str | None
) -> None:
    if content is None:
        (folder / file).unlink()
    else:
        (folder / file).write_text(content, encoding="utf-8")
    if words is None:
        assert read_folder(folder).answers == ()
        return

    with pytest.raises(FleetError) as wrong:
        read_folder(folder)
    assert words in str(wrong.value)


def test_a_replay_is_the_same_whatever_order_its_files_were_written_in(
    folder: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other"
    for file in sorted(folder.rglob("*"), reverse=True):
        if file.is_file():
            target = other / file.relative_to(folder)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(file.read_bytes())

    end = datetime(2026, 12, 3, 12, tzinfo=UTC)
    assert said(other, end=end) == said(folder, end=end)


def test_two_yards_are_told_apart(tmp_path: Path, weather: Weather) -> None:
    """One of them has the cold spell, the other a mild week."""
    far = a_site("warm-lea", latitude_deg=50.2, operator="bea")
    van = replace(vans(1)[0], key="W01", site="warm-lea")
    path = write_folder(
        tmp_path / "two",
        sites=[a_site(), far],
        people=[an_operator(), an_operator("bea", sites=("warm-lea",))],
        vehicles=[*vans(1), van],
        entries=[*water(vans(1)), *water([van])],
    )
    write_replies(path, "cold-rigg", weather, START - timedelta(hours=3), END)
    write_replies(path, "warm-lea", Weather(), START - timedelta(hours=3), END)

    lines = said(path)

    assert {line["to"] for line in lines} == {"ailsa"}


def test_a_replay_learns_on_the_way_and_a_thermometer_counts_from_its_own_time(
    tmp_path: Path,
) -> None:
    """Thirty-four mild evenings that come true; the thermometer shows 3 K less."""
    path = write_folder(
        tmp_path / "past", sites=[a_site()], people=[an_operator()], vehicles=[], entries=[]
    )
    begin = datetime(2026, 11, 1, 12, tzinfo=UTC)
    end = begin + timedelta(days=34)
    write_replies(path, "cold-rigg", Weather(), begin + timedelta(hours=5), end, every_h=24)
    rows = [f"{begin + timedelta(hours=h):%Y-%m-%dT%H:%MZ},4.0" for h in range(24 * 60)]
    (path / "readings").mkdir()
    (path / "readings" / "cold-rigg.csv").write_text("\n".join(["time,air_c", *rows]))
    read = read_folder(path)

    run = Replay(read, recorded(path, read), members=MEMBERS)
    assert list(run.run(begin, end - timedelta(days=6))) == []
    assert run.learnt() == {}
    assert list(run.run(end - timedelta(days=6), end)) == []
    learnt = run.learnt()["cold-rigg"]
    assert learnt.source is Source.READINGS
    assert learnt.mean_error_k > 0.5
    untaught = Replay(read, recorded(path, read), members=MEMBERS, learning=False)
    assert untaught.learnt() == {}


def test_readings_that_cannot_be_read_are_refused_with_the_file(folder: Path) -> None:
    (folder / "readings").mkdir()
    (folder / "readings" / "cold-rigg.csv").write_text("time,air_c\nnow,cold\n")
    with pytest.raises(FleetError, match=r"readings.cold-rigg.csv: line 2"):
        read_folder(folder)
