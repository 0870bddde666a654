"""The round of one place at one moment: which vehicles are stops, and what each asks for."""

from datetime import datetime

from frostwatch.advice.by_handbook import wants_dose, wants_mesh
from frostwatch.advice.desk import Desk, desk_for
from frostwatch.advice.harm import COST_WEIGHT
from frostwatch.advice.jobs import job_of, told_wet
from frostwatch.advice.reminders import AnswerKind
from frostwatch.advice.rounds import Round, Stop, round_for
from frostwatch.advice.verdict import Numbers
from frostwatch.advice.view import SiteView
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Level

OPEN_LEVELS = (Level.NOTICE, Level.ACT, Level.URGENT)


def round_at(view: SiteView, person: str, now: datetime) -> Round | None:
    """The round as it stands for one person; None if they look after nothing at the site.

    Args:
        view: the site with its nights.
        person: key of the person.
        now: aware UTC time.
    """
    book = next((book for book in view.books if book.person.key == person), None)
    return round_of(desk_for(view, book, now)) if book is not None else None


def round_of(desk: Desk) -> Round:
    """The round for the coming slot: everything wet that frost may reach, unknown ones too."""
    stops = [stop for n, stand in enumerate(desk.stands) if (stop := stop_of(desk, n)) is not None]
    slot = desk.slots[0] if desk.slots else None
    starts = max(desk.now, slot.start) if slot else desk.now
    return round_for(stops, starts=starts, crew=desk.view.site.crew)


def breaks_of(desk: Desk, numbers: Numbers) -> tuple[Circuit, ...]:
    """What could split in the window, dearest first."""
    until_h = numbers.night.hour_of(numbers.window_to)
    items = numbers.night.in_cost_order(until_h, above=desk.ratio)
    return tuple(dict.fromkeys(item.circuit for item in items))


def stop_of(desk: Desk, place: int) -> Stop | None:
    """A vehicle as a stop; None where nobody need go."""
    stand = desk.stands[place]
    numbers = desk.numbers(stand) if stand.wet else None
    if numbers is None or not numbers.night.items:
        return None
    level = desk.level(stand)
    answered = stand.answer is not None and stand.answer.kind is AnswerKind.CANNOT
    job = job_of(stand.wet)
    if level not in OPEN_LEVELS or answered:
        return None
    breaks = breaks_of(desk, numbers)
    due = numbers.window.probability > desk.ratio
    vehicle = stand.van.vehicle
    return Stop(
        vehicle=vehicle.key,
        bay=stand.van.name,
        place=place,
        job=job,
        minutes=stand.job_min,
        act_by=numbers.act_by if due else None,
        earliest=numbers.time(numbers.window.earliest_h),
        likely=numbers.time(numbers.window.likely_h),
        level=level,
        cost=sum(COST_WEIGHT.get(circuit, 0.0) for circuit in breaks),
        breaks=breaks,
        wet=told_wet(stand.wet),
        keys=bool(vehicle.key_place),
        held_w=vehicle.hold.power_w if vehicle.hold else 0.0,
        mesh=wants_mesh(vehicle),
        dose=wants_dose(vehicle),
    )
