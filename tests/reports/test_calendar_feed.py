"""Calendars, read back by a parser of another hand and by the library's own validation.

Format: RFC 5545 (iCalendar); names and refreshing: RFC 7986.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import icalendar
import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.ports.calendars import Appointment, Publication
from frostwatch.reports.calendar import calendar_of
from frostwatch.reports.publishing import once, published

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
    named = {"name": "frostwatch: Resi", "zone": "Europe/Berlin", "about": "worked out"} | how
    return calendar_of(once(appointments, now=NOW, **named))


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


def test_the_same_key_is_one_entry() -> None:
    moved = Appointment(
        key=HEAT.key,
        starts=HEAT.starts + timedelta(hours=1),
        ends=HEAT.ends + timedelta(hours=1),
        summary="moved",
    )
    read = vobject.readOne(written([HEAT, moved]).decode())
    assert [event.summary.value for event in read.vevent_list] == ["moved"]


def test_a_calendar_without_any_entry_is_not_written() -> None:
    """RFC 5545, 3.6: a calendar holds at least one component."""
    with pytest.raises(AssertionError):
        written([])


def test_what_takes_a_whole_day_is_no_time_of_it_and_carries_no_hour() -> None:
    """RFC 5545, 3.6.1: the end of a DATE is not part of it; 3.8.2.7: TRANSPARENT blocks nothing."""
    midnight = datetime(2027, 1, 13, 23, tzinfo=UTC)  # of the 14th in Berlin
    note = Appointment(
        key="n",
        starts=midnight,
        ends=midnight + timedelta(days=1),
        summary="nothing due",
        all_day=True,
    )
    text = written([note]).decode()
    assert "DTSTART;VALUE=DATE:20270114" in text
    assert "DTEND;VALUE=DATE:20270115" in text
    assert vobject.readOne(text).vevent.transp.value == "TRANSPARENT"


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


def shown(
    before: Publication | None, appointments: Sequence[Appointment], *, hours: float = 0.0
) -> Publication:
    """What is shown so many hours after NOW."""
    return published(
        before,
        appointments,
        name="frostwatch: Resi",
        zone="Europe/Berlin",
        about="worked out",
        gone="no longer due: {what}",
        now=NOW + timedelta(hours=hours),
    )


def moved(one: Appointment, hours: float) -> Appointment:
    by = timedelta(hours=hours)
    return replace(one, starts=one.starts + by, ends=one.ends + by)


def events(publication: Publication) -> list[Any]:
    """As the other parser reads them."""
    read = vobject.readOne(calendar_of(publication).decode())
    assert read.validate()
    return list(read.vevent_list)


def test_a_moved_hour_moves_the_entry_instead_of_doubling_it() -> None:
    """RFC 5545, 3.8.4.7 and 3.8.7.4: the same UID, a higher SEQUENCE."""
    first = shown(None, [HEAT])
    (before,), (after,) = events(first), events(shown(first, [moved(HEAT, 2.0)], hours=1.0))
    assert before.uid.value == after.uid.value
    assert int(after.sequence.value) == int(before.sequence.value) + 1
    assert after.dtstart.value == HEAT.starts + timedelta(hours=2)


def test_other_words_change_the_entry_but_move_nothing() -> None:
    first = shown(None, [HEAT])
    (after,) = events(shown(first, [replace(HEAT, summary="burner on")], hours=1.0))
    assert after.summary.value == "burner on"
    assert int(after.sequence.value) == 0
    assert after.last_modified.value == NOW + timedelta(hours=1)


def test_nothing_changed_is_the_same_bytes_an_hour_later() -> None:
    first = shown(None, [HEAT])
    assert calendar_of(shown(first, [HEAT], hours=1.0)) == calendar_of(first)


def test_what_is_called_off_ahead_stays_marked_so_without_an_alarm_until_it_is_over() -> None:
    """RFC 5545, 3.8.1.11: STATUS:CANCELLED."""
    first = shown(None, [HEAT])
    gone = shown(first, [], hours=1.0)
    (event,) = events(gone)
    assert event.status.value == "CANCELLED"
    assert event.summary.value == f"no longer due: {HEAT.summary}"
    assert int(event.sequence.value) == 1
    assert not hasattr(event, "valarm")
    assert shown(gone, [], hours=2.0).shown == gone.shown
    assert shown(gone, [], hours=12.0).shown == {}


def test_what_is_called_off_and_due_again_is_the_same_entry_standing() -> None:
    gone = shown(shown(None, [HEAT]), [], hours=1.0)
    (event,) = events(shown(gone, [HEAT], hours=2.0))
    assert event.status.value == "CONFIRMED"
    assert int(event.sequence.value) == 2


def test_what_has_begun_stays_to_its_end() -> None:
    first = shown(None, [HEAT])
    (event,) = events(shown(first, [], hours=11.5))
    assert event.status.value == "CONFIRMED"
    assert shown(first, [], hours=12.0).shown == {}


def test_what_only_says_how_things_stand_goes_at_once() -> None:
    first = shown(None, [replace(HEAT, fleeting=True)])
    assert shown(first, [], hours=1.0).shown == {}


def test_the_same_key_after_its_hour_is_another_entry() -> None:
    first = shown(None, [HEAT])
    later = shown(first, [moved(HEAT, 100.0)], hours=13.0)
    assert events(first)[0].uid.value != events(later)[0].uid.value


def test_a_slot_goes_on_while_one_vehicle_after_another_is_seen_to() -> None:
    def slot(key: str, *vans: str, hours: float = 0.0) -> Appointment:
        return replace(moved(HEAT, hours), key=f"act-by/kit/yard/{key}", kin=vans)

    two = shown(None, [slot("a", "Y01", "Y02"), slot("b", "Y05", hours=5.0)])
    on = shown(two, [slot("c", "Y02", hours=1.0), slot("b", "Y05", hours=5.0)], hours=1.0)
    assert {e.uid.value for e in events(two)} == {e.uid.value for e in events(on)}
    assert not [e for e in events(on) if e.status.value == "CANCELLED"]


@pytest.mark.parametrize("zone", ["Europe/Berlin", "Europe/London"])
def test_hours_on_both_sides_of_a_clock_change_keep_their_distance(zone: str) -> None:
    """Clocks go forward on 28 March 2027 at 01:00 UTC (Directive 2000/84/EC)."""
    change = datetime(2027, 3, 28, 1, tzinfo=UTC)
    across = replace(HEAT, starts=change - timedelta(hours=1), ends=change + timedelta(hours=1))
    (event,) = vobject.readOne(written([across], zone=zone).decode()).vevent_list
    assert event.dtend.value - event.dtstart.value == timedelta(hours=2)
    there = (
        event.dtstart.value.astimezone(ZoneInfo(zone)),
        event.dtend.value.astimezone(ZoneInfo(zone)),
    )
    assert there[1].hour - there[0].hour == 3
