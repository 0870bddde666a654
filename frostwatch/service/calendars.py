"""What stands in the calendar of a person or a site: slots, rounds, handovers, thaw checks."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.advice.air_facts import thawed_hours, worth_looking
from frostwatch.advice.handover import Plan
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.hazards import hazards_of
from frostwatch.advice.jobs import is_open, minutes_of
from frostwatch.advice.plan_words import PlanWords, name_of, words_for
from frostwatch.advice.reminders import ACT_KINDS, Reminder, Status
from frostwatch.advice.shared import HAND_OVER
from frostwatch.advice.slots import Diary
from frostwatch.advice.view import ForecastBasis, SiteView, VehicleView
from frostwatch.advice.walk import WalkRound
from frostwatch.errors import FleetError, NoForecastError
from frostwatch.fleet.people import Duty, Language
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording.draft import Kind
from frostwatch.ports import Book, Forecasts
from frostwatch.ports.pages import Pages
from frostwatch.reports.calendar import Appointment
from frostwatch.service.gathering import people_of, vans_of
from frostwatch.service.handovers import (
    AHEAD,
    NO_LAWS,
    Planned,
    SiteWeather,
    case_of,
    planned,
    weather_at,
)
from frostwatch.service.nights import Memory, Van
from frostwatch.weather.forecast import standing
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw

SHORTEST = timedelta(minutes=15)
LOOK = timedelta(minutes=30)
"""A thaw check in a calendar. Estimate."""
HEADS_UP = timedelta(minutes=15)


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """A whole calendar.

    Attributes:
        name: shown for it.
        zone: IANA zone in which to show it.
        appointments: what stands in it.
    """

    name: str
    zone: str
    appointments: tuple[Appointment, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Shelf:
    """One site's part of one feed."""

    site: Site
    owner: str
    vans: tuple[Van, ...]
    matters: tuple[Reminder, ...]
    walk: WalkRound | None
    weather: SiteWeather | None
    diary: Diary | None
    words: PlanWords
    now: datetime

    @property
    def names(self) -> Mapping[str, str]:
        """Vehicle -> what people call it."""
        return {van.vehicle.key: name_of(van.vehicle) for van in self.vans}


def feed_of_person(
    book: Book,
    forecasts: Forecasts,
    pages: Pages,
    key: str,
    now: datetime,
    laws: Mapping[str, ErrorLaw] = NO_LAWS,
) -> Feed:
    """Everything that concerns one person, at every site.

    Raises:
        FleetError: nobody of that key is entered.
    """
    person = next((one for one in book.people if one.key == key), None)
    if person is None:
        raise FleetError(f"person {key!r} is not entered. See: frostwatch export fleet")
    found: list[Appointment] = []
    zone = "UTC"
    for site in book.sites:
        theirs = _books(book, site, now).get(key)
        if theirs is None:
            continue
        zone = site.time_zone if zone == "UTC" else zone
        staff = person.duty is not Duty.OWNER
        shelf = _shelf(
            book,
            forecasts,
            site,
            now,
            laws,
            owner=key,
            vehicles=theirs,
            matters=[m for m in book.reminders.get(site.key, ()) if m.recipient == key],
            language=person.language,
            diary=Diary(person=person, site=site),
            walk=_walk(pages, site, now) if staff else None,
        )
        found += _appointments(shelf)
    name = _calendar_name(person.language, person.name or key)
    return Feed(name=name, zone=zone, appointments=tuple(found))


def feed_of_site(
    book: Book,
    forecasts: Forecasts,
    pages: Pages,
    key: str,
    now: datetime,
    laws: Mapping[str, ErrorLaw] = NO_LAWS,
) -> Feed:
    """Everything at one site.

    Raises:
        FleetError: no site of that key is entered.
    """
    site = next((one for one in book.sites if one.key == key), None)
    if site is None:
        raise FleetError(f"site {key!r} is not entered. See: frostwatch export fleet")
    people = {person.key: person for person in book.people}
    lead = people.get(site.operator) or next(iter(people_of(book)[key]), None)
    language = lead.language if lead is not None else Language.EN
    shelf = _shelf(
        book,
        forecasts,
        site,
        now,
        laws,
        owner="site",
        vehicles=frozenset(v.key for v in book.vehicles if v.site == key),
        matters=list(book.reminders.get(key, ())),
        language=language,
        diary=Diary(person=lead, site=site) if lead is not None else None,
        walk=_walk(pages, site, now),
    )
    return Feed(
        name=_calendar_name(language, site.name),
        zone=site.time_zone,
        appointments=tuple(_appointments(shelf)),
    )


