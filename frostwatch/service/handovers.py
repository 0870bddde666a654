"""Handovers of a running service: gathered from ledger and forecast, planned, put in order."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from types import MappingProxyType

import structlog

from frostwatch.advice.brought_in import indoor_ways, plan_way, standing_in
from frostwatch.advice.handover import Case, Plan, plan_for
from frostwatch.advice.heat_sources import sources_of
from frostwatch.advice.held_together import drawing_at, what_is_left
from frostwatch.advice.plan_calls import Proposed, begun_at, say_plans
from frostwatch.advice.plan_choice import best_of
from frostwatch.advice.plan_off import TOLD_AHEAD
from frostwatch.advice.reminders import Reminder
from frostwatch.advice.shared import choice_of, choices_for
from frostwatch.advice.shared_board import Conflict, conflicts_of
from frostwatch.advice.shared_order import Order, order_for
from frostwatch.advice.view import SiteView
from frostwatch.advice.warm_up import standing as standing_of
from frostwatch.advice.ways_out import WaysOut, ways_out
from frostwatch.errors import FrostwatchError, NoForecastError
from frostwatch.fleet.heat import Handover, HeatSource
from frostwatch.fleet.sites import Site, as_it_stands
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.wording.draft import Draft
from frostwatch.ports import Book, Forecasts
from frostwatch.service.kit import MEMBERS
from frostwatch.service.nights import Memory, Van, air_of, point_of
from frostwatch.weather.forecast import FetchFailure, Forecast, standing
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw
from frostwatch.weather.site_air import SiteAir

log = structlog.get_logger()

NO_LAWS: Mapping[str, ErrorLaw] = MappingProxyType({})
BEGUN_BACK_H = 1
"""Whoever was told to begin is reminded within the hour [h]."""
AHEAD = timedelta(days=3)
"""Handovers within so long are shown."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Planned:
    """One vehicle with a plan for each of its sources.

    Attributes:
        case: the vehicle.
        plans: one for each source, in the vehicle's order.
        best: the one proposed.
        out: ways out where none fits.
        valve_only: the best source again, by somebody who goes by the valve alone; None where that
            saves nothing.
    """

    case: Case
    plans: tuple[Plan, ...]
    best: Plan
    out: WaysOut | None
    valve_only: Plan | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SiteDay:
    """The handovers of one site.

    Attributes:
        site: the site.
        forecast: what they rest on.
        colder_k: what all members are lowered by because it is old [K].
        planned: every handover, by its hour.
        conflicts: where the plans proposed need more than there is.
        order: one in which they do not; None where nothing collides.
    """

    site: Site
    forecast: Forecast
    colder_k: float
    planned: tuple[Planned, ...]
    conflicts: tuple[Conflict, ...]
    order: Order | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SiteWeather:
    """A site's air, and what it rests on."""

    site: Site
    forecast: Forecast
    colder_k: float
    air: SiteAir


def weather_at(
    forecasts: Forecasts, site: Site, now: datetime, law: ErrorLaw = DEFAULT_LAW
) -> SiteWeather:
    """The air at a site; ``law`` is how wrong forecasts are there.

    Raises:
        NoForecastError: there is no usable forecast; that does not mean no frost.
    """
    point = point_of(site)
    return weather_of(site, forecasts.at((point,), now)[point.key], now, law=law)


def weather_of(
    site: Site,
    found: Forecast | FetchFailure | None,
    now: datetime,
    *,
    law: ErrorLaw = DEFAULT_LAW,
    members: int = MEMBERS,
) -> SiteWeather:
    """The air at a site out of what was found for it.

    Raises:
        NoForecastError: there is no usable forecast; that does not mean no frost.
    """
    forecast = found if isinstance(found, Forecast) else None
    known = standing(forecast, now)
    if forecast is None or not known.usable:
        why = found.message if isinstance(found, FetchFailure) else known.reason
        raise NoForecastError(
            f"There is no usable forecast for {site.name}: {why} This does not mean no frost: "
            "no hour can be told."
        )
    air = air_of(site, forecast, now, colder_k=known.colder_k, members=members, law=law)
    return SiteWeather(site=site, forecast=forecast, colder_k=known.colder_k, air=air)


def case_of(van: Van, site: Site, air: SiteAir, handover: Handover, now: datetime) -> Case:
    """A vehicle to be made ready for an hour."""
    return Case(
        vehicle=van.vehicle,
        site=site,
        layout=van.layout,
        water=van.water,
        handover=handover,
        stand=standing_of(van.vehicle, van.layout, air),
        now=now,
    )


def planned(case: Case, sources: Sequence[HeatSource] = ()) -> Planned:
    """Plans for every source of a vehicle, or for those given, and with the night before indoors.

    The source that was chosen for its handover is the one proposed.
    """
    wanted = tuple(sources) or sources_of(case.vehicle, case.layout)
    ways = [(source, None) for source in wanted] + indoor_ways(case, wanted)
    plans = tuple(plan_way(case, source, since) for source, since in ways)
    chosen = replace(case.handover, heat=None) if sources else case.handover
    best = best_of(plans, case.site, chosen, vehicle=case.vehicle)
    at_best = standing_in(case, best.source, best.indoors_from)
    return Planned(
        case=case,
        plans=plans,
        best=best,
        out=None if best.fits else ways_out(case, best),
        valve_only=_valve_only(at_best, best),
    )


