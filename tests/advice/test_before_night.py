"""The night that counts as frost, and the working hours that are left before it."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.advice.before_night import before_night
from frostwatch.advice.slots import Diary
from tests.builders import a_drive, a_site, an_operator

DIARY = Diary(person=an_operator(), site=a_site())


def at(day: int, hour: int, minute: int = 0) -> datetime:
    """A moment of December 2026; the fifth is a Saturday."""
    return datetime(2026, 12, day, hour, minute, tzinfo=ZoneInfo("Europe/London"))


def test_on_a_working_day_the_hours_before_dusk_are_left() -> None:
    found = before_night(DIARY, at(4, 12))
    assert found.slot is not None
    assert found.slot.start == at(4, 12)
    assert found.slot.end <= found.night.start < at(4, 16)
    assert not found.begun


@pytest.mark.parametrize("day", [5, 6])
def test_on_a_day_off_no_working_hour_is_left_although_monday_has_some(day: int) -> None:
    found = before_night(DIARY, at(day, 10))
    assert found.slot is None
    assert not found.begun


@pytest.mark.parametrize(("day", "hour"), [(4, 16), (4, 23), (5, 3)])
def test_once_it_is_dark_no_hour_is_left(day: int, hour: int) -> None:
    found = before_night(DIARY, at(day, hour))
    assert found.begun
    assert found.slot is None
    assert found.night.start <= at(day, hour) < found.night.end


def test_from_the_first_reading_of_a_working_day_tonight_is_the_coming_night() -> None:
    found = before_night(DIARY, at(7, 7, 40))
    assert found.slot is not None
    assert at(7, 8) <= found.slot.start < found.night.start


@given(st.integers(0, 240 * 24 * 4))
@settings(max_examples=60, deadline=None)
def test_what_is_left_lies_between_now_and_the_night(quarters: int) -> None:
    moment = datetime(2026, 9, 1, tzinfo=UTC) + timedelta(minutes=15 * quarters)
    for diary in (DIARY, Diary(person=an_operator("maelle"), site=a_drive())):
        found = before_night(diary, moment)
        assert found.begun == (found.night.start <= moment)
        assert moment < found.night.end
        if found.slot is not None:
            assert moment <= found.slot.start < found.slot.end <= found.night.start
