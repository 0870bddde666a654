"""What really happened: the air as it was observed, the water as it was recorded, the ice it made.

The observed air is pieced together from the past hours of the replies that were used; the water
is what the record says, with nobody having acted on any message; the heat model runs on that one
path. Where the record does not know, what the rules reckon with is taken.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.harm import vehicle_night
from frostwatch.fleet.sites import Site, as_it_stands
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.heatloss.solve import Trajectory, solve
from frostwatch.ports import Forecasts
from frostwatch.records.entries import Entry
from frostwatch.service.nights import Memory, Van, air_of, job_for, next_end
from frostwatch.weather.forecast import FetchFailure, Forecast, Point
from frostwatch.weather.site_air import SiteAir

HOUR = timedelta(hours=1)
QUIET = timedelta(days=3)
"""Harm that comes again later than this after it ended is another spell."""
STRETCH_H = 168
"""Stretches of time are worked out in whole weeks, so that many run side by side."""


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Spell:
    """A time with harm in a vehicle or one of its items.

    Attributes:
        begins: the share of ice at which harm begins is reached, UTC.
        ends: last hour of it, UTC; no harm for three days after.
    """

    begins: datetime
    ends: datetime


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Past:
    """What happened to one vehicle, had nobody acted.

    Attributes:
        vehicle: the vehicle.
        water: what it held: (from when on, the vehicle as it then stood), in order.
        spells: spells of harm in any of its items.
        by_item: item key -> its spells; items that were never harmed are left out.
    """

    vehicle: Vehicle
    water: tuple[tuple[datetime, Van], ...]
    spells: tuple[Spell, ...]
    by_item: Mapping[str, tuple[Spell, ...]]

    def stood(self, at: datetime) -> Van:
        """The vehicle as it stood at a moment."""
        return [van for since, van in self.water if since <= at][-1]

    def since(self, at: datetime) -> datetime:
        """Since when it stood so."""
        return [since for since, _ in self.water if since <= at][-1]


class Witness:
    """Passes forecasts on and remembers their past hours: what the air really was.

    Each hour is taken from the earliest reply in which it is past.

    Args:
        forecasts: where the forecasts come from; to be asked in order of time.
    """

    def __init__(self, forecasts: Forecasts) -> None:
        self._forecasts = forecasts
        self._seen: dict[str, list[tuple[datetime, Forecast, int, int]]] = {}
        self._known_to: dict[str, datetime] = {}

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        """Point key -> forecast or why there is none, as the source gives it."""
        found = self._forecasts.at(points, now)
        for key, forecast in found.items():
            if isinstance(forecast, Forecast):
                self._note(key, forecast)
        return found

    def _note(self, key: str, forecast: Forecast) -> None:
        known_to = self._known_to.get(key, forecast.start)
        ends = min(forecast.index_at(forecast.known_since - HOUR) + 1, forecast.hours)
        first = max(0, forecast.index_at(known_to))
        if ends > first:
            self._seen.setdefault(key, []).append((forecast.known_since, forecast, first, ends))
            self._known_to[key] = forecast.start + ends * HOUR

    def air(self, key: str) -> Forecast | None:
        """The observed hours of a point as one frame that is past throughout; None if there are
        none. Hours in between that nobody observed are bridged by straight lines, and it says so.
        """
        seen = self._seen.get(key)
        if not seen:
            return None
        newest = seen[-1][1]
        start = min(forecast.start + first * HOUR for _, forecast, first, _ in seen)
        hours = int((self._known_to[key] - start) / HOUR)
        names = {name for _, forecast, _, _ in seen for name in forecast.columns}
        columns = {name: np.full(hours, np.nan) for name in names}
        for _, forecast, first, ends in seen:
            at = int((forecast.start - start) / HOUR)
            for name, values in forecast.columns.items():
                columns[name][at + first : at + ends] = values[first:ends]
        unseen = int(np.isnan(columns["air_c"]).sum())
        columns["air_c"] = _bridged(columns["air_c"])
        words = f"{unseen} of {hours} hours were not observed and are bridged by straight lines."
        return replace(
            newest,
            start=start,
            columns=columns,
            issued_at=start + hours * HOUR,
            recent_c=None,
            warnings=(words,) if unseen else (),
        )


def _bridged(values: NDArray[np.float64]) -> NDArray[np.float64]:
    known = np.flatnonzero(~np.isnan(values))
    return np.interp(np.arange(len(values)), known, values[known])


def what_happened(
    vehicles: Iterable[Vehicle],
    sites: Mapping[str, Site],
    entries: Sequence[Entry],
    airs: Mapping[str, Forecast],
    start: datetime,
    end: datetime,
) -> dict[str, Past]:
    """Spells of harm of every vehicle, had nobody acted on a message.

    Args:
        vehicles: the vehicles.
        sites: site key -> site.
        entries: the record without what followed from answers.
        airs: site key -> observed air; vehicles of other sites are left out.
        start: from when on, UTC.
        end: until when, UTC; no later than the observed air.
    """
    told: dict[str, list[Entry]] = {}
    for entry in entries:
        as_it_was = replace(entry, received_at=min(entry.at, entry.received_at))
        told.setdefault(entry.vehicle, []).append(as_it_was)
    found: list[tuple[Vehicle, list[_Stretch]]] = []
    for vehicle in vehicles:
        air = airs.get(vehicle.site)
        if air is not None:
            own = sorted(told.get(vehicle.key, []), key=lambda entry: entry.received_at)
            to = min(end, air.valid_to)
            site = sites.get(vehicle.site)
            here, south = as_it_stands(vehicle, site), site is not None and site.is_south
            found.append((vehicle, list(_stretches(here, own, start, to, south=south))))
    _step([stretch for _, own in found for stretch in own], sites, airs)
    return {vehicle.key: _past(vehicle, own) for vehicle, own in found if own}


@dataclass(slots=True, kw_only=True, eq=False)
class _Stretch:
    """A vehicle while its water stayed as it was, with its item's hours of harm once stepped."""

    van: Van
    start: datetime
    end: datetime
    harm: dict[str, list[tuple[datetime, datetime]]]


