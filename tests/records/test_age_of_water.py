"""How old the water is: what is new, and what only was said once more."""

from datetime import datetime, timedelta

import pytest

from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater, water_of
from tests.builders import NOW, a_layout, a_vehicle, an_entry

WASTE = Circuit.WASTE_TANK


def water(*entries: Entry, now: datetime = NOW) -> dict[Circuit, CircuitWater]:
    return {one.circuit: one for one in water_of(a_vehicle(), a_layout(), entries, now)}


def filled_at(*entries: Entry, now: datetime = NOW) -> datetime | None:
    return water(*entries, now=now)[WASTE].filled_at


def hours_before(hours: float) -> datetime:
    return NOW - timedelta(hours=hours)


def test_a_word_that_it_is_still_full_makes_no_new_water() -> None:
    emptied = an_entry(WASTE, State.DRAINED, hours_ago=90)
    full = an_entry(WASTE, State.FULL, hours_ago=60)
    again = an_entry(WASTE, State.FULL, hours_ago=5, by="marek")
    fewer = an_entry(WASTE, State.PART_FULL, hours_ago=3, litres_l=40.0)
    assert filled_at(emptied, full, again) == hours_before(60)
    assert filled_at(emptied, full, again, fewer) == hours_before(60)


def test_water_nobody_saw_come_may_have_stood_there_all_along() -> None:
    assert filled_at() is None
    assert filled_at(an_entry(WASTE, State.FULL, hours_ago=5)) is None


@pytest.mark.parametrize(("litres", "is_new"), [(45.0, False), (80.0, True)])
def test_more_than_people_guess_at_a_tank_is_new_water(litres: float, *, is_new: bool) -> None:
    before = an_entry(WASTE, State.PART_FULL, hours_ago=60, litres_l=40.0)
    after = an_entry(WASTE, State.PART_FULL, hours_ago=5, litres_l=litres)
    assert filled_at(before, after) == (hours_before(5) if is_new else None)


@pytest.mark.parametrize(
    ("event", "is_new"),
    [
        ("filling", True),
        ("trip", True),
        ("demonstration", True),
        ("keeper change", False),
        ("service", False),
        ("no such word", False),
        ("round", False),
    ],
)
def test_only_a_happening_in_which_water_runs_makes_it_new(event: str, *, is_new: bool) -> None:
    before = an_entry(WASTE, State.FULL, hours_ago=60)
    after = an_entry(WASTE, State.FULL, hours_ago=5, event=event)
    assert filled_at(before, after) == (hours_before(5) if is_new else None)


def test_a_happening_on_a_drained_vehicle_may_have_brought_water_just_then() -> None:
    drained = an_entry(WASTE, State.DRAINED, hours_ago=60)
    service = an_entry(WASTE, State.UNKNOWN, hours_ago=5, event="service")
    assert filled_at(drained, service) == hours_before(5)


def test_a_word_put_right_within_minutes_fills_no_tank() -> None:
    full = an_entry(WASTE, State.FULL, hours_ago=60, event="filling")
    wrong = an_entry(WASTE, State.DRAINED, hours_ago=5)
    right = an_entry(WASTE, State.FULL, hours_ago=4.8)
    assert filled_at(full, wrong, right) == hours_before(60)
    other = an_entry(WASTE, State.FULL, hours_ago=4.8, by="marek")
    assert filled_at(full, wrong, other) == hours_before(60)


def test_a_record_that_runs_out_keeps_the_age_of_the_water() -> None:
    full = an_entry(WASTE, State.FULL, hours_ago=60, event="filling", evidence=Evidence.ASSERTED)
    expired = water(full, now=NOW + timedelta(days=100))[WASTE]
    assert (expired.state, expired.filled_at) == (State.UNKNOWN, hours_before(60))
