"""Bodies of the Open-Meteo ensemble API -> spread. Pure.

Two shapes: mean and spread (``temperature_2m_spread``), or members (``temperature_2m`` is the
control, ``temperature_2m_member01`` and so on the rest). With several models a suffix follows the
member, which may differ from the name asked for and disappears if one model alone covers the
place: so members are known by their prefix.
"""

import re
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import ForecastError
from frostwatch.weather.ensemble import Spread
from frostwatch.weather.forecast import FailureKind, FetchFailure, Point
from frostwatch.weather.mending import hourly_grid
from frostwatch.weather.providers.open_meteo_reply import elements, numbers_of, times_of

SPREAD = "temperature_2m_spread"
MEMBER = re.compile(r"temperature_2m(_member\d\d)?(_(?!spread)[a-z][a-z0-9_]*)?$")
LEAST_MEMBERS = 5
"""Fewer members say nothing about spread. Estimate."""


def parse_spread(
    body: bytes, points: Sequence[Point], fetched_at: datetime
) -> dict[str, Spread | FetchFailure]:
    """Spread of the places asked for, or why a place has none."""
    parts = elements(body, points)
    if isinstance(parts, FetchFailure):
        return dict.fromkeys((point.key for point in points), parts)
    found: dict[str, Spread | FetchFailure] = {}
    for point in points:
        try:
            found[point.key] = _read(parts[point.key], fetched_at)
        except ForecastError as unusable:
            found[point.key] = FetchFailure(
                kind=FailureKind.BROKEN_REPLY, message=f"Open-Meteo ensemble: {unusable}"
            )
    return found


def _read(element: dict[str, Any], fetched_at: datetime) -> Spread:
    hourly, units = element.get("hourly"), element.get("hourly_units")
    if not isinstance(hourly, dict) or not isinstance(units, dict) or "time" not in hourly:
        raise ForecastError("The reply has no hourly values with units.")
    unix_s = times_of(hourly["time"], units.get("time"), element.get("utc_offset_seconds", 0))
    index, hours = hourly_grid(unix_s)
    spread_k, members = _spread(hourly, units)
    if len(spread_k) != len(unix_s):
        raise ForecastError(f"The reply has {len(spread_k)} spreads for {len(unix_s)} times.")
    placed = np.full(hours, np.nan)
    placed[index] = np.where((spread_k >= 0.0) & (spread_k < 25.0), spread_k, np.nan)
    if np.isnan(placed).all():
        raise ForecastError("The reply has no spread at all, only nulls.")
    return Spread(
        start=datetime.fromtimestamp(int(unix_s[0]), UTC),
        spread_k=placed,
        members=members,
        fetched_at=fetched_at,
    )


def _spread(hourly: dict[str, Any], units: dict[str, Any]) -> tuple[NDArray[np.float64], int]:
    """Spread [K] over the hours of the reply, and the number of members it rests on."""
    given = [name for name in hourly if name.startswith(SPREAD)]
    if given:
        name = given[0]
        if units.get(name) not in ("K", "°C"):
            raise ForecastError(f"{name} comes in {units.get(name)!r}, not in K.")
        return numbers_of(name, hourly[name]), 0
    names = [name for name in hourly if MEMBER.match(name)]
    if len(names) < LEAST_MEMBERS:
        raise ForecastError(
            f"The reply has {len(names)} members, at least {LEAST_MEMBERS} are needed."
        )
    for name in names:
        if units.get(name) != "°C":
            raise ForecastError(f"{name} comes in {units.get(name)!r}, not in °C.")
    members = np.array([numbers_of(name, hourly[name]) for name in names])
    known = (~np.isnan(members)).sum(axis=0)
    enough = known >= LEAST_MEMBERS
    mean = np.nansum(members, axis=0) / np.maximum(known, 1)
    squares = np.nansum((members - mean) ** 2, axis=0) / np.maximum(known - 1, 1)
    return np.where(enough, np.sqrt(squares), np.nan), len(names)
