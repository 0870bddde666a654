"""How high a place lies, out of heights looked up around it.

Nobody's exact address leaves the program: a height is asked for at nine fixed points of the
kilometre that a place lies in, and what lies between them is worked out here.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from frostwatch.weather.forecast import KEY_DECIMALS, Attribution, FetchFailure, point_for

STEP_DEG = 0.5 * 10.0**-KEY_DECIMALS
"""Distance of the points asked for: they span the square that is rounded to one place."""
POINTS = 9
UNKNOWN_HEIGHT_M = 100.0
"""How much higher than the forecast's own height a place is taken to lie while nobody knows [m].

Estimate: what ground commonly rises within the kilometre a place is rounded to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terrain:
    """What a service of heights said about one place, asked once.

    Attributes:
        place: see ``place_of``.
        asked_at: when, UTC.
        heights_m: heights [m] at ``corners_of`` the place, in that order; empty after a failure.
        credit: words the licence of the heights asks for; None after a failure.
        failure: why there are none; None if there are.
    """

    place: str
    asked_at: datetime
    heights_m: tuple[float, ...] = ()
    credit: Attribution | None = None
    failure: FetchFailure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownHeight:
    """The height of one site, looked up.

    Attributes:
        height_m: above sea level [m].
        credit: words the licence asks for.
        asked_at: when it was looked up, UTC.
    """

    height_m: float
    credit: Attribution
    asked_at: datetime


def place_of(latitude_deg: float, longitude_deg: float) -> str:
    """Name of the square kilometre that coordinates lie in, such as ``"54.40,-2.90"``."""
    point = point_for(latitude_deg, longitude_deg, None)
    return f"{point.latitude_deg:.2f},{point.longitude_deg:.2f}"


def corners_of(place: str) -> tuple[tuple[float, float], ...]:
    """Latitude and longitude [deg] of nine points of a place: three rows from the south, each
    from the west."""
    latitude, longitude = (float(part) for part in place.split(","))
    steps = (-STEP_DEG, 0.0, STEP_DEG)
    return tuple(
        (
            round(min(90.0, max(-90.0, latitude + north)), KEY_DECIMALS + 1),
            round((longitude + east + 180.0) % 360.0 - 180.0, KEY_DECIMALS + 1),
        )
        for north in steps
        for east in steps
    )


def height_at(
    place: str, heights_m: Sequence[float], latitude_deg: float, longitude_deg: float
) -> float:
    """Height [m] of coordinates inside a place, straight between the four nearest points."""
    latitude, longitude = (float(part) for part in place.split(","))
    grid_m = np.asarray(heights_m, dtype=np.float64).reshape(3, 3)
    east_deg = (longitude_deg - longitude + 180.0) % 360.0 - 180.0
    row = float(np.clip(1.0 + (latitude_deg - latitude) / STEP_DEG, 0.0, 2.0))
    col = float(np.clip(1.0 + east_deg / STEP_DEG, 0.0, 2.0))
    south, west = min(int(row), 1), min(int(col), 1)
    square = grid_m[south : south + 2, west : west + 2]
    up, right = row - south, col - west
    return float(np.array([1.0 - up, up]) @ square @ np.array([1.0 - right, right]))
