"""Trajectories -> when harm begins in each item, how likely, and what could split.

Harm is not ice. A little ice in a big tank at most sticks its valve; a few per cent in a pump or
a heater tank that is full breaks it. The share of ice at which harm begins is a property of the
item and of how full it is; the solver notes when each member of the air reaches it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from frostwatch.fleet.vehicles import Circuit, Item, Layout, Shape
from frostwatch.heatloss.solve import Trajectory
from frostwatch.records.standing_water import CircuitWater

Hours = NDArray[np.float64]

BLOCKED_SMALL = 0.05
"""Ice fraction at which a pipe, tap, stub or valve is blocked: the ice that forms at once when 4 to
7 K of supercooling are released is 5.0 to 8.8 % (Gilpin's nucleation range, computed)."""
BLOCKED_TANK = 0.10
"""Ice fraction at which a tank's outlet counts as blocked. Estimate."""
SWELLING = 0.0907
"""Water grows by 9.07 % of its volume on freezing (999.84 / 916.72 kg/m3 - 1, IAPWS)."""
SOLID = 0.9
"""Ice fraction from which even a vessel with room to spare counts as harmed. Estimate."""

EARLY_SHARE = 0.10
"""*Earliest* is the hour that this share of the members reach."""
LIKELY_SHARE = 0.50

COST_WEIGHT: dict[Circuit, float] = {
    Circuit.HEATER_TANK: 1500.0,
    Circuit.WASTE_TANK: 250.0,
    Circuit.FRESH_TANK: 250.0,
    Circuit.HOT_PIPES: 200.0,
    Circuit.PUMP: 150.0,
    Circuit.COLD_PIPES: 150.0,
    Circuit.MACERATOR: 150.0,
    Circuit.FLUSH_TANK: 80.0,
    Circuit.FLUSH_VALVE: 60.0,
    Circuit.OUTLET_STUB: 60.0,
    Circuit.OUTSIDE_POINT: 60.0,
    Circuit.WASTE_PIPES: 60.0,
    Circuit.SHOWER: 40.0,
    Circuit.FILTER: 30.0,
    Circuit.TRAPS: 30.0,
    Circuit.CASSETTE: 20.0,
    Circuit.CONTAINERS: 20.0,
    Circuit.CARRIERS: 10.0,
}
"""How dear a circuit is, relative. Heater "over 1,000", tap "more than 100" (a UK repairer's page,
October 2023); the others from memory, not verified. Used for order only, never shown."""


def harm_fraction_of(item: Item, litres: float, open_end: bool) -> float:
    """Ice fraction at which harm begins in an item, inf where none can.

    Small items are blocked at 5 %, open tanks at 10 %. A closed stiff vessel that is full breaks at
    5 %; with free room of u of its volume it takes f = u / (1 - u) / 0.0907 of ice, and once that
    exceeds nine tenths the vessel counts as harmed when it is solid.

    Args:
        item: the item.
        litres: water in it [L].
        open_end: its outlet stands open, so that ice has somewhere to go.
    """
    if open_end or litres <= 0.0:
        return math.inf
    if item.shape in (Shape.PIPE, Shape.FITTING):
        return BLOCKED_SMALL
    if not item.closed:
        return BLOCKED_TANK
    volume_l = item.capacity_l.value * (1.0 + item.air_space_fraction)
    room = max(0.0, volume_l - litres) / litres
    return min(max(BLOCKED_SMALL, room / SWELLING), SOLID)


def probability_of(count: int, members: int) -> float:
    """Probability from ``count`` of ``members``: 0 of 40 is not zero, 40 of 40 not one."""
    return (count + 0.5) / (members + 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """How likely something is inside a stretch of hours, and when.

    Attributes:
        probability: 0 to 1; 0 where there is nothing it could happen to.
        earliest_h: hour that one member in ten reaches [h from the night's start]; inf if fewer do.
        likely_h: hour that half of the members reach [h]; inf if fewer do.
    """

    probability: float
    earliest_h: float = math.inf
    likely_h: float = math.inf


NO_CHANCE = Chance(probability=0.0)


def chance_of(first_h: Hours) -> Chance:
    """Chance of something that each member reaches at ``first_h`` [h], shape (M,); inf = never."""
    return _chance_by(np.sort(first_h), math.inf)


def _chance_by(reached: Hours, until_h: float) -> Chance:
    """The same from sorted hours, of which only those up to ``until_h`` count."""
    members = len(reached)
    if members == 0:
        return NO_CHANCE
    side: Literal["left", "right"] = "left" if until_h == math.inf else "right"
    count = int(reached.searchsorted(until_h, side))

    def hour(share: float) -> float:
        rank = math.ceil(share * members) - 1
        return float(reached[rank]) if rank < count else math.inf

    return Chance(
        probability=probability_of(count, members),
        earliest_h=hour(EARLY_SHARE),
        likely_h=hour(LIKELY_SHARE),
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class VehicleNight:
    """What frost could do to the water of one vehicle; I items that can be harmed, M members.

    Attributes:
        start: hour 0, UTC.
        hours: hours that are known ahead [h].
        items: the items that frost could harm, in the order of the layout.
        harm_h: first hour of harm, shape (I, M) [h]; 0 where it is frozen already, inf if never.
        ice_h: first hour of ice, shape (I, M) [h].
        possible_h: first hour at which ice is possible, shape (I, M) [h]: of a tank the hour at
            which its mean falls to 2 degC; None for the hours of ice.
        thawed_h: hour from which no ice is left anywhere, shape (M,) [h]; 0 where there is none at
            all, inf where ice outlasts what is known.
        valve_item: item that a frost-opening valve empties, None if there is none in the water.
        tripped_h: hour at which that valve opens, shape (M,) [h]; below 0 where it stands open
            already, inf if never.
    """

    start: datetime
    hours: float
    items: tuple[Item, ...]
    harm_h: Hours
    ice_h: Hours
    thawed_h: Hours
    valve_item: Item | None
    tripped_h: Hours
    possible_h: Hours | None = None

    def at(self, hour: float) -> datetime | None:
        """Time of an hour, UTC; None for an hour that never comes."""
        return self.start + timedelta(hours=hour) if math.isfinite(hour) else None

    def hour_of(self, moment: datetime) -> float:
        """Hours from the start to ``moment``."""
        return (moment - self.start) / timedelta(hours=1)

    def harm_between(self, after_h: float, until_h: float) -> Chance:
        """Chance that harm begins in some item later than ``after_h`` and by ``until_h``."""
        if not self.items:
            return NO_CHANCE
        inside = (self.harm_h > after_h) & (self.harm_h <= until_h)
        return chance_of(np.where(inside, self.harm_h, math.inf).min(axis=0))

    @cached_property
    def first_harm_h(self) -> Hours:
        """First hour of harm in any item, shape (M,) [h]; sorted, inf last."""
        return np.sort(self.harm_h.min(axis=0, initial=math.inf))

    @cached_property
    def first_possible_h(self) -> Hours:
        """First hour of possible ice in any item, shape (M,) [h]; sorted, inf last."""
        hours = self.ice_h if self.possible_h is None else self.possible_h
        return np.sort(hours.min(axis=0, initial=math.inf))

    @cached_property
    def first_ice_h(self) -> Hours:
        """First hour of ice in any item, shape (M,) [h]; sorted, inf last."""
        return np.sort(self.ice_h.min(axis=0, initial=math.inf))

    def harm_by(self, until_h: float) -> Chance:
        """Chance that harm has begun by ``until_h``, harm that is there already included."""
        return _chance_by(self.first_harm_h, until_h) if self.items else NO_CHANCE

    def ice_by(self, until_h: float) -> Chance:
        """Chance of any ice by ``until_h``, ice that is there already included."""
        return _chance_by(self.first_ice_h, until_h) if self.items else NO_CHANCE

    def possible_ice_by(self, until_h: float) -> Chance:
        """Chance that ice is possible somewhere by ``until_h``."""
        return _chance_by(self.first_possible_h, until_h) if self.items else NO_CHANCE

    def valve_opens(self, until_h: float) -> Chance:
        """Chance that the frost-opening valve has let the heater tank go by ``until_h``.

        Where it stands open already, as far as the air of the past tells, that counts as hour 0.
        """
        if self.valve_item is None:
            return NO_CHANCE
        opened = np.maximum(self.tripped_h, 0.0)
        return chance_of(np.where(opened <= until_h, opened, math.inf))

    def item_chances(self, until_h: float) -> tuple[tuple[Item, Chance], ...]:
        """Chance of harm by ``until_h`` for each item, in the order of the layout."""
        return tuple(
            (item, chance_of(np.where(row <= until_h, row, math.inf)))
            for item, row in zip(self.items, self.harm_h, strict=True)
        )

    def in_cost_order(self, until_h: float, *, above: float) -> tuple[Item, ...]:
        """Items that could split by ``until_h`` with more than ``above``, dearest first."""
        counts = (self.harm_h <= until_h).sum(axis=1).tolist()
        members = self.harm_h.shape[1]
        likely = [
            item
            for item, count in zip(self.items, counts, strict=True)
            if probability_of(count, members) > above
        ]
        return tuple(sorted(likely, key=lambda i: (-COST_WEIGHT.get(i.circuit, 0.0), i.key)))


def vehicle_night(
    trajectory: Trajectory, layout: Layout, water: Sequence[CircuitWater]
) -> VehicleNight:
    """What frost could do to one vehicle.

    Items whose outlet stands open and the tank behind a working frost-opening valve are left out:
    the one has nowhere to burst, the other empties itself.

    Args:
        trajectory: what its water does, member by member.
        layout: its layout with its overrides applied.
        water: what each circuit holds.
    """
    open_ended = {entry.circuit for entry in water if entry.open_end}
    valve_item = None
    rows, items = [], []
    for row, key in enumerate(trajectory.item_keys):
        item = layout.item(key)
        if layout.valve is not None and layout.valve.drains == key:
            valve_item = item
        elif item.circuit not in open_ended:
            rows.append(row)
            items.append(item)
    hours = trajectory.cabin_c.shape[-1] - 1
    return VehicleNight(
        start=trajectory.start,
        hours=float(hours),
        items=tuple(items),
        harm_h=np.asarray(trajectory.harm_at_h, dtype=np.float64)[rows],
        ice_h=np.asarray(trajectory.ice_at_h, dtype=np.float64)[rows],
        possible_h=_possible_h(trajectory, items, rows),
        thawed_h=_thawed_h(trajectory.ice_fraction[rows], hours),
        valve_item=valve_item,
        tripped_h=np.asarray(trajectory.tripped_at_h, dtype=np.float64),
    )


def _possible_h(trajectory: Trajectory, items: Sequence[Item], rows: Sequence[int]) -> Hours:
    """Hour of possible first ice, shape (I, M): a tank freezes at its skin before its mean does."""
    tanks = np.array([item.shape not in (Shape.PIPE, Shape.FITTING) for item in items], dtype=bool)
    cool_h = np.asarray(trajectory.cool_at_h, dtype=np.float64)[list(rows)]
    ice_h = np.asarray(trajectory.ice_at_h, dtype=np.float64)[list(rows)]
    return np.where(tanks[:, None], np.minimum(cool_h, ice_h), ice_h)


def _thawed_h(ice_fraction: NDArray[np.float32], hours: int) -> Hours:
    """Hour after the last ice in any item, shape (M,)."""
    icy = (ice_fraction > 0.0).any(axis=0)
    last = np.where(icy, np.arange(hours + 1), -1).max(axis=-1, initial=-1)
    return np.where(last >= hours, math.inf, last + 1.0)