def _stretches(
    vehicle: Vehicle,
    entries: Sequence[Entry],
    start: datetime,
    end: datetime,
    *,
    south: bool,
) -> Iterator[_Stretch]:
    """Stretches of unchanged water, dry ones too."""
    moments = sorted({entry.received_at for entry in entries if entry.received_at > start})
    now = start
    while now < end:
        known = [entry for entry in entries if entry.received_at <= now]
        van = Memory().van(vehicle, known, now, south=south)
        until = min([*[moment for moment in moments if moment > now][:1], end])
        until = min(until, next_end(van.water) or end)
        yield _Stretch(van=van, start=now, end=until, harm={})
        now = until


def _step(
    stretches: Sequence[_Stretch], sites: Mapping[str, Site], airs: Mapping[str, Forecast]
) -> None:
    """Run the heat model on the observed air through every stretch with water in it."""
    wet = [
        stretch for stretch in stretches if stretch.van.is_stepped and stretch.end > stretch.start
    ]
    paths: dict[tuple[str, datetime, int], SiteAir] = {}
    jobs = []
    for stretch in wet:
        site = sites[stretch.van.vehicle.site]
        hours = STRETCH_H * math.ceil((stretch.end - stretch.start) / HOUR / STRETCH_H)
        key = (site.key, stretch.start, hours)
        if key not in paths:
            paths[key] = _one_path(site, airs[site.key], stretch.start, hours)
        jobs.append(job_for(stretch.van, paths[key], None))
    for stretch, job, path in zip(wet, jobs, solve(jobs), strict=True):
        stretch.harm = _harm(stretch, path, job.network.harm_fraction)


def _one_path(site: Site, observed: Forecast, start: datetime, hours: int) -> SiteAir:
    """The observed air from five days before a moment on, held at its end to the length asked."""
    air = air_of(site, observed, start, colder_k=0.0, members=1, ahead_h=hours)
    short = air.now_index + hours + 1 - air.air_c.shape[1]
    return replace(
        air,
        air_c=np.pad(air.air_c, ((0, 0), (0, short)), mode="edge"),
        wind_m_per_s=np.pad(air.wind_m_per_s, (0, short), mode="edge"),
        roof_k=np.pad(air.roof_k, (0, short), mode="edge"),
        error_k=None,
    )


def _harm(
    stretch: _Stretch, path: Trajectory, harm_fraction: NDArray[np.float64]
) -> dict[str, list[tuple[datetime, datetime]]]:
    """Item key -> (begin, end) of every unbroken time of harm."""
    night = vehicle_night(path, stretch.van.layout, stretch.van.water)
    found: dict[str, list[tuple[datetime, datetime]]] = {}
    for item in night.items:
        row = path.item_keys.index(item.key)
        times = [
            (path.start + begin_h * HOUR, min(path.start + end_h * HOUR, stretch.end))
            for begin_h, end_h in _runs(path.ice_fraction[row, 0], float(harm_fraction[row]))
        ]
        inside = [(begin, end) for begin, end in times if begin < stretch.end]
        if inside:
            found[item.key] = inside
    return found


def _runs(ice_fraction: NDArray[np.float32], limit: float) -> Iterator[tuple[float, float]]:
    """Hours from and to which the ice stands at the limit or above; straight between hours."""
    hours = np.flatnonzero(ice_fraction >= limit)
    for run in np.split(hours, np.flatnonzero(np.diff(hours) > 1) + 1) if hours.size else ():
        first = int(run[0])
        begin_h = float(first)
        if first:
            before, after = float(ice_fraction[first - 1]), float(ice_fraction[first])
            begin_h += (limit - before) / (after - before) - 1.0
        yield begin_h, float(run[-1])


def _past(vehicle: Vehicle, stretches: Sequence[_Stretch]) -> Past:
    by_item: dict[str, list[tuple[datetime, datetime]]] = {}
    for stretch in stretches:
        for key, times in stretch.harm.items():
            by_item.setdefault(key, []).extend(times)
    return Past(
        vehicle=vehicle,
        water=tuple((stretch.start, stretch.van) for stretch in stretches),
        spells=spells_of([one for times in by_item.values() for one in times]),
        by_item={key: spells_of(times) for key, times in by_item.items()},
    )


def spells_of(times: Iterable[tuple[datetime, datetime]]) -> tuple[Spell, ...]:
    """Times of harm -> spells: what begins within three days after harm ended belongs to it."""
    found: list[Spell] = []
    for begins, ends in sorted(times):
        if found and begins - found[-1].ends < QUIET:
            found[-1] = Spell(begins=found[-1].begins, ends=max(found[-1].ends, ends))
        else:
            found.append(Spell(begins=begins, ends=ends))
    return tuple(found)
