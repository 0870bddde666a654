"""Slots, readings and quiet hours as in/out tables: clock changes, New Year, the poles, date lines.

Sunrise and sunset are the astral library's (after NOAA's solar calculator); the tables check that
they are put to the right local day, within 20 minutes of an almanac's figures where one is named.
"""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import islice
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.advice.daylight import Span, daylight, local
from frostwatch.advice.slots import Diary
from frostwatch.fleet.people import Duty, Slot
from frostwatch.fleet.sites import Shift
from tests import builders

RIGG = {"latitude_deg": 54.74, "longitude_deg": -2.31, "time_zone": "Europe/London"}
TROMSO = {"latitude_deg": 69.65, "longitude_deg": 18.96, "time_zone": "Europe/Oslo"}
SVALBARD = {"latitude_deg": 78.22, "longitude_deg": 15.65, "time_zone": "Arctic/Longyearbyen"}
KIRITIMATI = {"latitude_deg": 1.87, "longitude_deg": -157.4, "time_zone": "Pacific/Kiritimati"}
ADAK = {"latitude_deg": 51.88, "longitude_deg": -176.65, "time_zone": "America/Adak"}
CHATHAM = {"latitude_deg": -43.95, "longitude_deg": -176.55, "time_zone": "Pacific/Chatham"}
TORONTO = {"latitude_deg": 43.65, "longitude_deg": -79.3833, "time_zone": "America/Toronto"}
EDMONTON = {"latitude_deg": 53.55, "longitude_deg": -113.4667, "time_zone": "America/Edmonton"}
THIMPHU = {"latitude_deg": 27.4667, "longitude_deg": 89.65, "time_zone": "Asia/Thimphu"}
BERLIN = {"latitude_deg": 52.5, "longitude_deg": 13.4, "time_zone": "Europe/Berlin"}


def _diary(duty: Duty, place: dict[str, Any], **person: Any) -> Diary:
    owner = builders.an_owner(duty=duty, slots=(), reading=(), travel_min=0.0)
    shifts = () if duty is Duty.OWNER else builders.WEEKDAYS
    shifts = person.pop("shifts", shifts)
    site = builders.a_site(shifts=shifts, **place)
    return Diary(person=replace(owner, **person), site=site)


def _local(span: Span, place: dict[str, Any]) -> str:
    zone = ZoneInfo(place["time_zone"])
    return f"{span.start.astimezone(zone):%a %d %H:%M}-{span.end.astimezone(zone):%H:%M}"


@pytest.mark.parametrize(
    ("place", "day", "sunrise", "sunset"),
    [
        # London, 21 December: 08:04 and 15:53; Sydney-like and others from memory of almanacs.
        (
            {"latitude_deg": 51.5, "longitude_deg": -0.12, "time_zone": "Europe/London"},
            date(2026, 12, 21),
            time(8, 4),
            time(15, 53),
        ),
        (KIRITIMATI, date(2026, 12, 31), time(6, 32), time(18, 32)),
        (ADAK, date(2026, 12, 31), time(9, 54), time(17, 45)),
        (CHATHAM, date(2026, 7, 1), time(8, 7), time(17, 3)),
    ],
)
def test_daylight_is_that_of_the_local_day(
    place: dict[str, Any], day: date, sunrise: time, sunset: time
) -> None:
    light = daylight(place["latitude_deg"], place["longitude_deg"], place["time_zone"], day)
    zone = ZoneInfo(place["time_zone"])
    for found, expected in ((light.start, sunrise), (light.end, sunset)):
        at = datetime.combine(day, expected, tzinfo=zone)
        assert abs(found - at) < timedelta(minutes=20)
        assert found.astimezone(zone).date() == day


@pytest.mark.parametrize(
    ("place", "day"),
    [
        (TORONTO, date(2026, 8, 27)),
        (EDMONTON, date(2026, 11, 1)),
        (THIMPHU, date(2026, 3, 26)),
    ],
)
def test_it_gets_dark_on_days_on_which_the_sun_rises_or_sets_at_midnight_utc(
    place: dict[str, Any], day: date
) -> None:
    def light(on: date) -> Span:
        return daylight(place["latitude_deg"], place["longitude_deg"], place["time_zone"], on)

    one_day = timedelta(days=1)
    before, that, after = light(day - one_day), light(day), light(day + one_day)
    assert timedelta(hours=23, minutes=55) < that.end - before.end < timedelta(hours=24, minutes=5)
    assert timedelta(hours=23, minutes=55) < after.end - that.end < timedelta(hours=24, minutes=5)


