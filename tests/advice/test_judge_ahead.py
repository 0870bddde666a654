"""What is said ahead of any call: looks at unknown vehicles, outlooks, the roll, the season."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import Any

from frostwatch.advice.judge import judge
from frostwatch.advice.reminders import Reason
from frostwatch.fleet.people import Slot
from frostwatch.messages.wording.draft import Kind
from frostwatch.records.entries import Evidence, State
from tests import builders
from tests.advice.nights import (
    DRIVE,
    DRY,
    OFFICE,
    OWNER,
    Days,
    a_night,
    a_van,
    a_view,
    a_yards_view,
    an_owners_view,
    kinds,
    on,
)


def an_unknown_van(now: datetime, harm_at: datetime | None) -> Any:
    return a_van(
        "M1",
        night=a_night(now, harm_at),
        state=State.UNKNOWN,
        evidence=Evidence.EXPIRED,
        site=DRIVE.key,
        bay="",
        keeper="maelle",
    )


def test_an_unknown_vehicle_is_asked_about_once_when_frost_is_within_a_week() -> None:
    days = Days()
    for now in (on(-4, 17.25), on(-3, 17.25), on(-2, 17.25)):
        days.judge(an_owners_view(now, None, van=an_unknown_van(now, on(2, 2))), now)
    assert days.kinds() == ["check request"]
    assert days.said[0][3] == Reason.UNKNOWN.value


def test_an_unknown_vehicle_counts_as_full_when_the_last_slot_comes() -> None:
    days = Days()
    for now in (on(-1, 17.25), on(0, 17.25)):
        days.judge(an_owners_view(now, None, van=an_unknown_van(now, on(2, 2))), now)
    assert days.kinds() == ["check request", "work order"]


def test_without_frost_in_sight_nobody_is_asked() -> None:
    now = on(0, 17.25)
    assert judge(an_owners_view(now, None, van=an_unknown_van(now, None)), now).drafts == ()


# --- outlook, roll, season -----------------------------------------------------------------------


def test_an_outlook_comes_two_to_four_days_ahead_once_a_spell() -> None:
    days = Days()
    harm = on(3, 1)  # Friday 01:00
    for now in (on(-2, 18.2), on(-1, 7.7), on(-1, 18.2), on(0, 18.2)):
        days.judge(a_yards_view(now, harm, people=[OFFICE]), now)
    assert [(at, kind) for at, _, kind, _ in days.said] == [(on(-1, 18.2), "outlook")]


def test_an_outlook_names_the_last_slot_before_the_frost() -> None:
    now = on(-1, 18.2)
    (draft,) = judge(a_yards_view(now, on(2, 1), people=[OFFICE]), now).drafts
    assert draft.kind is Kind.OUTLOOK
    assert draft.act_by == on(1, 15.5)


def test_an_owner_who_can_come_every_day_needs_no_outlook() -> None:
    now = on(-1, 17.25)
    assert judge(an_owners_view(now, on(2, 1)), now).drafts == ()


def test_an_owner_whose_saturday_comes_too_late_gets_one() -> None:
    saturdays = (Slot(weekday=5, starts=time(10), ends=time(16)),)
    person = replace(OWNER, slots=saturdays)
    monday = on(-1, 17.25)
    van = a_van("M1", night=a_night(monday, on(2, 3)), site=DRIVE.key, bay="", keeper="maelle")
    found = judge(a_view(monday, van, people=[person], site=DRIVE), monday)
    assert kinds(found) == ["outlook"]


def test_a_quiet_monday_brings_the_roll_and_a_frosty_one_does_not() -> None:
    monday = on(-1, 7 + 2 / 3)
    people = [builders.an_operator()]
    vans = [a_van("Y01", litres=DRY, night=a_night(monday, keys=())), a_van("Y02", bay="A-02")]
    calm = replace(vans[1], night=a_night(monday, None))
    hard = replace(vans[1], night=a_night(monday, on(0, 3)))
    assert kinds(judge(a_view(monday, vans[0], calm, people=people), monday)) == ["roll"]
    assert kinds(judge(a_view(monday, vans[0], hard, people=people), monday)) == ["work order"]


def test_the_season_is_announced_once_to_those_with_anything_wet() -> None:
    days = Days()
    autumn = datetime(2026, 10, 5, 16, 15, tzinfo=UTC)  # 18:15 on the drive
    for back in (0, 1, 2):
        now = autumn + timedelta(days=back)
        days.judge(an_owners_view(now, None), now)
    assert days.kinds() == ["season"]
