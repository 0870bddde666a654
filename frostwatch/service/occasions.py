"""Advice for an occasion, gathered from the ledger and the forecast."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from frostwatch.advice.filling import fillings
from frostwatch.advice.going import going
from frostwatch.advice.handbook_words import handbook_lines
from frostwatch.advice.hazards import OF_DRAINING, Hazard, each_once
from frostwatch.advice.heat_sources import sources_of
from frostwatch.advice.holding import hold_view, waste_is_shut
from frostwatch.advice.in_use import in_use
from frostwatch.advice.occasion_words import (
    HOLD_HAZARDS,
    going_lines,
    hold_lines,
    in_use_lines,
    thaw_lines,
    transport_lines,
    wet_again_lines,
)
from frostwatch.advice.plan_words import PlanWords, name_of, words_for
from frostwatch.advice.rewetted import wet_again
from frostwatch.advice.thaw import looks_for
from frostwatch.advice.transport import transport
from frostwatch.errors import FleetError
from frostwatch.fleet.finding import vehicle_meant
from frostwatch.fleet.handbook import Rule
from frostwatch.fleet.people import Language
from frostwatch.fleet.sites import Site, as_it_stands
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports import Book, Forecasts
from frostwatch.records.entries import Entry
from frostwatch.service.handovers import NO_LAWS, SiteWeather, weather_at
from frostwatch.service.nights import Memory, Van
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw

TOPICS = ("hold", "in-use", "going", "transport", "thaw")
"""What can be asked about one vehicle; "wet-again" is asked about all of them."""
WET_AGAIN = "wet-again"
CAUTION = "! "


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """One question about one vehicle.

    Attributes:
        topic: one of ``TOPICS``.
        van: the vehicle.
        site: where it stands.
        weather: the air there.
        entries: what was recorded.
        at: hour of the trip or move, UTC.
        now: aware UTC time.
        container_l: container under the waste valve [L].
        a_day_l: waste water a day [L].
        beside: the other vehicles there.
        names: key -> name of the people entered.
    """

    topic: str
    van: Van
    site: Site
    weather: SiteWeather
    entries: tuple[Entry, ...]
    at: datetime
    now: datetime
    container_l: float
    a_day_l: float
    beside: tuple[Vehicle, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class AdviceLine:
    """One sentence; a caution belongs to the step before it."""

    text: str
    caution: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Advice in words.

    Attributes:
        lines: what to do, in order.
        hazards: cautions for all of it.
        foot: what it rests on.
    """

    lines: tuple[AdviceLine, ...]
    hazards: tuple[str, ...]
    foot: str


def advise(
    book: Book,
    forecasts: Forecasts,
    topic: str,
    key: str,
    now: datetime,
    *,
    language: Language = Language.EN,
    at: datetime | None = None,
    container_l: float = 12.0,
    a_day_l: float = 25.0,
    laws: Mapping[str, ErrorLaw] = NO_LAWS,
) -> Advice:
    """Advice in words.

    Raises:
        FleetError: topic or vehicle are not known, or the vehicle is not heated.
        NoForecastError: there is no usable forecast.
    """
    if topic not in TOPICS:
        raise FleetError(f"{topic!r} is no topic. Give one of {', '.join((*TOPICS, WET_AGAIN))}.")
    vehicle = vehicle_meant(key, book.vehicles)
    if topic == "hold" and vehicle.hold is None:
        raise FleetError(
            f"vehicle {vehicle.key}: no heat is kept on in it. "
            "Enter [vehicle.hold] in the fleet file."
        )
    site = next(one for one in book.sites if one.key == vehicle.site)
    entries = book.entries.get(vehicle.key, ())
    asked = Asked(
        topic=topic,
        van=Memory().van(as_it_stands(vehicle, site), entries, now, south=site.is_south),
        site=site,
        weather=weather_at(forecasts, site, now, laws.get(site.key, DEFAULT_LAW)),
        entries=entries,
        at=at or now,
        now=now,
        container_l=container_l,
        a_day_l=a_day_l,
        beside=tuple(one for one in book.vehicles if one.site == site.key),
        names={person.key: person.name for person in book.people},
    )
    words = words_for(language, site, now)
    minded = [one for one in vehicle.practice.lines if one.rule in _HANDBOOK[topic]]
    lines = (*_LINES[topic](asked, words), *handbook_lines(minded, words))
    said = (line.strip() for line in lines)
    return Advice(
        lines=tuple(
            AdviceLine(text=line.removeprefix(CAUTION), caution=line.startswith(CAUTION))
            for line in said
        ),
        hazards=tuple(words.hazard(hazard) for hazard in each_once(_hazards(asked))),
        foot=words.texts.plan["foot"],
    )


