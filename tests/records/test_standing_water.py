"""From entries to the water that stands in a vehicle, by the rules of the trade.

Unless a source is named the rules are common practice, no source.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from frostwatch.errors import RecordError
from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Evidence, State
from frostwatch.records.events import EFFECTS, Effect, effect_of
from frostwatch.records.standing_water import water_of
from frostwatch.records.statements import ends_at
from tests.builders import NOW, a_layout, a_vehicle, an_entry, entries_for
from tests.records.standing import FRESH, HEATER, LAYOUT, TRAPS, VEHICLE, WASTE, known, water


def test_every_circuit_of_the_layout_is_there_in_the_order_of_the_record() -> None:
    circuits = [one.circuit for one in water_of(VEHICLE, LAYOUT, [], NOW)]
    assert circuits == [c for c in Circuit if c in {item.circuit for item in LAYOUT.items}]


@pytest.mark.parametrize(
    ("circuit", "soon_l", "cost_l"),
    [(FRESH, 5.0, 90.0), (HEATER, 5.0, 10.0), (Circuit.PUMP, 0.2, 0.2), (TRAPS, 0.9, 0.9)],
)
def test_what_nobody_recorded_is_full_for_the_cost_and_nearly_empty_for_how_soon(
    circuit: Circuit, soon_l: float, cost_l: float
) -> None:
    one = water()[circuit]
    assert known(one)[:2] == ("unknown", "expired")
    assert one.litres_soon_l == pytest.approx(soon_l)
    assert one.litres_cost_l == pytest.approx(cost_l)
    assert one.since is None
    assert one.by == ""


@pytest.mark.parametrize(
    ("circuit", "state", "litres_l", "soon_l", "cost_l"),
    [
        (FRESH, State.FULL, None, 90.0, 90.0),
        (FRESH, State.PART_FULL, 35.0, 35.0, 35.0),
        (FRESH, State.PART_FULL, None, 5.0, 90.0),
        (FRESH, State.TRAVEL_LEVEL, None, 20.0, 20.0),
        (FRESH, State.TRAVEL_LEVEL, 12.0, 12.0, 12.0),
        (FRESH, State.DRAINED, None, 0.0, 0.0),
        (FRESH, State.DRY_NEW, None, 0.0, 0.0),
        (FRESH, State.RESIDUAL, 15.0, 15.0, 15.0),
        (FRESH, State.RESIDUAL, None, 1.0, 1.0),
        (FRESH, State.HEATED_HOLD, None, 90.0, 90.0),
        (FRESH, State.UNKNOWN, None, 5.0, 90.0),
        (FRESH, State.FULL, 500.0, 90.0, 90.0),
        (WASTE, State.OPEN_RUNNING, None, 1.0, 1.0),
        (WASTE, State.RESIDUAL, 4.0, 4.0, 4.0),
        (HEATER, State.TRIPPED, None, 5.0, 10.0),
        (HEATER, State.TRIPPED, 0.0, 0.0, 0.0),
        (Circuit.FLUSH_TANK, State.FULL, None, 8.0, 8.0),
    ],
)
def test_each_state_comes_to_litres(
    circuit: Circuit, state: State, litres_l: float | None, soon_l: float, cost_l: float
) -> None:
    one = water(an_entry(circuit, state, litres_l=litres_l))[circuit]
    assert known(one) == (state.value, "seen", soon_l, cost_l)
    assert one.since == NOW - timedelta(hours=24)
    assert one.by == "kit"


def test_a_vehicle_seen_drained_is_wet_nowhere() -> None:
    drained = water(*entries_for(LAYOUT))
    assert not any(one.is_wet for one in drained.values())


def test_the_latest_statement_holds_whatever_the_order_of_the_rows() -> None:
    full = an_entry(FRESH, State.FULL, hours_ago=48)
    drained = an_entry(FRESH, State.DRAINED, hours_ago=5)
    assert water(full, drained) == water(drained, full)
    assert water(full, drained)[FRESH].state is State.DRAINED


def test_entries_of_other_vehicles_and_of_circuits_it_has_not_do_not_count() -> None:
    assert water(an_entry(FRESH, vehicle="Y04"))[FRESH].state is State.UNKNOWN
    assert Circuit.MACERATOR not in water(an_entry(Circuit.MACERATOR))


def test_an_entry_counts_from_its_arrival_on() -> None:
    late = an_entry(FRESH, at=NOW - timedelta(days=2), received_at=NOW + timedelta(hours=1))
    assert water(late)[FRESH].state is State.UNKNOWN
    assert water(late, now=NOW + timedelta(hours=2))[FRESH].state is State.DRAINED


def test_a_device_clock_that_runs_ahead_is_set_back_to_the_arrival() -> None:
    arrived = NOW - timedelta(hours=1)
    ahead = an_entry(FRESH, at=NOW + timedelta(days=1), received_at=arrived)
    assert water(ahead)[FRESH].since == arrived


# Evidence that fades


@pytest.mark.parametrize(
    ("evidence", "days", "state"),
    [
        (Evidence.ASSERTED, 89, State.DRAINED),
        (Evidence.ASSERTED, 90, State.UNKNOWN),
        (Evidence.PREDICTED, 90, State.UNKNOWN),
        (Evidence.SEEN, 90, State.DRAINED),
    ],
)
def test_what_was_only_told_holds_for_ninety_days(
    evidence: Evidence, days: int, state: State
) -> None:
    said = datetime(2026, 10, 1, 9, tzinfo=UTC)
    entry = an_entry(Circuit.CASSETTE, State.DRAINED, at=said, evidence=evidence)
    before = an_entry(Circuit.CASSETTE, State.DRAINED, at=said - timedelta(hours=2))
    entries = (before, entry) if evidence is Evidence.PREDICTED else (entry,)
    one = water(*entries, now=said + timedelta(days=days))[Circuit.CASSETTE]
    assert one.state is state
    if state is State.UNKNOWN:
        assert one.evidence is Evidence.EXPIRED
        assert one.since == said
        assert one.by == "kit"


@pytest.mark.parametrize(
    ("seen", "now", "state"),
    [
        ("2026-08-31T23:50Z", "2026-08-31T23:59Z", "drained"),
        ("2026-08-31T23:50Z", "2026-09-01T00:00Z", "unknown"),
        ("2026-09-01T00:00Z", "2027-08-31T12:00Z", "drained"),
        ("2026-09-01T00:00Z", "2027-09-01T00:00Z", "unknown"),
        ("2026-05-24T00:00Z", "2026-12-01T07:40Z", "unknown"),
        ("2026-12-31T23:50Z", "2027-01-01T00:00Z", "drained"),
    ],
)
def test_every_statement_ends_with_the_season(seen: str, now: str, state: str) -> None:
    entry = an_entry(FRESH, at=datetime.fromisoformat(seen))
    assert water(entry, now=datetime.fromisoformat(now))[FRESH].state.value == state


@pytest.mark.parametrize(
    ("seen", "now", "state"),
    [
        ("2026-08-20T10:00Z", "2026-09-02T10:00Z", "drained"),  # late winter there
        ("2026-10-10T10:00Z", "2027-02-28T23:59Z", "drained"),
        ("2026-10-10T10:00Z", "2027-03-01T00:00Z", "unknown"),
        ("2027-03-01T00:00Z", "2027-08-31T12:00Z", "drained"),
    ],
)
def test_south_of_the_equator_the_season_begins_in_march(seen: str, now: str, state: str) -> None:
    entry = an_entry(FRESH, at=datetime.fromisoformat(seen))
    moment = datetime.fromisoformat(now)
    found = {w.circuit: w for w in water_of(VEHICLE, LAYOUT, [entry], moment, south=True)}[FRESH]
    assert found.state.value == state
    known = state == "drained"
    assert found.until == (ends_at(entry.at, Evidence.SEEN, south=True) if known else None)


def test_residue_after_moving_is_unknown_again_in_the_next_season() -> None:
    drained = an_entry(FRESH, hours_ago=48)
    moved = an_entry(FRESH, State.UNKNOWN, event="moved")
    next_winter = datetime(2027, 10, 1, tzinfo=UTC)
    assert water(drained, moved, now=next_winter)[FRESH].litres_cost_l == 90.0


@given(st.datetimes(timezones=st.just(UTC)), st.sampled_from(Evidence))
def test_a_statement_ends_after_it_was_made_and_within_a_year(
    since: datetime, evidence: Evidence
) -> None:
    assume(since.year < 9999)
    assert timedelta(0) < ends_at(since, evidence) - since <= timedelta(days=366)


# Happenings


@pytest.mark.parametrize("event", [e for e, effect in EFFECTS.items() if effect is Effect.REWETS])
def test_a_happening_that_rewets_makes_every_circuit_unknown_until_somebody_looks(
    event: str,
) -> None:
    drained = entries_for(LAYOUT, hours_ago=48)
    happened = an_entry(FRESH, State.UNKNOWN, hours_ago=24, event=event, by="jonas")
    after = water(*drained, happened)
    assert all(known(one)[:2] == ("unknown", "expired") for one in after.values())
    assert {one.by for one in after.values()} == {"jonas"}
    looked = water(*drained, happened, an_entry(FRESH, State.DRAINED, hours_ago=1))
    assert known(looked[FRESH]) == ("drained", "seen", 0.0, 0.0)
    assert looked[HEATER].state is State.UNKNOWN


def test_what_was_seen_at_the_happening_itself_counts() -> None:
    happened = an_entry(FRESH, State.FULL, event="demonstration")
    after = water(an_entry(HEATER, hours_ago=48), happened)
    assert known(after[FRESH]) == ("full", "seen", 90.0, 90.0)
    assert after[HEATER].state is State.UNKNOWN


def test_an_unknown_happening_counts_as_one_that_rewets() -> None:
    assert effect_of("demonstation") is Effect.REWETS
    assert effect_of("  Moved ") is Effect.MOVES
    assert effect_of("") is Effect.NONE


def test_what_is_said_anew_of_a_moment_that_was_taken_back_counts() -> None:
    drained = an_entry(state=State.DRAINED, at=NOW - timedelta(hours=2))
    back = replace(
        drained,
        state=State.UNKNOWN,
        event="taken back",
        received_at=drained.received_at + timedelta(minutes=1),
    )
    full = replace(drained, state=State.FULL, received_at=back.received_at + timedelta(minutes=1))
    before = an_entry(state=State.DRAINED, at=NOW - timedelta(days=3))

    assert water(before, drained, back)[drained.circuit].since == before.at
    assert water(before, drained, back, full)[drained.circuit].state is State.FULL
    back_again = replace(back, received_at=full.received_at + timedelta(minutes=1))
    assert water(before, drained, back, full, back_again)[drained.circuit].since == before.at


def test_moving_lets_residues_come_down_until_somebody_looks_again() -> None:
    drained = entries_for(LAYOUT, hours_ago=48)
    moved = an_entry(FRESH, State.UNKNOWN, hours_ago=24, event="moved")
    after = water(*drained, moved)
    assert known(after[FRESH]) == ("unknown", "expired", 1.0, 1.0)
    assert known(after[WASTE]) == ("unknown", "expired", 1.0, 1.0)
    assert after[Circuit.CASSETTE].state is State.DRAINED
    looked = water(*drained, moved, an_entry(FRESH, hours_ago=1, event="second look"))
    assert known(looked[FRESH]) == ("drained", "seen", 0.0, 0.0)


def test_moving_changes_nothing_where_water_was_known_to_stand() -> None:
    full = an_entry(FRESH, State.TRAVEL_LEVEL, hours_ago=48)
    moved = an_entry(FRESH, State.UNKNOWN, hours_ago=24, event="moved")
    assert known(water(full, moved)[FRESH]) == ("travel level", "seen", 20.0, 20.0)


def test_a_happening_and_a_look_of_the_same_minute_are_read_in_that_order() -> None:
    happened = an_entry(HEATER, State.UNKNOWN, event="leak test")
    looked = an_entry(FRESH, State.DRAINED)
    for rows in ((happened, looked), (looked, happened)):
        assert water(*rows)[FRESH].state is State.DRAINED


# Special circuits


def test_a_waste_valve_open_over_a_container_is_an_open_end_with_its_stub() -> None:
    after = water(an_entry(WASTE, State.OPEN_RUNNING))
    assert after[WASTE].open_end
    assert after[Circuit.OUTLET_STUB].open_end
    assert not after[Circuit.OUTLET_STUB].is_wet


def test_the_stub_goes_with_a_drained_waste_tank_unless_somebody_says_otherwise() -> None:
    drained = an_entry(WASTE, hours_ago=10)
    capped = an_entry(Circuit.OUTLET_STUB, State.FULL, hours_ago=5)
    assert known(water(drained)[Circuit.OUTLET_STUB]) == ("drained", "seen", 0.0, 0.0)
    assert known(water(drained, capped)[Circuit.OUTLET_STUB]) == ("full", "seen", 0.25, 0.25)
    older = an_entry(Circuit.OUTLET_STUB, State.FULL, hours_ago=50)
    assert water(drained, older)[Circuit.OUTLET_STUB].state is State.DRAINED


def test_the_stub_of_a_tank_with_water_in_it_stays_as_it_was() -> None:
    after = water(an_entry(WASTE, State.RESIDUAL, litres_l=4))
    assert after[Circuit.OUTLET_STUB].litres_cost_l == 0.25
    assert after[Circuit.OUTLET_STUB].state is State.UNKNOWN


@pytest.mark.parametrize(
    ("note", "pipes", "litres_l"),
    [
        ("", None, 10.0),
        ("taps shut", None, 10.0),
        ("Taps open, floor wet", None, 0.0),
        ("Hähne offen", None, 0.0),
        ("", State.DRAINED, 0.0),
        ("", State.FULL, 10.0),
    ],
)
def test_a_tripped_heater_tank_is_empty_only_if_the_taps_were_open(
    note: str, pipes: State | None, litres_l: float
) -> None:
    rows = [an_entry(HEATER, State.TRIPPED, note=note)]
    if pipes is not None:
        rows.append(an_entry(Circuit.HOT_PIPES, pipes, hours_ago=48))
    one = water(*rows)[HEATER]
    assert one.state is State.TRIPPED
    assert one.litres_cost_l == litres_l


def test_a_predicted_trip_is_shown_and_takes_no_water_away() -> None:
    full = an_entry(HEATER, State.FULL, hours_ago=48)
    open_taps = an_entry(Circuit.HOT_PIPES, hours_ago=48)
    guess = an_entry(HEATER, State.TRIPPED, evidence=Evidence.PREDICTED, by="frostwatch")
    one = water(full, open_taps, guess)[HEATER]
    assert known(one) == ("tripped", "predicted", 10.0, 10.0)


def test_a_predicted_trip_puts_no_water_into_a_drained_tank() -> None:
    guess = an_entry(HEATER, State.TRIPPED, evidence=Evidence.PREDICTED, by="frostwatch")
    assert not water(an_entry(HEATER, hours_ago=48), guess)[HEATER].is_wet


def test_a_prediction_may_add_water() -> None:
    guess = an_entry(FRESH, State.FULL, evidence=Evidence.PREDICTED, by="frostwatch")
    assert water(an_entry(FRESH, hours_ago=48), guess)[FRESH].litres_cost_l == 90.0


def test_the_hydronic_circuit_is_in_the_record_and_never_wet() -> None:
    vehicle, layout = a_vehicle(layout="large-a-class"), a_layout("large-a-class")
    dosed = an_entry(Circuit.HYDRONIC, State.DOSED, dose_fraction=0.4)
    for rows, state in (((), State.UNKNOWN), ((dosed,), State.DOSED)):
        by_circuit = {w.circuit: w for w in water_of(vehicle, layout, rows, NOW)}
        assert by_circuit[Circuit.HYDRONIC].state is state
        assert not by_circuit[Circuit.HYDRONIC].is_wet
    assert by_circuit[Circuit.HYDRONIC].glycol_volume_fraction == 0.4


def test_external_containers_hold_both_until_they_are_emptied() -> None:
    vehicle, layout = a_vehicle(layout="caravan-containers"), a_layout("caravan-containers")
    full, empty = an_entry(Circuit.CONTAINERS, State.FULL), an_entry(Circuit.CONTAINERS)
    for row, litres_l in ((full, 78.0), (empty, 0.0)):
        by_circuit = {w.circuit: w for w in water_of(vehicle, layout, [row], NOW)}
        assert by_circuit[Circuit.CONTAINERS].litres_cost_l == litres_l


# What an entry must be


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"at": NOW.replace(tzinfo=None)}, "has no time zone"),
        ({"litres_l": -1.0}, "litres is -1"),
        ({"litres_l": float("nan")}, "litres is nan"),
        ({"dose_fraction": 40.0}, "dose is 40"),
        ({"evidence": Evidence.EXPIRED}, "it follows from time"),
    ],
)
def test_an_entry_that_cannot_be_is_refused(changed: dict[str, object], said: str) -> None:
    with pytest.raises(RecordError, match=said):
        replace(an_entry(), **changed)  # type: ignore[arg-type]
