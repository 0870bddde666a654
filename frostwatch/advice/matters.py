"""What stands after a moment: matters raised, told once more, gone quiet, cleared."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from frostwatch.advice.calls import is_quiet_night
from frostwatch.advice.desk import Desk, Thought
from frostwatch.advice.harm import Chance
from frostwatch.advice.reminders import (
    ACT_KINDS,
    AnswerKind,
    Reason,
    Reminder,
    Said,
    Status,
    Told,
)
from frostwatch.advice.verdict import TOO_LATE, Numbers
from frostwatch.messages.wording.draft import Draft, Kind, Level

QUIET_DAYS = timedelta(days=3)
"""A spell ends after so long without harm in sight."""


def matters_after(desk: Desk, thoughts: Sequence[Thought], said: Sequence[Draft]) -> list[Reminder]:
    """Matters that are new or changed, the tally among them."""
    changed = []
    for thought in thoughts:
        before = thought.stand.matter
        for matter in _after(desk, thought, said):
            if matter != before:
                changed.append(matter)
    if said:
        changed.append(desk.budget.tally)
    return changed


def _after(desk: Desk, thought: Thought, said: Sequence[Draft]) -> Iterable[Reminder]:
    """The matter after this moment; two where an answered one gives way to new water."""
    stand, call, matter = thought.stand, thought.call, thought.stand.matter
    if matter is not None and (stand.refilled or _is_over(desk, thought, matter)):
        yield replace(matter, status=Status.CLEARED, answer=stand.answer or matter.answer)
        matter = None
    elif matter is not None:
        matter = _still(desk, thought, matter)
    if call.kind is not None:
        draft = next(draft for draft in said if draft.kind is call.kind)
        matter = _told(desk, thought, matter or desk.matter_of(stand), draft)
    if matter is not None:
        yield matter


def _is_over(desk: Desk, thought: Thought, matter: Reminder) -> bool:
    """Three quiet days, or drained as recorded: nothing stands any more."""
    if thought.call.kind is not None:
        return False
    if thought.call.reason is Reason.DRAINED:
        return True
    answer = thought.stand.answer
    if thought.call.reason is Reason.ANSWERED_DONE and answer is not None:
        return desk.now - answer.at >= QUIET_DAYS
    since = matter.quiet_since
    quiet = thought.numbers is not None and is_quiet_night(thought.numbers, desk.ratio)
    return quiet and since is not None and desk.now - since >= QUIET_DAYS


def _still(desk: Desk, thought: Thought, matter: Reminder) -> Reminder:
    """A matter that goes on: its quiet days, its ice, its answer."""
    numbers, answer = thought.numbers, thought.stand.answer
    done = answer is not None and answer.kind is AnswerKind.DONE
    quiet_since = None
    if numbers is not None and is_quiet_night(numbers, desk.ratio):
        quiet_since = matter.quiet_since or desk.now
    return replace(
        matter,
        status=Status.ACKNOWLEDGED if done else Status.STANDING,
        answer=answer,
        quiet_since=quiet_since,
        froze=matter.froze or (numbers is not None and _is_icy(numbers)),
        begins=harm_begins(matter, numbers, desk.now) if numbers is not None else matter.begins,
        thaw_waits=_thaw_waits(thought, matter),
    )


def _is_icy(numbers: Numbers) -> bool:
    return numbers.ice_now.probability > TOO_LATE


def _thaw_waits(thought: Thought, matter: Reminder) -> bool:
    """A thaw that could not be told stays one to tell until it freezes again."""
    if thought.call.level is Level.TOO_LATE:
        return False
    untold = thought.call.level is Level.THAW and thought.call.reason is Reason.BUDGET
    return matter.thaw_waits or untold


def harm_begins(matter: Reminder | None, numbers: Numbers, now: datetime) -> datetime | None:
    """Likely hour at which harm begins, or began, UTC; None where nobody can say.

    As long as it has not begun, what is reckoned now; after that what was reckoned last, and no
    later than now.
    """
    if numbers.begun.probability > TOO_LATE:
        known = matter.begins if matter is not None else None
        return min(known, now) if known is not None else None
    ahead = numbers.by_active
    return numbers.time(ahead.likely_h) or numbers.time(ahead.earliest_h)


def _told(desk: Desk, thought: Thought, matter: Reminder, draft: Draft) -> Reminder:
    """The matter with one more thing said."""
    numbers, call = thought.numbers, thought.call
    assert numbers is not None
    assert call.kind is not None
    chance = _chance_told(numbers, call.kind)
    said = Said(
        kind=call.kind,
        at=desk.now,
        reason=call.reason,
        level=call.level,
        act_by=draft.act_by,
        earliest=numbers.time(chance.earliest_h),
        likely=numbers.time(chance.likely_h),
        probability=chance.probability,
        min_c=draft.facts.min_c,
    )
    told = matter.told
    if call.kind in ACT_KINDS:
        told = tuple(
            Told(circuit=e.circuit.value, litres=e.litres_cost_l) for e in thought.stand.wet
        )
    return replace(
        matter,
        kind=call.kind,
        said=(*matter.said, said),
        told=told,
        froze=matter.froze or _is_icy(numbers),
        begins=harm_begins(matter, numbers, desk.now),
    )


def _chance_told(numbers: Numbers, kind: Kind) -> Chance:
    """The chance that a kind of message rests on."""
    if kind in (Kind.LEAVE_ALONE, Kind.THAW_CHECK):
        return numbers.begun
    if kind is Kind.LAST_CALL:
        return numbers.before
    return numbers.window if kind is Kind.WORK_ORDER else numbers.week
