"""Telling whoever runs a place that an urgent message reached nobody."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

import structlog

from frostwatch.advice.escalation import (
    Unanswered,
    decisions_of,
    draft_of,
    told_at,
    unanswered,
    whom_to_tell,
)
from frostwatch.advice.jobs import is_open
from frostwatch.advice.reminders import Reminder
from frostwatch.advice.slots import Diary
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports import Book, MessageStatus
from frostwatch.service.kit import Kit
from frostwatch.service.letters import messages_for
from frostwatch.service.nights import Memory

log = structlog.get_logger()


def escalate(kit: Kit, book: Book, memory: Memory, now: datetime) -> Book:
    """Tell of every urgent call that is half-way to its hour, reached nobody and is unanswered.

    Args:
        kit: the adapters.
        book: what was read for this pass.
        memory: what earlier passes worked out.
        now: aware UTC time.

    Returns:
        The book with those calls marked: each is told once.
    """
    changed: dict[str, tuple[Reminder, ...]] = {}
    there: defaultdict[str, list[Vehicle]] = defaultdict(list)
    for vehicle in book.vehicles:
        there[vehicle.site].append(vehicle)
    for site in book.sites:
        if not book.reminders.get(site.key):
            continue
        try:
            told = _tell_site(kit, book, site, there[site.key], memory, now)
        except FrostwatchError as fault:
            log.error("unreached people not told of", site=site.key, cause=str(fault))
            continue
        if told:
            marked = {matter.key: matter for matter in told}
            changed[site.key] = tuple(
                marked.get(matter.key, matter) for matter in book.reminders.get(site.key, ())
            )
    return replace(book, reminders={**book.reminders, **changed}) if changed else book


def _tell_site(
    kit: Kit, book: Book, site: Site, there: Sequence[Vehicle], memory: Memory, now: datetime
) -> tuple[Reminder, ...]:
    """What is told at one site, kept; the matters it is about, marked."""
    matters = book.reminders.get(site.key, ())
    vehicles = {one.key: one for one in there}
    answers = [a for key in vehicles for a in book.answers.get(key, ())]

    def holds_water(key: str) -> bool:
        entries = book.entries.get(key, ())
        if key not in vehicles:
            return False
        return is_open(memory.van(vehicles[key], entries, now, south=site.is_south).water)

    waiting = [
        call
        for call in unanswered(matters, answers, now)
        if holds_water(call.matter.vehicle) and not _delivered(kit, call)
    ]
    marked: list[Reminder] = []
    for to, calls in _by_whom(book, site, waiting).values():
        diary = Diary(person=to, site=site)
        due = [call for call in calls if now >= told_at(call, diary) and not diary.is_quiet(now)]
        if due:
            marked += _tell(kit, book, site, there, to, due, now)
    return tuple(marked)


def _tell(
    kit: Kit,
    book: Book,
    site: Site,
    there: Sequence[Vehicle],
    to: Person,
    due: list[Unanswered],
    now: datetime,
) -> list[Reminder]:
    draft = draft_of(due, site, to, people=book.people, vehicles=there, now=now)
    matters = [call.told(now) for call in due]
    kit.ledger.keep_messages(
        site.key,
        now,
        reminders=matters,
        decisions=decisions_of(due, to, now),
        messages=tuple(messages_for(draft, to, now)),
    )
    log.warning("not reached", site=site.key, people=draft.facts.who, told=to.key)
    return matters


def _by_whom(
    book: Book, site: Site, calls: list[Unanswered]
) -> Mapping[str, tuple[Person, list[Unanswered]]]:
    """Key of whoever is to be told -> them, and the calls."""
    unreached = {call.matter.recipient for call in calls}
    to = whom_to_tell(site, book.people, unreached)
    if to is not None:
        return {to.key: (to, calls)} if calls else {}
    for key in unreached:
        log.error("not reached, and nobody else runs the place", site=site.key, person=key)
    return {}


def _delivered(kit: Kit, call: Unanswered) -> bool:
    """Whether any channel took the call; somebody without channels was never reached."""
    recipient = call.matter.recipient
    rows = (row for key, revision in call.names for row in kit.outbox.of(recipient, key, revision))
    return any(row.status is MessageStatus.SENT for row in rows)