def _calendar_name(language: Language, who: str) -> str:
    from frostwatch.messages.wording.plans import PLANS

    return PLANS[language].calendar["name"].format(who=who)


def _walk(pages: Pages, site: Site, now: datetime) -> WalkRound | None:
    yard = pages.yard(site.key, now)
    return yard.round if yard is not None else None


def _books(book: Book, site: Site, now: datetime) -> dict[str, frozenset[str]]:
    """Person -> vehicles of theirs at a site, as the judgement has it."""
    vans, _ = vans_of(book, {site.key}, Memory(), now)
    view = SiteView(
        site=site,
        people=tuple(people_of(book)[site.key]),
        vehicles=tuple(
            VehicleView(vehicle=van.vehicle, layout=van.layout, water=van.water)
            for van in vans.get(site.key, ())
        ),
        air=None,
        forecast=ForecastBasis(standing=standing(None, now)),
    )
    return {own.person.key: frozenset(van.vehicle.key for van in own) for own in view.books}


def _shelf(
    book: Book,
    forecasts: Forecasts,
    site: Site,
    now: datetime,
    laws: Mapping[str, ErrorLaw],
    *,
    owner: str,
    vehicles: frozenset[str],
    matters: Sequence[Reminder],
    language: Language,
    diary: Diary | None,
    walk: WalkRound | None,
) -> _Shelf:
    vans, _ = vans_of(book, {site.key}, Memory(), now)
    weather: SiteWeather | None
    try:
        weather = weather_at(forecasts, site, now, laws.get(site.key, DEFAULT_LAW))
    except NoForecastError:
        weather = None
    return _Shelf(
        site=site,
        owner=owner,
        vans=tuple(van for van in vans.get(site.key, ()) if van.vehicle.key in vehicles),
        matters=tuple(m for m in matters if m.vehicle in vehicles and not m.about),
        walk=walk,
        weather=weather,
        diary=diary,
        words=words_for(language, site, now),
        now=now,
    )


def _appointments(shelf: _Shelf) -> Iterator[Appointment]:
    yield from _act_by_slots(shelf)
    yield from _rounds(shelf)
    yield from _handovers(shelf)
    yield from _thaw_checks(shelf)
    yield from _no_forecast(shelf)


def _act_by_slots(shelf: _Shelf) -> Iterator[Appointment]:
    """Work that was asked for and not answered: in the slot, ending at its act-by hour."""
    due: dict[datetime, dict[str, datetime]] = {}
    for matter in shelf.matters:
        told = matter.last(*ACT_KINDS) if matter.status is Status.STANDING else None
        if told is not None and told.act_by is not None and told.act_by > shelf.now:
            due.setdefault(told.act_by, {})[matter.vehicle] = told.at
    text = shelf.words.texts.calendar
    for act_by, told_at in sorted(due.items()):
        minutes = sum(_minutes(shelf, van) for van in shelf.vans if van.vehicle.key in told_at)
        by = shelf.words.hour(act_by)
        vans = ", ".join(shelf.names[key] for key in sorted(told_at))
        yield Appointment(
            key=f"act-by/{shelf.owner}/{shelf.site.key}/{act_by:%Y%m%dT%H%MZ}",
            starts=act_by - max(SHORTEST, timedelta(minutes=minutes)),
            ends=act_by,
            summary=text["act by"].format(by=by, vans=vans),
            description=text["act by told"].format(
                at=shelf.words.hour(max(told_at.values())), by=by
            ),
            location=shelf.site.name,
            told_before=HEADS_UP,
        )


def _minutes(shelf: _Shelf, van: Van) -> float:
    """The work at a vehicle, shared by the crew of the site."""
    duty = shelf.diary.person.duty if shelf.diary is not None else Duty.CREW
    wet = tuple(entry for entry in van.water if entry.is_wet)
    if not wet:
        return 0.0
    return minutes_of(wet, duty) / (max(1, shelf.site.crew) if duty is not Duty.OWNER else 1)


