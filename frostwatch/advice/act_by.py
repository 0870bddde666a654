"""The hour to work to: onset minus job, travel and margin, pulled back into a slot."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from frostwatch.advice.daylight import Span

MARGIN = timedelta(hours=3)
"""Kept free before the earliest harm where the slot allows it. Estimate."""
SETTING_OUT = timedelta(minutes=30)
"""From reading to setting out: nobody stands beside the vehicle the minute they read. Estimate."""
STEPS = (timedelta(minutes=30), timedelta(minutes=5), timedelta(minutes=1))
"""Act-by hours are told to half an hour, finer only where nothing else fits the slot."""
_EPOCH = datetime(2000, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """The coming slot, the one after it, and what the coming one alone can meet.

    Attributes:
        slot: the coming slot in which the work can still be finished; None if there is none.
        after: the slot after it; None if there is none within two weeks.
        ready_at: when the work could be finished at the soonest, in that slot: half an hour to
            set out, the way, the work.
        ready_after: the same in the slot after it.
    """

    slot: Span | None
    after: Span | None
    ready_at: datetime | None
    ready_after: datetime | None


def plan_for(slots: Iterable[Span], now: datetime, *, travel_min: float, job_min: float) -> Plan:
    """The coming slot and the one after it.

    Args:
        slots: slots that have not ended, in order.
        now: aware UTC time.
        travel_min: way to the vehicle [min]; it may be spent before the slot begins.
        job_min: the work [min].
    """
    found: list[tuple[Span, datetime]] = []
    for slot in slots:
        ready = _ready(slot, now, travel_min, job_min)
        if ready <= slot.end:
            found.append((slot, ready))
        if len(found) == 2:
            break
    first = found[0] if found else (None, None)
    second = found[1] if len(found) > 1 else (None, None)
    return Plan(slot=first[0], after=second[0], ready_at=first[1], ready_after=second[1])


def _ready(slot: Span, now: datetime, travel_min: float, job_min: float) -> datetime:
    there = max(slot.start, now + SETTING_OUT + timedelta(minutes=travel_min))
    return there + timedelta(minutes=job_min)


def act_by(
    slot: Span,
    earliest: datetime | None,
    now: datetime,
    *,
    travel_min: float,
    job_min: float,
) -> datetime | None:
    """The hour by which the work in ``slot`` should be finished, None if the slot cannot meet it.

    The end of the slot, or earlier: the earliest harm minus job, travel and a margin of 3 h, of
    which as much is given up as the slot asks for. It always leaves half an hour to set out, the
    way and the work.

    Args:
        slot: the slot it is to be done in.
        earliest: earliest harm of the cold members, UTC; None if there is none in sight.
        now: aware UTC time.
        travel_min: way to the vehicle [min].
        job_min: the work [min].
    """
    ready = _ready(slot, now, travel_min, job_min)
    latest = slot.end if earliest is None else min(slot.end, earliest)
    if ready > latest:
        return None
    if earliest is None:
        return _told(ready, latest)
    wished = earliest - timedelta(minutes=job_min + travel_min) - MARGIN
    return _told(ready, max(ready, min(latest, wished)), latest)


def _told(ready: datetime, wished: datetime, latest: datetime | None = None) -> datetime:
    """``wished`` on the coarsest step that still leaves time for the work."""
    for step in STEPS:
        down = wished - (wished - _EPOCH) % step
        if down >= ready:
            return down
        up = down + step
        if latest is not None and up <= latest and step < STEPS[0]:
            return up
    return ready


def last_slot_before(
    slots: Iterable[Span], moment: datetime, now: datetime, *, travel_min: float, job_min: float
) -> Span | None:
    """The last slot in which the work can be finished before ``moment``."""
    last = None
    for slot in slots:
        if slot.start >= moment:
            break
        if _ready(slot, now, travel_min, job_min) <= min(slot.end, moment):
            last = slot
    return last
