"""Appointments as an iCalendar feed (RFC 5545; names and refreshing after RFC 7986).

Every hour stands in UTC, which needs no table of time zones and no guess at a clock change; whoever
shows it shows it in their own zone. A feed is always whole: what is no longer in it is gone.
"""

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from frostwatch.ports.calendars import Appointment as Appointment
from frostwatch.ports.calendars import Publication, Shown

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//frostwatch//frostwatch//EN"
REFRESH = timedelta(hours=1)
"""A pass an hour makes plans anew."""
DOMAIN = "frostwatch.invalid"
"""Behind the at sign of an identity; a name that can never exist (RFC 2606)."""


def calendar_of(publication: Publication) -> bytes:
    """A whole feed; the same publication gives the same bytes.

    Args:
        publication: what is shown. It must not be empty: a calendar without any component is none
            (RFC 5545, 3.6), and would read as "nothing to do".
    """
    from icalendar import Calendar, vText

    assert publication.shown, "a calendar says at least what it rests on"
    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    made.add("method", "PUBLISH")
    made.add("name", publication.name)
    made.add("x-wr-calname", vText(publication.name))
    if publication.about:
        made.add("description", publication.about)
        made.add("x-wr-caldesc", vText(publication.about))
    made.add("last-modified", _second(publication.changed_at))
    made.add("x-wr-timezone", publication.zone)
    made.add("refresh-interval", REFRESH, parameters={"value": "DURATION"})
    made.add("x-published-ttl", "PT1H")
    zone = ZoneInfo(publication.zone)
    for one in sorted(
        publication.shown.values(), key=lambda s: (s.appointment.starts, s.appointment.key)
    ):
        made.add_component(_event(one, publication.changed_at, zone))
    text: bytes = made.to_ical()
    return text


def identity_of(shown: Shown) -> str:
    """What names an appointment for as long as it stands, wherever it moves (RFC 5545, 3.8.4.7)."""
    since = f"/{shown.first_at.astimezone(UTC):%Y%m%dT%H%M%SZ}" if shown.first_at else ""
    return f"{shown.appointment.key}{since}@{DOMAIN}"


def _event(shown: Shown, written_at: datetime, zone: ZoneInfo) -> "Event":
    """One appointment.

    With METHOD the stamp is when the object was written, and LAST-MODIFIED when the entry changed
    (RFC 5545, 3.8.7.2 and 3.8.7.3).
    """
    from icalendar import Alarm, Event

    one = shown.appointment
    event = Event()
    event.add("uid", identity_of(shown))
    event.add("dtstamp", _second(written_at))
    event.add("last-modified", _second(shown.changed_at))
    event.add("sequence", shown.sequence)
    event.add("dtstart", _day(one.starts, zone) if one.all_day else _second(one.starts))
    event.add("dtend", _day(one.ends, zone) if one.all_day else _second(one.ends))
    event.add("summary", one.summary)
    event.add("class", "PRIVATE")
    event.add("status", "CANCELLED" if shown.gone else "CONFIRMED")
    event.add("transp", "TRANSPARENT" if shown.gone or one.all_day else "OPAQUE")
    if one.description:
        event.add("description", one.description)
    if one.location:
        event.add("location", one.location)
    if one.told_before is not None and not shown.gone:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", one.summary)
        alarm.add("trigger", -one.told_before)
        event.add_component(alarm)
    return event


def _second(moment: datetime) -> datetime:
    return moment.astimezone(UTC).replace(microsecond=0)


def _day(moment: datetime, zone: ZoneInfo) -> date:
    return moment.astimezone(zone).date()
