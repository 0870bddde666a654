"""The trip on the page behind a link: what is put back, heating on by when, and afterwards."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from frostwatch.advice.handover import Trouble
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.hazards import Hazard, each_once
from frostwatch.advice.occasion_words import put_back_words
from frostwatch.advice.plan_words import PlanWords, StepLine, name_of, words_for
from frostwatch.advice.warm_up import PUMP_C, pump_place
from frostwatch.fleet.vehicles import Place
from frostwatch.service.calendar_facts import Ready
from frostwatch.service.trips import Trip
from frostwatch.web.answers.telling import Reading

SOON = timedelta(hours=1)
"""A plan may be an hour old, and what it calls now has passed by then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TripPart:
    """A trip in words.

    Attributes:
        head: its hour, or that it has come.
        over: the hour has come.
        by: heating on by when; "" where that is not known.
        says: what the plan rests on, or why there is none, a sentence each.
        put_back: what is put back before any water goes in.
        notes: flushing, disinfecting, what nobody knows.
        steps: the plan, step by step.
        minds: cautions that stand beside no step.
        after: what is done afterwards.
    """

    head: str
    over: bool
    by: str
    says: tuple[str, ...]
    put_back: tuple[str, ...]
    notes: tuple[str, ...]
    steps: tuple[StepLine, ...]
    minds: tuple[str, ...]
    after: str


def trip_part(trip: Trip, reading: Reading, now: datetime) -> TripPart:
    """A trip as the reader's page shows it."""
    words = words_for(reading.language, reading.opened.site, now)
    text, say = words.texts.going, reading.say
    notes = [text["unknown"]] if trip.list.unknown else []
    notes += [text["disinfect"]] if trip.list.disinfect else []
    if trip.ready is not None and not trip.ready.vehicle.heat:
        heat = words.heat(trip.ready.plan.source)
        notes.append(say("trip.usual_heat", heat=heat))
    steps = _steps(trip.ready, words)
    beside = {hazard for line in steps for hazard in line.hazards}
    whole = (Hazard.NEVER_WEDGE, Hazard.EMPTY_HEATER, Hazard.SCALDING, Hazard.DRINKING_WATER)
    minds = (words.hazard(hazard) for hazard in each_once(whole))
    return TripPart(
        head=say("trip.over" if trip.over else "trip", at=words.hour(trip.at)),
        over=trip.over,
        by=_by(trip.ready, words),
        says=_says(trip, reading, words, now),
        put_back=tuple(put_back_words(trip.list, words, reading.opened.names)),
        notes=tuple(notes),
        steps=steps,
        minds=tuple(one for one in minds if one not in beside),
        after=text["after"],
    )


def moved_words(reading: Reading) -> str:
    """That the hour was changed by somebody else, and what it is now."""
    now = next((van.vehicle.handover for van in reading.opened.vans), None)
    if now is None:
        return reading.say("trip.taken_off")
    return reading.say("trip.moved", at=reading.speech.hour(now.at))


def _steps(ready: Ready | None, words: PlanWords) -> tuple[StepLine, ...]:
    if ready is None or not ready.plan.fits:
        return ()
    lines = words.steps(ready.plan, ready)
    steps = zip(ready.plan.steps, lines, strict=True)
    return tuple(line for step, line in steps if step.step is not Step.READY)


def _by(ready: Ready | None, words: PlanWords) -> str:
    return words.head(ready.plan, name_of(ready.vehicle)) if ready is not None else ""


def _says(trip: Trip, reading: Reading, words: PlanWords, now: datetime) -> tuple[str, ...]:
    if trip.over:
        return (reading.say("trip.over.say"),)
    ready = trip.ready
    if ready is None and now < trip.plan_from:
        return (reading.say("trip.later", when=words.hour(trip.plan_from)),)
    if ready is None:
        return (reading.say("trip.no_plan"),)
    if ready.plan.fits:
        return tuple(words.facts(ready.plan, ready))
    out = ready.out
    if out is not None and out.indoors_by is not None and out.indoors_by <= now + SOON:
        out = replace(out, indoors=None)  # no building warms it in the time that is left
    ways = list(words.ways(ready.plan, replace(out, dry=False))) if out is not None else []
    return (_why_not(ready, reading, words), *ways, reading.say("trip.dry"))


def _why_not(ready: Ready, reading: Reading, words: PlanWords) -> str:
    """What stands in the way: of a part under the floor, that no heating reaches it."""
    below = {Place.FLOOR, Place.OUTSIDE}
    valve = ready.layout.valve
    if ready.plan.trouble is Trouble.NEVER:
        if valve is not None and valve.place in below:
            return reading.say("trip.valve_outside", c=round(valve.closable_above_c.value))
        if pump_place(ready.layout) in below:
            return reading.say("trip.pump_outside", c=round(PUMP_C))
    return words.why_not(ready.plan)
