"""What there is to do at a vehicle and how long it takes, where not all of it is known."""

from datetime import UTC, datetime, timedelta

import pytest

from frostwatch.advice.jobs import all_unknown, job_of, minutes_of, still_wet
from frostwatch.fleet.people import Duty
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater, water_of
from tests.builders import a_layout, a_vehicle, an_entry, entries_for

DRAINED = datetime(2026, 11, 14, 10, 45, tzinfo=UTC)
MOVED = datetime(2026, 11, 27, 13, 20, tzinfo=UTC)
LOOKED = datetime(2026, 11, 30, 15, tzinfo=UTC)
NOW = datetime(2026, 12, 1, 7, 40, tzinfo=UTC)


def wet_of(*entries: Entry) -> tuple[CircuitWater, ...]:
    return still_wet(water_of(a_vehicle(), a_layout(), entries, NOW))


def drained() -> tuple[Entry, ...]:
    return entries_for(a_layout(), at=DRAINED)


def a_dose(circuit: Circuit = Circuit.TRAPS) -> Entry:
    return an_entry(
        circuit=circuit, state=State.DOSED, dose_fraction=0.35, at=DRAINED, event="dosing"
    )


def a_move() -> Entry:
    return an_entry(circuit=Circuit.FRESH_TANK, state=State.UNKNOWN, event="moved", at=MOVED)


def test_done_covers_what_was_wet_then_and_not_what_ran_out_since() -> None:
    season_ends = datetime(2026, 9, 1, tzinfo=UTC)
    at = season_ends - timedelta(days=2)
    full = entries_for(a_layout(), State.FULL, at=at - timedelta(hours=1))
    done = entries_for(a_layout(), at=at, event="answer", evidence=Evidence.ASSERTED)

    def wet(now: datetime, *entries: Entry) -> tuple[CircuitWater, ...]:
        return still_wet(water_of(a_vehicle(), a_layout(), entries, now), done_at=at)

    assert not wet(at + timedelta(hours=1), *full)
    assert not wet(at + timedelta(hours=1), *full, *done)
    assert len(wet(season_ends + timedelta(hours=1), *full, *done)) == len(done)


def test_moved_after_draining_is_a_look_though_the_dose_in_its_traps_is_known() -> None:
    wet = wet_of(*drained(), a_dose(), a_move())
    assert Circuit.TRAPS in {entry.circuit for entry in wet}
    assert all_unknown(wet)
    assert job_of(wet) is Job.LOOK
    # common practice, no source: an unknown vehicle is answered in 5 minutes, by its owner in 15
    assert minutes_of(wet, Duty.CREW) == 5.0
    assert minutes_of(wet, Duty.OWNER) == 15.0


def test_a_dose_alone_is_not_unknown() -> None:
    assert not all_unknown(wet_of(*drained(), a_dose()))


def test_known_water_beside_an_unknown_tank_is_the_job_and_the_look_comes_on_top() -> None:
    waste = an_entry(circuit=Circuit.WASTE_TANK, state=State.PART_FULL, litres_l=4.0, at=LOOKED)
    wet = wet_of(waste)
    assert not all_unknown(wet)
    assert job_of(wet) is Job.DRAIN_REST
    assert minutes_of(wet, Duty.CREW) == pytest.approx(7.0 + 5.0)


def test_a_known_full_tank_is_drained_whatever_else_is_unknown() -> None:
    wet = wet_of(an_entry(circuit=Circuit.FRESH_TANK, state=State.FULL, at=LOOKED))
    assert job_of(wet) is Job.DRAIN_FULLY
    # 18 min, and 8 more for waste that may fill a container (estimates of the trade)
    assert minutes_of(wet, Duty.CREW) == 18.0 + 8.0