def _rounds(shelf: _Shelf) -> Iterator[Appointment]:
    """The round that is being walked."""
    walk = shelf.walk
    if walk is None or walk.handed_back_at is not None or walk.act_by is None:
        return
    if walk.act_by <= shelf.now:
        return
    took = timedelta(minutes=walk.minutes / max(1, shelf.site.crew))
    yield Appointment(
        key=f"round/{walk.code}",
        starts=max(walk.made_at, walk.act_by - max(SHORTEST, took)),
        ends=walk.act_by,
        summary=shelf.words.texts.calendar["round"].format(
            place=shelf.site.name, stops=len(walk.stops), by=shelf.words.hour(walk.act_by)
        ),
        description=", ".join(one.stop.bay or one.stop.vehicle for one in walk.stops),
        location=shelf.site.name,
        told_before=HEADS_UP,
    )


def _handovers(shelf: _Shelf) -> Iterator[Appointment]:
    """Every step of every handover of the next three days."""
    if shelf.weather is None:
        return
    for van in shelf.vans:
        wanted = van.vehicle.handover
        if wanted is None or not shelf.now < wanted.at <= shelf.now + AHEAD:
            continue
        case = case_of(van, shelf.site, shelf.weather.air, wanted, shelf.now)
        yield from _steps(shelf, planned(case))


def _steps(shelf: _Shelf, one: Planned) -> Iterator[Appointment]:
    words, plan = shelf.words, one.best
    name = name_of(one.case.vehicle)
    key = f"handover/{shelf.owner}/{plan.vehicle}/{plan.at:%Y%m%dT%H%MZ}"
    if not plan.fits:
        lines = [words.why_not(plan), *(words.ways(plan, one.out) if one.out else ())]
        summary = words.texts.calendar["late"].format(van=name, at=words.hour(plan.at))
        yield _at_the_hour(shelf, plan, key, summary, "\n".join(lines))
        return
    for step, line in zip(plan.steps, words.steps(plan, one.case), strict=True):
        if step.step is Step.SPARE or step.ends <= step.starts:
            continue
        gate = words.texts.calendar["go on"].format(gate=line.gate) if line.gate else ""
        hazards = (words.hazard(h) for h in hazards_of(step.step, plan.source))
        yield Appointment(
            key=f"{key}/{step.step.value.replace(' ', '-').replace(',', '')}",
            starts=step.starts,
            ends=step.ends,
            summary=words.texts.calendar["step"].format(van=name, what=line.what),
            description="\n".join(part for part in (gate, *hazards) if part),
            location=shelf.site.name,
            told_before=HEADS_UP if step.step in (Step.LOOK, Step.HEAT) else None,
        )
    summary = words.texts.calendar["handover"].format(van=name)
    yield _at_the_hour(shelf, plan, key, summary, "\n".join(words.facts(plan, one.case)))


def _at_the_hour(
    shelf: _Shelf, plan: Plan, key: str, summary: str, description: str
) -> Appointment:
    return Appointment(
        key=key,
        starts=plan.at,
        ends=plan.at + HAND_OVER,
        summary=summary,
        description=description,
        location=shelf.site.name,
    )


def _thaw_checks(shelf: _Shelf) -> Iterator[Appointment]:
    """When what froze is worth looking at, in the person's own time."""
    if shelf.weather is None or shelf.diary is None:
        return
    froze = sorted(
        {m.vehicle for m in shelf.matters if m.froze and not m.times(Kind.THAW_CHECK)}
        & {van.vehicle.key for van in shelf.vans}
    )
    air = shelf.weather.air
    at = worth_looking(air, thawed_hours(air), shelf.diary, shelf.now) if froze else None
    if at is None:
        return
    text = shelf.words.texts.calendar
    yield Appointment(
        key=f"thaw/{shelf.owner}/{shelf.site.key}",
        starts=at,
        ends=at + LOOK,
        summary=text["thaw"].format(vans=", ".join(shelf.names[key] for key in froze)),
        description=text["thaw told"],
        location=shelf.site.name,
        told_before=HEADS_UP,
    )


def _no_forecast(shelf: _Shelf) -> Iterator[Appointment]:
    """Missing weather never reads as an empty calendar."""
    if shelf.weather is not None or not any(is_open(van.water) for van in shelf.vans):
        return
    yield Appointment(
        key=f"no-forecast/{shelf.owner}/{shelf.site.key}",
        starts=shelf.now,
        ends=shelf.now + timedelta(hours=1),
        summary=shelf.words.texts.calendar["no forecast"].format(place=shelf.site.name),
        location=shelf.site.name,
    )
