"""Which word counts behind a link: the answer, or what was written or would have been since."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import islice

from frostwatch.advice.budget import ACT_CALLS_A_SPELL, OWNER_A_SPELL
from frostwatch.advice.reminders import ACT_KINDS, Answer, AnswerKind, Reminder
from frostwatch.advice.slots import Diary
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording.draft import Draft, Kind, Level


def thaw_word(draft: Draft, person: Person, site: Site, now: datetime) -> Draft:
    """What they would have been written: a thaw that no message was left for.

    The hour is now, or when it is light again.
    """
    if draft.kind is Kind.THAW_CHECK:
        return draft
    diary = Diary(person=person, site=site)
    days = (diary.day(now) + timedelta(days=ahead) for ahead in range(2))
    looks = (span for day in days for span in diary.looks_within(day) if span.end > now)
    at = max((span.start for span in islice(looks, 1)), default=now)
    facts = replace(draft.facts, thaw_at=max(at, now))
    return replace(draft, kind=Kind.THAW_CHECK, level=Level.THAW, act_by=None, facts=facts)


def may_look(matter: Reminder, person: str) -> bool:
    """They were told to look, or it has thawed and no message was left to tell them."""
    if matter.recipient != person:
        return False
    untold = matter.kind is Kind.LEAVE_ALONE and matter.thaw_waits
    return untold or matter.kind is Kind.THAW_CHECK


def may_be_asked_again(matters: Sequence[Reminder], person: Person) -> bool:
    """Whether one more call in this spell is left for them."""
    own = [m for m in matters if m.recipient == person.key]
    if any(m.times(*ACT_KINDS) >= ACT_CALLS_A_SPELL for m in own):
        return False
    return person.duty is not Duty.OWNER or all(len(m.said) < OWNER_A_SPELL - 1 for m in own)


def was_written_to_since(answer: Answer | None, matters: Sequence[Reminder], person: str) -> bool:
    """What they were written after their answer is the newer word; only done stays done."""
    if answer is None or answer.kind is AnswerKind.DONE:
        return False
    return any(m.recipient == person and m.said and m.said[-1].at > answer.at for m in matters)


def undone_at(answers: Sequence[Answer], person: str) -> datetime | None:
    """When they took their last answer back, UTC; None where they answered since, or never did."""
    own = [answer for answer in answers if answer.by == person]
    return own[-1].at if own and own[-1].kind is AnswerKind.UNDO else None
