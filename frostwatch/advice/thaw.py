"""After a frost: what may be filled again, and when; stricter than when it is worth looking.

"May be filled" asks for five things at once: no ice anywhere, water or empty pipes at 3 degC for
six hours at the cold end of the members, 7 degC at the dump valve, 5 degC at the pump, and that
somebody has looked. The model thaws a vessel too early, as one node does: hence the six hours.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.gates import COLD
from frostwatch.advice.warm_up import PUMP_C, SOAK_STEP_MIN, Standing, pump_place
from frostwatch.fleet.vehicles import Layout, Place
from frostwatch.heatloss.trajectory import Trajectory
from frostwatch.heatloss.warming import CABIN, FURNITURE, LOCKER

Bools = NDArray[np.bool_]

WARM_C = 3.0
WARM_H = 6
PIPE_CABIN_SHARE = 0.7
"""Pipe air: 0.7 cabin and 0.3 outside. Estimate."""


class Want(StrEnum):
    """What is still missing before water may go in."""

    ICE = "ice may still be in it"
    WARMTH = "not yet 3 degC for six hours"
    VALVE = "not yet 7 degC at the dump valve"
    PUMP = "not yet 5 degC at the pump"
    LOOK = "nobody has looked since the frost"


@dataclass(frozen=True, slots=True, kw_only=True)
class MayFill:
    """Whether water may go in.

    Attributes:
        wants: what is missing now; empty where it may be filled.
        from_at: first hour at which nothing but the look is missing, by itself and without heat,
            UTC; None within what is known.
        again_at: when it freezes again after that hour at the cold end, UTC; None where no frost
            is in sight.
        lasting_from: first hour like ``from_at`` after the last frost that is known, UTC.
    """

    wants: tuple[Want, ...]
    from_at: datetime | None
    again_at: datetime | None = None
    lasting_from: datetime | None = None

    @property
    def now(self) -> bool:
        """It may be filled now."""
        return not self.wants


def may_fill(
    layout: Layout, stand: Standing, path: Trajectory | None, *, looked: bool, now: datetime
) -> MayFill:
    """The gate for filling.

    Args:
        layout: the vehicle's layout.
        stand: how its air stands, from six hours before now: what is not known to have been warm
            for six hours counts as cold.
        path: what the water in it does, from the same hour; None for a vehicle without any.
        looked: somebody has looked since the frost.
        now: aware UTC time.
    """
    gates = {
        Want.ICE: _no_ice(stand, path),
        Want.WARMTH: _warm(stand, path),
        Want.VALVE: _valve(layout, stand),
        Want.PUMP: _enough(_at_pump(layout, stand), PUMP_C),
    }
    here = int((now - stand.start) // timedelta(hours=1))
    wants = [want for want, open_at in gates.items() if not open_at[here]]
    if not looked:
        wants.append(Want.LOOK)
    length = min(len(open_at) for open_at in gates.values())
    together = np.logical_and.reduce([open_at[:length] for open_at in gates.values()])
    together[:here] = False
    frost = ~_enough(stand.outside_c, 0.0)[:length]
    first = np.flatnonzero(together)
    again = np.flatnonzero(frost[first[0] :]) + first[0] if first.size else first
    last = int(again[-1]) if again.size else 0
    lasting = first[first > last] if again.size else first

    def hour(found: NDArray[np.intp]) -> datetime | None:
        return stand.start + timedelta(hours=int(found[0])) if found.size else None

    return MayFill(
        wants=tuple(wants),
        from_at=hour(first),
        again_at=hour(again),
        lasting_from=hour(lasting),
    )


def _hourly(series: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(series[:, :: 60 // SOAK_STEP_MIN])


def _enough(series: NDArray[np.float64], level_c: float) -> Bools:
    """Hours at which nine members in ten have a level."""
    return np.asarray((_hourly(series) >= level_c).mean(axis=0) >= COLD)


def _held(series: Bools, hours: int) -> Bools:
    """Hours at which something was so for the last hours too; the first of them count as not."""
    held = series.copy()
    for back in range(1, hours + 1):
        held[back:] &= series[:-back]
        held[:back] = False
    return held


def _no_ice(stand: Standing, path: Trajectory | None) -> Bools:
    hours = _hourly(stand.outside_c).shape[1]
    if path is None or not path.item_keys:
        return np.ones(hours, dtype=np.bool_)
    clear = (path.ice_fraction <= 0.0).all(axis=0).mean(axis=0) >= COLD
    return np.asarray(clear[:hours])


def _warm(stand: Standing, path: Trajectory | None) -> Bools:
    cabin, outside = _hourly(stand.x_c[CABIN]), _hourly(stand.outside_c)
    pipes_c = PIPE_CABIN_SHARE * cabin + (1.0 - PIPE_CABIN_SHARE) * outside
    warm = (pipes_c >= WARM_C).mean(axis=0) >= COLD
    if path is not None and path.item_keys:
        # an emptied heater tank has no temperature and stands in nobody's way
        water = np.where(np.isnan(path.water_c), np.inf, path.water_c) >= WARM_C
        water_warm = water.all(axis=0).mean(axis=0) >= COLD
        length = min(len(warm), len(water_warm))
        warm = warm[:length] & water_warm[:length]
    return _held(np.asarray(warm), WARM_H)


def _valve(layout: Layout, stand: Standing) -> Bools:
    if layout.valve is None:
        return np.ones(_hourly(stand.outside_c).shape[1], dtype=np.bool_)
    rows = {Place.CABIN: FURNITURE, Place.LOCKER: LOCKER}
    row = rows.get(layout.valve.place)
    series = stand.outside_c if row is None else stand.x_c[row]
    return _enough(np.asarray(series), layout.valve.closable_above_c.value)


def _at_pump(layout: Layout, stand: Standing) -> NDArray[np.float64]:
    rows = {Place.CABIN: FURNITURE, Place.LOCKER: LOCKER}
    row = rows.get(pump_place(layout))
    return stand.outside_c if row is None else np.asarray(stand.x_c[row])


class Look(StrEnum):
    """What is done with a vehicle that may have frozen, in this order."""

    LEAVE = "leave it"
    PHOTOGRAPH = "photograph first"
    WARM = "warm it slowly"
    OPEN = "open the taps"
    DRAIN = "let out what comes"
    STRAINER = "strainer bowl and filter"
    TAPS = "taps and shower"
    HEATER = "heater and its connections"
    OUTSIDE = "outside point, valves and slides"
    FILL = "20 L, low pressure"
    LISTEN = "pump silent for 10 minutes"
    RECORD = "record what was found"


def looks_for(layout: Layout, water_keys: Sequence[str] = ()) -> tuple[Look, ...]:
    """The order of looking for a layout; what it does not have is left out."""
    circuits = {item.circuit.value for item in layout.items} | set(water_keys)
    absent = {
        Look.HEATER: "H1" not in circuits,
        Look.OUTSIDE: not {"F4", "W4", "W3"} & circuits,
    }
    return tuple(look for look in Look if not absent.get(look, False))
