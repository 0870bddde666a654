"""What to tell whom, and by when: one site, one moment.

A pure function of the view and ``now``. With what it said put back into the view, the same moment
judged again says nothing more. The order of the vehicles plays no part.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from frostwatch.advice.calls import Call, call_for
from frostwatch.advice.desk import (
    Desk,
    Stand,
    Thought,
    act_by_passed,
    can_look_at,
    desk_for,
    is_watched,
)
from frostwatch.advice.drafts import draft_for
from frostwatch.advice.jobs import is_dry
from frostwatch.advice.matters import matters_after
from frostwatch.advice.outlook import fills_later_slot, joins_the_round, outlook_for
from frostwatch.advice.reminders import ACT_KINDS, AnswerKind, Decision, Reason, Reminder, Said
from frostwatch.advice.site_rules import forecast_changed, site_drafts
from frostwatch.advice.view import Book, SiteView
from frostwatch.advice.waiting import wait_for_the_morning, wait_for_the_round
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Draft, Kind, Level
from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater

ORDER = (
    Kind.LAST_CALL,
    Kind.WORK_ORDER,
    Kind.LEAVE_ALONE,
    Kind.THAW_CHECK,
    Kind.CHECK_REQUEST,
    Kind.OUTLOOK,
)
"""Who is served first where the budget does not reach for all."""
LOOK_HOLDS = timedelta(hours=1)
"""How long after its time a look at frozen vehicles is made up for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """What follows from one look at a site.

    Attributes:
        reminders: matters that are new or changed, to be kept under their keys.
        decisions: one for each vehicle and person that was thought of, "say nothing" included.
        drafts: messages to be worded and queued.
        judged_to: up to when readings are served now, UTC; to be handed in next time.
    """

    reminders: tuple[Reminder, ...]
    decisions: tuple[Decision, ...]
    drafts: tuple[Draft, ...]
    judged_to: datetime


def judge(view: SiteView, now: datetime) -> Judgement:
    """Decide for everybody who looks after a vehicle at the site.

    Args:
        view: the site as it stands.
        now: aware UTC time.
    """
    reminders: list[Reminder] = []
    decisions = [_unkept(view, van.vehicle.key, now) for van in view.unkept]
    drafts: list[Draft] = []
    judged_to = now
    for book in view.books:
        if book.diary.is_quiet(now):
            judged_to = min(judged_to, _held_back(view, book, now))
        book = awake(book, now)
        if book.diary.is_off(now) or not book.vans:
            continue
        desk = desk_for(view, book, now)
        thoughts = list(_thoughts(desk))
        said = _say(desk, thoughts)
        drafts += said
        reminders += matters_after(desk, thoughts, said)
        decisions += [_decision(desk, thought) for thought in thoughts]
    return Judgement(
        reminders=tuple(reminders),
        decisions=tuple(decisions),
        drafts=tuple(drafts),
        judged_to=judged_to,
    )


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
        if looked and is_watched(matter, now):
            if not matter or not matter.times(Kind.LEAVE_ALONE):
                return True
            if _may_be_looked_at(book, matter, since, now) and has_thawed():
                return True
    return False


def _may_be_looked_at(book: Book, matter: Reminder, since: datetime, now: datetime) -> bool:
    """A vehicle that is left alone is thought of again at the times for it, when they can look."""
    if book.diary.has_looked(max(since, now - LOOK_HOLDS), now) is None:
        return False
    return matter.thaw_waits or can_look_at(book.diary, now)


def _held_back(view: SiteView, book: Book, now: datetime) -> datetime:
    """Up to when a person in their quiet hours was served: what came since waits for morning."""
    since = view.judged_to
    waits = [book.diary.has_read(since, now)]
    told = awake(book, now).vans
    waits += [van.recorded_at for van in book if since and van.recorded_at and van not in told]
    late = [moment for moment in waits if moment and (since is None or moment > since)]
    return min(late, default=now + timedelta(seconds=1)) - timedelta(seconds=1)