def in_lines(advice: Advice) -> list[str]:
    """Advice for a terminal, cautions marked."""
    lines = [f"   {CAUTION}{one.text}" if one.caution else one.text for one in advice.lines]
    return [*lines, "", *(f"{CAUTION}{line}" for line in advice.hazards), "", advice.foot]


def _hazards(asked: Asked) -> Iterable[Hazard]:
    hold = asked.van.vehicle.hold
    return {
        "hold": HOLD_HAZARDS[hold.fuel if hold is not None else None],
        "in-use": (
            Hazard.CARBON_MONOXIDE,
            Hazard.GAS,
            Hazard.ELECTRICITY,
            Hazard.ICE,
            Hazard.WASTE,
            Hazard.LIFTING,
        ),
        "going": (
            *OF_DRAINING,  # after the trip
            Hazard.NEVER_WEDGE,
            Hazard.EMPTY_HEATER,
            Hazard.DRINKING_WATER,
        ),
        "transport": (*OF_DRAINING, Hazard.GAS, Hazard.UNDERNEATH),
        "thaw": (),
    }[asked.topic]


def _hold(asked: Asked, words: PlanWords) -> Iterator[str]:
    van = asked.van
    view = hold_view(
        van.vehicle, van.layout, van.water, asked.site, asked.weather.air, asked.beside
    )
    shut = waste_is_shut(van.water)
    return hold_lines(
        view,
        van.layout,
        name_of(van.vehicle),
        words,
        shut,
        container=van.vehicle.practice.container,
    )


def _in_use(asked: Asked, words: PlanWords) -> Iterator[str]:
    van = asked.van
    sources = sources_of(van.vehicle, van.layout)
    found = in_use(
        van.layout,
        van.water,
        asked.weather.air,
        sources,
        practice=van.vehicle.practice,
        container_l=asked.container_l,
        a_day_l=asked.a_day_l,
    )
    return in_use_lines(found, sources, name_of(van.vehicle), words)


def _going(asked: Asked, words: PlanWords) -> Iterator[str]:
    van = asked.van
    found = going(van.layout, van.water, asked.at, van.vehicle.practice)
    name = name_of(van.vehicle)
    return going_lines(found, words.hour(asked.at), name, words, asked.names)


def _transport(asked: Asked, words: PlanWords) -> Iterator[str]:
    van = asked.van
    found = transport(van.layout, van.water, asked.weather.air, asked.at)
    return transport_lines(found, name_of(van.vehicle), words)


def _thaw(asked: Asked, words: PlanWords) -> Iterator[str]:
    van = asked.van
    rows = [(van.vehicle, van.layout, van.water, asked.entries)]
    (gate,) = fillings(rows, asked.weather.air, asked.now)
    return thaw_lines(gate, looks_for(van.layout), name_of(van.vehicle), words)


_HANDBOOK: Mapping[str, tuple[Rule, ...]] = {
    "hold": (Rule.CONTAINER, Rule.SALT),
    "in-use": (Rule.CONTAINER, Rule.SALT),
    "going": (Rule.CONTAINER, Rule.PUMP_RUN),
    "transport": (Rule.WASTE_VALVE,),
    "thaw": (Rule.PUMP_RUN, Rule.AIR),
}
"""Rules of a handbook that are used on an occasion."""
_LINES = {
    "hold": _hold,
    "in-use": _in_use,
    "going": _going,
    "transport": _transport,
    "thaw": _thaw,
}


def evening_list(book: Book, now: datetime, language: Language = Language.EN) -> list[str]:
    """What must go back to drained, site by site."""
    lines: list[str] = []
    memory = Memory()
    for site in book.sites:
        vans = [
            memory.van(vehicle, book.entries.get(vehicle.key, ()), now, south=site.is_south)
            for vehicle in book.vehicles
            if vehicle.site == site.key
        ]
        rows = [(van.vehicle, van.water, book.entries.get(van.vehicle.key, ())) for van in vans]
        names = {van.vehicle.key: name_of(van.vehicle) for van in vans}
        words = words_for(language, site, now)
        lines += [site.name, *wet_again_lines(wet_again(rows, now), names, words), ""]
    return lines[:-1]
