"""Plain rules to compare with: the same slots, spells and messages on a simpler reading of a night.

A rule looks at the forecast as the provider sent it, at no member and at no heat model. What it
finds takes the place of the nights of a pass, so that all else stays as it is.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.harm import NO_CHANCE, Chance, VehicleNight, chance_of
from frostwatch.errors import SettingsError
from frostwatch.fleet.vehicles import Item
from frostwatch.service.nights import Van
from frostwatch.weather.forecast import Forecast

Rule = Callable[[Sequence[Van], Forecast, datetime], Mapping[str, VehicleNight]]
"""(wet vehicles of one site, its forecast, now) -> vehicle key -> night."""

SURE = 40
"""As many members as say yes or no with one voice, so that the answer clears every cost ratio."""


@dataclass(frozen=True, kw_only=True, eq=False)
class ColdNight(VehicleNight):
    """A night in which every hour below a limit counts as harm, and no hour leaves ice behind.

    Attributes:
        cold_h: hours below the limit [h from the start].
    """

    cold_h: NDArray[np.float64]

    def harm_between(self, after_h: float, until_h: float) -> Chance:
        """Sure where an hour later than ``after_h`` and by ``until_h`` lies below the limit.

        Hour 0 is now: a frost that is here already is no harm that was done.
        """
        if not self.items:
            return NO_CHANCE
        inside = self.cold_h[(self.cold_h > max(after_h, 0.0)) & (self.cold_h <= until_h)]
        return chance_of(np.full(SURE, inside[0] if inside.size else math.inf))

    def harm_by(self, until_h: float) -> Chance:
        """Sure where an hour by ``until_h`` lies below the limit."""
        return self.harm_between(0.0, until_h)


def minimum_below(limit_c: float) -> Rule:
    """Call where the forecast's lowest air of the window lies below ``limit_c`` [degC]."""

    def nights(vans: Sequence[Van], forecast: Forecast, now: datetime) -> dict[str, VehicleNight]:
        first = max(0, forecast.index_at(now))
        air_c = forecast.columns["air_c"][first:]
        start = forecast.start + timedelta(hours=first)
        return {van.vehicle.key: _night(van, start, air_c, limit_c) for van in vans}

    return nights


def _night(van: Van, start: datetime, air_c: NDArray[np.float64], limit_c: float) -> VehicleNight:
    items = _items(van)
    never = np.full((len(items), SURE), math.inf)
    return ColdNight(
        start=start,
        hours=float(len(air_c) - 1),
        items=items,
        harm_h=never,
        ice_h=never,
        thawed_h=np.zeros(SURE),
        valve_item=None,
        tripped_h=np.full(SURE, math.inf),
        cold_h=np.flatnonzero(air_c < limit_c).astype(np.float64),
    )


def _items(van: Van) -> tuple[Item, ...]:
    """Items with water that frost could harm, as the service reckons."""
    wet = {e.circuit for e in van.water if e.litres_soon_l > 0.0 and not e.open_end}
    drains = van.layout.valve.drains if van.layout.valve is not None else ""
    return tuple(i for i in van.layout.items if i.circuit in wet and i.key != drains)


def rule_from(words: str) -> Rule:
    """The rule that words such as ``minimum:0`` ask for.

    Raises:
        SettingsError: no rule goes by these words.
    """
    name, _, number = words.partition(":")
    try:
        limit_c = float(number)
    except ValueError:
        limit_c = math.nan
    if name.strip() != "minimum" or not math.isfinite(limit_c):
        raise SettingsError(
            f"Rule {words!r} is not known. Give minimum:X with X in degC, such as minimum:0."
        )
    return minimum_below(limit_c)
