"""Times at which somebody could go, and how the one they named is told."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import islice

from frostwatch.advice.before_night import before_night
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
        late: that it begins after the hour to work to, or not before a night that counts as
            frost; "" where it is in time.
    """

    at: datetime
    words: str
    late: str


def times_offered(reading: Reading, *, blind: bool = False) -> Iterator[TimeToGo]:
    """Coming slots, those among them marked that come too late for what was asked.

    Args:
        reading: the link as it is read.
        blind: no forecast is read: whatever waits for the coming night is late.
    """
    by = reading.opened.draft.act_by or reading.opened.draft.earliest
    night = tonight_from(reading) if blind else None
    for slot in islice(_diary(reading).slots(reading.now), OFFERED):
        at = max(_kept(slot), reading.now)
        if at <= reading.now + GOING_AHEAD:
            late = ""
            if night is not None and slot.start >= max(night, reading.now):
                late = reading.say("going.late.blind")
            elif by is not None and slot.start >= by:
                late = reading.say("going.late")
            begins = max(slot.start, reading.now)
            yield TimeToGo(at=at, words=_words(reading, begins, slot.end), late=late)


def tonight_from(reading: Reading) -> datetime:
    """Dusk before the night that counts as frost where no forecast is read, UTC."""
    return before_night(_diary(reading), reading.now).night.start


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
