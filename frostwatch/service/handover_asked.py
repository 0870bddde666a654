"""The plan of one vehicle that somebody asks for, or that is under way."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from frostwatch.advice.handover import Case, Plan, plan_from
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.heat_sources import sources_of
from frostwatch.advice.overrun import Progress, progress_of
from frostwatch.advice.warm_up import standing as standing_of
from frostwatch.errors import FleetError
from frostwatch.fleet.heat import Handover, HeatSource
from frostwatch.fleet.sites import Site, as_it_stands
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports import Book, Forecasts
from frostwatch.service.handovers import (
    NO_LAWS,
    Planned,
    SiteWeather,
    case_of,
    planned,
    weather_at,
)
from frostwatch.service.nights import Memory
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw

MOST_BACK = timedelta(hours=24)


def under_way(
    book: Book,
    forecasts: Forecasts,
    key: str,
    now: datetime,
    on_at: datetime,
    done: Mapping[Step, datetime],
    *,
    handover: Handover | None = None,
    sources: Sequence[HeatSource] = (),
    laws: Mapping[str, ErrorLaw] = NO_LAWS,
) -> tuple[Case, Plan, Progress | None, SiteWeather]:
    """A plan whose heating is on already, and how it goes on.

    Args:
        book: what is entered.
        forecasts: where the air comes from.
        key: key of the vehicle.
        now: aware UTC time.
        on_at: when the heating was switched on, UTC.
        done: step -> when its gate was passed, UTC.
        handover: the hour; None takes the one entered.
        sources: the first of these warms it; none takes the vehicle's first.
        laws: site -> how wrong forecasts are there, where that was learnt.

    Returns:
        The vehicle, its plan, its progress (None where the heat never gets there), the weather.

    Raises:
        FleetError: the vehicle or its handover is not entered, or heating began too long ago.
        NoForecastError: there is no usable forecast.
    """
    vehicle, site, wanted = _wanted(book, key, handover)
    if not timedelta(0) <= now - on_at <= MOST_BACK:
        raise FleetError(
            f"vehicle {key}: heating on at {on_at:%Y-%m-%d %H:%M} UTC is no plan under way. "
            "Give an hour of the last day."
        )
    van = Memory().van(vehicle, book.entries.get(key, ()), now, south=site.is_south)
    weather = weather_at(forecasts, site, now, laws.get(site.key, DEFAULT_LAW))
    back_h = int((now - on_at) // timedelta(hours=1)) + 2
    stand = standing_of(vehicle, van.layout, weather.air, back_h=back_h)
    case = replace(case_of(van, site, weather.air, wanted, now), stand=stand)
    source = sources[0] if sources else sources_of(vehicle, van.layout)[0]
    plan = plan_from(case, source, stand.at(stand.index(on_at)))
    return case, plan, progress_of(plan, done, now) if plan.steps else None, weather


def _wanted(book: Book, key: str, handover: Handover | None) -> tuple[Vehicle, Site, Handover]:
    vehicle = next((one for one in book.vehicles if one.key == key), None)
    if vehicle is None:
        raise FleetError(f"vehicle {key!r} is not entered. See: frostwatch export vehicles")
    wanted = handover or vehicle.handover
    if wanted is None:
        raise FleetError(
            f"vehicle {key}: no handover is entered. Give --at, or [vehicle.handover] in the "
            "fleet file."
        )
    site = next(one for one in book.sites if one.key == vehicle.site)
    return as_it_stands(vehicle, site), site, wanted


def plan_one(
    book: Book,
    forecasts: Forecasts,
    key: str,
    now: datetime,
    *,
    handover: Handover | None = None,
    sources: Sequence[HeatSource] = (),
    laws: Mapping[str, ErrorLaw] = NO_LAWS,
) -> tuple[Planned, SiteWeather]:
    """The plan of one vehicle.

    Args:
        book: what is entered.
        forecasts: where the air comes from.
        key: key of the vehicle.
        now: aware UTC time.
        handover: the hour; None takes the one entered.
        sources: what to warm it with; none takes its own.
        laws: site -> how wrong forecasts are there, where that was learnt.

    Raises:
        FleetError: the vehicle or its handover is not entered, or the hour has passed.
        NoForecastError: there is no usable forecast.
    """
    vehicle, site, wanted = _wanted(book, key, handover)
    if wanted.at <= now:
        raise FleetError(f"vehicle {key}: the hour {wanted.at:%Y-%m-%d %H:%M} UTC has passed.")
    van = Memory().van(vehicle, book.entries.get(key, ()), now, south=site.is_south)
    weather = weather_at(forecasts, site, now, laws.get(site.key, DEFAULT_LAW))
    return planned(case_of(van, site, weather.air, wanted, now), sources), weather
