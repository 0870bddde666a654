"""An Open-Meteo server: who may ask it, what a call weighs, what its refusals mean.

Hosts, limits and errors: open-meteo.com documentation and the server's source, August 2026.
"""

import json
import re
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta
from functools import partial
from typing import Any
from urllib.parse import urlsplit

from frostwatch.errors import SettingsError
from frostwatch.weather.asking import (
    Commercial,
    Fetched,
    Limit,
    Outcome,
    Parser,
    Use,
    batches,
    distinct,
    spread,
)
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point
from frostwatch.weather.providers.http import Answer, Asker, UnreachableError, retry_after
from frostwatch.weather.providers.open_meteo_reply import dump, elements, reason_of, whole

Splitter = Callable[[bytes, Sequence[Point]], dict[str, Any] | FetchFailure]

FREE_LIMITS = (
    Limit(every=timedelta(minutes=1), weight=600.0),
    Limit(every=timedelta(hours=1), weight=5_000.0),
    Limit(every=timedelta(days=1), weight=10_000.0),
)
"""Published limits of the free host, per address."""
MOST_PLACES = 100
"""Places in one address: 2 kB of it; a thousand would be 20 kB."""
MOST_REQUESTS_FOR_A_BAD_PLACE = 16

NOT_FOR_BUSINESS = (
    "weather.open_meteo: use is commercial, and the free host is for non-commercial use only. "
    "Three ways out: set api_key to a customer key; set base_url to a server of your own; or make "
    "met-norway the provider."
)


def call_weight(variables: int, days: float) -> float:
    """Weight of one place by the published formula: max(1, v/10, v/10 * days/14)."""
    return max(1.0, variables / 10.0, variables / 10.0 * days / 14.0)


