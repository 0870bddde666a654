"""What to tell whom, and by when: one site, one moment.

A pure function of the view and ``now``. With what it said put back into the view, the same moment
judged again says nothing more. The order of the vehicles plays no part.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime

from frostwatch.advice.calls import Call, call_for
from frostwatch.advice.desk import (
    Desk,
    Stand,
    Thought,
    act_by_passed,
    desk_for,
    is_watched,
)
from frostwatch.advice.drafts import draft_for
from frostwatch.advice.due import awake, held_back
from frostwatch.advice.matters import matters_after
from frostwatch.advice.outlook import fills_later_slot, joins_the_round, outlook_for
from frostwatch.advice.reminders import ACT_KINDS, AnswerKind, Decision, Reason, Reminder, Said
from frostwatch.advice.site_rules import site_drafts
from frostwatch.advice.view import SiteView
from frostwatch.advice.waiting import wait_for_the_morning, wait_for_the_round
from frostwatch.messages.wording.draft import Draft, Kind, Level

ORDER = (
    Kind.LAST_CALL,
    Kind.WORK_ORDER,
    Kind.LEAVE_ALONE,
    Kind.THAW_CHECK,
    Kind.CHECK_REQUEST,
    Kind.OUTLOOK,
)
"""Who is served first where the budget does not reach for all."""


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
            judged_to = min(judged_to, held_back(view, book, now))
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
        ratio=desk.ratio if numbers else None,
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
