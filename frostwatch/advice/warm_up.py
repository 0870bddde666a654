"""When a vehicle that stands cold has been warmed enough to take water: the two gates of heat.

The dump valve stays shut only in air above about 7 degC, and the pump's locker must have 5 degC
before water goes in. A valve is a small body in the air around it and follows it a quarter to half
an hour late. In the living room that meets the half hour that is common practice (no source) for 4
to 6 kW at about -3 degC. Nobody has measured what a valve is screwed to, so two bounds are told
with it, the air alone and the furniture alone. In a locker it follows the locker, whose doors stand
open; under the floor it follows the outside air, which no heater warms.

Too early is the dangerous side: nobody waits for a valve that pops, and water let into a cold
locker freezes. So the hour to work to is that of a heavy vehicle with a slow valve, in the cold
airs; the likely hour, of the vehicle as its layout has it, is told beside it.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from frostwatch.fleet.vehicles import Layout, Place, Shell, Vehicle
from frostwatch.heatloss.surroundings import around
from frostwatch.heatloss.warming import CABIN, FURNITURE, LOCKER, Course, course
from frostwatch.weather.site_air import SiteAir

Array = NDArray[np.float64]

VALVE_LAG_MIN, SLOW_VALVE_LAG_MIN = 15.0, 30.0
"""How far a valve is behind its air: likely, and where it is hidden. Estimates: 0.3 kg of brass
and plastic, 200 J/K, in a film of 0.1 to 0.2 W/K take 17 to 33 minutes."""
PUMP_C = 5.0
"""Pump locker at which water may go in [degC]. Estimate; makers say "fully heated"."""
COMFORT_C = 20.0
"""Setting of the heater, and the mean of the heating grades of EN 1646-1 (from secondary pages)."""
STAYS_MIN = 5
"""A valve that has stayed shut for so long stays shut. Estimate."""
SOAK_STEP_MIN = 5
LONGEST_H = 24
"""Nobody heats longer than a day for one handover. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Standing:
    """A vehicle as it stands in the hours ahead, on a grid of five minutes.

    Attributes:
        layout: its layout.
        start: first moment of the grid, UTC.
        x_c: cabin air, locker, furniture without more heat, shape (3, M, N) [degC].
        outside_c: air around it, shape (M, N) [degC].
        roof_k: roof minus that air, shape (N,) [K].
    """

    layout: Layout
    start: datetime
    x_c: Array
    outside_c: Array
    roof_k: Array

    @property
    def end(self) -> datetime:
        """Last moment known, UTC."""
        return self.at(self.outside_c.shape[1] - 1)

    def at(self, index: int) -> datetime:
        """The moment of a place on the grid."""
        return self.start + timedelta(minutes=SOAK_STEP_MIN * index)

    def index(self, moment: datetime) -> int:
        """Last place on the grid that is not after a moment."""
        return int((moment - self.start) // timedelta(minutes=SOAK_STEP_MIN))


def standing(vehicle: Vehicle, layout: Layout, air: SiteAir, *, back_h: int = 0) -> Standing:
    """How a dry vehicle cools and warms by itself, from now to the end of the forecast.

    Args:
        vehicle: what is over it, and whether heat is kept on.
        layout: its layout.
        air: air at its site; the past hours let it soak.
        back_h: begin so many hours before now, as far as the air goes: for a plan under way.
    """
    air = around(vehicle, air)
    outside_c = air.air_c
    hours = np.arange(outside_c.shape[1], dtype=float)
    fine = np.linspace(0.0, hours[-1], 1 + int(hours[-1]) * 60 // SOAK_STEP_MIN)
    outside_c, roof_k = _between(outside_c, fine), np.interp(fine, hours, air.roof_k)
    hold = vehicle.hold
    soak = course(
        layout.shell,
        np.tile(outside_c[:, : 24 * 60 // SOAK_STEP_MIN].mean(axis=1), (3, 1)),
        outside_c,
        roof_k,
        step_s=60.0 * SOAK_STEP_MIN,
        power_w=hold.power_w if hold else 0.0,
        setting_c=hold.setting_c if hold else COMFORT_C,
    )
    begins = max(0, air.now_index - back_h)
    now = begins * 60 // SOAK_STEP_MIN
    return Standing(
        layout=layout,
        start=air.start + timedelta(hours=begins),
        x_c=soak.x_c[:, :, now:],
        outside_c=outside_c[:, now:],
        roof_k=roof_k[now:],
    )


def _between(hourly: Array, at_h: Array) -> Array:
    """Hourly rows of shape (M, H + 1), straight between the hours."""
    before = np.minimum(at_h.astype(int), hourly.shape[1] - 2)
    after_share = at_h - before
    between: Array = hourly[:, before] * (1 - after_share) + hourly[:, before + 1] * after_share
    return between


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WarmUp:
    """A vehicle warmed from one moment on; minutes are counted from there, inf for never.

    Attributes:
        on_at: heating on, UTC.
        course: by the minute, of the vehicle as its layout has it.
        valve_min: when the slow valve of a heavy vehicle stays shut, shape (M,) [min]: the minutes
            to work to.
        pump_min: when the pump's surroundings in a heavy vehicle have 5 degC, shape (M,) [min].
        valve_likely_min: when the valve likely stays shut.
        valve_air_min: the same if it felt the air alone.
        valve_furniture_min: the same if it followed the furniture alone.
        pump_likely_min: when the pump's surroundings likely have 5 degC.
    """

    on_at: datetime
    course: Course
    valve_min: Array
    pump_min: Array
    valve_likely_min: Array
    valve_air_min: Array
    valve_furniture_min: Array
    pump_likely_min: Array


def warm_up(
    stand: Standing, on_at: datetime, power_w: float, until: datetime, *, minutes: int = 1
) -> WarmUp:
    """Warm a vehicle with all lockers open.

    Args:
        stand: how it stands.
        on_at: heating on, on the grid of five minutes, UTC.
        power_w: heat of the source [W].
        until: how far to look, UTC; at most a day on, or to the end of the forecast.
        minutes: length of a step; up to five.
    """
    first = stand.index(on_at)
    last = min(
        stand.index(until), first + LONGEST_H * 60 // SOAK_STEP_MIN, stand.outside_c.shape[1] - 1
    )
    last = max(last, first + 1)
    span = np.linspace(0.0, last - first, 1 + (last - first) * SOAK_STEP_MIN // minutes)
    grid = np.arange(last - first + 1, dtype=float)
    outside_c = _between(stand.outside_c[:, first : last + 1], span)
    roof_k = np.interp(span, grid, stand.roof_k[first : last + 1])

    def run(shell: Shell) -> Course:
        return course(
            shell,
            stand.x_c[:, :, first],
            outside_c,
            roof_k,
            step_s=60.0 * minutes,
            power_w=power_w,
            setting_c=COMFORT_C,
            doors_open=True,
        )

    layout = stand.layout
    likely, slow = run(layout.shell), run(heavy(layout.shell))
    air_c, slow_air_c = _valve_air(layout, likely), _valve_air(layout, slow)
    by_furniture_c = likely.x_c[FURNITURE] if _valve_place(layout) is Place.CABIN else air_c

    def shuts(valve_c: Array) -> Array:
        return _stays(valve_c, _closable_c(layout), minutes)

    return WarmUp(
        on_at=on_at,
        course=likely,
        valve_min=shuts(_behind(slow_air_c, SLOW_VALVE_LAG_MIN, minutes)),
        pump_min=_stays(_pump_air(layout, slow), PUMP_C, minutes),
        valve_likely_min=shuts(_behind(air_c, VALVE_LAG_MIN, minutes)),
        valve_air_min=shuts(air_c),
        valve_furniture_min=shuts(by_furniture_c),
        pump_likely_min=_stays(_pump_air(layout, likely), PUMP_C, minutes),
    )


def heavy(shell: Shell) -> Shell:
    """The same vehicle with furniture and lockers as heavy as they may be: it warms last."""
    mass, locker = shell.cabin_mass_j_per_k, shell.locker_j_per_k
    return replace(
        shell,
        cabin_mass_j_per_k=replace(mass, value=mass.high),
        locker_j_per_k=replace(locker, value=locker.high),
    )


def _behind(air_c: Array, lag_min: float, minutes: int) -> Array:
    """A small body that begins at its air and follows it late, shape (M, T + 1) [degC]."""
    keep = float(np.exp(-minutes / lag_min))
    body_c = np.empty((air_c.shape[1], air_c.shape[0]))
    body_c[0] = air_c[:, 0]
    body_c[1:] = ((1.0 - keep) * (0.5 * (air_c[:, :-1] + air_c[:, 1:]))).T
    kept_c = np.empty(air_c.shape[0])
    for before, body in pairwise(body_c):
        body += np.multiply(keep, before, out=kept_c)
    return np.ascontiguousarray(body_c.T)


def _closable_c(layout: Layout) -> float:
    return layout.valve.closable_above_c.value if layout.valve else -np.inf


def _valve_place(layout: Layout) -> Place:
    return layout.valve.place if layout.valve else Place.CABIN


def _valve_air(layout: Layout, run: Course) -> Array:
    """The air around the valve, shape (M, T + 1) [degC]."""
    place = _valve_place(layout)
    return np.asarray(run.x_c[CABIN]) if place is Place.CABIN else _local(place, run)


def pump_place(layout: Layout) -> Place:
    """Where the pump is; without one, where the fresh tank is."""
    by_key = {item.key: item.place for item in layout.items}
    return by_key.get("F2", by_key.get("F1", Place.CABIN))


def _pump_air(layout: Layout, run: Course) -> Array:
    """What the pump's surroundings have: in the living room it stands among the furniture."""
    return _local(pump_place(layout), run)


def _local(place: Place, run: Course) -> Array:
    if place is Place.CABIN:
        return np.asarray(run.x_c[FURNITURE])
    return np.asarray(run.x_c[LOCKER]) if place is Place.LOCKER else run.outside_c


def _stays(series_c: Array, level_c: float, minutes: int) -> Array:
    """First minute from which a series stays at or above a level for five, shape (M,); inf."""
    enough = series_c >= level_c
    steps = max(1, STAYS_MIN // minutes)
    holds = enough[:, : enough.shape[1] - steps].copy()
    for later in range(1, steps + 1):
        holds &= enough[:, later : later + holds.shape[1]]
    first = holds.argmax(axis=1).astype(float) * minutes
    return np.where(holds.any(axis=1), first, np.inf)
