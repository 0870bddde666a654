"""When there is anything to say: readings, hours that pass, vehicles that thaw, the night."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from frostwatch.advice.budget import ACT_CALLS_A_SPELL
from frostwatch.advice.desk import act_by_passed, can_look_at, is_watched
from frostwatch.advice.jobs import is_dry
from frostwatch.advice.reminders import ACT_KINDS, Reminder
from frostwatch.advice.site_rules import forecast_changed
from frostwatch.advice.view import Book, SiteView
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Kind
from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater

NOBODY_NOTED = timedelta(days=1)
"""That nobody can be told of a site's vehicles goes on record once in this time."""
LOOK_HOLDS = timedelta(hours=1)
"""How long after its time a look at frozen vehicles is made up for."""


def is_due(view: SiteView, now: datetime, *, has_thawed: Callable[[], bool] | None = None) -> bool:
    """Whether anybody could be told anything now; if not, the heat model need not run.

    Nights are not looked at and may be missing from the view, and so may the air.

    Args:
        view: the site as it stands.
        now: aware UTC time.
        has_thawed: whether the air has been mild for long enough; asked only where frozen vehicles
            are all there is to think of. The view's air if None, and "yes" where it has none.
    """
    thawed = has_thawed or (lambda: view.air is None or view.has_thawed(now))
    since = view.judged_to
    if not view.books and view.unkept and (since is None or now - since >= NOBODY_NOTED):
        return True
    return any(
        _is_due_for(view, awake(book, now), now, thawed)
        for book in view.books
        if not book.diary.is_off(now)
    )


def next_reading(view: SiteView, now: datetime) -> datetime | None:
    """The next moment at which ``is_due`` can become true by the clock alone; None for never."""
    moments = []
    for book in view.books:
        diary = book.diary
        found = [diary.next_reading(now)]
        if diary.is_quiet(now) and _is_due_for(view, book, diary.quiet_ends(now), lambda: True):
            found.append(diary.quiet_ends(now))
        for van in book:
            matter = view.matters.get((book.person.key, van.vehicle.key))
            if is_watched(matter, now):
                found.append(diary.next_look(now))
            told = matter.last(Kind.WORK_ORDER) if matter is not None else None
            if told is not None and told.act_by is not None and told.act_by > now:
                found.append(told.act_by)
        moments += [diary.quiet_ends(moment) for moment in found if moment is not None]
    return min(moments, default=None)


def awake(book: Book, now: datetime) -> Book:
    """The book with the vehicles that may be spoken of now.

    In quiet hours that is a vehicle somebody lives in while its waste valve is shut.
    """
    if not book.diary.is_quiet(now):
        return book
    return replace(book, vans=tuple(van for van in book if _may_wake(van.water)))


def _may_wake(water: Sequence[CircuitWater]) -> bool:
    in_use = any(entry.state is State.OPEN_RUNNING for entry in water)
    shut = any(e.circuit is Circuit.WASTE_TANK and not is_dry(e) for e in water)
    return in_use and shut


def _is_due_for(view: SiteView, book: Book, now: datetime, has_thawed: Callable[[], bool]) -> bool:
    since = view.judged_to
    if not book.vans:
        return False
    if since is None or book.diary.has_read(since, now) or forecast_changed(view, book):
        return True
    looked = book.diary.has_looked(since, now) is not None
    for van in book:
        if van.recorded_at is not None and van.recorded_at > since:
            return True
        matter = view.matters.get((book.person.key, van.vehicle.key))
        if act_by_passed(matter, since, now):
            return True
        if matter is None or not (looked and is_watched(matter, now)):
            continue
        if _more_may_be_said(book, matter):
            return True
        if _may_be_looked_at(book, matter, since, now) and has_thawed():
            return True
    return False


def _more_may_be_said(book: Book, matter: Reminder) -> bool:
    """Between readings: to an owner that it froze, to anybody a last call they were not given."""
    if matter.times(Kind.LEAVE_ALONE):
        return False
    called = matter.times(*ACT_KINDS) >= ACT_CALLS_A_SPELL or matter.times(Kind.LAST_CALL) > 0
    return not (book.diary.is_staff and called)


def _may_be_looked_at(book: Book, matter: Reminder, since: datetime, now: datetime) -> bool:
    """What froze is thought of again at the times for it, when they can look."""
    if book.diary.has_looked(max(since, now - LOOK_HOLDS), now) is None:
        return False
    return matter.froze and (matter.thaw_waits or can_look_at(book.diary, now))


def held_back(view: SiteView, book: Book, now: datetime) -> datetime:
    """Up to when a person in their quiet hours was served: what came since waits for morning."""
    since = view.judged_to
    waits = [book.diary.has_read(since, now)]
    told = awake(book, now).vans
    waits += [van.recorded_at for van in book if since and van.recorded_at and van not in told]
    late = [moment for moment in waits if moment and (since is None or moment > since)]
    return min(late, default=now + timedelta(seconds=1)) - timedelta(seconds=1)
