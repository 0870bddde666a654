"""Looking past the window: the outlook, and work that would not fit the slot that should do it."""

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from frostwatch.advice.calls import Call
from frostwatch.advice.desk import Desk, Thought
from frostwatch.advice.reminders import ACT_KINDS, Reason, Status
from frostwatch.fleet.people import Duty
from frostwatch.messages.wording.draft import Kind, Level

FROM = timedelta(hours=48)
TO = timedelta(hours=96)
LIKELY_ENOUGH = 0.3
"""Chance of harm within four days that is worth an outlook. Estimate."""
SETTING_OUT = timedelta(minutes=30)
"""Keys and grit, before a crew's work begins. Estimate."""


def outlook_for(desk: Desk, thoughts: Sequence[Thought]) -> None:
    """Turn "nothing yet" into an outlook, 48 to 96 hours ahead and once a spell.

    Staff are told so that they settle who works; owners only where their next slot comes too late.
    """
    if not desk.moment.evening or any(t.call.kind in ACT_KINDS for t in thoughts):
        return
    if not (desk.diary.is_staff or desk.diary.is_sparse) or desk.book.person.duty is Duty.CREW:
        return
    standing = [s.matter for s in desk.stands if s.matter is not None]
    told = (Kind.OUTLOOK, *ACT_KINDS)
    if any(m.status is Status.STANDING and m.times(*told) for m in standing):
        return
    ahead = [(t, at) for t in thoughts if (at := _frost_at(desk, t)) is not None]
    if not ahead or min(at for _, at in ahead) - desk.now < FROM:
        return
    for thought, at in ahead:
        if thought.call.kind is None and at - desk.now <= TO:
            thought.call = Call(kind=Kind.OUTLOOK, reason=Reason.AHEAD, level=Level.NOTICE)


def _frost_at(desk: Desk, thought: Thought) -> datetime | None:
    """Earliest harm within four days, where it is likely enough to speak of."""
    numbers = thought.numbers
    if numbers is None or not numbers.night.items:
        return None
    chance = numbers.ahead if desk.diary.is_staff else numbers.before
    enough = chance.probability > max(LIKELY_ENOUGH, desk.ratio)
    return numbers.time(chance.earliest_h) if enough else None


def joins_the_round(desk: Desk, thoughts: Sequence[Thought]) -> None:
    """Where people are called anyway, what nobody knows is looked at on the same way."""
    if not any(t.call.kind is Kind.WORK_ORDER for t in thoughts):
        return
    for thought in thoughts:
        numbers = thought.numbers
        due = numbers is not None and numbers.window.probability > desk.ratio
        if thought.call.kind is Kind.CHECK_REQUEST and due:
            thought.call = replace(thought.call, kind=Kind.WORK_ORDER, first=True)


def fills_later_slot(desk: Desk, thoughts: Sequence[Thought]) -> None:
    """Bring work forward where the slot that should do it cannot hold it all.

    What the slot after the coming one must do, before the one after that, is added up; if the crew
    cannot get through it, it is called for now.
    """
    if not (desk.diary.is_staff and desk.moment.reading and len(desk.slots) >= 3):
        return
    later: list[Thought] = []
    for thought in thoughts:
        numbers = thought.numbers
        if numbers is None or numbers.plan.after is None or numbers.act_by is None:
            continue
        slot = numbers.plan.slot
        if thought.call.kind is not None or thought.stand.matter is not None:
            continue
        if slot is None or desk.diary.waits(desk.now, slot):
            continue
        later_end = next((s.end for s in desk.slots if s.start >= numbers.plan.after.end), None)
        if later_end is None:
            continue
        night = numbers.night
        chance = night.harm_between(night.hour_of(numbers.window_to), night.hour_of(later_end))
        if chance.probability > desk.ratio and math.isfinite(chance.earliest_h):
            later.append(thought)
    if not later or later[0].numbers is None or later[0].numbers.plan.after is None:
        return
    after = later[0].numbers.plan.after
    room_min = (after.end - after.start - SETTING_OUT) / timedelta(minutes=1)
    if sum(t.stand.job_min for t in later) > room_min * max(1, desk.view.site.crew):
        for thought in later:
            thought.call = replace(
                thought.call,
                kind=Kind.WORK_ORDER,
                reason=Reason.DOES_NOT_FIT,
                level=Level.ACT,
                first=True,
            )
