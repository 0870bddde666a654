"""The calendar of a person or of a site, as a whole."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from frostwatch.advice.daylight import local
from frostwatch.advice.plan_words import words_for
from frostwatch.advice.reminders import Reminder
from frostwatch.advice.slots import Diary
from frostwatch.advice.view import ForecastBasis, SiteView, VehicleView
from frostwatch.advice.walk import WalkRound
from frostwatch.errors import FleetError
from frostwatch.fleet.people import Duty, Language, Person
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording.plans import PLANS
from frostwatch.ports import Book
from frostwatch.ports.calendars import Appointment
from frostwatch.service.calendar_entries import Shelf, appointments_of, rests_on
from frostwatch.service.calendar_facts import Known
from frostwatch.service.gathering import people_of, vans_of
from frostwatch.service.nights import Memory, Van
from frostwatch.weather.forecast import standing

Facts = Callable[[Site, Sequence[Van]], Known]
"""What is known of a site with those vehicles."""
Walks = Callable[[Site], WalkRound | None]
"""The round that is being walked at a site."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """A whole calendar.

    Attributes:
        name: shown for it.
        zone: IANA zone in which to show it.
        about: what it rests on, and when that was worked out.
        gone: what a summary becomes where its appointment is called off, with ``{what}``.
        appointments: what stands in it; never empty.
    """

    name: str
    zone: str
    about: str
    gone: str
    appointments: tuple[Appointment, ...]


def feed_of_person(
    book: Book,
    facts: Facts,
    walks: Walks,
    key: str,
    now: datetime,
    *,
    only: Sequence[str] = (),
) -> Feed:
    """Everything that concerns one person, at every site.

    Args:
        book: what is entered, recorded and said.
        facts: what is known of a site.
        walks: the round that is walked at a site.
        key: key of the person.
        now: aware UTC time.
        only: these of their vehicles alone; empty for all.

    Raises:
        FleetError: nobody of that key is entered.
    """
    person = next((one for one in book.people if one.key == key), None)
    if person is None:
        raise FleetError(f"person {key!r} is not entered. See: frostwatch export fleet")
    shelves = []
    for site in book.sites:
        theirs = _books(book, site, now).get(key)
        if theirs is None or (only and theirs.isdisjoint(only)):
            continue
        shelf = _shelf(
            book,
            facts,
            site,
            now,
            owner=key,
            vehicles=theirs & frozenset(only) if only else theirs,
            matters=[m for m in book.reminders.get(site.key, ()) if m.recipient == key],
            language=person.language,
            diary=Diary(person=person, site=site),
            walk=walks(site) if person.duty is not Duty.OWNER else None,
        )
        shelves.append(shelf)
    return _feed(shelves, key, person.name or key, person.language, now)


def feed_of_site(book: Book, facts: Facts, walks: Walks, key: str, now: datetime) -> Feed:
    """Everything at one site.

    Raises:
        FleetError: no site of that key is entered.
    """
    site = next((one for one in book.sites if one.key == key), None)
    if site is None:
        raise FleetError(f"site {key!r} is not entered. See: frostwatch export fleet")
    lead = _lead(book, site)
    language = lead.language if lead is not None else Language.EN
    shelf = _shelf(
        book,
        facts,
        site,
        now,
        owner="site",
        vehicles=frozenset(v.key for v in book.vehicles if v.site == key),
        matters=list(book.reminders.get(key, ())),
        language=language,
        diary=Diary(person=lead, site=site) if lead is not None else None,
        walk=walks(site),
    )
    return _feed([shelf], f"site/{key}", site.name, language, now)


def _lead(book: Book, site: Site) -> Person | None:
    people = {person.key: person for person in book.people}
    return people.get(site.operator) or next(iter(people_of(book)[site.key]), None)


def _feed(
    shelves: Sequence[Shelf], owner: str, who: str, language: Language, now: datetime
) -> Feed:
    text = PLANS[language].calendar
    zone = shelves[0].site.zone if shelves else ZoneInfo("UTC")
    about = "\n".join(rests_on(shelf) for shelf in shelves) or text["nobody"]
    found = [one for shelf in shelves for one in appointments_of(shelf)]
    return Feed(
        name=text["name"].format(who=who),
        zone=zone.key,
        about=about,
        gone=text["gone"],
        appointments=tuple(found) or (_nothing(owner, about, text["nothing"], zone, now),),
    )


def _nothing(owner: str, about: str, summary: str, zone: ZoneInfo, now: datetime) -> Appointment:
    """A calendar in which nothing is due says so, and what that rests on; it is never empty."""
    day = now.astimezone(zone).date()
    return Appointment(
        key=f"nothing/{owner}/{day:%Y%m%d}",
        starts=local(day, time(0), zone),
        ends=local(day + timedelta(days=1), time(0), zone),
        summary=summary,
        description=about,
        all_day=True,
        fleeting=True,
    )


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
    facts: Facts,
    site: Site,
    now: datetime,
    *,
    owner: str,
    vehicles: frozenset[str],
    matters: Sequence[Reminder],
    language: Language,
    diary: Diary | None,
    walk: WalkRound | None,
) -> Shelf:
    found, _ = vans_of(book, {site.key}, Memory(), now)
    vans = tuple(van for van in found.get(site.key, ()) if van.vehicle.key in vehicles)
    return Shelf(
        site=site,
        owner=owner,
        vans=vans,
        matters=tuple(m for m in matters if m.vehicle in vehicles and not m.about),
        walk=walk,
        known=facts(site, vans),
        diary=diary,
        words=words_for(language, site, now),
        now=now,
    )
