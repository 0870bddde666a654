"""From what the heat model did to what people are shown of it."""

import math
from collections.abc import Sequence
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from frostwatch.advice.band import (
    COLD,
    HOUR,
    LIKELY,
    MILD,
    Band,
    band_of,
    picked,
    rounded,
)
from frostwatch.advice.daylight import local
from frostwatch.advice.harm import NO_CHANCE, Chance, chance_of
from frostwatch.advice.night_view import Drawn, Fate, ItemNight, NightView
from frostwatch.fleet.vehicles import Circuit, Item, Layout
from frostwatch.heatloss.solve import Trajectory
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.site_air import SiteAir

LONGEST_H = 72
SHORTEST_H = 24
AFTERNOON = time(18)
"""A night is shown to this hour of the day after its coldest hour, at most three days."""
MORNING_H = 2
"""The table tells the ice this long after the coldest hour: the water lags the air. Estimate."""


def shown_until(air: Band, zone: ZoneInfo) -> datetime:
    """End of what is shown: the afternoon after the coldest hour, 24 to 72 hours from the start."""
    coldest, _, _ = air.until(air.start + LONGEST_H * HOUR).lowest()
    day = coldest.astimezone(zone).date()
    end = local(day, AFTERNOON, zone)
    if end < coldest + MORNING_H * HOUR:
        end = local(day + timedelta(days=1), AFTERNOON, zone)
    shortest, longest = air.start + SHORTEST_H * HOUR, air.start + LONGEST_H * HOUR
    return min(max(end, shortest), longest, air.end)


def air_ahead(air: SiteAir) -> Band:
    """The air from now on as a band."""
    start = air.start + air.now_index * HOUR
    return band_of(air.air_c[:, air.now_index :], start)


def night_view(
    vehicle: str,
    trajectory: Trajectory,
    layout: Layout,
    water: Sequence[CircuitWater],
    air: Band,
    *,
    zone: ZoneInfo,
    made_at: datetime,
    issued_at: datetime | None,
    ratio: float,
) -> NightView:
    """The night of one vehicle, ready to be shown.

    Args:
        vehicle: key of the vehicle.
        trajectory: what its water does, member by member.
        layout: its layout with its overrides applied.
        water: what each circuit holds.
        air: the air from the trajectory's start on.
        zone: time zone of the place.
        made_at: moment of the pass, UTC.
        issued_at: issue of the forecast, UTC.
        ratio: chance of harm that counts as harm; the site's cost ratio.
    """
    end = shown_until(air, zone)
    shown = air.until(end)
    coldest, _, _ = shown.lowest()
    morning = min(coldest + MORNING_H * HOUR, shown.end)
    reading = _Reading(trajectory, layout, water, shown, morning, ratio)
    return NightView(
        vehicle=vehicle,
        made_at=made_at,
        issued_at=issued_at,
        air=shown,
        coldest_at=coldest,
        morning_at=morning,
        items=reading.items(),
    )


