"""People live in it while it freezes: the waste tank under the floor is what goes first."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

import numpy as np

from frostwatch.advice.gates import COLD
from frostwatch.fleet.handbook import Practice
from frostwatch.fleet.heat import Fuel, HeatSource
from frostwatch.fleet.vehicles import Circuit, Item, Layout, Place
from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.site_air import SiteAir

CONTAINER_L = 12.0
"""A bucket. Common practice, no source."""
LITRES_A_DAY = 25.0
"""Waste water of two people who are careful. Estimate."""
FULL_SHARE = 0.8
"""A container is not filled to the brim: it is carried, and ice needs room. Estimate."""
LOOK_AHEAD_H = 48
BUTANE_C = 0.0
"""Butane gives no gas near 0 degC, propane down to about -40 (a club's data sheet)."""
HOOK_UP_C = 5.0
"""Below this a heated waste tank is kept on 230 V, or it flattens the battery (a van handbook)."""

BY_DEFAULT = Practice()


class Waste(StrEnum):
    """How the waste water is kept."""

    NONE = "no waste tank under the floor"
    OPEN = "open over a container"
    SHUT = "shut and freezing"
    EMPTY = "shut, nearly empty"
    KEEP_EMPTY = "shut, and to be emptied"
    HEATED = "heated"
    HEATED_SHORT = "heated, but with too little in it for its heater"


@dataclass(frozen=True, slots=True, kw_only=True)
class Container:
    """How often a container must be emptied.

    Attributes:
        holds_l: its size [L].
        a_day_l: waste water a day [L].
        times_a_day: emptied so often.
        lasts_h: until it must be emptied [h].
        empty_by: before the frost begins, UTC; None without frost in sight.
    """

    holds_l: float
    a_day_l: float
    times_a_day: int
    lasts_h: float
    empty_by: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class InUse:
    """A vehicle in use, over the coming two days.

    Attributes:
        frost_from: air below 0 degC at the cold end, UTC; None without frost.
        lowest_c: lowest air at the cold end [degC].
        waste: how the waste water is kept.
        container: arithmetic of the container; None where none is used.
        least_l: water that the tank's heater needs [L]; 0 without one.
        fresh_outside: the fresh tank hangs under the floor and is treated like the waste tank.
        outside_point: there is a tap point in the skirt, to be shut off and left open.
        propane_only: it gets too cold for butane.
        hook_up_from: from then on its heated waste tank needs 230 V, at the cold end, UTC; None
            where none is heated or it stays milder.
    """

    frost_from: datetime | None
    lowest_c: float
    waste: Waste
    container: Container | None
    least_l: float
    fresh_outside: bool
    outside_point: bool
    propane_only: bool
    hook_up_from: datetime | None = None

    @property
    def must_tell(self) -> bool:
        """Only a valve recorded shut over freezing water is worth a message."""
        return self.frost_from is not None and self.waste in (
            Waste.SHUT,
            Waste.KEEP_EMPTY,
            Waste.HEATED_SHORT,
        )


def in_use(
    layout: Layout,
    water: Sequence[CircuitWater],
    air: SiteAir,
    sources: Sequence[HeatSource] = (),
    *,
    practice: Practice = BY_DEFAULT,
    container_l: float = CONTAINER_L,
    a_day_l: float = LITRES_A_DAY,
) -> InUse:
    """Look at a vehicle in use.

    Args:
        layout: its layout.
        water: what is recorded.
        air: air at the site.
        sources: what warms it.
        practice: what its handbook says otherwise than the trade.
        container_l: container under the waste valve [L].
        a_day_l: waste water a day [L].
    """
    ahead = air.air_c[:, air.now_index : air.now_index + LOOK_AHEAD_H + 1]
    cold_c = np.quantile(ahead, 1.0 - COLD, axis=0)

    def first_below(level_c: float) -> datetime | None:
        below = np.flatnonzero(cold_c < level_c)
        hours = air.now_index + int(below[0]) if below.size else 0
        return air.start + timedelta(hours=hours) if below.size else None

    frost_from = first_below(0.0)
    waste = _waste(layout, water)
    if waste is Waste.SHUT and not practice.container:
        waste = Waste.KEEP_EMPTY
    tanks = [i for i in layout.items if i.circuit is Circuit.WASTE_TANK]
    gas = any(source.fuel is Fuel.GAS for source in sources)
    keys = {item.key: item for item in layout.items}
    return InUse(
        frost_from=frost_from,
        lowest_c=float(cold_c.min()),
        waste=waste,
        container=container_for(container_l, a_day_l, frost_from)
        if waste not in (Waste.NONE, Waste.HEATED) and (practice.container or waste is Waste.OPEN)
        else None,
        least_l=max((tank.heater_needs_l for tank in tanks), default=0.0),
        fresh_outside=_is_outside(keys.get("F1")),
        outside_point="F4" in keys,
        propane_only=gas and float(cold_c.min()) < BUTANE_C,
        hook_up_from=first_below(HOOK_UP_C)
        if waste in (Waste.HEATED, Waste.HEATED_SHORT)
        else None,
    )


def in_use_and_shut(water: Sequence[CircuitWater]) -> bool:
    """Somebody lives in it, and what is wet beside what they use is a waste tank that is shut.

    The valve is recorded shut; where nobody knows, it is asked about like any other.
    """
    used = any(entry.state is State.OPEN_RUNNING for entry in water)
    waste = next((e for e in water if e.circuit is Circuit.WASTE_TANK), None)
    known = waste is not None and waste.state is not State.UNKNOWN
    return used and known and waste is not None and waste.is_wet and not waste.open_end


def _is_outside(item: Item | None) -> bool:
    return item is not None and item.place in (Place.FLOOR, Place.OUTSIDE)


def _waste(layout: Layout, water: Sequence[CircuitWater]) -> Waste:
    tanks = [i for i in layout.items if i.circuit is Circuit.WASTE_TANK]
    entry = next((e for e in water if e.circuit is Circuit.WASTE_TANK), None)
    if not any(_is_outside(tank) for tank in tanks):
        return Waste.NONE
    if entry is not None and entry.open_end:
        return Waste.OPEN
    litres = entry.litres_soon_l if entry is not None else 0.0
    needs = max(tank.heater_needs_l for tank in tanks)
    if entry is not None and not entry.is_wet:
        return Waste.EMPTY
    if any(tank.heater_w > 0.0 for tank in tanks):
        return Waste.HEATED if litres >= needs else Waste.HEATED_SHORT
    return Waste.SHUT


def container_for(holds_l: float, a_day_l: float, frost_from: datetime | None) -> Container:
    """How often a container is emptied: 12 L against 25 L a day is three times."""
    share_l = FULL_SHARE * holds_l
    return Container(
        holds_l=holds_l,
        a_day_l=a_day_l,
        times_a_day=max(1, math.ceil(a_day_l / share_l)),
        lasts_h=24.0 * share_l / a_day_l,
        empty_by=frost_from,
    )
