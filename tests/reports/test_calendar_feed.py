"""Calendars, read back by a parser of another hand and by the library's own validation.

Format: RFC 5545 (iCalendar); names and refreshing: RFC 7986.
"""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import icalendar
import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.reports.calendar import Appointment, calendar_of

NOW = datetime(2027, 1, 14, 18, tzinfo=UTC)
HEAT = Appointment(
    key="handover/resi/D08/20270115T0900Z/heat",
    starts=NOW + timedelta(hours=11),
    ends=NOW + timedelta(hours=12),
    summary="H-08: Heizung an, Warmwasser aus; Fächer offen",
    description="Weiter, wenn am Ventil etwa 7 °C sind.\nKohlenmonoxid: nur im Freien",
    location="Reisemobilhof Hinterlach",
    told_before=timedelta(minutes=15),
)


def written(appointments: Sequence[Appointment], **how: str) -> bytes:
    named = {"name": "frostwatch: Resi", "zone": "Europe/Berlin"} | how
    return calendar_of(appointments, now=NOW, **named)


def test_another_parser_reads_back_what_was_written() -> None:
    read = vobject.readOne(written([HEAT]).decode())
    event = read.vevent
    assert event.uid.value == f"{HEAT.key}@frostwatch.invalid"
    assert event.summary.value == HEAT.summary
    assert event.description.value == HEAT.description
    assert event.location.value == HEAT.location
    assert event.dtstart.value == HEAT.starts
    assert event.dtend.value == HEAT.ends
    assert event.dtstamp.value == NOW
    assert event.valarm.action.value == "DISPLAY"
    assert event.valarm.trigger.value == -timedelta(minutes=15)
    assert read.validate()


def test_the_library_finds_nothing_wrong() -> None:
    read = icalendar.Calendar.from_ical(written([HEAT]))
    assert read.errors == []
    (event,) = read.walk("VEVENT")
    assert event.errors == []
    assert event.decoded("dtstart") == HEAT.starts
    assert read["version"] == "2.0"
    assert read.decoded("refresh-interval") == timedelta(hours=1)


def test_lines_end_and_fold_as_the_standard_asks() -> None:
    """RFC 5545, 3.1: CRLF, no line over 75 octets without it, continuations begin with a space."""
    text = written([HEAT])
    assert text.endswith(b"END:VCALENDAR\r\n")
    assert text.count(b"\n") == text.count(b"\r\n")
    assert all(len(line) <= 75 for line in text.split(b"\r\n"))


def test_every_hour_stands_in_utc() -> None:
    """RFC 5545, 3.3.5, form 2: no table of time zones is needed."""
    berlin = HEAT.starts.astimezone().astimezone(UTC)
    text = written([HEAT]).decode()
    assert f"DTSTART:{berlin:%Y%m%dT%H%M%SZ}" in text
    assert "VTIMEZONE" not in text
    assert "TZID" not in text


def test_the_same_key_is_one_entry_and_an_empty_calendar_is_a_calendar() -> None:
    moved = Appointment(
        key=HEAT.key,
        starts=HEAT.starts + timedelta(hours=1),
        ends=HEAT.ends + timedelta(hours=1),
        summary="moved",
    )
    read = vobject.readOne(written([HEAT, moved]).decode())
    assert [event.summary.value for event in read.vevent_list] == ["moved"]
    empty = icalendar.Calendar.from_ical(written([]))
    assert empty.walk("VEVENT") == []
    assert empty["x-wr-calname"] == "frostwatch: Resi"


def test_the_same_moment_writes_the_same_bytes() -> None:
    other = Appointment(key="a", starts=NOW, ends=NOW + timedelta(hours=1), summary="x")
    assert written([HEAT, other]) == written([other, HEAT])


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
@given(
    summary=st.text(
        st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=120
    ).filter(lambda text: text == text.strip()),
    minutes=st.integers(1, 3000),
)
def test_any_words_come_back_whole(summary: str, minutes: int) -> None:
    one = Appointment(key="k", starts=NOW, ends=NOW + timedelta(minutes=minutes), summary=summary)
    read = icalendar.Calendar.from_ical(written([one]))
    (event,) = read.walk("VEVENT")
    assert str(event["summary"]) == summary
    assert event.decoded("dtend") - event.decoded("dtstart") == timedelta(minutes=minutes)
