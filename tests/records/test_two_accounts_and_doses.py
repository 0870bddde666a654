"""Two people who differ about the same water, and doses; common practice, no source."""

from datetime import timedelta

import pytest

from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater
from tests.builders import NOW, an_entry
from tests.records.standing import FRESH, TRAPS, WASTE, known, water

# Two people


def two_people(minutes: float, first: State, then: State, event: str = "") -> CircuitWater:
    full = an_entry(FRESH, first, by="kit", at=NOW - timedelta(hours=1))
    other = an_entry(
        FRESH,
        then,
        by="marek",
        at=NOW - timedelta(hours=1) + timedelta(minutes=minutes),
        event=event,
    )
    return water(full, other)[FRESH]


@pytest.mark.parametrize(
    ("minutes", "first", "then", "state"),
    [
        (10, State.FULL, State.DRAINED, State.UNKNOWN),
        (10, State.DRAINED, State.FULL, State.UNKNOWN),
        (30, State.FULL, State.DRAINED, State.UNKNOWN),
        (31, State.FULL, State.DRAINED, State.DRAINED),
        (10, State.DRAINED, State.DRY_NEW, State.DRY_NEW),
        (10, State.FULL, State.TRAVEL_LEVEL, State.UNKNOWN),
        (10, State.RESIDUAL, State.OPEN_RUNNING, State.OPEN_RUNNING),
        (10, State.UNKNOWN, State.DRAINED, State.DRAINED),
        (10, State.DOSED, State.FULL, State.UNKNOWN),
    ],
)
def test_two_people_who_contradict_each_other_within_half_an_hour_make_it_unknown(
    minutes: float, first: State, then: State, state: State
) -> None:
    one = two_people(minutes, first, then)
    assert one.state is state
    assert one.by == ("kit, marek" if state is State.UNKNOWN else "marek")


@pytest.mark.parametrize("event", ["drain-down", "answer"])
def test_work_done_right_after_a_look_is_no_contradiction(event: str) -> None:
    one = two_people(10, State.FULL, State.DRAINED, event=event)
    assert known(one) == ("drained", "seen", 0.0, 0.0)


def test_a_look_that_contradicts_work_just_done_makes_it_unknown() -> None:
    drained = an_entry(FRESH, by="kit", event="drain-down", at=NOW - timedelta(minutes=20))
    full = an_entry(FRESH, State.FULL, by="marek", at=NOW - timedelta(minutes=5))
    assert water(drained, full)[FRESH].by == "kit, marek"


def test_one_person_may_change_his_mind() -> None:
    full = an_entry(FRESH, State.FULL, at=NOW - timedelta(minutes=20))
    drained = an_entry(FRESH, State.DRAINED, at=NOW - timedelta(minutes=10))
    assert water(full, drained)[FRESH].state is State.DRAINED


def test_a_contradiction_is_settled_when_the_other_agrees() -> None:
    rows = (
        an_entry(FRESH, State.FULL, by="kit", at=NOW - timedelta(minutes=60)),
        an_entry(FRESH, State.DRAINED, by="marek", at=NOW - timedelta(minutes=50)),
        an_entry(FRESH, State.DRAINED, by="kit", at=NOW - timedelta(minutes=45)),
    )
    assert water(*rows)[FRESH].state is State.DRAINED


# Doses


@pytest.mark.parametrize(
    ("before", "poured_l", "dose", "share", "litres_l"),
    [
        (State.DRAINED, 0.75, 0.50, 0.227, 0.9),
        (State.DRAINED, None, 0.18, 0.18, 0.9),
        (State.UNKNOWN, 1.5, 0.50, 0.3125, 0.9),
        (State.DRAINED, 0.0, 0.50, 0.0, 0.9),
    ],
)
def test_a_dose_in_the_traps_is_diluted_by_what_never_drains(
    before: State, poured_l: float | None, dose: float, share: float, litres_l: float
) -> None:
    """c' = c Va / (Va + Vr) with 0.3 L in each of three traps."""
    one = water(
        an_entry(TRAPS, before, hours_ago=48),
        an_entry(TRAPS, State.DOSED, litres_l=poured_l, dose_fraction=dose),
    )[TRAPS]
    assert one.glycol_volume_fraction == pytest.approx(share, abs=0.001)
    assert one.litres_cost_l == pytest.approx(litres_l)


def test_a_second_dose_adds_to_the_first() -> None:
    first = an_entry(TRAPS, State.DOSED, hours_ago=2, litres_l=0.9, dose_fraction=0.5)
    second = an_entry(TRAPS, State.DOSED, hours_ago=1, litres_l=0.9, dose_fraction=0.5)
    one = water(an_entry(TRAPS, hours_ago=3), first, second)[TRAPS]
    assert one.glycol_volume_fraction == pytest.approx(0.375)


def test_a_small_dose_in_a_tank_nobody_knows_is_next_to_nothing() -> None:
    one = water(an_entry(WASTE, State.DOSED, litres_l=1.0, dose_fraction=0.5))[WASTE]
    assert one.glycol_volume_fraction == pytest.approx(0.5 / 91.0)
    assert one.litres_cost_l == 90.0


def test_a_dose_of_unknown_strength_counts_as_water() -> None:
    one = water(an_entry(TRAPS, State.DOSED))[TRAPS]
    assert one.glycol_volume_fraction == 0.0
    assert one.is_wet


def test_a_re_wetting_takes_the_dose_away() -> None:
    dosed = an_entry(TRAPS, State.DOSED, dose_fraction=0.4, hours_ago=48)
    hired = an_entry(TRAPS, State.UNKNOWN, event="hire")
    assert water(dosed, hired)[TRAPS].glycol_volume_fraction == 0.0