def _thoughts(desk: Desk) -> Iterator[Thought]:
    """Every vehicle that is to be thought of now."""
    since = desk.view.judged_to
    looked = since is None or desk.diary.has_looked(since, desk.now) is not None
    for stand in desk.stands:
        recorded = stand.van.recorded_at
        due = (
            desk.moment.reading
            or since is None
            or (recorded is not None and recorded > since)
            or act_by_passed(stand.matter, since, desk.now)
            or (looked and is_watched(stand.matter, desk.now))
        )
        if due:
            yield _thought(desk, stand)


def _thought(desk: Desk, stand: Stand) -> Thought:
    def nothing(reason: Reason, level: Level = Level.NONE) -> Thought:
        return Thought(stand=stand, call=Call(kind=None, reason=reason, level=level))

    if not stand.wet:
        answer = stand.answer
        done = answer is not None and answer.kind is AnswerKind.DONE
        return nothing(Reason.ANSWERED_DONE if done else Reason.DRAINED)
    if not desk.view.forecast.standing.usable or desk.view.air is None:
        level = stand.matter.said[-1].level if stand.matter and stand.matter.said else Level.NONE
        return nothing(Reason.LAST_STANDS, level)
    numbers = desk.numbers(stand)
    if numbers is None:
        return nothing(Reason.LAST_STANDS)
    if not numbers.night.items:
        level = Level.NOTICE if numbers.valve_will_open else Level.NONE
        thought = nothing(Reason.VALVE, level)
        thought.numbers = numbers
        return thought
    case = desk.case(stand, numbers)
    return Thought(stand=stand, call=call_for(case), numbers=numbers, case=case)


def _say(desk: Desk, thoughts: list[Thought]) -> list[Draft]:
    """Group what is to be said into as few messages as there are kinds, within the budget."""
    fills_later_slot(desk, thoughts)
    joins_the_round(desk, thoughts)
    outlook_for(desk, thoughts)
    drafts: list[Draft] = []
    wait_for_the_round(desk, thoughts)
    wait_for_the_morning(desk, thoughts)
    for kind in ORDER:
        group = [thought for thought in thoughts if thought.call.kind is kind]
        if not group:
            continue
        first = any(thought.call.first for thought in group)
        if not desk.budget.allows(kind, desk.now, first=first):
            for thought in group:
                thought.call = replace(thought.call, kind=None, reason=Reason.BUDGET)
            continue
        drafts.append(_noted(desk, draft_for(desk, kind, group)))
    if desk.moment.quiet:
        return drafts
    called = any(draft.kind in ACT_KINDS for draft in drafts)
    for draft in site_drafts(desk, called=called):
        drafts.append(_noted(desk, draft))
    return drafts


def _noted(desk: Desk, draft: Draft) -> Draft:
    desk.budget.note(
        Said(
            kind=draft.kind,
            at=desk.now,
            reason=Reason(draft.reason),
            level=draft.level,
            act_by=draft.act_by,
            probability=draft.probability,
        )
    )
    return draft


def _decision(desk: Desk, thought: Thought) -> Decision:
    """What was decided, with its numbers."""
    numbers, call, basis = thought.numbers, thought.call, desk.view.forecast
    first = numbers.first if numbers else None
    return Decision(
        at=desk.now,
        site=desk.view.site.key,
        vehicle=thought.stand.van.vehicle.key,
        recipient=desk.book.person.key,
        kind=call.kind,
        level=call.level,
        reason=call.reason,
        probability=numbers.window.probability if numbers else None,
        before=numbers.before.probability if numbers else None,
        begun=numbers.begun.probability if numbers else None,
        earliest=numbers.time(first.earliest_h) if numbers and first else None,
        likely=numbers.time(first.likely_h) if numbers and first else None,
        window_from=numbers.window_from if numbers else None,
        window_to=numbers.window_to if numbers else None,
        act_by=numbers.act_by if numbers else None,
        ratio=desk.view.site.cost_ratio if numbers else None,
        litres=thought.stand.litres,
        spell=thought.stand.matter.spell if thought.stand.matter else "",
        issued_at=basis.issued_at,
        provider=basis.provider,
    )


def _unkept(view: SiteView, vehicle: str, now: datetime) -> Decision:
    return Decision(
        at=now,
        site=view.site.key,
        vehicle=vehicle,
        recipient="",
        kind=None,
        level=Level.NONE,
        reason=Reason.NOBODY,
    )
