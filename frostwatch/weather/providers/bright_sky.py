"""Bright Sky: open data of the German weather service, for Germany and near."""

import time
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from urllib.parse import urlencode, urlsplit

from frostwatch.errors import SettingsError
from frostwatch.weather.asking import (
    Commercial,
    Fetched,
    Limit,
    Outcome,
    Parsed,
    Validators,
    distinct,
)
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure, Point
from frostwatch.weather.providers.bright_sky_reply import ATTRIBUTION, FARTHEST_M, NAME, parse
from frostwatch.weather.providers.http import Answer, Asker, UnreachableError, retry_after

PAST_H = 120
AHEAD_H = 168


class BrightSky:
    """Asks the hosted instance, or one of one's own.

    Args:
        user_agent: name and version of the program.
        base_url: scheme and host; "" for the hosted instance.
        pause_s: pause before a second try [s].
        sleep: how to wait.

    Raises:
        SettingsError: an address that is none.
    """

    name = NAME
    attribution: tuple[Attribution, ...] = ATTRIBUTION
    commercial = Commercial.YES
    max_batch = 1
    horizon_h = AHEAD_H
    refresh = timedelta(hours=3)
    limits: tuple[Limit, ...] = ()

    def __init__(
        self,
        *,
        user_agent: str,
        base_url: str = "",
        pause_s: float = 2.0,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        self._base_url = (base_url or "https://api.brightsky.dev").rstrip("/")
        host = urlsplit(self._base_url).hostname
        if not host or urlsplit(self._base_url).scheme not in ("http", "https"):
            raise SettingsError(
                f"weather.bright_sky: base_url is {base_url!r}; give scheme and host."
            )
        self.host = host
        self._ask = Asker(user_agent=user_agent, pause_s=pause_s, sleep=sleep)

    def weight(self, places: int) -> float:
        """One a place: every place is a request."""
        return float(places)

    def fetch(
        self,
        points: Sequence[Point],
        *,
        now: datetime,
        known: Mapping[str, Validators] | None = None,
    ) -> dict[str, Outcome]:
        """See ``Provider``. The server knows no conditional requests: ``known`` has no effect."""
        found: dict[str, Outcome] = {}
        for number, point in enumerate(distinct(points)):
            if number:
                self._ask.pause()
            found[point.key] = self._one(point, now)
        return found

    def parse(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        """See ``Parser``."""
        return parse(body, points, fetched_at)

    def url(self, point: Point, now: datetime) -> str:
        """Address of the request for a place."""
        hour = now.replace(minute=0, second=0, microsecond=0)
        query = {
            "lat": f"{point.latitude_deg:g}",
            "lon": f"{point.longitude_deg:g}",
            "date": (hour - timedelta(hours=PAST_H)).isoformat(),
            "last_date": (hour + timedelta(hours=AHEAD_H)).isoformat(),
            "tz": "Etc/UTC",
            "units": "si",
            "max_dist": f"{FARTHEST_M:.0f}",
        }
        return f"{self._base_url}/weather?{urlencode(query)}"

    def _one(self, point: Point, now: datetime) -> Outcome:
        try:
            answer = self._ask.get(
                self.url(point, now), complete=lambda body: body.rstrip().endswith(b"}")
            )
        except UnreachableError as trouble:
            return _failure(FailureKind.UNREACHABLE, str(trouble))
        if answer.status != 200:
            return _refusal(answer, now)
        parsed = parse(answer.body, [point], now)[point.key]
        if isinstance(parsed, FetchFailure):
            return parsed
        return Fetched(forecast=parsed, payload=answer.body)


def _failure(kind: FailureKind, words: str, retry_at: datetime | None = None) -> FetchFailure:
    return FetchFailure(kind=kind, message=f"Bright Sky: {words}", retry_at=retry_at)


def _refusal(answer: Answer, now: datetime) -> FetchFailure:
    words = f"HTTP {answer.status}: {answer.words}"
    if answer.status == 404:
        return _failure(FailureKind.NOT_COVERED, words, now + timedelta(hours=24))
    if answer.status == 429:
        return _failure(FailureKind.THROTTLED, words, retry_after(answer, now))
    if answer.status >= 499:
        return _failure(FailureKind.UNREACHABLE, words, retry_after(answer, now))
    return _failure(FailureKind.REFUSED, words, now + timedelta(hours=1))
