"""Bodies of the Open-Meteo ensemble API -> a frame of mean and spread. Pure.

Two shapes: mean and spread (``temperature_2m_spread``), or members (``temperature_2m`` is the
control, ``temperature_2m_member01`` and so on the rest). With several models a suffix follows the
member; it may differ from the name asked for, and disappears if one model alone covers the place:
so members are known by their beginning.
"""

import re
from collections.abc import Sequence
from datetime import datetime
from typing import Any

import numpy as np

from frostwatch.errors import ForecastError
from frostwatch.weather.asking import Parsed
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point
from frostwatch.weather.mending import Column, Origin, assemble
from frostwatch.weather.providers.open_meteo_reply import (
    ATTRIBUTION,
    elements,
    numbers_of,
    times_of,
)

NAME = "open-meteo-ensemble"
SPREAD = "temperature_2m_spread"
MEMBER = re.compile(r"temperature_2m(_member\d\d)?(_(?!spread)[a-z][a-z0-9_]*)?$")
LEAST_MEMBERS = 5
"""Fewer members say nothing about spread. Estimate."""


def parse(body: bytes, points: Sequence[Point], fetched_at: datetime) -> dict[str, Parsed]:
    """Mean and spread of the places asked for, or why a place has none."""
    parts = elements(body, points)
    if isinstance(parts, FetchFailure):
        return dict.fromkeys((point.key for point in points), parts)
    found: dict[str, Parsed] = {}
    for point in points:
        try:
            found[point.key] = _read(parts[point.key], point, fetched_at)
        except ForecastError as unusable:
            found[point.key] = FetchFailure(
                kind=FailureKind.BROKEN_REPLY, message=f"Open-Meteo ensemble: {unusable}"
            )
    return found


def _read(element: dict[str, Any], point: Point, fetched_at: datetime) -> Forecast:
    if element.get("error"):
        raise ForecastError(str(element.get("reason", "an error without a reason")))
    hourly, units = element.get("hourly"), element.get("hourly_units")
    if not isinstance(hourly, dict) or not isinstance(units, dict) or "time" not in hourly:
        raise ForecastError("The reply has no hourly values with units.")
    unix_s = times_of(hourly["time"], units.get("time"), element.get("utc_offset_seconds", 0))
    mean_c, spread_k, model = _spread(hourly, units)
    if np.isnan(spread_k).all():
        raise ForecastError("The reply has no spread at all, only nulls.")
    return assemble(
        unix_s,
        {"air_c": mean_c, "air_spread_k": spread_k},
        Origin(
            provider=NAME,
            fetched_at=fetched_at,
            model=model,
            height_m=point.height_m,
            attribution=ATTRIBUTION,
        ),
    )


def _spread(hourly: dict[str, Any], units: dict[str, Any]) -> tuple[Column, Column, str]:
    """Mean [degC] and spread [K] over the hours of the reply, and what they rest on."""
    given = next((name for name in hourly if name.startswith(SPREAD)), None)
    names = [name for name in hourly if MEMBER.match(name)]
    for name in names:
        if units.get(name) != "°C":
            raise ForecastError(f"{name} comes in {units.get(name)!r}, not in °C.")
    members = np.array([numbers_of(name, hourly[name]) for name in names], dtype=np.float64)
    if given is not None and len(names) == 1:
        if units.get(given) not in ("K", "°C"):
            raise ForecastError(f"{given} comes in {units.get(given)!r}, not in K.")
        return members[0], numbers_of(given, hourly[given]), "mean and spread"
    if len(names) < LEAST_MEMBERS:
        raise ForecastError(
            f"The reply has {len(names)} members, at least {LEAST_MEMBERS} are needed."
        )
    known = (~np.isnan(members)).sum(axis=0)
    mean_c = np.nansum(members, axis=0) / np.maximum(known, 1)
    squares = np.nansum((members - mean_c) ** 2, axis=0) / np.maximum(known - 1, 1)
    enough = known >= LEAST_MEMBERS
    return (
        np.where(enough, mean_c, np.nan),
        np.where(enough, np.sqrt(squares), np.nan),
        f"{len(names)} members",
    )
