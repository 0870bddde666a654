"""What stands in the calendar of a person or a site: slots, rounds, handovers, thaw checks."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from frostwatch.advice.daylight import local
from frostwatch.advice.handover import Plan
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.hazards import OF_DRAINING, hazards_of
from frostwatch.advice.jobs import is_open, minutes_of
from frostwatch.advice.plan_words import PlanWords, name_of, words_for
from frostwatch.advice.reminders import ACT_KINDS, Reminder, Status
from frostwatch.advice.shared import HAND_OVER
from frostwatch.advice.slots import Diary
from frostwatch.advice.view import ForecastBasis, SiteView, VehicleView
from frostwatch.advice.walk import WalkRound
from frostwatch.errors import FleetError
from frostwatch.fleet.people import Duty, Language, Person
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording.draft import Kind
from frostwatch.messages.wording.plans import PLANS
from frostwatch.ports import Book
from frostwatch.ports.calendars import Appointment
from frostwatch.service.calendar_facts import Known, Ready
from frostwatch.service.gathering import people_of, vans_of
from frostwatch.service.nights import Memory, Van
from frostwatch.weather.forecast import standing

SHORTEST = timedelta(minutes=15)
LOOK = timedelta(minutes=30)
"""A thaw check in a calendar. Estimate."""
HEADS_UP = timedelta(minutes=15)
NIGHT_FROM, NIGHT_TO = time(16), time(9)
"""Without a forecast tonight counts as frost between these hours. Estimate."""

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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Shelf:
    """One site's part of one feed."""

    site: Site
    owner: str
    vans: tuple[Van, ...]
    matters: tuple[Reminder, ...]
    walk: WalkRound | None
    known: Known
    diary: Diary | None
    words: PlanWords
    now: datetime

    @property
    def names(self) -> Mapping[str, str]:
        """Vehicle -> what people call it."""
        return {van.vehicle.key: name_of(van.vehicle) for van in self.vans}


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
    shelves: Sequence[_Shelf], owner: str, who: str, language: Language, now: datetime
) -> Feed:
    text = PLANS[language].calendar
    zone = shelves[0].site.zone if shelves else ZoneInfo("UTC")
    about = "\n".join(_about(shelf) for shelf in shelves) or text["nobody"]
    found = [one for shelf in shelves for one in _appointments(shelf)]
    return Feed(
        name=text["name"].format(who=who),
        zone=zone.key,
        about=about,
        gone=text["gone"],
        appointments=tuple(found) or (_nothing(owner, about, text["nothing"], zone, now),),
    )


def _about(shelf: _Shelf) -> str:
    """When a site's part was worked out, and from which forecast."""
    text, known = shelf.words.texts.calendar, shelf.known
    told = {"place": shelf.site.name, "at": shelf.words.hour(known.at)}
    if known.issued_at is None:
        return text["about none"].format(**told)
    return text["about"].format(**told, issue=shelf.words.hour(known.issued_at))


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
) -> _Shelf:
    found, _ = vans_of(book, {site.key}, Memory(), now)
    vans = tuple(van for van in found.get(site.key, ()) if van.vehicle.key in vehicles)
    return _Shelf(
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


def _appointments(shelf: _Shelf) -> Iterator[Appointment]:
    yield from _act_by_slots(shelf)
    yield from _rounds(shelf)
    for one in shelf.known.ready:
        yield from _steps(shelf, one)
    yield from _thaw_checks(shelf)
    yield from _no_forecast(shelf)


def _act_by_slots(shelf: _Shelf) -> Iterator[Appointment]:
    """Work that was asked for and not answered: in the slot, ending at its act-by hour."""
    due: dict[datetime, dict[str, datetime]] = {}
    wet = {van.vehicle.key for van in shelf.vans if is_open(van.water)}
    for matter in shelf.matters:
        if matter.vehicle not in wet:  # seen to since the last pass
            continue
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
            description="\n".join(
                (
                    text["act by told"].format(at=shelf.words.hour(max(told_at.values())), by=by),
                    *(shelf.words.hazard(hazard) for hazard in OF_DRAINING),
                )
            ),
            location=shelf.site.name,
            told_before=HEADS_UP,
            kin=tuple(sorted(told_at)),
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


def _steps(shelf: _Shelf, one: Ready) -> Iterator[Appointment]:
    """Every step of a handover."""
    words, plan = shelf.words, one.plan
    name = name_of(one.vehicle)
    key = f"handover/{shelf.owner}/{plan.vehicle}"
    if not plan.fits:
        lines = [words.why_not(plan), *(words.ways(plan, one.out) if one.out else ())]
        summary = words.texts.calendar["late"].format(van=name, at=words.hour(plan.at))
        yield _at_the_hour(shelf, plan, key, summary, "\n".join(lines))
        return
    for step, line in zip(plan.steps, words.steps(plan, one), strict=True):
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
    trip = shelf.diary is not None and shelf.diary.person.duty is Duty.OWNER
    summary = words.texts.calendar["trip" if trip else "handover"].format(van=name)
    yield _at_the_hour(shelf, plan, key, summary, "\n".join(words.facts(plan, one)))


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
    if not shelf.known.usable or shelf.diary is None:
        return
    froze = sorted(
        {m.vehicle for m in shelf.matters if m.froze and not m.times(Kind.THAW_CHECK)}
        & {van.vehicle.key for van in shelf.vans}
    )
    at = shelf.known.look(shelf.diary) if froze else None
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
    if shelf.known.usable or not shelf.vans:
        return
    text, zone = shelf.words.texts.calendar, shelf.site.zone
    there = shelf.now.astimezone(zone)
    day = there.date() - timedelta(days=there.time() < NIGHT_TO)
    wet = any(is_open(van.water) for van in shelf.vans)
    yield Appointment(
        key=f"no-forecast/{shelf.owner}/{shelf.site.key}/{day:%Y%m%d}",
        starts=local(day, NIGHT_FROM, zone),
        ends=local(day + timedelta(days=1), NIGHT_TO, zone),
        summary=text["no forecast" if wet else "no forecast dry"].format(place=shelf.site.name),
        description=_about(shelf),
        location=shelf.site.name,
        fleeting=True,
    )
