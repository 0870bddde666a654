"""Who is told what when, as in/out tables: clock changes, New Year, polar night, the date line."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from frostwatch.advice.due import next_reading
from frostwatch.advice.reminders import Status
from frostwatch.fleet.people import Duty
from tests import builders
from tests.advice.nights import Days, a_night, a_van, a_view, an_air

BERLIN = {"latitude_deg": 52.5, "longitude_deg": 13.4, "time_zone": "Europe/Berlin"}
TROMSO = {"latitude_deg": 69.65, "longitude_deg": 18.96, "time_zone": "Europe/Oslo"}
KIRITIMATI = {"latitude_deg": 1.87, "longitude_deg": -157.4, "time_zone": "Pacific/Kiritimati"}
SEEN = datetime(2026, 9, 10, 10, tzinfo=UTC)


def told(place: dict[str, Any], duty: Duty, harm: str) -> list[str]:
    """What a person is told from four days before harm to a day after it, in local time."""
    zone = ZoneInfo(place["time_zone"])
    at = datetime.fromisoformat(harm).replace(tzinfo=zone).astimezone(UTC)
    owns = duty is Duty.OWNER
    site = builders.a_site("here", operator="", shifts=() if owns else builders.WEEKDAYS, **place)
    person = builders.an_owner(
        "p", duty=duty, slots=(), reading=(), travel_min=20.0, sites=("here",)
    )
    days = Days()
    now: datetime | None = at - timedelta(days=4)
    days.judged_to = now
    while now is not None and now <= at + timedelta(days=1):
        van = a_van(
            night=a_night(now, at, share=0.6),
            site="here",
            bay="A-01",
            keeper="p" if owns else "",
            since=SEEN,
        )
        view = a_view(now, van, people=[person], site=site, air=an_air(now, -3.0))
        days.judge(view, now)
        standing = tuple(r for r in days.reminders.values() if r.status is not Status.CLEARED)
        now = next_reading(replace(view, reminders=standing, judged_to=days.judged_to), now)
    return [f"{moment.astimezone(zone):%a %d %b %H:%M} {kind}" for moment, _, kind, _ in days.said]


@pytest.mark.parametrize(
    ("place", "duty", "harm", "expected"),
    [
        # Clocks go back at 03:00 on Sunday 25 October 2026.
        (
            BERLIN,
            Duty.OWNER,
            "2026-10-25T05:00",
            [
                "Fri 23 Oct 18:15 work order",
                "Sat 24 Oct 12:15 work order",
                "Sun 25 Oct 08:00 leave alone",
            ],
        ),
        (
            BERLIN,
            Duty.CREW,
            "2026-10-25T05:00",
            ["Fri 23 Oct 07:40 work order", "Fri 23 Oct 16:30 last call"],
        ),
        # Clocks go forward at 02:00 on Sunday 28 March 2027.
        (
            BERLIN,
            Duty.OWNER,
            "2027-03-28T05:00",
            [
                "Fri 26 Mar 18:15 work order",
                "Sat 27 Mar 12:15 work order",
                "Sun 28 Mar 08:00 leave alone",
            ],
        ),
        (
            BERLIN,
            Duty.OPERATOR,
            "2027-03-29T05:00",
            [
                "Thu 25 Mar 18:10 outlook",
                "Fri 26 Mar 07:40 work order",
                "Sat 27 Mar 07:40 last call",
                "Mon 29 Mar 07:40 leave alone",
            ],
        ),
        # New Year's Eve.
        (
            BERLIN,
            Duty.OWNER,
            "2027-01-01T03:00",
            [
                "Wed 30 Dec 18:15 work order",
                "Thu 31 Dec 12:15 work order",
                "Fri 01 Jan 08:00 leave alone",
            ],
        ),
        (
            BERLIN,
            Duty.DEALER,
            "2027-01-01T03:00",
            [
                "Mon 28 Dec 15:00 outlook",
                "Thu 31 Dec 07:45 work order",
                "Thu 31 Dec 15:30 last call",
                "Fri 01 Jan 07:45 leave alone",
            ],
        ),
        # Polar night: twilight about noon is all there is to work in.
        (
            TROMSO,
            Duty.OWNER,
            "2026-12-22T02:00",
            [
                "Sun 20 Dec 12:15 work order",
                "Mon 21 Dec 13:30 last call",
                "Tue 22 Dec 08:00 leave alone",
            ],
        ),
        (
            TROMSO,
            Duty.CREW,
            "2026-12-22T02:00",
            [
                "Mon 21 Dec 07:40 work order",
                "Mon 21 Dec 13:30 last call",
                "Tue 22 Dec 07:40 leave alone",
            ],
        ),
        # The first place on earth to see the new year, UTC+14.
        (
            KIRITIMATI,
            Duty.OWNER,
            "2027-01-01T04:00",
            [
                "Wed 30 Dec 18:15 work order",
                "Thu 31 Dec 12:15 work order",
                "Fri 01 Jan 08:00 leave alone",
            ],
        ),
        (
            KIRITIMATI,
            Duty.CREW,
            "2027-01-01T04:00",
            [
                "Thu 31 Dec 07:40 work order",
                "Thu 31 Dec 16:30 last call",
                "Fri 01 Jan 07:40 leave alone",
            ],
        ),
    ],
)
def test_who_is_told_what_when(
    place: dict[str, Any], duty: Duty, harm: str, expected: list[str]
) -> None:
    assert told(place, duty, harm) == expected
