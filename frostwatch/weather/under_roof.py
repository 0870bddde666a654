"""Air at the site -> air around a vehicle that stands under a roof or in a building.

A roof alone keeps the night sky off and leaves the air as it is. An unheated building is one lump
of air and walls that follows the outside late and damped: with a time constant of 12 h a daily
swing comes through at three tenths, five hours late. Nobody measured the buildings vehicles stand
in, so members take 4, 12 and 24 h in turn (estimates: a shed with open doors, a hall of steel
sheet, one of masonry).

A heated building has what it is said to be kept at while that holds, never less than it would have
unheated. Heating fails: in one member of forty it does so now, and the building cools from there.
Where the time is over for which somebody vouches, the vehicle stands outdoors.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.weather.site_air import SiteAir

Array = NDArray[np.float64]

LAGS_H = (12.0, 4.0, 24.0)
"""Time constants of the air in an unheated building [h], by member in turn; the first is likely."""
FAILS_SHARE = 0.025
"""Share of the members in which a heating fails now; the coldest ones. Estimate."""
HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """What is over a vehicle, as the air sees it.

    Attributes:
        has_walls: a building; False for a roof alone.
        heated_to_c: what it is kept at [degC]; None without heating.
        until: from then on outdoors, UTC; None never.
    """

    has_walls: bool
    heated_to_c: float | None = None
    until: datetime | None = None


def air_under(air: SiteAir, cover: Cover) -> SiteAir:
    """The air around a vehicle under that cover, same hours and members."""
    hours = air.air_c.shape[1]
    leaves = hours
    if cover.until is not None:
        leaves = min(hours, max(0, int((cover.until - air.start) // HOUR)))
    under = np.arange(hours) < leaves
    air_c = air.air_c
    if cover.has_walls:
        inside_c = building_air_c(air.air_c)
        if cover.heated_to_c is not None:
            inside_c = _heated_c(air, inside_c, cover.heated_to_c)
        air_c = np.where(under, inside_c, air.air_c)
    return replace(
        air,
        air_c=air_c,
        wind_m_per_s=np.where(under & cover.has_walls, 0.0, air.wind_m_per_s),
        roof_k=np.where(under, 0.0, air.roof_k),
    )


def building_air_c(outside_c: Array) -> Array:
    """Air in an unheated building, shape (M, H + 1) like the outside air [degC]."""
    start_c = outside_c[:, :24].mean(axis=1)
    return _following(outside_c, start_c, np.resize(LAGS_H, outside_c.shape[0]))


def _following(outside_c: Array, start_c: Array, lag_h: Array) -> Array:
    """A lump that follows the air; exact for air that runs straight between the hours."""
    keep = np.exp(-1.0 / lag_h)
    share = lag_h * (1.0 - keep)
    inside_c = np.empty_like(outside_c)
    inside_c[:, 0] = start_c
    for hour in range(1, outside_c.shape[1]):
        before, after = outside_c[:, hour - 1], outside_c[:, hour]
        inside_c[:, hour] = (
            keep * inside_c[:, hour - 1] + (share - keep) * before + (1.0 - share) * after
        )
    return inside_c


def _heated_c(air: SiteAir, unheated_c: Array, heated_to_c: float) -> Array:
    """The same building heated; in the coldest members its heating fails now."""
    heated_c = np.maximum(unheated_c, heated_to_c)
    count, now = air.air_c.shape[0], air.now_index
    failing = round(FAILS_SHARE * count)
    if failing:
        rows = np.argsort(air.air_c[:, now:].min(axis=1))[:failing]
        lag_h = np.resize(LAGS_H, count)[rows]
        heated_c[rows, now:] = _following(air.air_c[rows, now:], heated_c[rows, now], lag_h)
    return heated_c