@pytest.mark.parametrize(
    ("place", "day", "expected"),
    [
        (TROMSO, date(2026, 12, 21), "civil twilight"),  # the sun stays below, twilight comes
        (SVALBARD, date(2026, 12, 21), "10:00-14:00"),  # not even twilight
        (TROMSO, date(2026, 6, 21), "06:30-21:00"),  # the sun never sets
        (SVALBARD, date(2026, 6, 21), "06:30-21:00"),
    ],
)
def test_polar_night_and_polar_day_leave_a_slot(
    place: dict[str, Any], day: date, expected: str
) -> None:
    light = daylight(place["latitude_deg"], place["longitude_deg"], place["time_zone"], day)
    if expected == "civil twilight":
        assert timedelta(hours=2) < light.end - light.start < timedelta(hours=6)
    else:
        assert _local(light, place).split()[-1] == expected


@given(
    latitude=st.floats(-89.9, 89.9),
    longitude=st.floats(-180, 180),
    day=st.dates(date(2026, 1, 1), date(2027, 12, 31)),
    zone=st.sampled_from(
        ["UTC", "Pacific/Kiritimati", "America/Adak", "Asia/Kathmandu", "Europe/Berlin"]
    ),
)
def test_every_day_anywhere_has_light_within_waking_hours(
    latitude: float, longitude: float, day: date, zone: str
) -> None:
    light = daylight(latitude, longitude, zone, day)
    waking = Span(local(day, time(6, 30), ZoneInfo(zone)), local(day, time(21), ZoneInfo(zone)))
    assert waking.start <= light.start < light.end <= waking.end


def test_an_owner_comes_by_daylight_and_ends_before_dark() -> None:
    diary = _diary(Duty.OWNER, RIGG)
    now = datetime(2026, 12, 1, 18, 15, tzinfo=UTC)
    first, second = islice(diary.slots(now), 2)
    assert _local(first, RIGG) == "Wed 02 08:10-15:36"  # dusk 15:46
    assert second.start - first.start > timedelta(hours=23)


def test_a_crew_works_its_shifts_by_daylight_and_saturday_is_free() -> None:
    diary = _diary(Duty.CREW, RIGG)
    friday = datetime(2026, 12, 4, 7, 40, tzinfo=UTC)
    assert [_local(s, RIGG) for s in islice(diary.slots(friday), 2)] == [
        "Fri 04 08:13-15:34",
        "Mon 07 08:17-15:33",
    ]


def test_a_shift_in_the_dark_stands_as_it_is() -> None:
    night = (Shift(weekday=1, opens=time(18), closes=time(20)),)
    diary = _diary(Duty.CREW, RIGG, shifts=night)
    now = datetime(2026, 12, 1, 7, 40, tzinfo=UTC)
    assert _local(next(diary.slots(now)), RIGG) == "Tue 01 18:00-20:00"


def test_a_persons_own_slots_hold_and_touching_ones_join() -> None:
    slots = (
        Slot(weekday=5, starts=time(10), ends=time(12)),
        Slot(weekday=5, starts=time(12), ends=time(16)),
        Slot(weekday=4, starts=time(15, 30), ends=time(17, 30)),
    )
    diary = _diary(Duty.OWNER, BERLIN, slots=slots)
    now = datetime(2026, 12, 1, 18, 15, tzinfo=UTC)
    assert [_local(s, BERLIN) for s in islice(diary.slots(now), 3)] == [
        "Fri 04 15:30-17:30",
        "Sat 05 10:00-15:43",  # ten minutes before dusk
        "Fri 11 15:30-17:30",
    ]
    assert diary.is_sparse
    assert not _diary(Duty.OWNER, BERLIN).is_sparse


@pytest.mark.parametrize(
    ("day", "opens", "closes", "expected_utc"),
    [
        # Clocks go back at 03:00 CEST on 25 October 2026, forward at 02:00 CET on 28 March 2027.
        (date(2026, 10, 25), time(1), time(5), "24 23:00-04:00"),  # five hours long
        (date(2027, 3, 28), time(1), time(5), "28 00:00-03:00"),  # three hours long
        (date(2027, 3, 28), time(2, 30), time(3, 30), None),  # an hour that does not exist
        (date(2026, 12, 31), time(22), time(23, 59), "31 21:00-22:59"),
        (date(2027, 1, 1), time(0), time(2), "31 23:00-01:00"),
    ],
)
def test_slots_across_clock_changes_and_new_year(
    day: date, opens: time, closes: time, expected_utc: str | None
) -> None:
    slot = Slot(weekday=day.weekday(), starts=opens, ends=closes)
    diary = _diary(Duty.OWNER, BERLIN, slots=(slot,))
    found = [f"{s.start:%d %H:%M}-{s.end:%H:%M}" for s in diary.slots_on(day)]
    assert found == ([expected_utc] if expected_utc else [])