def _valve_only(case: Case, best: Plan) -> Plan | None:
    plan = plan_for(case, best.source, by_pump=False)
    plan = replace(plan, indoors_from=best.indoors_from)
    saves = plan.on_by is not None and (best.on_by is None or plan.on_by > best.on_by)
    return plan if plan.fits and saves else None


def plans_told(
    view: SiteView,
    vans: Sequence[Van],
    air: SiteAir | None,
    now: datetime,
    under_way: Collection[str] = (),
) -> tuple[list[Draft], list[Reminder]]:
    """Handover plans that are told now, and what stands told afterwards.

    A vehicle that cannot be planned is left out and logged; without air nothing is told anew.
    Whoever is at work on one has its hours from its gates: a plan of somebody who would begin only
    now would contradict them, so none is told.
    """
    proposed: dict[str, Proposed] = {}
    begun = begun_at(view, now)
    for van in vans if air is not None else ():
        wanted = van.vehicle.handover
        if air is None or wanted is None or not now < wanted.at <= now + TOLD_AHEAD:
            continue
        try:
            case = case_of(van, view.site, air, wanted, now)
            since = begun.get(van.vehicle.key)
            if since is not None:
                stand = standing_of(van.vehicle, van.layout, air, back_h=BEGUN_BACK_H)
                case = replace(case, now=since, stand=stand)
            one = planned(case)
        except FrostwatchError as fault:
            log.error("handover not planned", vehicle=van.vehicle.key, cause=str(fault))
            continue
        proposed[van.vehicle.key] = Proposed(plan=one.best, out=one.out)
    short = clashing(view.site, vans, proposed)
    told = {
        key: replace(one, clashes=True) if key in short else one
        for key, one in proposed.items()
        if key not in under_way
    }
    return say_plans(view, told, now)


def clashing(site: Site, vans: Sequence[Van], proposed: Mapping[str, Proposed]) -> frozenset[str]:
    """Those that need more crew, posts or power than there is, beside heat kept on elsewhere."""
    there = {van.vehicle.key: van.vehicle for van in vans}
    drawing = drawing_at([one for key, one in there.items() if key not in proposed])
    wished = [
        choice_of(one.plan, vehicle.post, who=vehicle.handover.who if vehicle.handover else "")
        for key, one in proposed.items()
        if one.plan.fits and (vehicle := there[key])
    ]
    found = conflicts_of(wished, what_is_left(site, drawing))
    return frozenset(key for conflict in found for key in conflict.vehicles)


def days_of(
    book: Book,
    forecasts: Forecasts,
    now: datetime,
    site: str = "",
    laws: Mapping[str, ErrorLaw] = NO_LAWS,
) -> list[SiteDay]:
    """Handovers of the next three days, site by site, with what they share.

    Raises:
        NoForecastError: a site with handovers has no usable forecast.
    """
    found = []
    for one in book.sites:
        vehicles = [
            as_it_stands(vehicle, one)
            for vehicle in book.vehicles
            if vehicle.site == one.key
            and site in ("", one.key)
            and vehicle.handover is not None
            and now < vehicle.handover.at <= now + AHEAD
        ]
        if not vehicles:
            continue
        weather = weather_at(forecasts, one, now, laws.get(one.key, DEFAULT_LAW))
        memory = Memory()
        cases = [
            case_of(
                memory.van(vehicle, book.entries.get(vehicle.key, ()), now, south=one.is_south),
                one,
                weather.air,
                vehicle.handover,
                now,
            )
            for vehicle in vehicles
            if vehicle.handover is not None
        ]
        ready = {vehicle.key for vehicle in vehicles}
        beside = [v for v in book.vehicles if v.site == one.key and v.key not in ready]
        found.append(day_of(weather, cases, beside))
    return found


def day_of(weather: SiteWeather, cases: Sequence[Case], beside: Sequence[Vehicle] = ()) -> SiteDay:
    """Plans of several vehicles, and an order where they collide.

    Args:
        weather: the air at their site.
        cases: the vehicles.
        beside: the other vehicles there, some of which may be kept warm.
    """
    ordered = sorted(cases, key=lambda case: (case.handover.at, case.vehicle.key))
    plans = tuple(planned(case) for case in ordered)
    wished = [
        choice_of(one.best, one.case.vehicle.post, who=one.case.handover.who)
        for one in plans
        if one.best.on_by is not None
    ]
    drawing = drawing_at(beside)
    left = what_is_left(weather.site, drawing)
    conflicts = conflicts_of(wished, left, kept_w=sum(one.watts for one in drawing))
    order = None
    if conflicts:
        choices = {one.case.vehicle.key: choices_for(one.case) for one in plans}
        order = order_for(choices, left)
    return SiteDay(
        site=weather.site,
        forecast=weather.forecast,
        colder_k=weather.colder_k,
        planned=plans,
        conflicts=conflicts,
        order=order,
    )
