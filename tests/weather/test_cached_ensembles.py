"""Spread and members beside the forecast: asked seldom, where they matter, and never missed."""

from datetime import datetime, timedelta
from typing import Any

from frostwatch.weather.asking import Limit
from frostwatch.weather.cache import MemoryReplies, WeatherCache, place_view
from frostwatch.weather.forecast import (
    FailureKind,
    FetchFailure,
    Forecast,
    Point,
    standing,
)
from frostwatch.weather.manners import MemoryAttempts
from tests.weather.cache_kit import HERE, Clock, Kit, places
from tests.weather.fake_providers import DOWN, FREE_LIMITS, FakeProvider


def test_spread_is_asked_twice_a_day_and_laid_beside(now: datetime, later: Clock) -> None:
    ensemble = FakeProvider("spread", refresh_h=12.0, air_c=8.0)
    ensemble.spread_k = 2.5
    kit = Kit(FakeProvider(), ensemble=ensemble)
    for hour in range(24):
        forecast = kit.forecast(later(hour))
    assert len(ensemble.requests) == 2
    assert forecast.columns["air_spread_k"][130] == 2.5
    assert {one.text for one in forecast.attribution} == {"Data: first", "Data: spread"}


def test_an_ensemble_that_is_down_costs_nothing_but_itself(now: datetime) -> None:
    ensemble = FakeProvider("spread", refresh_h=12.0)
    ensemble.trouble = lambda _, __: DOWN
    assert "air_spread_k" not in Kit(FakeProvider(), ensemble=ensemble).forecast(now).columns


def test_an_ensemble_that_is_refused_leaves_the_forecast_fresh_and_is_said_once(
    now: datetime, later: Clock, log_lines: list[Any]
) -> None:
    plan = FetchFailure(
        kind=FailureKind.REFUSED, message="plan too small", retry_at=now + timedelta(days=1)
    )
    first = FakeProvider("first", air_c=2.0, limits=FREE_LIMITS, host="one.example")
    ensemble = FakeProvider("spread", refresh_h=12.0, host="one.example")
    ensemble.trouble = lambda _, __: plan
    kit = Kit(first, ensemble=ensemble)
    for hour in range(24):
        assert standing(kit.forecast(later(hour)), later(hour)).age_h == 0.0
    assert len(ensemble.requests) == 1
    assert [line["event"] for line in log_lines] == ["no ensemble"]
    assert log_lines[0]["cause"] == "plan too small"


def test_another_process_sees_why_there_is_no_ensemble(now: datetime) -> None:
    ensemble = FakeProvider("spread", refresh_h=12.0)
    ensemble.trouble = lambda _, __: DOWN
    kit = Kit(FakeProvider(), ensemble=ensemble)
    kit.at(now)
    other = WeatherCache(kit.cache.providers, kit.replies, ensemble=ensemble, attempts=kit.attempts)
    view = place_view(other, HERE, now)
    assert [each.last_failure for each in view.providers] == [None, DOWN]


class Ensembles:
    """A cache that may ask for mean and spread, or for members at four times the weight."""

    def __init__(self, first: FakeProvider, limits: tuple[Limit, ...] = ()) -> None:
        self.spread = FakeProvider("spread", refresh_h=12.0, host=first.host, limits=limits)
        self.members = FakeProvider(
            "members", refresh_h=12.0, host=first.host, limits=limits, weight=4.0
        )
        self.spread.spread_k, self.members.spread_k = 2.0, 3.0
        self.attempts = MemoryAttempts()
        self.cache = WeatherCache(
            [first],
            MemoryReplies(),
            ensemble=self.spread,
            members=self.members,
            attempts=self.attempts,
            sleep=lambda _: None,
        )

    def spread_k(self, point: Point, now: datetime) -> float:
        frame = self.cache.at([point], now)[point.key]
        assert isinstance(frame, Forecast)
        return float(frame.columns["air_spread_k"][130])


def test_members_are_asked_only_where_a_cold_night_lies_ahead(now: datetime, later: Clock) -> None:
    cold, mild = places(2)
    first = FakeProvider("first", air_c=4.0)
    kit = Ensembles(first)
    assert kit.spread_k(cold, now) == 3.0
    first.air_c = 9.0
    kit.cache.at([cold, mild], later(1))
    assert [keys for _, keys in kit.members.requests] == [[cold.key]]
    assert [keys for _, keys in kit.spread.requests] == [[mild.key]]
    assert kit.spread_k(cold, later(13)) == 2.0, "the newer of the two holds"


def test_where_members_cannot_be_had_mean_and_spread_stand_in(now: datetime) -> None:
    kit = Ensembles(FakeProvider("first", air_c=4.0))
    kit.members.trouble = lambda _, __: DOWN
    assert kit.spread_k(HERE, now) == 2.0


def test_members_are_left_to_the_coldest_places_where_many_share_the_limit(now: datetime) -> None:
    """100 places: 8 forecasts and 2 spreads each leave 300 of the 13 % of a day's 10,000."""
    points = places(100)
    midnight = now.replace(hour=0, minute=0)
    first = FakeProvider("first", limits=FREE_LIMITS)
    first.air_at = lambda point: 3.2 + 0.01 * points.index(point)
    kit = Ensembles(first, limits=FREE_LIMITS)
    kit.cache.at(points, midnight)
    (asked,) = [keys for _, keys in kit.members.requests]
    assert asked == [point.key for point in points[:75]]
    assert [len(keys) for _, keys in kit.spread.requests] == [25]
