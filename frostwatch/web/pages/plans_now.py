"""The handovers of a site as they stand this minute: plans, work under way, what is wet."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from frostwatch.advice.handover import Plan
from frostwatch.advice.overrun import Progress
from frostwatch.advice.passing import Passing
from frostwatch.advice.plan_board import PlanBoard, UnderWay, VanPlans
from frostwatch.advice.rewetted import MEANT_TO_BE_WET, WetAgain, last_first, wet_again, wet_row
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.heat import Handover, HeatSource
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.sites import Site, SiteKind
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.ports.plans import HandoverChange, PlanFile
from frostwatch.records.entries import Evidence
from frostwatch.records.standing_water import CircuitWater, water_of
from frostwatch.service.handovers import AHEAD
from frostwatch.told import told_by
from frostwatch.web.pages.yard_now import Line, YardNow


@dataclass(frozen=True, slots=True, kw_only=True)
class VanNow:
    """One handover.

    Attributes:
        line: the vehicle on its lists.
        site: where it stands.
        layout: its layout.
        water: what is recorded about its water.
        handover: the hour, and how much water goes in.
        plans: its plans; None where none were made for that hour.
        under_way: the plan somebody is at work on; None while nobody is.
    """

    line: Line
    site: Site
    layout: Layout
    water: tuple[CircuitWater, ...]
    handover: Handover
    plans: VanPlans | None
    under_way: UnderWay | None

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle."""
        return self.line.vehicle

    def progress(self, now: datetime) -> Progress | None:
        """How the plan goes on that somebody is at work on."""
        return self.under_way.progress(now) if self.under_way is not None else None

    @property
    def due(self) -> datetime:
        """The next hour that somebody must meet for it, UTC: what comes first stands first."""
        if self.under_way is not None:
            return self.under_way.on_at
        plan = self.plan()
        if plan is None or plan.fits:
            return (plan.begins if plan is not None else None) or self.handover.at
        out = self.plans.out if self.plans is not None else None
        other = out.other.begins if out is not None and out.other is not None else None
        hours = (out.indoors_by, other, out.power_on_by) if out is not None else ()
        return min((hour for hour in hours if hour is not None), default=self.handover.at)

    def plan(self, heat: str = "") -> Plan | None:
        """The plan with that source, or else the one proposed; the one under way where there is."""
        if self.under_way is not None:
            return replace(self.under_way.plan, on_by=self.under_way.on_at)
        if self.plans is None:
            return None
        chosen = (
            plan for plan in self.plans.plans if heat in (way_key(plan), heat_key(plan.source))
        )
        return next(chosen, self.plans.proposed)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlansNow:
    """The handovers of a site.

    Attributes:
        now: how the site stands.
        board: the plans; None where none were ever made.
        vans: every handover that is planned or worked on, by the next hour to be met for it.
        waiting: vehicles whose handover is entered and not planned yet.
        later: vehicles whose handover lies beyond the days that are planned, by its hour.
        changes: vehicle -> what was changed last about its handover, lately.
        broken: vehicle and why it cannot be planned.
        wet: what got wet again.
    """

    now: YardNow
    board: PlanBoard | None
    vans: tuple[VanNow, ...]
    waiting: tuple[Line, ...]
    later: tuple[Line, ...]
    changes: Mapping[str, HandoverChange]
    broken: tuple[tuple[Line, str], ...]
    wet: tuple[WetAgain, ...]

    def van(self, key: str) -> VanNow | None:
        """That vehicle, or else the first; None where there is no handover."""
        return next(
            (one for one in self.vans if one.vehicle.key == key), next(iter(self.vans), None)
        )


def heat_key(source: HeatSource) -> str:
    """A source as it stands in an address."""
    return f"{source.fuel.value}-{source.power_w:.0f}"


def way_key(plan: Plan) -> str:
    """The same with the hour from which it stands indoors, where it does."""
    since = plan.indoors_from
    return heat_key(plan.source) + (f"~{since:%Y-%m-%dT%H:%M%z}" if since is not None else "")


