"""One site's appointments: slots, rounds, handovers, thaw checks, and where no forecast is."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from frostwatch.advice.daylight import EARLIEST, Span, daylight
from frostwatch.advice.handover import Plan
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.hazards import OF_DRAINING, hazards_of
from frostwatch.advice.jobs import is_open, minutes_of
from frostwatch.advice.plan_words import PlanWords, name_of
from frostwatch.advice.reminders import ACT_KINDS, Reminder, Status
from frostwatch.advice.shared import HAND_OVER
from frostwatch.advice.slots import Diary
from frostwatch.advice.walk import WalkRound
from frostwatch.fleet.people import Duty
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording.draft import Kind
from frostwatch.ports.calendars import Appointment
from frostwatch.service.calendar_facts import Known, Ready
from frostwatch.service.nights import Van

AT_LEAST = timedelta(minutes=1)
"""An entry lasts (RFC 5545, 3.6.1), also where the vehicle is warm enough from the start."""
SHORTEST = timedelta(minutes=15)
LOOK = timedelta(minutes=30)
"""A thaw check in a calendar. Estimate."""
HEADS_UP = timedelta(minutes=15)
BY_DAYLIGHT = timedelta(hours=2)
"""Without a forecast an entry begins at least so long before dusk: work is done by daylight.
Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shelf:
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


def rests_on(shelf: Shelf) -> str:
    """When a site's part was worked out, and from which forecast."""
    text, known = shelf.words.texts.calendar, shelf.known
    told = {"place": shelf.site.name, "at": shelf.words.hour(known.at)}
    if known.issued_at is None:
        return text["about none"].format(**told)
    return text["about"].format(**told, issue=shelf.words.hour(known.issued_at))


def appointments_of(shelf: Shelf) -> Iterator[Appointment]:
    """Everything that stands in the calendar for a site."""
    yield from _act_by_slots(shelf)
    yield from _rounds(shelf)
    for one in shelf.known.ready:
        yield from _steps(shelf, one)
    yield from _thaw_checks(shelf)
    yield from _no_forecast(shelf)


def _act_by_slots(shelf: Shelf) -> Iterator[Appointment]:
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


def _minutes(shelf: Shelf, van: Van) -> float:
    """The work at a vehicle, shared by the crew of the site."""
    duty = shelf.diary.person.duty if shelf.diary is not None else Duty.CREW
    wet = tuple(entry for entry in van.water if entry.is_wet)
    if not wet:
        return 0.0
    return minutes_of(wet, duty) / (max(1, shelf.site.crew) if duty is not Duty.OWNER else 1)


def _rounds(shelf: Shelf) -> Iterator[Appointment]:
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


def _steps(shelf: Shelf, one: Ready) -> Iterator[Appointment]:
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
        lasts = step.ends > step.starts or step.step is Step.HEAT  # warm enough from the start
        if step.step is Step.SPARE or not lasts:
            continue
        gate = words.texts.calendar["go on"].format(gate=line.gate) if line.gate else ""
        hazards = (words.hazard(h) for h in hazards_of(step.step, plan.source))
        yield Appointment(
            key=f"{key}/{step.step.value.replace(' ', '-').replace(',', '')}",
            starts=step.starts,
            ends=max(step.ends, step.starts + AT_LEAST),
            summary=words.texts.calendar["step"].format(van=name, what=line.what),
            description="\n".join(part for part in (gate, *hazards) if part),
            location=shelf.site.name,
            told_before=HEADS_UP if step.step in (Step.LOOK, Step.HEAT) else None,
        )
    trip = shelf.diary is not None and shelf.diary.person.duty is Duty.OWNER
    summary = words.texts.calendar["trip" if trip else "handover"].format(van=name)
    yield _at_the_hour(shelf, plan, key, summary, "\n".join(words.facts(plan, one)))


def _at_the_hour(shelf: Shelf, plan: Plan, key: str, summary: str, description: str) -> Appointment:
    return Appointment(
        key=key,
        starts=plan.at,
        ends=plan.at + HAND_OVER,
        summary=summary,
        description=description,
        location=shelf.site.name,
    )


def _thaw_checks(shelf: Shelf) -> Iterator[Appointment]:
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


def _light(site: Site, day: date) -> Span:
    return daylight(site.latitude_deg, site.longitude_deg, site.time_zone, day)


def _no_forecast(shelf: Shelf) -> Iterator[Appointment]:
    """Missing weather never reads as an empty calendar."""
    if shelf.known.usable or not shelf.vans:
        return
    text, there = shelf.words.texts.calendar, shelf.now.astimezone(shelf.site.zone)
    day = there.date() - timedelta(days=there.time() < EARLIEST)  # still the night that began
    light, dawn = _light(shelf.site, day), _light(shelf.site, day + timedelta(days=1)).start
    wet = any(is_open(van.water) for van in shelf.vans)
    work = timedelta(minutes=sum(_minutes(shelf, van) for van in shelf.vans))
    yield Appointment(
        key=f"no-forecast/{shelf.owner}/{shelf.site.key}/{day:%Y%m%d}",
        starts=max(light.start, light.end - max(BY_DAYLIGHT, work)),
        ends=dawn,
        summary=text["no forecast" if wet else "no forecast dry"].format(place=shelf.site.name),
        description=rests_on(shelf),
        location=shelf.site.name,
        fleeting=True,
    )
