"""Appointments as an iCalendar feed (RFC 5545; names and refreshing after RFC 7986).

Every hour stands in UTC, which needs no table of time zones and no guess at a clock change; whoever
shows it shows it in their own zone. A feed is always whole: what is no longer in it is gone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//frostwatch//frostwatch//EN"
REFRESH = timedelta(hours=1)
"""A pass an hour makes plans anew."""
DOMAIN = "frostwatch.invalid"
"""Behind the at sign of an identity; a name that can never exist (RFC 2606)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Appointment:
    """One entry of a calendar.

    Attributes:
        key: what it stands for; the same key is the same entry moved.
        starts: its start, UTC.
        ends: its end, UTC; later than the start.
        summary: one line.
        description: what to know, lines.
        location: where.
        told_before: reminder so long before it; None for none.
    """

    key: str
    starts: datetime
    ends: datetime
    summary: str
    description: str = ""
    location: str = ""
    told_before: timedelta | None = None


def calendar_of(
    appointments: Sequence[Appointment], *, name: str, zone: str, now: datetime
) -> bytes:
    """A whole feed.

    Args:
        appointments: in any order; of two with one key the later one stands.
        name: name shown for the calendar.
        zone: IANA zone in which to show it.
        now: aware UTC time of writing.
    """
    from icalendar import Calendar

    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("method", "PUBLISH")
    made.add("name", name)
    made.add("x-wr-calname", name)
    made.add("x-wr-timezone", zone)
    made.add("refresh-interval", REFRESH, parameters={"value": "DURATION"})
    made.add("x-published-ttl", "PT1H")
    whole = {one.key: one for one in appointments}
    for one in sorted(whole.values(), key=lambda a: (a.starts, a.key)):
        made.add_component(_event(one, now))
    text: bytes = made.to_ical()
    return text


def _event(one: Appointment, now: datetime) -> "Event":
    from icalendar import Alarm, Event

    event = Event()
    event.add("uid", f"{one.key}@{DOMAIN}")
    event.add("dtstamp", now.astimezone(UTC).replace(microsecond=0))
    event.add("dtstart", one.starts.astimezone(UTC).replace(microsecond=0))
    event.add("dtend", one.ends.astimezone(UTC).replace(microsecond=0))
    event.add("summary", one.summary)
    event.add("class", "PRIVATE")
    event.add("transp", "OPAQUE")
    if one.description:
        event.add("description", one.description)
    if one.location:
        event.add("location", one.location)
    if one.told_before is not None:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", one.summary)
        alarm.add("trigger", -one.told_before)
        event.add_component(alarm)
    return event
