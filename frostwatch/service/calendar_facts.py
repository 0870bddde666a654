"""What the calendar of a site rests on: plans, thaw and forecast, worked out now or kept by a pass.

A file is written from the forecast as it is; what calendar programs fetch by themselves is made
from what the last pass kept, so that no fetch asks a provider or runs the heat model.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from frostwatch.advice.air_facts import thawed_hours, worth_looking
from frostwatch.advice.board import Board
from frostwatch.advice.handover import Plan
from frostwatch.advice.plan_board import PlanBoard, UnderWay
from frostwatch.advice.slots import Diary
from frostwatch.advice.ways_out import WaysOut
from frostwatch.errors import NoForecastError
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.ports import Forecasts
from frostwatch.ports.plans import PlanFile
from frostwatch.records.standing_water import CircuitWater
from frostwatch.service.handovers import AHEAD, case_of, planned, weather_at
from frostwatch.service.nights import Van
from frostwatch.weather.forecast import OLDEST_H
from frostwatch.weather.members import ErrorLaw

HOUR = timedelta(hours=1)
LOOK_WITHIN_H = 168


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ready:
    """A vehicle that is made ready, with its plan. A ``plan_words.Subject``."""

    site: Site
    vehicle: Vehicle
    layout: Layout
    water: tuple[CircuitWater, ...]
    handover: Handover
    plan: Plan
    out: WaysOut | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Known:
    """What is known of a site's hours.

    Attributes:
        at: when it was worked out, UTC.
        issued_at: issue of the forecast, UTC; None without a usable one.
        ready: vehicles that are made ready in the days ahead.
        look: when somebody can look at what froze, in their own time; None if not in sight.
    """

    at: datetime
    issued_at: datetime | None
    ready: tuple[Ready, ...]
    look: Callable[[Diary], datetime | None]

    @property
    def usable(self) -> bool:
        """There is a forecast that hours can rest on."""
        return self.issued_at is not None


def from_forecasts(
    forecasts: Forecasts, site: Site, vans: Sequence[Van], now: datetime, law: ErrorLaw
) -> Known:
    """From the forecast as it is."""
    try:
        weather = weather_at(forecasts, site, now, law)
    except NoForecastError:
        return Known(at=now, issued_at=None, ready=(), look=lambda _: None)
    air = weather.air
    held = thawed_hours(air)
    ready = []
    for van in vans:
        wanted = _ahead(van, now)
        if wanted is None:
            continue
        one = planned(case_of(van, site, air, wanted, now))
        ready.append(_ready(site, van, wanted, one.best, one.out))
    return Known(
        at=now,
        issued_at=weather.forecast.known_since,
        ready=tuple(ready),
        look=lambda diary: worth_looking(air, held, diary, now),
    )


def from_boards(
    board: Board | None, file: PlanFile, site: Site, vans: Sequence[Van], now: datetime
) -> Known:
    """From what the last pass kept; its forecast ages meanwhile."""
    issued = _issued(board, now)
    ready = (
        *_kept_plans(file, site, vans, now),
        *_under_way(file.under_way, site, vans, now),
    )
    return Known(
        at=board.at if board is not None else now,
        issued_at=issued,
        ready=ready,
        look=lambda diary: _first_look(board, diary, now),
    )


def _issued(board: Board | None, now: datetime) -> datetime | None:
    """Issue of a forecast that can still be leaned on."""
    if board is None or board.air is None or not board.basis.standing.usable:
        return None
    issued = board.basis.issued_at or board.at
    old = now - issued > timedelta(hours=OLDEST_H)
    return None if old or now >= board.air.end else issued


def _ahead(van: Van, now: datetime) -> Handover | None:
    wanted = van.vehicle.handover
    return wanted if wanted is not None and now < wanted.at <= now + AHEAD else None


def _kept_plans(
    file: PlanFile, site: Site, vans: Sequence[Van], now: datetime
) -> tuple[Ready, ...]:
    """Plans that were made for the hours that are still wanted, and are not worked on yet."""
    board: PlanBoard | None = file.board
    if board is None or now - board.issued_at > timedelta(hours=OLDEST_H):
        return ()
    made = {one.vehicle: one for one in board.vans}
    found = []
    for van in vans:
        wanted, one = _ahead(van, now), made.get(van.vehicle.key)
        way = file.under_way.get(van.vehicle.key)
        if wanted is None or one is None or one.handover != wanted:
            continue
        if way is not None and (way.is_worked_on(now) or way.handover == wanted):
            continue
        found.append(_ready(site, van, wanted, one.proposed, one.out))
    return tuple(found)


def _under_way(
    ways: Mapping[str, UnderWay], site: Site, vans: Sequence[Van], now: datetime
) -> Iterator[Ready]:
    """Plans that somebody is at work on: their gates move them."""
    for van in vans:
        way = ways.get(van.vehicle.key)
        if way is not None and way.is_worked_on(now):
            plan = replace(way.plan, on_by=way.on_at, steps=way.progress(now).steps)
            yield _ready(site, van, way.handover, plan, None)


def _ready(site: Site, van: Van, wanted: Handover, plan: Plan, out: WaysOut | None) -> Ready:
    return Ready(
        site=site,
        vehicle=van.vehicle,
        layout=van.layout,
        water=van.water,
        handover=wanted,
        plan=plan,
        out=out,
    )


def _first_look(board: Board | None, diary: Diary, now: datetime) -> datetime | None:
    """The first hour at which they can look, from when whoever runs the place could."""
    if board is None or board.thaw_at is None:
        return None
    for hour in range(LOOK_WITHIN_H):
        at = max(now, board.thaw_at + hour * HOUR)
        if any(span.start <= at < span.end for span in diary.looks_within(diary.day(at))):
            return at
    return None
