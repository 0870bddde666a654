"""Times at which somebody could go, and how the one they named is told."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import islice

from frostwatch.advice.daylight import Span
from frostwatch.advice.slots import Diary
from frostwatch.service.answers import GOING_AHEAD
from frostwatch.web.answers.telling import Reading

OFFERED = 4
LAST_HOURS = timedelta(hours=3)
"""Whoever goes is left alone for so long from the hour that is kept, to the end of their slot."""
STEP_MIN = 5
"""Dusk falls at an odd minute; nobody goes by it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeToGo:
    """One slot.

    Attributes:
        at: the hour that is kept for it, UTC.
        words: from when to when.
        late: it begins after the hour to work to.
    """

    at: datetime
    words: str
    late: bool


def times_offered(reading: Reading) -> Iterator[TimeToGo]:
    """Coming slots, those among them marked that come too late for what was asked."""
    by = reading.opened.draft.act_by or reading.opened.draft.earliest
    for slot in islice(_diary(reading).slots(reading.now), OFFERED):
        at = max(_kept(slot), reading.now)
        if at <= reading.now + GOING_AHEAD:
            late = by is not None and slot.start >= by
            begins = max(slot.start, reading.now)
            yield TimeToGo(at=at, words=_words(reading, begins, slot.end), late=late)


def time_of(reading: Reading, at: datetime) -> str:
    """The hour they named; where they chose a slot, all of it."""
    diary = _diary(reading)
    for slot in diary.slots_on(diary.day(at)):
        if at == _kept(slot) and slot.start < at:
            return _words(reading, slot.start, slot.end)
    return reading.speech.hour(at)


def _diary(reading: Reading) -> Diary:
    return Diary(person=reading.opened.person, site=reading.opened.site)


def _kept(slot: Span) -> datetime:
    return max(slot.start, slot.end - LAST_HOURS)


def _words(reading: Reading, begins: datetime, ends: datetime) -> str:
    end = ends.astimezone(reading.opened.site.zone)
    end -= timedelta(minutes=end.minute % STEP_MIN)
    return f"{reading.speech.hour(begins)}–{reading.speech.clock(end)}"
