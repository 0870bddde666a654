"""Simulated days: what a thousand sites cost, and days on which every provider is down."""

from datetime import timedelta

import pytest

from frostwatch.weather.cache import MemoryReplies, WeatherCache
from frostwatch.weather.forecast import (
    FailureKind,
    FetchFailure,
    Forecast,
    point_for,
    standing,
)
from tests.weather.fake_providers import FakeProvider
from tests.weather.simulated import DAY, day_of_requests


@pytest.mark.parametrize(("air_c", "weight", "requests"), [(8.0, 1200.0, 20), (4.0, 1293.0, 21)])
def test_a_thousand_sites_at_120_places_cost_at_most_1300_and_25_requests_a_day(
    air_c: float, weight: float, requests: int
) -> None:
    """Ten refreshes a place: eight forecasts and two ensembles, one pass an hour at five past.

    On the mild day mean and spread alone; on the cool one members too, for as many places as the
    day's room for extras bears."""
    day = day_of_requests(air_c)
    assert all(isinstance(one, Forecast) for one in day.found)
    assert day.places_asked / 120 == 10.0
    assert (day.weight, day.requests) == (weight, requests)
    assert day.weight <= 1300.0
    assert day.requests <= 25


def test_before_a_frost_every_place_is_asked_hourly_and_still_stays_under_the_limits() -> None:
    """26 a place and day as computed from the formula: 120 places 3,120 of 10,000."""
    day = day_of_requests(-2.0)
    assert day.weight <= 26 * 120 + 100
    assert day.weight <= 0.8 * 10_000


def test_the_first_day_also_asks_how_high_the_ground_of_the_model_is() -> None:
    first = day_of_requests(8.0, days_before=0)
    assert first.weight == 1200.0 + 2 * 120
    assert first.requests == 20 + 3


HERE = point_for(40.69, -74.17, 0.0)


def test_with_every_provider_down_the_operator_learns_it_after_thirty_hours_and_not_later() -> None:
    first, second = FakeProvider("first"), FakeProvider("second")
    refused = FetchFailure(kind=FailureKind.REFUSED, message="key expired")
    cache = WeatherCache([first, second], MemoryReplies(), sleep=lambda _: None)
    cache.at([HERE], DAY)
    first.trouble = second.trouble = lambda _, __: refused
    usable = []
    for hour in range(1, 40):
        now = DAY + timedelta(hours=hour)
        found = cache.at([HERE], now)[HERE.key]
        usable.append(isinstance(found, Forecast) and standing(found, now).usable)
    assert usable == [True] * 30 + [False] * 9
