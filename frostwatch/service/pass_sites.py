"""The sites of a pass as they stand before any night is worked out."""

from collections.abc import Sequence
from datetime import datetime

import structlog

from frostwatch.advice.harm import VehicleNight
from frostwatch.advice.view import ForecastBasis, SiteView, VehicleView
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.ports import Book
from frostwatch.service.gathering import people_of, vans_of
from frostwatch.service.heights import heights_of
from frostwatch.service.kit import Kit
from frostwatch.service.nights import Memory, Van, point_of
from frostwatch.service.site_work import SiteWork
from frostwatch.service.stand_ins import name_them, unattended, with_stand_ins
from frostwatch.weather.forecast import FetchFailure, Forecast, standing

log = structlog.get_logger()


def works_of(
    kit: Kit, book: Book, sites: Sequence[Site], memory: Memory, now: datetime
) -> list[SiteWork]:
    """The sites with height, forecast, vehicles and people, before any night is worked out."""
    heights = heights_of(sites, kit.heights, now)
    for cause, whose in heights.causes().items():
        log.warning("height not known", sites=whose, cause=cause)
    points = {site.key: point_of(site) for site in heights.sites}
    found = kit.forecasts.at(tuple(points.values()), now) if sites else {}
    vans, left_out = vans_of(book, {site.key for site in sites}, memory, now)
    people = people_of(book)
    missing = unattended(book)
    name_them(missing, memory, now)
    learnt = kit.lessons.in_force() if kit.lessons is not None else {}
    works = []
    for site in heights.sites:
        own = heights.fitted(site.key, found.get(points[site.key].key))
        told = with_stand_ins(people[site.key], missing.get(site.key))
        work = _prepare(book, site, told, vans[site.key], own, now)
        work.unattended = missing.get(site.key)
        work.left_out = tuple(left_out[site.key])
        work.learnt = learnt.get(site.key)
        works.append(work)
    return works


def _prepare(
    book: Book,
    site: Site,
    people: Sequence[Person],
    vans: Sequence[Van],
    found: Forecast | FetchFailure | None,
    now: datetime,
) -> SiteWork:
    """A site as it stands before any night is worked out."""
    forecast = found if isinstance(found, Forecast) else None
    known = standing(forecast, now)
    why = found.message if isinstance(found, FetchFailure) else known.reason
    basis = ForecastBasis(standing=known)
    if forecast is not None:
        basis = ForecastBasis(
            standing=known,
            issued_at=forecast.known_since,
            provider=forecast.provider,
            credit=tuple(f"{a.text} {a.url} {a.licence}".strip() for a in forecast.attribution),
        )
    last = book.passes.get(site.key)
    view = SiteView(
        site=site,
        people=tuple(people),
        vehicles=tuple(view_of(van, None) for van in vans),
        air=None,
        forecast=basis,
        reminders=book.reminders.get(site.key, ()),
        answers=tuple(a for van in vans for a in book.answers.get(van.vehicle.key, ())),
        judged_to=last.judged_to if last is not None else None,
    )
    return SiteWork(
        site=site,
        vans=tuple(vans),
        view=view,
        forecast=forecast if known.usable else None,
        found=forecast,
        why_none="" if known.usable else why,
    )


def view_of(van: Van, night: VehicleNight | None) -> VehicleView:
    """A vehicle as the judgement looks at it; without a night before it is worked out."""
    return VehicleView(
        vehicle=van.vehicle,
        layout=van.layout,
        water=van.water,
        night=night,
        recorded_at=van.recorded_at,
    )
