"""A handover that was taken off is told to those who were told of it: once, on the same way.

One that was moved so far ahead that its new plan is not told yet is off for its old hour as well.
Nothing is told in quiet hours; what could not be told by the hour itself is told no more.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from frostwatch.advice.drafts import facts_of_one, voice_of
from frostwatch.advice.reminders import Reason, Reminder, Said, Status
from frostwatch.advice.view import Book, SiteView, VehicleView
from frostwatch.messages.wording.draft import Draft, Kind, Level
from frostwatch.messages.wording.warm_facts import Warm

TOLD_AHEAD = timedelta(hours=36)
"""No plan is told earlier: until then the forecast may still move its hour. Estimate."""
HOUR = "%Y-%m-%dT%H%MZ"
"""How the hour of a handover stands at the end of the key of what was told about it."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Off:
    """Somebody was told a plan for an hour that holds no longer."""

    matter: Reminder
    book: Book
    van: VehicleView
    at: datetime


def offs_are_due(view: SiteView, now: datetime) -> bool:
    """Whether somebody can be told now that a handover is off."""
    return any(_may_hear(off.book, now) for off in _offs(view, now))


def is_untold(view: SiteView, matter: Reminder, now: datetime) -> bool:
    """It is off, and whoever was told of it has not heard that yet."""
    return any(off.matter.key == matter.key for off in _offs(view, now))


def say_offs(view: SiteView, now: datetime) -> tuple[list[Draft], list[Reminder]]:
    """What is told of handovers that are off, and what is settled with it.

    Args:
        view: the site.
        now: aware UTC time.
    """
    drafts: list[Draft] = []
    settled: list[Reminder] = []
    for off in _offs(view, now):
        if not _may_hear(off.book, now):
            continue
        draft = _draft(view, off, now)
        said = Said(kind=Kind.WARM_UP, at=now, reason=Reason.TAKEN_OFF, level=draft.level)
        drafts.append(draft)
        settled.append(replace(off.matter, status=Status.CLEARED, said=(*off.matter.said, said)))
    return drafts, settled


def _offs(view: SiteView, now: datetime) -> Iterator[_Off]:
    books = {book.person.key: book for book in view.books}
    for matter in view.handover_matters.values():
        at, book = hour_of(matter), books.get(matter.recipient)
        if matter.status is not Status.STANDING or not matter.said or book is None:
            continue
        van = _of(book, matter.vehicle)
        if at is None or at <= now or van is None:
            continue
        wanted = van.vehicle.handover
        if wanted is None or (wanted.at != at and wanted.at > now + TOLD_AHEAD):
            yield _Off(matter=matter, book=book, van=van, at=at)


def _of(vans: Sequence[VehicleView] | Book, key: str) -> VehicleView | None:
    return next((van for van in vans if van.vehicle.key == key), None)


def hour_of(matter: Reminder) -> datetime | None:
    """The hour of the handover that a matter is about, UTC."""
    try:
        return datetime.strptime(matter.key.rpartition("/")[2], HOUR).replace(tzinfo=UTC)
    except ValueError:
        return None


def _may_hear(book: Book, now: datetime) -> bool:
    return not (book.diary.is_quiet(now) or book.diary.is_off(now))


def _draft(view: SiteView, off: _Off, now: datetime) -> Draft:
    wanted, person = off.van.vehicle.handover, off.book.person
    return Draft(
        key=off.matter.key,
        revision=len(off.matter.said) + 1,
        site=view.site.key,
        recipient=person.key,
        kind=Kind.WARM_UP,
        level=Level.ACT,
        reason=Reason.TAKEN_OFF.value,
        voice=voice_of(person, view.site),
        vehicles=(off.van.vehicle.key,),
        at=now,
        facts=replace(
            facts_of_one(view, off.van),
            warm=Warm(
                at=off.at,
                fuel="",
                power_w=0.0,
                later_at=wanted.at if wanted is not None else None,
            ),
        ),
    )
