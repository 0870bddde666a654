"""What the service asks of the weather, and the weather of its store."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from frostwatch.weather.forecast import FetchFailure, Forecast, Point
from frostwatch.weather.terrain import KnownHeight, Terrain


class Forecasts(Protocol):
    """Where the air comes from."""

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        """Point key -> the best forecast at hand, or why there is none."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """One provider's answer for one place, as received, with what is needed to ask again.

    Attributes:
        id: number in the ledger, 0 before it is kept.
        point: key of the place.
        provider: name of the provider.
        fetched_at: when it was received, UTC.
        issued_at: issue time the provider gives, None if it gives none.
        expires_at: the provider's own word on when to ask again, UTC; None if it gives none.
        last_modified: validator for a conditional request, as received, "" if none.
        etag: the same.
        status: HTTP status.
        payload: the body; stored compressed.
    """

    id: int = 0
    point: str
    provider: str
    fetched_at: datetime
    issued_at: datetime | None = None
    expires_at: datetime | None = None
    last_modified: str = ""
    etag: str = ""
    status: int = 200
    payload: bytes


class ReplyStore(Protocol):
    """Where replies are kept: as cache while fresh, as evidence for a season."""

    def keep(self, replies: Sequence[Reply]) -> tuple[Reply, ...]:
        """Store replies; the same ones come back with their numbers."""
        ...

    def still_valid(
        self, reply: Reply, *, fetched_at: datetime, expires_at: datetime | None
    ) -> None:
        """Note that a conditional request was answered "not modified"."""
        ...

    def newest(self, provider: str, points: Sequence[str]) -> Mapping[str, Reply]:
        """Point key -> newest reply of that provider; places without one are left out."""
        ...

    def reply(self, reply_id: int) -> Reply | None:
        """The reply of that number, None if it is no longer kept."""
        ...


class Heights(Protocol):
    """How high places lie."""

    def at(
        self, coordinates: Sequence[tuple[float, float]], now: datetime
    ) -> Mapping[tuple[float, float], KnownHeight | FetchFailure]:
        """Latitude and longitude [deg] -> the height there, or why it is not known."""
        ...


class TerrainStore(Protocol):
    """Where heights are kept once they were looked up."""

    def keep(self, terrains: Sequence[Terrain]) -> None:
        """Store what was said about places, in place of what was said before."""
        ...

    def known(self, places: Sequence[str]) -> Mapping[str, Terrain]:
        """Place -> what was said about it; places never asked for are left out."""
        ...
