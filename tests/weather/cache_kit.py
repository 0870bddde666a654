"""A weather cache over fakes, for the tests of what it asks and hands out."""

from collections.abc import Callable, Mapping
from datetime import datetime

from frostwatch.weather.cache import MemoryReplies, WeatherCache
from frostwatch.weather.forecast import (
    Forecast,
    Point,
    point_for,
)
from frostwatch.weather.manners import MemoryAttempts
from tests.weather.fake_providers import FakeProvider

HERE = point_for(54.4, -2.9, 125.0)
Clock = Callable[[float], datetime]


def places(count: int) -> list[Point]:
    return [point_for(45.0 + n * 0.01, 7.0, 100.0) for n in range(count)]


class Kit:
    """A cache over fakes; ``naps`` are the pauses it made."""

    def __init__(self, *providers: FakeProvider, ensemble: FakeProvider | None = None) -> None:
        self.naps: list[float] = []
        self.replies = MemoryReplies()
        self.attempts = MemoryAttempts()
        self.cache = WeatherCache(
            providers,
            self.replies,
            ensemble=ensemble,
            attempts=self.attempts,
            sleep=self.naps.append,
        )

    def at(self, now: datetime, points: list[Point] | None = None) -> Mapping[str, object]:
        return self.cache.at(points or [HERE], now)

    def forecast(self, now: datetime) -> Forecast:
        found = self.cache.at([HERE], now)[HERE.key]
        assert isinstance(found, Forecast), found
        return found
