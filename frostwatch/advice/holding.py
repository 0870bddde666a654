"""Heat kept on in a vehicle with water in it: does the supply reach, and how long after it stops.

Heat kept on is a short bridge, no way to spend a winter. It counts as enough where a quarter of
the supply is left over at the cold end of the members over the next two days; heat at 5 degC in
the cabin is not 5 degC at the pipes, so what stays cold all the same is named.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

import numpy as np

from frostwatch.advice.gates import COLD, LIKELY
from frostwatch.advice.harm import harm_fraction_of
from frostwatch.advice.held_together import drawing_at, held_conflicts
from frostwatch.advice.hold_need import (
    BRIDGE_H,
    Array,
    held_at_c,
    lowest_c,
    need_by_hour_w,
    store_of,
    supply_of_w,
)
from frostwatch.advice.in_use import BUTANE_C
from frostwatch.fleet.heat import Fuel
from frostwatch.fleet.sites import Site, SiteKind
from frostwatch.fleet.vehicles import Circuit, HeatedHold, Layout, Place, Vehicle
from frostwatch.heatloss.network import build_network
from frostwatch.heatloss.solve import Job, solve
from frostwatch.heatloss.surroundings import around
from frostwatch.heatloss.trajectory import Trajectory
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.site_air import SiteAir

LEAST_MARGIN = 0.25
"""Share of the supply that must be left over. Estimate."""
STOPS_H = tuple(range(0, 25, 3))
"""Hours ahead at which the heat is taken to stop."""
PIPES = frozenset(
    {
        Circuit.PUMP,
        Circuit.COLD_PIPES,
        Circuit.FILTER,
        Circuit.HOT_PIPES,
        Circuit.SHOWER,
        Circuit.FLUSH_VALVE,
    }
)
"""What people mean by the pipes: where water lies thin, inside."""


class Doubt(StrEnum):
    """Why heat should not be kept on."""

    TOO_WEAK = "the need passes what the supply gives"
    THIN = "less than a quarter of the supply is left over"
    RUNS_OUT = "gas, diesel or battery run out within two days"
    GAS_FORBIDDEN = "the place does not let people heat with gas"
    BURNS_INDOORS = "nothing may burn in a building"
    COLD_SPOTS = "some water freezes although it is heated"
    TOGETHER = "all heat kept on draws more than its post or the place gives"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HoldView:
    """A heated hold over the next two days; cold means nine members in ten need less.

    Attributes:
        hold: source and setting.
        start: hour 0 of the need, UTC.
        supply_w: what is left for heat after the other loads [W].
        need_likely_w: heat needed at each hour, likely [W].
        need_cold_w: the same at the cold end [W].
        power_margin: share of the supply left over at the worst hour of the cold end; below 0 where
            it does not reach.
        store_margin: the same of gas, diesel or battery over two days; None where that is no limit.
        short_from: first hour at which the need passes the supply at the cold end, UTC.
        out_at: when gas, diesel or battery run out at the cold end, UTC; None within two days.
        pipes_after_h: hours from the heat's stop to ice in the pipes, at the worst of the coming
            hours: cold end and likely [h]; None where they hold no water or never freeze.
        cold_spots: items in which ice is possible although it is heated.
        doubts: why it should not be kept on.
        propane_only: it burns gas, and it gets too cold for butane.
        frozen: some of what the heat should reach is likely frozen by now, so that nobody drains
            it any more.
        holds_c: what the cabin is held at in the worst hour of the cold end [degC]; its setting
            where the supply reaches.
    """

    hold: HeatedHold
    start: datetime
    supply_w: float
    need_likely_w: tuple[float, ...]
    need_cold_w: tuple[float, ...]
    power_margin: float
    store_margin: float | None
    short_from: datetime | None
    out_at: datetime | None
    pipes_after_h: tuple[float, float | None] | None
    cold_spots: tuple[str, ...]
    doubts: tuple[Doubt, ...]
    propane_only: bool = False
    holds_c: float = 0.0
    frozen: bool = False

    @property
    def margin(self) -> float:
        """The lesser of both margins."""
        return min(self.power_margin, math.inf if self.store_margin is None else self.store_margin)

    @property
    def should_drain(self) -> bool:
        """It is better drained."""
        return bool(self.doubts)


def hold_view(
    vehicle: Vehicle,
    layout: Layout,
    water: Sequence[CircuitWater],
    site: Site,
    air: SiteAir,
    beside: Sequence[Vehicle] = (),
) -> HoldView:
    """Look at the heated hold of a vehicle.

    Args:
        vehicle: a vehicle with a hold.
        layout: its layout.
        water: what it holds.
        site: where it stands: what the place allows.
        air: air at the site.
        beside: the other vehicles there, which may be kept warm from the same supply.
    """
    hold = vehicle.hold
    assert hold is not None
    need_w = need_by_hour_w(vehicle, layout.shell, air, hold.setting_c)
    supply_w = supply_of_w(vehicle, site)
    cold_w = np.quantile(need_w, COLD, axis=0)
    power_margin = 1.0 - float(np.quantile(need_w.max(axis=1), COLD)) / supply_w
    store_margin, out_h = store_of(hold, np.minimum(need_w, supply_w))
    start = air.start + timedelta(hours=air.now_index)
    short = np.flatnonzero(cold_w > supply_w)
    heated, after_h = _with_and_without(vehicle, layout, water, air)
    spots = _cold_spots(layout, heated) if heated is not None else ()
    doubts = _doubts(vehicle, hold, site, power_margin, store_margin, spots, layout)
    drawing = drawing_at([vehicle, *(one for one in beside if one.key != vehicle.key)])
    if any(vehicle.key in one.vehicles for one in held_conflicts(drawing, site, start)):
        doubts = (*doubts, Doubt.TOGETHER)
    return HoldView(
        hold=hold,
        start=start,
        supply_w=supply_w,
        need_likely_w=tuple(np.quantile(need_w, LIKELY, axis=0).tolist()),
        need_cold_w=tuple(cold_w.tolist()),
        power_margin=power_margin,
        store_margin=store_margin,
        short_from=start + timedelta(hours=int(short[0])) if short.size else None,
        out_at=start + timedelta(hours=out_h) if out_h is not None else None,
        pipes_after_h=after_h,
        cold_spots=spots,
        doubts=doubts,
        propane_only=hold.fuel is Fuel.GAS and lowest_c(air) < BUTANE_C,
        frozen=heated is not None and _is_frozen(layout, heated),
        holds_c=held_at_c(layout.shell, hold.setting_c, float(cold_w.max()), supply_w),
    )


def _with_and_without(
    vehicle: Vehicle, layout: Layout, water: Sequence[CircuitWater], air: SiteAir
) -> tuple[Trajectory | None, tuple[float, float | None] | None]:
    """The vehicle heated on, and how long its pipes last at the worst hour for a stop."""
    air = around(vehicle, air)
    network = build_network(vehicle, layout, water, air, harm_fraction_of)
    if not network.item_keys:
        return None, None
    last = len(network.hold_w) - 1
    stops = [hour for hour in STOPS_H if air.now_index + hour < last]
    jobs = [Job(network=network, air=air)]
    for hour in stops:
        hold_w = _stopped(network.hold_w, air.now_index + hour)
        jobs.append(Job(network=replace(network, hold_w=hold_w), air=air))
    heated, *stopped = solve(jobs)
    rows = [
        row
        for row, key in enumerate(heated.item_keys)
        if layout.item(key).circuit in PIPES
        and layout.item(key).place in (Place.CABIN, Place.LOCKER)
    ]
    if not rows:
        return heated, None
    worst = [_after(path, rows, float(hour)) for hour, path in zip(stops, stopped, strict=True)]
    cold_h = min((cold for cold, _ in worst), default=math.inf)
    likely_h = min((likely for _, likely in worst), default=math.inf)
    if not math.isfinite(cold_h):
        return heated, None
    return heated, (cold_h, likely_h if math.isfinite(likely_h) else None)


def _stopped(hold_w: Array, index: int) -> Array:
    """Full heat to an hour, none from it on.

    An hour is given the mean of its two ends, so signs that alternate give nothing at all, where
    zeros would halve the last hour's heat.
    """
    stopped = hold_w.copy()
    stopped[index + 1 :: 2] *= -1.0
    return stopped


def _after(path: Trajectory, rows: Sequence[int], stop_h: float) -> tuple[float, float]:
    """Hours from a stop to the first ice in some pipe: cold end, likely.

    What had ice before the stop is a cold spot, no question of how long.
    """
    ice_h = path.ice_at_h[list(rows)]
    after_h = np.where(ice_h > stop_h, ice_h - stop_h, np.inf).min(axis=0)
    cold = float(np.quantile(after_h, 1.0 - COLD, method="lower"))
    return cold, float(np.quantile(after_h, LIKELY, method="higher"))


def _cold_spots(layout: Layout, heated: Trajectory) -> tuple[str, ...]:
    """Items in which one member in ten has ice within two days although it is heated."""
    within = (heated.ice_at_h <= BRIDGE_H).mean(axis=1)
    valve = layout.valve.drains if layout.valve else ""
    return tuple(
        key
        for key, share in zip(heated.item_keys, within.tolist(), strict=True)
        if share >= 1.0 - COLD - 1e-9 and key != valve
    )


def _is_frozen(layout: Layout, heated: Trajectory) -> bool:
    """Ice may have done harm by now in the cabin or the lockers, in half the members or more."""
    now = (heated.harm_at_h <= 0.0).mean(axis=1) >= LIKELY
    return any(
        layout.item(key).place in (Place.CABIN, Place.LOCKER)
        for key, frozen in zip(heated.item_keys, now.tolist(), strict=True)
        if frozen
    )


def _doubts(
    vehicle: Vehicle,
    hold: HeatedHold,
    site: Site,
    power_margin: float,
    store_margin: float | None,
    spots: Sequence[str],
    layout: Layout,
) -> tuple[Doubt, ...]:
    burns = hold.fuel is not None and hold.fuel.burns
    inside = [key for key in spots if layout.item(key).place in (Place.CABIN, Place.LOCKER)]
    forbidden = not site.gas_allowed and site.kind is not SiteKind.DRIVE
    thin = 0.0 <= power_margin < LEAST_MARGIN
    thin_store = store_margin is not None and 0.0 <= store_margin < LEAST_MARGIN
    found = {
        Doubt.TOO_WEAK: power_margin < 0.0,
        Doubt.THIN: thin or thin_store,
        Doubt.RUNS_OUT: store_margin is not None and store_margin < 0.0,
        Doubt.GAS_FORBIDDEN: hold.fuel is Fuel.GAS and forbidden,
        Doubt.BURNS_INDOORS: burns and vehicle.has_walls,
        Doubt.COLD_SPOTS: bool(inside),
    }
    return tuple(doubt for doubt, holds in found.items() if holds)


def waste_is_shut(water: Sequence[CircuitWater]) -> bool:
    """The waste tank holds water behind a shut valve, which no heat in the cabin reaches."""
    return any(
        entry.circuit is Circuit.WASTE_TANK and entry.is_wet and not entry.open_end
        for entry in water
    )