@pytest.mark.parametrize(
    ("duty", "expected"),
    [
        (Duty.OWNER, ["Wed 12:15", "Wed 18:15", "Thu 12:15"]),
        (Duty.OPERATOR, ["Wed 07:40", "Wed 18:10", "Thu 07:40"]),
        (Duty.CREW, ["Wed 07:40", "Thu 07:40", "Fri 07:40"]),
        (Duty.DEALER, ["Wed 07:45", "Wed 15:00", "Thu 07:45"]),
    ],
)
def test_people_read_at_the_hours_of_their_duty(duty: Duty, expected: list[str]) -> None:
    diary = _diary(duty, RIGG)
    at = datetime(2026, 12, 1, 19, tzinfo=UTC)
    found = []
    for _ in expected:
        following = diary.next_reading(at)
        assert following is not None
        at = following
        found.append(f"{at.astimezone(ZoneInfo('Europe/London')):%a %H:%M}")
    assert found == expected


def test_a_crew_does_not_read_on_its_day_off_and_the_office_does() -> None:
    friday_evening = datetime(2026, 12, 4, 19, tzinfo=UTC)
    crew = _diary(Duty.CREW, RIGG).next_reading(friday_evening)
    office = _diary(Duty.OPERATOR, RIGG).next_reading(friday_evening)
    assert crew == datetime(2026, 12, 7, 7, 40, tzinfo=UTC)
    assert office == datetime(2026, 12, 5, 7, 40, tzinfo=UTC)


def test_a_reading_missed_while_the_computer_slept_is_served_on_waking() -> None:
    diary = _diary(Duty.OWNER, RIGG)
    last = datetime(2026, 12, 1, 13, tzinfo=UTC)
    woke = datetime(2026, 12, 1, 20, tzinfo=UTC)
    assert diary.has_read(last, woke) == datetime(2026, 12, 1, 18, 15, tzinfo=UTC)
    assert diary.has_read(woke, woke + timedelta(minutes=30)) is None


@pytest.mark.parametrize(
    ("at", "quiet"),
    [
        (time(20, 59), False),
        (time(21, 0), True),
        (time(23, 59), True),
        (time(0, 0), True),
        (time(6, 29), True),
        (time(6, 30), False),
        (time(12, 0), False),
    ],
)
def test_nobody_is_written_to_at_night(at: time, quiet: bool) -> None:
    diary = _diary(Duty.OWNER, BERLIN)
    moment = local(date(2026, 12, 1), at, ZoneInfo("Europe/Berlin"))
    assert diary.is_quiet(moment) is quiet
    assert not diary.is_quiet(diary.quiet_ends(moment))


def test_quiet_hours_that_do_not_span_midnight_hold_too() -> None:
    diary = _diary(Duty.OWNER, BERLIN, quiet_from=time(12), quiet_to=time(14))
    zone = ZoneInfo("Europe/Berlin")
    assert diary.is_quiet(local(date(2026, 12, 1), time(13), zone))
    assert not diary.is_quiet(local(date(2026, 12, 1), time(22), zone))


@pytest.mark.parametrize("day", [date(2026, 10, 25), date(2027, 3, 28)])
def test_quiet_hours_end_by_the_clock_in_nights_that_change_it(day: date) -> None:
    diary = _diary(Duty.OWNER, BERLIN)
    evening = local(day - timedelta(days=1), time(22), ZoneInfo("Europe/Berlin"))
    ends = diary.quiet_ends(evening).astimezone(ZoneInfo("Europe/Berlin"))
    assert (ends.date(), ends.time()) == (day, time(6, 30))


def test_staff_wait_for_the_morning_reading_and_owners_do_not() -> None:
    evening = datetime(2026, 12, 1, 18, 10, tzinfo=UTC)
    office, owner = _diary(Duty.OPERATOR, RIGG), _diary(Duty.OWNER, RIGG)
    assert office.waits(evening, next(office.slots(evening)))
    assert not owner.waits(evening, next(owner.slots(evening)))
    morning = datetime(2026, 12, 2, 7, 40, tzinfo=UTC)
    assert not office.waits(morning, next(office.slots(morning)))


def test_somebodys_own_hours_end_before_dark_where_most_of_them_are_light() -> None:
    friday = (Slot(weekday=4, starts=time(15, 30), ends=time(17, 30)),)
    coast = {"latitude_deg": 48.71, "longitude_deg": -4.05, "time_zone": "Europe/Paris"}
    diary = _diary(Duty.OWNER, coast, slots=friday)
    now = datetime(2026, 11, 19, 17, 15, tzinfo=UTC)
    assert _local(next(diary.slots(now)), coast) == "Fri 20 15:30-17:20"  # dusk 17:30
    assert _local(diary.slots_on(date(2026, 12, 4))[0], coast) == "Fri 04 15:30-17:10"
