"""The hour to work to, and the slots it comes from."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.advice.act_by import SETTING_OUT, act_by, last_slot_before, plan_for
from frostwatch.advice.daylight import Span

DAY = datetime(2026, 12, 2, tzinfo=UTC)
HOUR = timedelta(hours=1)


def at(hour: float, day: int = 0) -> datetime:
    return DAY + timedelta(days=day, hours=hour)


WED = Span(at(8.25), at(15.6))
THU = Span(at(8.25, 1), at(15.6, 1))
TUESDAY_MORNING = at(-16.33)


@pytest.mark.parametrize(
    ("earliest", "now", "job_min", "travel_min", "expected"),
    [
        # the slot ends before anything freezes: its end, on the half hour
        (at(22), at(-0.5), 26.0, 0.0, at(15.5)),
        (None, at(-0.5), 26.0, 0.0, at(15.5)),
        # 3 h of margin, job and travel before the frost
        (at(18), at(-0.5), 30.0, 30.0, at(14)),
        # the slot allows less margin than 3 h: as much as it has
        (at(11), at(-0.5), 75.0, 30.0, at(9.5)),
        (at(10), at(-0.5), 60.0, 0.0, at(9.25)),
        # no time for the work before the frost: no hour at all
        (at(9), at(-0.5), 60.0, 0.0, None),
        # the slot has begun and what is left of it is too short
        (at(22), at(15), 60.0, 0.0, None),
        # the way is longer than what is left
        (at(22), at(13), 60.0, 120.0, None),
    ],
)
def test_the_act_by_hour_is_pulled_back_into_the_slot(
    earliest: datetime | None,
    now: datetime,
    job_min: float,
    travel_min: float,
    expected: datetime | None,
) -> None:
    found = act_by(WED, earliest, now, travel_min=travel_min, job_min=job_min)
    assert found == expected


@given(
    earliest_h=st.floats(0.0, 60.0),
    now_h=st.floats(-24.0, 15.0),
    job_min=st.floats(1.0, 240.0),
    travel_min=st.floats(0.0, 180.0),
)
def test_an_act_by_hour_is_always_one_the_slot_meets(
    earliest_h: float, now_h: float, job_min: float, travel_min: float
) -> None:
    earliest, now = at(earliest_h), at(now_h)
    found = act_by(WED, earliest, now, travel_min=travel_min, job_min=job_min)
    begin = max(WED.start, now + SETTING_OUT + timedelta(minutes=travel_min))
    if found is None:
        assert begin + timedelta(minutes=job_min) > min(WED.end, earliest) - timedelta(seconds=1)
    else:
        assert begin + timedelta(minutes=job_min) <= found <= min(WED.end, earliest)


def test_an_act_by_hour_leaves_time_to_set_out_even_if_the_work_is_short() -> None:
    # read at 08:15 in the middle of the slot, seven minutes of work, ice from 09:00 on
    found = act_by(WED, at(9), at(8.25), travel_min=0.0, job_min=7.0)
    assert found == at(8) + timedelta(minutes=55)
    # ice from 08:45 on: what is left is no hour to work to
    assert act_by(WED, at(8.75), at(8.25), travel_min=0.0, job_min=20.0) is None


def test_the_plan_is_the_coming_slot_and_the_one_after() -> None:
    plan = plan_for([WED, THU], TUESDAY_MORNING, travel_min=30.0, job_min=45.0)
    assert (plan.slot, plan.after) == (WED, THU)
    assert plan.ready_at == at(9)


def test_a_slot_too_short_for_the_work_is_passed_over() -> None:
    short = Span(at(8), at(8.5))
    plan = plan_for([short, WED, THU], TUESDAY_MORNING, travel_min=0.0, job_min=75.0)
    assert plan.slot == WED


def test_without_slots_there_is_no_plan() -> None:
    plan = plan_for([], TUESDAY_MORNING, travel_min=0.0, job_min=75.0)
    assert (plan.slot, plan.ready_at) == (None, None)


def test_the_last_slot_before_a_moment_leaves_time_for_the_work() -> None:
    slots = [WED, THU]
    assert last_slot_before(slots, at(22), at(-10), travel_min=0.0, job_min=60.0) == WED
    assert last_slot_before(slots, at(9, 1), at(-10), travel_min=0.0, job_min=60.0) == WED
    assert last_slot_before(slots, at(10, 1), at(-10), travel_min=0.0, job_min=60.0) == THU
    assert last_slot_before(slots, at(5), at(-10), travel_min=0.0, job_min=60.0) is None