class OpenMeteoServer:
    """One server and the manners it asks for.

    Args:
        api: first part of the public host's name, such as ``"api"`` or ``"ensemble-api"``.
        user_agent: name and version of the program.
        use: what the operator declares.
        base_url: scheme and host of the server; "" for the public one.
        api_key: customer key, sent as a header so that it stays out of logs.
        pause_s: pause between requests [s].
        sleep: how to wait.

    Raises:
        SettingsError: commercial use of the free host, or an address that is none.
    """

    def __init__(
        self,
        api: str,
        *,
        user_agent: str,
        use: Use,
        base_url: str = "",
        api_key: str = "",
        pause_s: float = 2.0,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        customer = "customer-" if api_key else ""
        self.base_url = (base_url or f"https://{customer}{api}.open-meteo.com").rstrip("/")
        parts = urlsplit(self.base_url)
        if not parts.hostname or parts.scheme not in ("http", "https"):
            raise SettingsError(
                f"weather.open_meteo: base_url is {base_url!r}; give scheme and host, such as "
                "http://forecast.example:8080."
            )
        public = parts.hostname.endswith("open-meteo.com")
        free = public and not (api_key and parts.hostname.startswith("customer-"))
        if use is Use.COMMERCIAL and free:
            raise SettingsError(NOT_FOR_BUSINESS)
        self.host = "open-meteo.com" if public else parts.hostname
        self.commercial = Commercial.NO if free else Commercial.KEY if public else Commercial.YES
        self.limits = FREE_LIMITS if free else ()
        headers = {"X-Api-Key": api_key} if api_key else {}
        self._ask = Asker(user_agent=user_agent, headers=headers, pause_s=pause_s, sleep=sleep)

    def fetch(
        self,
        points: Sequence[Point],
        *,
        now: datetime,
        url: Callable[[Sequence[Point]], str],
        parse: Parser,
        split: Splitter = elements,
    ) -> dict[str, Outcome]:
        """Ask for every distinct place in batches.

        Args:
            points: places; the same key twice is asked once.
            now: aware UTC time.
            url: address for places that all have a height or all have none.
            parse: reads the body.
            split: finds the part of the body that is kept for each place.
        """
        found: dict[str, Outcome] = {}
        for number, batch in enumerate(_requests(points, MOST_PLACES)):
            if number:
                self._ask.pause()
            read = partial(_kept, parse=parse, split=split)
            found |= self._batch(batch, now, url, read, [MOST_REQUESTS_FOR_A_BAD_PLACE])
        return found

    def question(self, url: str, now: datetime) -> Any:
        """The JSON of a small service, or a ``FetchFailure``."""
        try:
            answer = self._ask.get(url, complete=whole)
        except UnreachableError as trouble:
            return _failure(FailureKind.UNREACHABLE, str(trouble))
        refusal = _refusal(answer, now, self.host)
        if refusal is not None:
            return refusal
        try:
            return json.loads(answer.body)
        except ValueError as broken:
            return _failure(FailureKind.BROKEN_REPLY, f"the body is not JSON ({broken}).")

    def _batch(
        self,
        points: Sequence[Point],
        now: datetime,
        url: Callable[[Sequence[Point]], str],
        read: Callable[[bytes, Sequence[Point], datetime], dict[str, Outcome]],
        left: list[int],
    ) -> dict[str, Outcome]:
        """One request; if the server finds fault with one place, the others are asked again."""
        try:
            answer = self._ask.get(url(points), complete=whole)
        except UnreachableError as trouble:
            return dict.fromkeys(_keys(points), _failure(FailureKind.UNREACHABLE, str(trouble)))
        refusal = _refusal(answer, now, self.host)
        if refusal is None:
            return read(answer.body, points, now)
        if answer.status == 400 and _one_place_at_fault(refusal) and len(points) > 1 < left[0]:
            left[0] -= 2
            half = len(points) // 2
            found: dict[str, Outcome] = {}
            for part in (points[:half], points[half:]):
                self._ask.pause()
                found |= self._batch(part, now, url, read, left)
            return found
        return dict.fromkeys(_keys(points), refusal)


def _requests(points: Sequence[Point], size: int) -> Iterator[Sequence[Point]]:
    """Batches of distinct points, those without a height apart: the list is all or nothing."""
    each = distinct(points)
    for known in (True, False):
        yield from batches([p for p in each if (p.height_m is not None) is known], size)


def _keys(points: Sequence[Point]) -> list[str]:
    return [point.key for point in points]


def _kept(
    body: bytes, points: Sequence[Point], now: datetime, *, parse: Parser, split: Splitter
) -> dict[str, Outcome]:
    """Frames with the part of the body that each came from."""
    parts = split(body, points)
    found: dict[str, Outcome] = {}
    for key, parsed in parse(body, points, now).items():
        if isinstance(parsed, Forecast) and isinstance(parts, dict):
            found[key] = Fetched(forecast=parsed, payload=dump(parts[key]))
        elif isinstance(parsed, FetchFailure):
            found[key] = parsed
    return found


def _one_place_at_fault(refusal: FetchFailure) -> bool:
    return refusal.kind in (FailureKind.NOT_COVERED, FailureKind.REFUSED)


def _failure(kind: FailureKind, words: str, retry_at: datetime | None = None) -> FetchFailure:
    return FetchFailure(kind=kind, message=f"Open-Meteo: {words}", retry_at=retry_at)


def _refusal(answer: Answer, now: datetime, host: str) -> FetchFailure | None:
    """What the server refused and until when; None for an answer that may be read.

    The reason counts more than the status: limits have been seen inside 200 and 400.
    """
    reason = reason_of(answer.body)
    if answer.status == 200 and not reason:
        return None
    words = reason or f"HTTP {answer.status}: {answer.words}"
    asked = retry_after(answer, now)
    throttled = _throttled_until(words, now, host)
    if throttled is not None or answer.status == 429:
        return _failure(
            FailureKind.THROTTLED, words, asked or throttled or now + timedelta(minutes=1)
        )
    if re.search(r"requires the .{0,60}plan", words, re.IGNORECASE):
        hint = f"{words} Take that plan, or set ensemble = false in [weather.open_meteo]."
        return _failure(FailureKind.REFUSED, hint, now + timedelta(days=1))
    if answer.status == 401 or answer.status == 403:
        hint = f"{words} Check api_key and base_url in [weather.open_meteo]."
        return _failure(FailureKind.REFUSED, hint, now + timedelta(hours=1))
    if re.search("no data is available", words, re.IGNORECASE):
        return _failure(FailureKind.NOT_COVERED, words, now + timedelta(hours=1))
    if answer.status in (200, 400, 404):
        return _failure(FailureKind.REFUSED, words, now + timedelta(hours=1))
    return _failure(FailureKind.UNREACHABLE, words, asked)


def _throttled_until(words: str, now: datetime, host: str) -> datetime | None:
    """End of the window that is used up, and a little more; None if no limit is spoken of."""
    spread_s = 1 + spread(f"{host}|{now:%H%M}", 30)
    if re.search(r"concurrent", words, re.IGNORECASE):
        return now + timedelta(seconds=5 + spread_s % 25)
    match = re.search(r"(minutely|hourly|daily|monthly).{0,40}limit", words, re.IGNORECASE)
    if match is None:
        return None
    whole_minute = now.replace(second=0, microsecond=0)
    ends = {
        "minutely": whole_minute + timedelta(minutes=1),
        "hourly": whole_minute.replace(minute=0) + timedelta(hours=1),
        "daily": whole_minute.replace(hour=0, minute=0) + timedelta(days=1),
        "monthly": whole_minute.replace(hour=0, minute=0) + timedelta(days=1),
    }
    return ends[match[1].lower()] + timedelta(seconds=spread_s)


def where(points: Sequence[Point]) -> dict[str, str]:
    """The part of a query that names the places; elevation only where it is known."""
    query = {
        "latitude": ",".join(f"{point.latitude_deg:g}" for point in points),
        "longitude": ",".join(f"{point.longitude_deg:g}" for point in points),
    }
    if points[0].height_m is not None:
        query["elevation"] = ",".join(f"{point.height_m:g}" for point in points)
    return query
