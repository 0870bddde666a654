"""What is left of the day before a night that has to count as frost, for want of a forecast."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.advice.daylight import EARLIEST, Span, local
from frostwatch.advice.slots import Diary

DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeNight:
    """The night that is coming, or that has begun.

    Attributes:
        night: from dusk to first light, UTC.
        slot: working hours that are left before dusk, UTC; None where there are none.
        begun: dusk has passed.
    """

    night: Span
    slot: Span | None
    begun: bool


def before_night(diary: Diary, now: datetime) -> BeforeNight:
    """The night that counts as frost where nobody can read a forecast, and the work before it.

    Hours of work after that night are no help: a place that is shut until Monday has none before
    the night of Saturday. From the hour on at which people are sent out it is the coming night.

    Args:
        diary: time of whoever runs the place.
        now: aware UTC time.
    """
    day = diary.day(now)
    light = diary.light(day)
    if now < local(day, EARLIEST, diary.site.zone):
        return BeforeNight(
            night=Span(diary.light(day - DAY).end, light.start), slot=None, begun=True
        )
    night = Span(light.end, diary.light(day + DAY).start)
    if now >= night.start:
        return BeforeNight(night=night, slot=None, begun=True)
    rest = Span(now, night.start)
    left = next((seen for slot in diary.slots(now) if (seen := slot.meets(rest))), None)
    return BeforeNight(night=night, slot=left, begun=False)
