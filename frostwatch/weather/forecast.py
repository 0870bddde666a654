"""The one form in which weather travels through frostwatch: hourly, UTC, SI, gaps as NaN."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import ForecastError
from frostwatch.units import within

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
"""Columns of a forecast. A mean or a sum covers the hour ending at its index.

``step_h`` is the spacing of the provider's own values around that hour (1, 3 or 6), and
``air_min_c`` the lowest air over the provider's step that the hour ends in, repeated for every
hour of that step. ``air_spread_k`` is the standard deviation of an ensemble.
"""

FRESH_H = 12.0
"""Age up to which a forecast is used as it is [h]. Estimate."""
OLDEST_H = 30.0
"""Age beyond which a forecast is not used at all [h]. Estimate."""
OLDER_IS_COLDER_K = 2.0
"""How much colder all members become between the two ages [K]. Estimate."""
LEAST_FUTURE_H = 18.0
"""Least future a usable forecast has left: one night and the morning to act in [h]. Estimate."""

KEY_DECIMALS = 2
"""Decimals of a point: about 1.1 km north to south, and no home address in anybody's log."""
KEY_HEIGHT_STEP_M = 25.0
"""Height step of a point [m]: at 6.5 K/km a step is worth 0.16 K."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attribution:
    """Words a licence asks for wherever the data are shown."""

    text: str
    url: str
    licence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A place as it is asked for: rounded to about 1 km and 25 m. Made by ``point_for``.

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
        reply_id: number of the kept reply it was read from, 0 if it was not kept.
        recent_c: hourly air of the last days up to ``known_since``, newest last, NaN where
            unknown [degC], up to 20 days; None leaves it at the hours of the frame itself.
        earlier_h: hours at its front that an earlier frame knew [h].
        spread_reply_id: number of the kept reply its ensemble's spread came from, 0 if none.
        lowered_k: what every air in it was lowered by because the place is not known well [K].
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
    reply_id: int = 0
    recent_c: NDArray[np.float64] | None = None
    earlier_h: int = 0
    spread_reply_id: int = 0
    lowered_k: float = 0.0

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
        """Issue time, or fetch time where the provider gives none, or one still to come: nothing
        is younger than the moment it was received."""
        return min(self.issued_at or self.fetched_at, self.fetched_at)

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


class Fitness(StrEnum):
    """Whether a forecast may be decided on."""

    USABLE = "usable"
    OLDER = "older"
    NONE = "no usable forecast"


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastStanding:
    """How far a forecast can be leaned on at one moment.

    Attributes:
        fitness: usable, older (used 2 K colder, and said), or none.
        age_h: hours since it was issued, or received where the provider names no issue [h]; inf
            if there is no forecast.
        future_h: hours it still reaches ahead [h]; 0 if there is no forecast.
        colder_k: what all members are lowered by because of its age [K].
        reason: one sentence for people; "" for a usable forecast.
    """

    fitness: Fitness
    age_h: float
    future_h: float
    colder_k: float
    reason: str

    @property
    def usable(self) -> bool:
        """True if hours and probabilities may be given at all."""
        return self.fitness is not Fitness.NONE


def standing(forecast: Forecast | None, now: datetime) -> ForecastStanding:
    """How far ``forecast`` can be leaned on at ``now``. Age limits are estimates.

    Args:
        forecast: the newest forecast of the place, None if none was ever received.
        now: aware UTC time.
    """
    if forecast is None:
        return ForecastStanding(
            fitness=Fitness.NONE,
            age_h=float("inf"),
            future_h=0.0,
            colder_k=0.0,
            reason="No forecast has been received for this place.",
        )
    age_h = max(0.0, (now - forecast.known_since) / timedelta(hours=1))
    future_h = max(0.0, (forecast.valid_to - now) / timedelta(hours=1))
    fitness, colder_k, reason = Fitness.USABLE, 0.0, ""
    if age_h > OLDEST_H:
        fitness = Fitness.NONE
        reason = f"The newest forecast is {age_h:.0f} h old; after {OLDEST_H:.0f} h none is used."
    elif future_h < LEAST_FUTURE_H:
        fitness = Fitness.NONE
        reason = (
            f"The newest forecast reaches only {future_h:.0f} h ahead; "
            f"at least {LEAST_FUTURE_H:.0f} h are needed."
        )
    elif age_h > FRESH_H:
        fitness, colder_k = Fitness.OLDER, OLDER_IS_COLDER_K
        reason = (
            f"The newest forecast is {age_h:.0f} h old: every air is taken "
            f"{OLDER_IS_COLDER_K:.0f} K colder."
        )
    return ForecastStanding(
        fitness=fitness, age_h=age_h, future_h=future_h, colder_k=colder_k, reason=reason
    )


def point_for(latitude_deg: float, longitude_deg: float, height_m: float | None) -> Point:
    """The point that stands for a place in requests, cache and replies.

    Vehicles of one yard share a point, and nobody's exact address leaves the program.

    Args:
        latitude_deg: WGS 84 [deg], north positive.
        longitude_deg: WGS 84 [deg], east positive.
        height_m: height above sea level [m], None if unknown.

    Raises:
        ForecastError: the coordinates are not on the earth.
    """
    within(latitude_deg, -90, 90, what="latitude", unit="degrees", error=ForecastError)
    within(longitude_deg, -180, 180, what="longitude", unit="degrees", error=ForecastError)
    latitude = round(latitude_deg, KEY_DECIMALS) + 0.0
    longitude = round(longitude_deg, KEY_DECIMALS) + 0.0
    if longitude == -180.0:
        longitude = 180.0
    height, height_word = None, "unknown"
    if height_m is not None:
        within(height_m, -430, 9000, what="height", unit="m", error=ForecastError)
        height = round(height_m / KEY_HEIGHT_STEP_M) * KEY_HEIGHT_STEP_M
        height_word = f"{height:.0f}m"
    return Point(
        key=f"{latitude:.2f},{longitude:.2f},{height_word}",
        latitude_deg=latitude,
        longitude_deg=longitude,
        height_m=height,
    )
