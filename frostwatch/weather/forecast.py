"""The one form in which weather travels through frostwatch: hourly, UTC, SI, gaps as NaN."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

COLUMNS = (
    "air_c",
    "dew_c",
    "humidity_fraction",
    "wind_m_per_s",
    "gust_m_per_s",
    "sun_w_per_m2",
    "cloud_fraction",
    "precipitation_mm",
    "snow_cm",
    "ground_c",
    "air_min_c",
    "air_spread_k",
    "step_h",
)
"""Columns of a forecast. A mean or a sum covers the hour ending at its index."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attribution:
    """Words a licence asks for wherever the data are shown."""

    text: str
    url: str
    licence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A place as it is asked for: rounded to about 1 km and 25 m.

    Attributes:
        key: identity of the place in cache and replies.
        latitude_deg: WGS 84 [deg].
        longitude_deg: WGS 84 [deg].
        height_m: height always sent with the place [m]; None if nobody knows it yet.
    """

    key: str
    latitude_deg: float
    longitude_deg: float
    height_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Forecast:
    """One provider's hourly series for one place, past hours included.

    Attributes:
        start: time of index 0, a whole hour, UTC. Index h is ``start + h`` hours.
        columns: name -> values, each of shape (H,), NaN where missing; names from COLUMNS.
        provider: name of the provider.
        model: model named by the provider, "" if none.
        fetched_at: when the reply was received, UTC.
        issued_at: issue time the provider gives, None if it gives none.
        height_m: height for which the temperatures hold [m], None if the reply does not say.
        grid_height_m: height of the model's own ground [m] where known; for the inversion guard.
        attribution: licence words.
        warnings: what was mended or is doubtful, for people to read.
    """

    start: datetime
    columns: Mapping[str, NDArray[np.float64]]
    provider: str
    fetched_at: datetime
    issued_at: datetime | None = None
    model: str = ""
    height_m: float | None = None
    grid_height_m: float | None = None
    attribution: tuple[Attribution, ...] = ()
    warnings: tuple[str, ...] = field(default=())

    @property
    def hours(self) -> int:
        """Number of hourly instants."""
        return len(self.columns["air_c"])

    @property
    def valid_to(self) -> datetime:
        """Time of the last hourly instant, UTC."""
        return self.start + timedelta(hours=self.hours - 1)

    @property
    def known_since(self) -> datetime:
        """Issue time, or fetch time where the provider gives none."""
        return self.issued_at or self.fetched_at

    def index_at(self, moment: datetime) -> int:
        """Index of the hour that ``moment`` lies in; may lie outside the series."""
        return int((moment - self.start) // timedelta(hours=1))


class FailureKind(StrEnum):
    """Why a place has no new forecast."""

    REFUSED = "refused"
    THROTTLED = "throttled"
    UNREACHABLE = "unreachable"
    BROKEN_REPLY = "broken reply"
    NOT_COVERED = "not covered"


@dataclass(frozen=True, slots=True, kw_only=True)
class FetchFailure:
    """What came back instead of a forecast for one place. Never to be read as "no frost".

    Attributes:
        kind: refused, throttled, unreachable, broken reply or not covered.
        message: what happened and how to mend it, the provider's own words included.
        retry_at: earliest time at which asking again makes sense, UTC; None for no other rule
            than the next pass.
    """

    kind: FailureKind
    message: str
    retry_at: datetime | None = None
