"""Two simulated days: what a thousand sites cost, and a day on which the first provider is down."""

from datetime import UTC, datetime, timedelta
from itertools import count

import numpy as np
import pytest

from frostwatch.weather.cache import MemoryReplies, WeatherCache
from frostwatch.weather.forecast import (
    FailureKind,
    FetchFailure,
    Forecast,
    point_for,
    standing,
)
from frostwatch.weather.site_air import air_at_site
from tests.weather.fake_providers import DOWN, FakeProvider
from tests.weather.made import made_forecasts
from tests.weather.observed import new_york
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


class Newark(FakeProvider):
    """Forecasts of one observed night at Newark, each arriving at its hour."""

    def __init__(self, name: str, frames: dict[datetime, Forecast]) -> None:
        super().__init__(name, max_batch=1)
        self._frames = frames

    def parse(self, body, points, fetched_at):  # type: ignore[no-untyped-def]
        at = max(moment for moment in self._frames if moment <= fetched_at)
        frame = self._frames[at]
        return {
            point.key: Forecast(
                start=frame.start,
                columns=frame.columns,
                provider=self.name,
                fetched_at=fetched_at,
                height_m=0.0,
                attribution=self.attribution,
            )
            for point in points
        }


def newark_frames(seed: int, first: datetime, last: datetime) -> dict[datetime, Forecast]:
    observed = new_york("EWR")
    issues = made_forecasts(
        observed, np.random.default_rng(seed), first=first, last=last, every_h=1
    )
    return {
        issue.at: Forecast(
            start=issue.at - timedelta(hours=120),
            columns={"air_c": issue.air_c, "wind_m_per_s": np.full(len(issue.air_c), 3.0)},
            provider="made",
            fetched_at=issue.at,
        )
        for issue in issues
    }


FROST_EVENINGS = [
    datetime(2013, month, day, tzinfo=UTC)
    for month, day in (
        (1, 17),
        (1, 20),
        (1, 21),
        (2, 1),
        (2, 4),
        (2, 9),
        (2, 16),
        (1, 24),
        (12, 12),
    )
]


@pytest.mark.parametrize("evening", FROST_EVENINGS, ids=lambda day: f"{day:%d %b}")
def test_with_the_first_provider_down_all_afternoon_every_frost_is_still_known(
    evening: datetime,
) -> None:
    """First provider down from 14:00 to 23:00 local, the second answers every other time. Real
    nights of Newark 2013 that fell below -2 degC: at every hourly pass the frame is usable and no
    older than half a day, and the members give the frost far more than any cost ratio."""
    observed = new_york("EWR")
    begin, end = evening + timedelta(hours=19), evening + timedelta(hours=28)
    night = slice(observed.index_at(end), observed.index_at(end) + 10)
    assert observed.air_c[night].min() < -2.0
    span = (evening + timedelta(hours=5), evening + timedelta(hours=34))
    first = Newark("first", newark_frames(1, *span))
    second = Newark("second", newark_frames(2, *span))
    first.trouble = lambda moment, _: DOWN if begin <= moment < end else None
    turns = count()
    second.trouble = lambda _, __: DOWN if next(turns) % 2 == 0 else None
    cache = WeatherCache([first, second], MemoryReplies(), sleep=lambda _: None)
    used = set()
    for hour in range(6, 32):
        now = evening + timedelta(hours=hour, minutes=5)
        found = cache.at([HERE], now)[HERE.key]
        assert isinstance(found, Forecast), found
        known = standing(found, now)
        assert known.usable
        assert known.age_h <= 12.0
        used.add(found.provider)
        if hour < 14:
            continue
        air = air_at_site(
            found, site_key="yard", now=now, height_m=0.0, lie_offset_k=0.0, shelter_factor=0.5
        )
        ahead = air.air_c[:, air.now_index : air.now_index + 24]
        assert (ahead.min(axis=1) < 0.0).mean() > 0.5
    assert used == {"first", "second"}


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