def plans_now(now: YardNow, file: PlanFile) -> PlansNow:
    """Bring the handovers of a site up to this minute.

    Args:
        now: how the site stands.
        file: what was read beside it.
    """
    made = {one.vehicle: one for one in file.board.vans} if file.board is not None else {}
    faults = file.board.broken if file.board is not None else {}
    vans: list[VanNow] = []
    waiting, broken = [], []
    for line in now.lines:
        way = file.under_way.get(line.vehicle.key)
        handover = _shown(line.vehicle, way, now.now)
        if handover is None:
            continue
        plans = made.get(line.vehicle.key)
        fits = plans is not None and handover.plans_like(plans.handover)
        working = way is not None and way.is_worked_on(now.now)
        if not (fits or working):
            why = line.broken or faults.get(line.vehicle.key, "")
            broken += [(line, why)] if why else []
            waiting += [] if why else [line]
            continue
        own, way = plans if fits else None, way if working else None
        try:
            vans.append(_van(line, handover, own, way, now, file))
        except FrostwatchError as fault:
            broken.append((line, told_by(fault)))
    vans.sort(key=lambda one: (one.due, one.handover.at, one.vehicle.key))
    return PlansNow(
        now=now,
        board=file.board,
        vans=tuple(vans),
        waiting=tuple(waiting),
        later=_later(now),
        changes=file.changes,
        broken=tuple(broken),
        wet=_wet(now, file),
    )


def _later(now: YardNow) -> tuple[Line, ...]:
    far = now.now + AHEAD
    found = [(h.at, line) for line in now.lines if (h := line.vehicle.handover) and h.at > far]
    return tuple(line for _, line in sorted(found, key=lambda one: (one[0], one[1].vehicle.key)))


def _shown(vehicle: Vehicle, way: UnderWay | None, now: datetime) -> Handover | None:
    """The hour it is made ready for; None for none in the days ahead, or where it was ended."""
    if way is not None and way.is_worked_on(now):
        return way.handover
    handover = vehicle.handover
    if handover is None or not now < handover.at <= now + AHEAD:
        return None
    ended = way is not None and way.ended_at is not None and way.handover.at == handover.at
    return None if ended else handover


def _van(
    line: Line,
    handover: Handover,
    plans: VanPlans | None,
    way: UnderWay | None,
    now: YardNow,
    file: PlanFile,
) -> VanNow:
    layout = layout_of(line.vehicle)
    entries = file.entries.get(line.vehicle.key, ())
    return VanNow(
        line=line,
        site=now.yard.site,
        layout=layout,
        water=water_of(line.vehicle, layout, entries, now.now, south=now.yard.site.is_south),
        handover=handover,
        plans=plans,
        under_way=way,
    )


def alone(now: YardNow, vehicle: str) -> YardNow:
    """A site with one of its vehicles, where only that one's record is read."""
    return replace(now, lines=tuple(line for line in now.lines if line.vehicle.key == vehicle))


def is_asked(line: Line) -> bool:
    """Its record is read for the lists: it is wet, handed over, or dry by hearsay alone."""
    is_wet = line.standing.work is not None
    return is_wet or _is_told(line) or line.vehicle.handover is not None


def is_kept(line: Line) -> bool:
    """It is meant to be wet: in use, or heat is kept on in it."""
    if line.vehicle.hold is not None or line.standing.passing in (Passing.IN_USE, Passing.HELD):
        return True
    return any(mark.state in MEANT_TO_BE_WET for mark in line.standing.marks)


def _is_told(line: Line) -> bool:
    return any(mark.evidence is Evidence.ASSERTED for mark in line.standing.marks)


def _wet(now: YardNow, file: PlanFile) -> tuple[WetAgain, ...]:
    """On a forecourt whatever is wet; elsewhere what something made wet again."""
    known, rows = [], []
    for line in now.lines:
        if not is_asked(line):
            continue
        entries, standing = file.entries.get(line.vehicle.key, ()), line.standing
        if standing.work is not None and not _is_told(line) and not line.broken:
            if not is_kept(line):
                row = wet_row(
                    line.vehicle,
                    entries,
                    now.now,
                    unknown=standing.unknown,
                    told_only=False,
                    minutes=standing.work.minutes,
                )
                known.append(row)
            continue
        try:
            layout, south = layout_of(line.vehicle), now.yard.site.is_south
            water = water_of(line.vehicle, layout, entries, now.now, south=south)
        except FrostwatchError:
            continue
        rows.append((line.vehicle, water, entries))
    dealer = now.yard.site.kind is SiteKind.FORECOURT
    working = {key for key, way in file.under_way.items() if way.is_worked_on(now.now)}
    return tuple(
        one
        for one in last_first((*known, *wet_again(rows, now.now)))
        if (dealer or one.event or one.told_only or one.passed)
        and not (one.passed and one.vehicle in working)
    )
