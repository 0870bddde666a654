# ruff: noqa: E501 - one fault a line is easier to read than wrapped ones
"""``entries.csv``: read whole or answered, written and read back, sealed and verified."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import water_of
from frostwatch.storage.entry_files import read_entries_csv, shifted, write_entries_csv
from frostwatch.storage.fleet_files import FleetFile, read_fleet_toml
from tests.builders import NOW, a_site, a_vehicle, an_entry, an_operator

DEMO = Path(__file__).parents[2] / "config" / "demo"

FLEET = Fleet(
    sites=(a_site(),),
    people=(an_operator(),),
    vehicles=(
        a_vehicle("Y03", layout="coachbuilt-underslung-fresh"),
        a_vehicle("Y07", layout="large-a-class"),
        a_vehicle("Y09", layout="small-camper"),
    ),
)

HEADER = "at,vehicle,circuit,state,evidence,by,litres,dose_percent,event,photo,note\n"


def read(text: str) -> tuple[Entry, ...]:
    result = read_entries_csv(text, FLEET)
    assert not isinstance(result, list), [str(problem) for problem in result]
    return result


def problems(text: str) -> list[str]:
    result = read_entries_csv(text, FLEET)
    assert isinstance(result, list)
    return [str(problem) for problem in result]


def test_a_row_is_one_statement() -> None:
    (entry,) = read(
        HEADER + "2026-11-20T10:00:00Z,Y03,fresh,Travel-Level,seen,kit,20,,,p/1.jpg,taps shut\n"
    )
    at = datetime(2026, 11, 20, 10, tzinfo=UTC)
    assert entry == Entry(
        vehicle="Y03",
        circuit=Circuit.FRESH_TANK,
        state=State.TRAVEL_LEVEL,
        evidence=Evidence.SEEN,
        by="kit",
        at=at,
        received_at=at,
        litres_l=20.0,
        photo="p/1.jpg",
        note="taps shut",
    )


def test_columns_may_be_left_out_and_stand_in_any_order() -> None:
    (entry,) = read("by;state;vehicle;at;circuit\nkit;drained;Y03;2026-11-20T11:00:00+01:00;W3\n")
    assert entry.evidence is Evidence.ASSERTED
    assert entry.at == datetime(2026, 11, 20, 10, tzinfo=UTC)


@pytest.mark.parametrize(
    ("vehicle", "word", "codes"),
    [
        ("Y03", "pipes", "F3 H2"),
        ("Y03", "F", "F1 F2 F3 F4"),
        ("Y03", "w", "W1 W2 W3 W4"),
        ("Y03", "all", "F1 F2 F3 F4 H1 H2 H3 W1 W2 W3 W4 T1 T3 X3"),
        ("Y07", "X", "X2 X3"),
        ("Y07", "T", "T2"),
        ("Y09", "all", "F1 F2 F3 W1 W3 W4 X3"),
        ("Y09", "pipes", "F3"),
    ],
)
def test_one_word_may_speak_of_many_circuits(vehicle: str, word: str, codes: str) -> None:
    entries = read(HEADER + f"2026-11-20T10:00:00Z,{vehicle},{word},drained,seen,kit,,,,,\n")
    assert " ".join(entry.circuit.value for entry in entries) == codes


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("2026-11-20T10:00:00Z,Y3,F1,drained,seen,kit,,,,,", "line 2, B (vehicle): vehicle 'Y3' is not in the fleet. Did you mean 'Y03'?"),
        ("2026-11-20T10:00:00Z,,F1,drained,seen,kit,,,,,", "line 2, B (vehicle): vehicle is missing."),
        ("2026-11-20 10:00,Y03,F1,drained,seen,kit,,,,,", "line 2, A (at): at has no time zone."),
        ("20.11.2026,Y03,F1,drained,seen,kit,,,,,", "line 2, A (at): '20.11.2026' is no ISO 8601 time."),
        ("0001-01-01T00:00:00+14:00,Y03,F1,drained,seen,kit,,,,,", "line 2, A (at): at is too far off."),
        (",Y03,F1,drained,seen,kit,,,,,", "line 2, A (at): at is missing."),
        ("2026-11-20T10:00:00Z,Y03,H9,drained,seen,kit,,,,,", "line 2, C (circuit): circuit 'H9' is not known."),
        ("2026-11-20T10:00:00Z,Y03,G1,dosed,seen,kit,,40,,,", "layout coachbuilt-underslung-fresh has no G1 hydronic. It has F1 fresh tank"),
        ("2026-11-20T10:00:00Z,Y09,H,drained,seen,kit,,,,,", "line 2, C (circuit): layout small-camper has no H."),
        ("2026-11-20T10:00:00Z,Y03,F1,emty,seen,kit,,,,,", "line 2, D (state): state 'emty' is not known."),
        ("2026-11-20T10:00:00Z,Y03,F1,drained,expired,kit,,,,,", "line 2, E (evidence): entry for Y03 F1: nobody can record 'expired'"),
        ("2026-11-20T10:00:00Z,Y03,F1,drained,seen,,,,,,", "line 2, F (by): by is missing."),
        ("2026-11-20T10:00:00Z,Y03,F1,part-full,seen,kit,95,,,,", "line 2, G (litres): 95 L is more than F1 fresh tank holds (90 L)."),
        ("2026-11-20T10:00:00Z,Y03,F,part-full,seen,kit,5,,,,", "line 2, G (litres): litres for several circuits at once."),
        ("2026-11-20T10:00:00Z,Y03,W1,dosed,seen,kit,,,,,", "line 2, H (dose_percent): dosed needs the strength of the antifreeze."),
        ("2026-11-20T10:00:00Z,Y03,W1,dosed,seen,kit,,350,,,", "line 2, H (dose_percent): entry for Y03 W1: dose is 3.5"),
        ("2026-11-20T10:00:00Z,Y07,G1,drained,seen,kit,,,,,", "line 2, D (state): the hydronic heating circuit is never drained for winter."),
        ("2026-11-20T10:00:00Z,Y03,F1,drained,seen,kit,,,party,,", "line 2, I (event): the happening 'party' is not known."),
        ("2026-11-20T10:00:00Z,Y03,F1,drained,seen,kit,,,,,=cmd", "line 2, K (note): the cell begins with '='"),
    ],
)  # fmt: skip
def test_a_bad_row_is_told_with_line_column_and_what_to_do(row: str, said: str) -> None:
    assert any(said in problem for problem in problems(HEADER + row)), problems(HEADER + row)


def test_one_bad_row_keeps_every_row_out() -> None:
    good = "2026-11-20T10:00:00Z,Y03,F1,drained,seen,kit,,,,,\n"
    assert len(problems(HEADER + good + good.replace("Y03", "Y99") + good)) == 1


texts = st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=15).map(str.strip)
moments = st.datetimes(
    min_value=datetime(1990, 1, 1),  # noqa: DTZ001 - hypothesis wants naive bounds
    max_value=datetime(2090, 1, 1),  # noqa: DTZ001
    timezones=st.just(UTC),
)

entries_of_any_kind = st.lists(
    st.builds(
        lambda circuit, state, dose, share, **rest: Entry(
            vehicle="Y03",
            circuit=circuit,
            state=state,
            dose_fraction=dose / 10_000 if state is State.DOSED else None,
            litres_l=None if share is None else share * (0.2 if circuit is Circuit.PUMP else 8.0),
            received_at=rest["at"],
            **rest,
        ),
        st.sampled_from([Circuit.FRESH_TANK, Circuit.WASTE_TANK, Circuit.PUMP, Circuit.FLUSH_TANK]),
        st.sampled_from(State),
        st.integers(0, 10_000),
        st.none() | st.floats(0, 1),
        at=moments,
        evidence=st.sampled_from([Evidence.SEEN, Evidence.ASSERTED, Evidence.PREDICTED]),
        by=texts.filter(bool),
        event=st.sampled_from(["", "moved", "hire", "drain-down"]),
        photo=texts,
        note=texts,
    ),
    max_size=5,
)


@given(entries_of_any_kind)
def test_entries_written_read_back_as_the_same(entries: list[Entry]) -> None:
    assert read(write_entries_csv(entries)) == tuple(entries)


@given(entries_of_any_kind)
def test_a_sealed_export_reads_back_and_exporting_it_again_gives_the_same_text(
    entries: list[Entry],
) -> None:
    late = [replace(one, received_at=one.at + timedelta(hours=3)) for one in entries]
    text = write_entries_csv(late, sealed=True)
    assert read(text) == tuple(late)
    assert write_entries_csv(read(text), sealed=True) == text


def test_a_note_may_have_several_lines() -> None:
    entry = an_entry(note='first line\nsecond "line", with comma')
    assert read(write_entries_csv([entry], sealed=True)) == (entry,)


SEALED = write_entries_csv(
    [an_entry(hours_ago=hours, note=f"look {hours}") for hours in (5, 4, 3)], sealed=True
)


@pytest.mark.parametrize(
    ("change", "line"),
    [
        (lambda rows: [rows[0], rows[1].replace("kit", "marek"), *rows[2:]], 2),
        (lambda rows: [rows[0], *rows[2:]], 2),
        (lambda rows: [rows[0], rows[1], rows[3]], 3),
        (lambda rows: [rows[0], rows[1], rows[3], rows[2]], 3),
        (lambda rows: [*rows[:3], rows[3].replace("look 3", "look 9")], 4),
    ],
)
def test_a_sealed_export_that_was_changed_names_the_first_row_that_does_not_fit(
    change: object, line: int
) -> None:
    rows = change(SEALED.splitlines())  # type: ignore[operator]
    (told,) = problems("\n".join(rows))
    assert told.startswith(f"line {line}, M (link): entry {line - 1} (Y03 F1, ")
    assert "does not fit the chain" in told


def test_a_sealed_row_may_not_speak_of_many_circuits() -> None:
    told = problems(SEALED.replace(",F1,", ",F,", 1))
    assert told[0].startswith("line 2, C (circuit): a sealed row speaks of one circuit.")


def test_the_words_of_an_export_are_fixed() -> None:
    """Other programs and old exports rely on this form."""
    entry = an_entry(Circuit.TRAPS, State.DOSED, litres_l=0.5, dose_fraction=0.07, note="=x")
    assert write_entries_csv([entry]) == (
        HEADER + "2026-11-30T07:40:00Z,Y03,W1,dosed,seen,kit,0.5,7,,,'=x\n"
    )


@given(st.text(max_size=100) | st.text('at,circuitF1"\n=;', max_size=60))
def test_whatever_stands_in_a_file_it_is_read_or_answered(text: str) -> None:
    result = read_entries_csv(text, FLEET)
    assert isinstance(result, tuple) or all(problem.what for problem in result)


# The demo's three places


def demo(name: str) -> tuple[FleetFile, tuple[Entry, ...], datetime]:
    said = read_fleet_toml((DEMO / f"{name}.toml").read_text())
    assert isinstance(said, FleetFile)
    assert said.anchor is not None
    entries = read_entries_csv((DEMO / f"{name}-entries.csv").read_text(), said.fleet)
    assert isinstance(entries, tuple), [str(problem) for problem in entries]
    return said, entries, said.anchor


@pytest.mark.parametrize(("name", "vehicles"), [("yard", 24), ("owner", 1), ("forecourt", 16)])
def test_the_demo_says_what_is_in_every_vehicle_before_its_anchor(name: str, vehicles: int) -> None:
    said, entries, anchor = demo(name)
    assert len(said.fleet.vehicles) == vehicles
    assert all(entry.at < anchor for entry in entries)
    known = {entry.vehicle for entry in entries}
    silent = {one.key for one in said.fleet.vehicles} - known
    assert silent == ({"Y07"} if name == "yard" else set())


def demo_state(name: str, vehicle: str, circuit: str) -> tuple[str, float]:
    said, entries, anchor = demo(name)
    one = said.fleet.vehicle(vehicle)
    water = {w.circuit.value: w for w in water_of(one, layout_of(one), entries, anchor)}
    return water[circuit].state.value, round(water[circuit].litres_cost_l, 3)


@pytest.mark.parametrize(
    ("name", "vehicle", "circuit", "state", "litres_l"),
    [
        ("yard", "Y01", "H1", "drained", 0.0),
        ("yard", "Y02", "F1", "travel level", 20.0),
        ("yard", "Y03", "W3", "part-full", 35.0),
        ("yard", "Y04", "W3", "part-full", 12.0),
        ("yard", "Y05", "W3", "part-full", 4.0),
        ("yard", "Y06", "X1", "drained", 0.0),
        ("yard", "Y07", "W3", "unknown", 90.0),
        ("yard", "Y08", "H1", "full", 10.0),
        ("yard", "Y09", "H1", "tripped", 0.0),
        ("yard", "Y12", "F1", "heated hold", 90.0),
        ("yard", "Y14", "T1", "full", 8.0),
        ("yard", "Y15", "F1", "unknown", 100.0),
        ("yard", "Y16", "F1", "unknown", 1.0),
        ("yard", "Y17", "W3", "part-full", 10.0),
        ("yard", "Y18", "W3", "part-full", 6.0),
        ("yard", "Y19", "W3", "open-running", 1.0),
        ("yard", "Y20", "H1", "full", 14.0),
        ("yard", "Y21", "F1", "drained", 0.0),
        ("yard", "Y22", "F1", "residual", 15.0),
        ("yard", "Y23", "G1", "dosed", 0.0),
        ("owner", "VAN", "F1", "travel level", 20.0),
        ("owner", "VAN", "W3", "part-full", 8.0),
        ("forecourt", "D02", "H1", "unknown", 10.0),
        ("forecourt", "D04", "F1", "unknown", 120.0),
        ("forecourt", "D13", "H1", "tripped", 0.0),
        ("forecourt", "D16", "F1", "unknown", 150.0),
    ],
)
def test_the_demo_shows_each_case_of_the_trade(
    name: str, vehicle: str, circuit: str, state: str, litres_l: float
) -> None:
    assert demo_state(name, vehicle, circuit) == (state, litres_l)


def test_an_example_can_be_told_from_another_day() -> None:
    _, entries, anchor = demo("owner")
    by = timedelta(days=(NOW - anchor).days)
    moved = shifted(entries, by)
    assert {a.at - b.at for a, b in zip(moved, entries, strict=True)} == {by}
    assert all(entry.received_at <= NOW for entry in moved)
