"""A provider made of plain settings, for tests of the cache and of what stands on it."""

import json
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime, timedelta

import numpy as np

from frostwatch.weather.asking import (
    Commercial,
    Fetched,
    Limit,
    Outcome,
    Parsed,
    Unchanged,
    Validators,
)
from frostwatch.weather.forecast import (
    Attribution,
    FailureKind,
    FetchFailure,
    Forecast,
    Point,
)

DOWN = FetchFailure(kind=FailureKind.UNREACHABLE, message="connection refused")
FREE_LIMITS = (
    Limit(every=timedelta(minutes=1), weight=600.0),
    Limit(every=timedelta(hours=1), weight=5_000.0),
    Limit(every=timedelta(days=1), weight=10_000.0),
)


class FakeProvider:
    """Answers every place with a flat air unless ``trouble`` says otherwise.

    Knobs: ``air_c`` (what it forecasts; ``air_at`` by place), ``trouble`` (moment, place ->
    failure or None), ``expires_h`` (Expires header), ``unchanged`` (answers conditional requests
    with 304), ``issued_h`` (age of the issue it names), ``past_h`` and ``ahead_h`` (its reach).
    It counts in ``requests``.
    """

    def __init__(
        self,
        name: str = "first",
        *,
        air_c: float = 8.0,
        max_batch: int = 100,
        limits: tuple[Limit, ...] = (),
        refresh_h: float = 3.0,
        weight: float = 1.0,
        expires_h: float | None = None,
        issued_h: float | None = None,
        host: str = "",
    ) -> None:
        self.name = name
        self.host = host or f"{name}.example"
        self.attribution = (Attribution(text=f"Data: {name}", url="https://x.example", licence=""),)
        self.commercial = Commercial.YES
        self.max_batch = max_batch
        self.horizon_h = 168
        self.refresh = timedelta(hours=refresh_h)
        self.limits = limits
        self.air_c = air_c
        self.air_at: Callable[[Point], float] = lambda _: self.air_c
        self.ahead_h = 168
        self.past_h = 120
        self.spread_k: float | None = None
        self.expires_h = expires_h
        self.issued_h = issued_h
        self.unchanged = False
        self.trouble: Callable[[datetime, Point], FetchFailure | None] = lambda _, __: None
        self.requests: list[tuple[datetime, list[str]]] = []
        self.validators_seen: list[Mapping[str, Validators]] = []
        self._weight = weight

    def weight(self, places: int) -> float:
        return self._weight * places

    def fetch(
        self,
        points: Sequence[Point],
        *,
        now: datetime,
        known: Mapping[str, Validators] | None = None,
    ) -> dict[str, Outcome]:
        self.requests.append((now, [point.key for point in points]))
        self.validators_seen.append(dict(known or {}))
        return {point.key: self._answer(point, now, known or {}) for point in points}

    def _answer(self, point: Point, now: datetime, known: Mapping[str, Validators]) -> Outcome:
        trouble = self.trouble(now, point)
        if trouble is not None:
            return trouble
        expires_at = None if self.expires_h is None else now + timedelta(hours=self.expires_h)
        if self.unchanged and point.key in known:
            return Unchanged(expires_at=expires_at)
        issued_h = self.issued_h
        payload = json.dumps(
            {
                "start": int(now.timestamp()) // 3600 * 3600 - self.past_h * 3600,
                "hours": self.past_h + 1 + self.ahead_h,
                "air_c": self.air_at(point),
                "spread_k": self.spread_k,
                "issued": None if issued_h is None else now.timestamp() - 3600 * issued_h,
            }
        ).encode()
        forecast = self.parse(payload, [point], now)[point.key]
        assert isinstance(forecast, Forecast)
        return Fetched(
            forecast=forecast,
            payload=payload,
            expires_at=expires_at,
            validators=Validators(last_modified=f"{now:%H:%M:%S}"),
        )

    def parse(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        said = json.loads(body)
        columns = {"air_c": np.full(said["hours"], said["air_c"])}
        if said["spread_k"] is not None:
            columns["air_spread_k"] = np.full(said["hours"], said["spread_k"])
        issued_at = None if said["issued"] is None else datetime.fromtimestamp(said["issued"], UTC)
        return {
            point.key: Forecast(
                start=datetime.fromtimestamp(said["start"], UTC),
                columns=columns,
                provider=self.name,
                fetched_at=fetched_at,
                issued_at=issued_at,
                height_m=point.height_m,
                attribution=self.attribution,
            )
            for point in points
        }


def down_between(
    begin: datetime, end: datetime, failure: FetchFailure = DOWN
) -> Callable[[datetime, Point], FetchFailure | None]:
    """Trouble for every place from ``begin`` until before ``end``."""
    return lambda moment, _: failure if begin <= moment < end else None
