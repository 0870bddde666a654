"""Handover plans for the pages: made about every hour, at once where something changed.

It follows the judgement of all sites, so that no message waits for it, and nothing hangs on it.
"""

from collections.abc import Sequence
from datetime import datetime

import structlog

from frostwatch.advice.handover import Case
from frostwatch.advice.heat_sources import sources_of
from frostwatch.advice.plan_board import PlanBoard, VanPlans
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.plans import Plans
from frostwatch.service.boards import BOARD_HOLDS
from frostwatch.service.handovers import AHEAD, Planned, SiteWeather, case_of, day_of
from frostwatch.service.nights import Van, air_of
from frostwatch.service.site_work import SiteWork

log = structlog.get_logger()


def keep_plans(plans: Plans, works: Sequence[SiteWork], now: datetime, *, members: int) -> None:
    """Make the plans of the sites anew whose plans are out of date.

    A site without a usable forecast keeps the plans it had.

    Args:
        plans: where they are kept.
        works: the sites of a pass, judged.
        now: moment of the pass, UTC.
        members: number of members.
    """
    for work in works:
        try:
            _keep(plans, work, now, members)
        except Exception as fault:
            known = isinstance(fault, FrostwatchError)
            log.error("plans not made", site=work.site.key, cause=str(fault), exc_info=not known)


def _keep(plans: Plans, work: SiteWork, now: datetime, members: int) -> None:
    vans = [van for van in work.vans if is_ahead(van, now)]
    before = plans.board(work.site.key)
    if work.forecast is None or not is_out_of_date(before, vans, now):
        return
    known = work.view.forecast.standing
    air = work.air or air_of(
        work.site, work.forecast, now, colder_k=known.colder_k, members=members, law=work.law
    )
    weather = SiteWeather(site=work.site, forecast=work.forecast, colder_k=known.colder_k, air=air)
    ready = {van.vehicle.key for van in vans}
    beside = [van.vehicle for van in work.vans if van.vehicle.key not in ready]
    plans.keep(plans_of(weather, vans, now, beside))


def is_ahead(van: Van, now: datetime) -> bool:
    """It is to be made ready within the days that are shown."""
    wanted = van.vehicle.handover
    return wanted is not None and now < wanted.at <= now + AHEAD


def is_out_of_date(before: PlanBoard | None, vans: Sequence[Van], now: datetime) -> bool:
    """Whether plans must be made anew; where nothing is to be planned none need be."""
    if before is None:
        return bool(vans)
    if now - before.at >= BOARD_HOLDS:
        return bool(vans or before.vans or before.broken)
    if before.conflicts and before.order is None:
        return True
    told = {van.vehicle: van.handover for van in before.vans}
    for van in vans:
        handover, key = van.vehicle.handover, van.vehicle.key
        assert handover is not None
        if key not in before.broken and not handover.plans_like(told.get(key)):
            return True
    wanted = {van.vehicle.key for van in vans}
    gone = (one for one in before.vans if one.vehicle not in wanted)
    if any(one.handover.at > now for one in gone):
        return True
    return any(van.recorded_at is not None and van.recorded_at > before.at for van in vans)


def plans_of(
    weather: SiteWeather, vans: Sequence[Van], now: datetime, beside: Sequence[Vehicle] = ()
) -> PlanBoard:
    """Plans of a site's handovers, and an order where they collide.

    Args:
        weather: the air there.
        vans: vehicles with a handover ahead.
        now: moment of the pass, UTC.
        beside: the other vehicles there, some of which may be kept warm.
    """
    cases, broken = _cases(weather, vans, now)
    day = day_of(weather, cases, beside)
    return PlanBoard(
        site=weather.site.key,
        at=now,
        issued_at=weather.forecast.known_since,
        colder_k=weather.colder_k,
        vans=tuple(_van_plans(one) for one in day.planned),
        broken=broken,
        conflicts=day.conflicts,
        order=day.order,
    )


def _cases(
    weather: SiteWeather, vans: Sequence[Van], now: datetime
) -> tuple[list[Case], dict[str, str]]:
    """Vehicles to be planned; one that nothing is known to warm is named with its cause."""
    cases, broken = [], {}
    for van in vans:
        if van.vehicle.handover is None:
            continue
        try:
            sources_of(van.vehicle, van.layout)
            cases.append(case_of(van, weather.site, weather.air, van.vehicle.handover, now))
        except FrostwatchError as fault:
            broken[van.vehicle.key] = str(fault)
    return cases, broken


def _van_plans(one: Planned) -> VanPlans:
    return VanPlans(
        vehicle=one.case.vehicle.key,
        handover=one.case.handover,
        plans=one.plans,
        best=one.plans.index(one.best),
        out=one.out,
    )