class _Reading:
    """Reads the items off one trajectory."""

    def __init__(
        self,
        trajectory: Trajectory,
        layout: Layout,
        water: Sequence[CircuitWater],
        shown: Band,
        morning: datetime,
        ratio: float,
    ) -> None:
        self._path = trajectory
        self._layout = layout
        self._water = {entry.circuit: entry for entry in water}
        self._hours = min(shown.hours, trajectory.water_c.shape[-1] - 1)
        self._morning = min(int((morning - trajectory.start) // HOUR), self._hours)
        self._ratio = ratio
        self._items = tuple(layout.item(key) for key in trajectory.item_keys)

    def items(self) -> tuple[ItemNight, ...]:
        """All items, the first to freeze first; what lets itself go stands last."""
        path, count = self._path, len(self._items)
        ice = [chance_of(path.ice_at_h[row]) for row in range(count)]
        harm = [chance_of(path.harm_at_h[row]) for row in range(count)]
        first = self._first_of_circuit(ice)
        drawn = dict(zip(first, self._drawn(first), strict=True))
        at = path.ice_fraction[:, :, self._morning][:, :, None]
        by, most = picked(at, (LIKELY, MILD))[:, :, 0] if count else ((), ())
        found = [
            self._item(row, ice[row], harm[row], float(by[row]), float(most[row]), drawn.get(row))
            for row in range(count)
        ]
        return tuple(sorted(found, key=_order))

    def _first_of_circuit(self, ice: Sequence[Chance]) -> list[int]:
        """The row of each circuit that freezes first."""
        first: dict[Circuit, int] = {}
        for row, item in enumerate(self._items):
            best = first.get(item.circuit)
            if best is None or _soonness(ice[row]) < _soonness(ice[best]):
                first[item.circuit] = row
        return list(first.values())

    def _drawn(self, rows: list[int]) -> list[Drawn | None]:
        """Courses of these rows; None for an item whose water is gone at the start."""
        if not rows:
            return []
        span = slice(0, self._hours + 1)
        cold, likely, mild = picked(self._path.water_c[rows, :, span], (COLD, LIKELY, MILD))
        kept = [rounded(values, 1).tolist() for values in (cold, likely, mild)]
        shares = picked(self._path.ice_fraction[rows, :, span], (LIKELY, MILD))
        ice, most = (rounded(values, 2).tolist() for values in shares)
        courses: list[Drawn | None] = []
        for n, row in enumerate(rows):
            if np.isnan(likely[n, 0]):
                courses.append(None)
                continue
            end = self._leaves_at(row, likely[n])
            courses.append(
                Drawn(
                    water_c=Band(
                        start=self._path.start,
                        cold=tuple(kept[0][n][:end]),
                        likely=tuple(kept[1][n][:end]),
                        mild=tuple(kept[2][n][:end]),
                    ),
                    ice=tuple(ice[n][:end]),
                    ice_most=tuple(most[n][:end]),
                )
            )
        return courses

    def _leaves_at(self, row: int, likely_c: np.ndarray) -> int:
        """How many hours of an item are drawn: to the likely opening of its valve."""
        gone = np.flatnonzero(np.isnan(likely_c))
        end = int(gone[0]) if gone.size else len(likely_c)
        opens_h = self._opens(self._items[row]).likely_h
        return max(1, min(end, math.ceil(opens_h) + 1)) if math.isfinite(opens_h) else max(1, end)

    def _opens(self, item: Item) -> Chance:
        valve = self._layout.valve
        if valve is None or valve.drains != item.key:
            return NO_CHANCE
        opens_h = self._path.tripped_at_h
        return chance_of(np.where(opens_h < 0.0, 0.0, opens_h))

    def _item(
        self,
        row: int,
        ice: Chance,
        harm: Chance,
        ice_by: float,
        most: float,
        drawn: Drawn | None,
    ) -> ItemNight:
        item = self._items[row]
        entry = self._water[item.circuit]
        opens = self._opens(item)
        inside = self._path.harm_at_h[row]
        chance = chance_of(np.where(inside <= self._hours, inside, math.inf))
        return ItemNight(
            key=item.key,
            circuit=item.circuit,
            place=item.place,
            litres=self._litres(item, entry),
            capacity_l=item.capacity_l.value,
            ice_early=self._at(ice.earliest_h),
            ice_likely=self._at(ice.likely_h),
            harm_early=self._at(harm.earliest_h),
            harm_likely=self._at(harm.likely_h),
            probability=round(chance.probability, 3),
            ice_by=round(ice_by, 2),
            ice_by_most=round(most, 2),
            opens_early=self._at(opens.earliest_h),
            opens_likely=self._at(opens.likely_h),
            fate=self._fate(item, entry, chance, most),
            drawn=drawn,
        )

    def _fate(self, item: Item, entry: CircuitWater, harm: Chance, ice_most: float) -> Fate:
        valve = self._layout.valve
        if valve is not None and valve.drains == item.key:
            return Fate.LEAVES
        if entry.open_end:
            return Fate.RUNS_OUT
        if harm.probability > self._ratio:
            return Fate.HARM
        return Fate.ICE if ice_most > 0.0 else Fate.NOTHING

    def _litres(self, item: Item, entry: CircuitWater) -> float:
        """An item's part of what its circuit holds."""
        alike = [i.capacity_l.value for i in self._layout.items if i.circuit is item.circuit]
        share = entry.litres_soon_l * item.capacity_l.value / (sum(alike) or 1.0)
        return round(min(share, item.capacity_l.value), 2)

    def _at(self, hour: float) -> datetime | None:
        if not math.isfinite(hour):
            return None
        return self._path.start + timedelta(minutes=round(60.0 * hour))


def _soonness(ice: Chance) -> tuple[float, float, float]:
    return ice.earliest_h, ice.likely_h, -ice.probability


def _order(item: ItemNight) -> tuple[bool, float, str]:
    """By the earliest ice; what never freezes behind, what lets itself go last."""
    soon = item.ice_early.timestamp() if item.ice_early is not None else math.inf
    return item.fate is Fate.LEAVES, soon, item.key
