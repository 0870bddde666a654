"""What is not told now although it could be: it waits for the next round, or for the morning."""

from collections.abc import Sequence
from dataclasses import replace

from frostwatch.advice.desk import Desk, Thought
from frostwatch.advice.reminders import Reason
from frostwatch.messages.wording.draft import Kind, Level

MORE_VEHICLES = 3
"""Vehicles by which a crew's list must grow to be sent again on the same day. Estimate."""
OF_THEMSELVES = frozenset({Reason.FIRST, Reason.AFTER_QUIET})
"""Reasons for which a vehicle joins a list without anything recorded about it."""


def wait_for_the_round(desk: Desk, thoughts: Sequence[Thought]) -> None:
    """Staff who were sent a list today are not sent one or two vehicles more.

    Only where a later reading still serves: what must be done in the coming slot is told.
    """
    day = desk.diary.day
    sent = [s for s in desk.budget.tally.said if s.kind is Kind.WORK_ORDER]
    if not desk.diary.is_staff or not any(day(s.at) == day(desk.now) for s in sent):
        return
    group = [t for t in thoughts if t.call.kind is Kind.WORK_ORDER]
    waits = all(t.call.level is Level.ACT and t.call.reason in OF_THEMSELVES for t in group)
    if waits and len(group) < MORE_VEHICLES:
        _hold(group, Reason.FEW)


def wait_for_the_morning(desk: Desk, thoughts: Sequence[Thought]) -> None:
    """In quiet hours only what must be done before the morning is told."""
    if desk.moment.quiet:
        _hold([t for t in thoughts if t.call.kind is not Kind.LAST_CALL], Reason.QUIET_HOURS)


def _hold(thoughts: Sequence[Thought], reason: Reason) -> None:
    for thought in thoughts:
        if thought.call.kind is not None:
            thought.call = replace(thought.call, kind=None, reason=reason)
