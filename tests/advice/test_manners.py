"""What keeps people listening: hours that can be met, nothing twice, nobody woken for nothing."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import Any

import pytest

from frostwatch.advice.act_by import SETTING_OUT
from frostwatch.advice.harm import Chance
from frostwatch.advice.judge import judge
from frostwatch.advice.reminders import Answer, AnswerKind, Reason
from frostwatch.advice.slots import Diary
from frostwatch.advice.verdict import level_of, numbers_for
from frostwatch.advice.view import SiteView, VehicleView
from frostwatch.fleet.people import Duty
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Kind, Level
from frostwatch.records.entries import State
from tests import builders
from tests.advice.nights import (
    DRIVE,
    HOUR,
    OFFICE,
    OWNER,
    Days,
    a_night,
    a_van,
    a_view,
    an_air,
    an_owners_view,
    kinds,
    on,
    readings,
    reasons,
    replay,
    some_water,
)

# --- hours that can be met -----------------------------------------------------------------------


@pytest.mark.parametrize(("frost_h", "expected"), [(9.4, "work order"), (8.3, None)])
def test_a_lead_who_reads_at_a_quarter_to_eight_is_not_given_ten_minutes(
    frost_h: float, expected: str | None
) -> None:
    # Work begins at 08:13, in daylight. Ice from 09:24 on leaves an hour to work to; ice from
    # 08:18 on leaves none: no hour is made up, and a call to go at once would come too late too.
    lead = builders.an_operator(duty=Duty.DEALER, reading=(time(7, 45),))
    now = on(1, 7.75)
    van = a_van(night=a_night(now, on(1, frost_h), share=0.3, spread_h=0.1))
    found = judge(a_view(now, van, people=[lead]), now)
    assert kinds(found) == ([expected] if expected else [])
    for draft in found.drafts:
        job = timedelta(minutes=18 + 8)  # full, with more waste than a container holds
        assert draft.act_by is not None
        assert draft.act_by - now >= SETTING_OUT + job


# --- what is known now, not what was told --------------------------------------------------------


def test_frozen_since_is_what_is_known_now_and_not_the_hour_once_told() -> None:
    days = replay(on(2, 2), [on(0, 17.25)])
    replay(on(1, 22), [on(1, 11.25), on(1, 17.25)], days=days)  # it comes four hours earlier
    found = days.judge(an_owners_view(on(2, 7), on(1, 22)), on(2, 7))
    (draft,) = found.drafts
    assert draft.kind is Kind.LEAVE_ALONE
    assert draft.facts.onset is not None
    assert abs(draft.facts.onset - on(1, 22)) < HOUR / 20
    assert draft.likely == draft.facts.onset


def test_what_froze_sooner_than_reckoned_is_not_said_to_freeze_in_future() -> None:
    days = replay(on(2, 14), [on(0, 17.25), on(1, 17.25)])
    now = on(2, 11.25)
    (draft,) = days.judge(an_owners_view(now, on(2, 3)), now).drafts
    assert (draft.kind, draft.facts.onset) == (Kind.LEAVE_ALONE, now)


def test_where_nothing_was_reckoned_before_no_hour_is_made_up() -> None:
    now = on(2, 11.25)
    (draft,) = judge(an_owners_view(now, on(1, 22)), now).drafts
    assert (draft.kind, draft.facts.onset, draft.likely) == (Kind.LEAVE_ALONE, None, None)


# --- the thaw check and the budget of a day ------------------------------------------------------


def test_a_thaw_check_held_back_on_a_full_friday_comes_on_saturday_and_names_monday() -> None:
    days = Days()
    friday = on(3, 7 + 2 / 3)
    frozen = a_van("Y01", bay="A-01", night=a_night(friday, on(2, 20)))
    wet = a_van("Y02", bay="A-02", night=a_night(friday, on(3, 23)))
    cold = an_air(friday, -3.0)
    days.judge(a_view(friday, frozen, wet, people=[OFFICE], air=cold), friday)
    assert days.kinds() == ["work order", "leave alone"]  # two, which is all for a day

    for now in (on(3, 12), on(3, 14), on(4, 7 + 2 / 3), on(4, 10), on(6, 7 + 2 / 3)):
        thawing = a_van("Y01", bay="A-01", night=a_night(now, now - 20 * HOUR))
        mild = an_air(now, 6.0, past_c=6.0)
        found = days.judge(a_view(now, thawing, people=[OFFICE], air=mild), now)
        if now == on(3, 12):
            assert reasons(found) == [Reason.BUDGET]
    assert days.said[2:] == [(on(4, 7 + 2 / 3), "ailsa", "thaw check", "thawed")]


def test_a_thaw_check_for_the_weekend_tells_when_somebody_works_again() -> None:
    days = Days()
    friday, saturday = on(3, 7 + 2 / 3), on(4, 7 + 2 / 3)
    frozen = a_van("Y01", bay="A-01", night=a_night(friday, on(2, 20)))
    wet = a_van("Y02", bay="A-02", night=a_night(friday, on(3, 23)))
    days.judge(a_view(friday, frozen, wet, people=[OFFICE], air=an_air(friday, -3.0)), friday)
    for now in (on(3, 12), saturday):
        van = a_van("Y01", bay="A-01", night=a_night(now, now - 20 * HOUR))
        air = an_air(now, 6.0, past_c=6.0)
        found = days.judge(a_view(now, van, people=[OFFICE], air=air), now)
    (draft,) = found.drafts
    monday = next(Diary(person=OFFICE, site=builders.a_site()).slots(saturday))
    assert draft.facts.thaw_at is not None
    assert monday.start <= draft.facts.thaw_at <= monday.start + HOUR


# --- the season ----------------------------------------------------------------------------------

AUTUMN = datetime(2026, 10, 5, 17, 15, tzinfo=UTC)


def lived_in(now: datetime, *, waste_l: float = 0.0, key: str = "M1") -> VehicleView:
    """Maëlle lives in it: fresh tank and heater full, waste runs out, or its valve is shut."""
    since = now - 2 * HOUR
    water = (
        *some_water({Circuit.FRESH_TANK: 80.0}, since=since, state=State.HEATED_HOLD),
        *some_water({Circuit.OUTLET_STUB: 0.2}, since=since, state=State.OPEN_RUNNING),
        *some_water({Circuit.WASTE_TANK: waste_l}, since=since),
    )
    van = a_van(key, site=DRIVE.key, bay="", keeper="maelle", night=a_night(now, now + 9 * HOUR))
    return replace(van, water=water)


@pytest.mark.parametrize("waste_l", [0.0, 8.0])
def test_who_lives_in_it_is_not_told_that_it_counts_as_wet(waste_l: float) -> None:
    van = replace(lived_in(AUTUMN, waste_l=waste_l), night=a_night(AUTUMN))
    assert judge(an_owners_view(AUTUMN, None, van=van), AUTUMN).drafts == ()


def test_vehicles_in_use_are_not_counted_among_those_to_be_drained_before_the_season() -> None:
    used = replace(lived_in(AUTUMN, key="Y01"), night=a_night(AUTUMN))
    used = replace(used, vehicle=builders.a_vehicle("Y01", bay="A-01"))
    wet = a_van("Y02", bay="A-02", night=a_night(AUTUMN), since=AUTUMN - 24 * HOUR)
    view = a_view(AUTUMN, used, wet, people=[builders.an_operator(reading=(time(18, 10),))])
    (draft,) = [d for d in judge(view, AUTUMN).drafts if d.kind is Kind.SEASON]
    assert (draft.kind, draft.vehicles, draft.facts.count) == (Kind.SEASON, ("Y02",), 1)


@pytest.mark.parametrize(("office", "told"), [(True, {"ailsa"}), (False, {"kit"})])
def test_a_crew_hears_of_the_season_only_where_nobody_else_runs_the_place(
    office: bool, told: set[str]
) -> None:
    now = datetime(2026, 10, 6, 6, 40, tzinfo=UTC)  # Tuesday 07:40 at the yard
    people = [builders.a_crew(), *([builders.an_operator(reading=(time(7, 40),))] * office)]
    site = builders.a_site(operator="ailsa" if office else "")
    van = a_van("Y02", bay="A-02", night=a_night(now), since=now - 24 * HOUR)
    drafts = judge(a_view(now, van, people=people, site=site), now).drafts
    assert {d.recipient for d in drafts if d.kind is Kind.SEASON} == told


# --- quiet hours, and the one exception ----------------------------------------------------------


def at_night(van: VehicleView, now: datetime) -> SiteView:
    return an_owners_view(now, None, van=replace(van, recorded_at=now - HOUR / 4))


def test_who_lives_in_it_and_shut_the_waste_valve_is_told_in_quiet_hours_too() -> None:
    late = on(1, 21)  # 22:00 on the drive
    (draft,) = judge(at_night(lived_in(late, waste_l=8.0), late), late).drafts
    assert (draft.kind, draft.level) == (Kind.LAST_CALL, Level.URGENT)
    days = Days()
    for now in (late, late + HOUR / 6, late + HOUR / 3):
        days.judge(at_night(lived_in(late, waste_l=8.0), late), now)
    assert days.kinds() == ["last call"]


def test_with_the_valve_open_or_nobody_in_it_the_night_is_quiet() -> None:
    late = on(1, 21)
    assert judge(at_night(lived_in(late), late), late).drafts == ()
    laid_up = a_van("M1", site=DRIVE.key, bay="", keeper="maelle", night=a_night(late, late + HOUR))
    assert judge(at_night(laid_up, late), late).drafts == ()


# --- lists that change a little, people who choose for themselves --------------------------------


@pytest.mark.parametrize(("more", "sent"), [(2, 1), (3, 2)])
def test_a_list_is_sent_again_on_the_same_day_if_it_grows_by_three(more: int, sent: int) -> None:
    people = [builders.an_operator(reading=(time(7, 40), time(11)))]
    site = builders.a_site(
        shifts=tuple(replace(builders.WEEKDAYS[0], weekday=day) for day in range(7))
    )
    bays = builders.bay_names(10)
    days = Days()
    for now, count in ((on(1, 7 + 2 / 3), 4), (on(1, 11), 4 + more)):
        vans = [
            a_van(f"Y{n:02d}", bay=bays[n], night=a_night(now, on(2, 13), share=0.3, spread_h=4))
            for n in range(count)
        ]
        found = days.judge(a_view(now, *vans, people=people, site=site), now)
    assert days.kinds().count("work order") == sent
    assert (Reason.FEW in reasons(found)) is (sent == 1)


def test_what_the_coming_slot_must_do_is_told_even_if_it_is_one_vehicle_more() -> None:
    people = [builders.an_operator(reading=(time(7, 40), time(11)))]
    days = Days()
    for now, count in ((on(1, 7 + 2 / 3), 4), (on(1, 11), 5)):
        vans = [
            a_van(f"Y{n:02d}", bay=builders.bay_names(10)[n], night=a_night(now, on(2, 2)))
            for n in range(count)
        ]
        days.judge(a_view(now, *vans, people=people), now)
    assert days.kinds() == ["work order", "work order"]


@pytest.mark.parametrize(("own", "called"), [(None, True), (0.05, True), (0.2, False)])
def test_a_person_may_choose_a_caution_of_their_own(own: float | None, called: bool) -> None:
    now = on(0, 17.25)
    night = a_night(now, on(2, 2), share=5 / 40)  # 5.5 / 41 = 0.134
    van = a_van("M1", night=night, site=DRIVE.key, bay="", keeper="maelle")
    person = replace(OWNER, cost_ratio=own)
    found = judge(a_view(now, van, people=[person], site=DRIVE), now)
    assert (kinds(found) == ["work order"]) is called
    assert found.decisions[0].ratio == (DRIVE.cost_ratio if own is None else own)


# --- once more, and why --------------------------------------------------------------------------


def test_a_call_that_stood_for_a_week_is_made_once_more() -> None:
    days = Days()
    for day in (0, 3, 6, 7):
        now = on(day, 17.25)
        days.judge(an_owners_view(now, now + 32 * HOUR, share=0.3), now)
        last = now
    assert [(at, reason) for at, *_, reason in days.said] == [
        (on(0, 17.25), "first"),
        (last, "weekly"),
    ]


def test_a_level_that_rises_is_told_and_one_that_falls_is_not() -> None:
    yard = [builders.an_operator(reading=(time(7, 40), time(11)))]
    site = builders.a_site(
        shifts=tuple(replace(builders.WEEKDAYS[0], weekday=day) for day in range(7))
    )

    def judged(*hours: tuple[datetime, datetime, float]) -> list[str]:
        days = Days()
        for now, harm, spread_h in hours:
            van = a_van(night=a_night(now, harm, share=0.5, spread_h=spread_h))
            days.judge(a_view(now, van, people=yard, site=site), now)
        return [reason for *_, reason in days.said]

    early, late = on(1, 7 + 2 / 3), on(1, 11)
    rising = judged((early, on(2, 22), 30.0), (late, on(2, 3), 2.0))
    falling = judged((early, on(2, 3), 2.0), (late, on(2, 22), 30.0))
    assert rising == ["first", "level rose"]
    assert falling == ["first"]


# --- the words for how things stand --------------------------------------------------------------


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({}, Level.NONE),
        ({"ahead": 0.04}, Level.NONE),
        ({"ahead": 0.06}, Level.NOTICE),  # above half the cost ratio
        ({"ice_ahead": 0.4}, Level.NONE),
        ({"ice_ahead": 0.6}, Level.NOTICE),  # ice is possible within 96 h
        ({"valve": 0.6}, Level.NOTICE),  # the valve will open by itself
        ({"window": 0.09}, Level.NONE),
        ({"window": 0.11}, Level.ACT),
        ({"window": 0.11, "earliest_h": 20.0}, Level.URGENT),  # before the slot after this one
        ({"before": 0.11}, Level.URGENT),
        ({"begun": 0.49, "window": 0.11}, Level.ACT),
        ({"begun": 0.51, "window": 0.9}, Level.TOO_LATE),
    ],
)
def test_the_level_says_how_things_stand(changed: dict[str, float], expected: Level) -> None:
    now = on(0, 17.25)
    diary = Diary(person=OWNER, site=DRIVE)
    numbers = numbers_for(
        a_night(now), list(diary.slots(now))[:4], now, travel_min=30.0, job_min=45.0
    )
    earliest_h = changed.pop("earliest_h", 60.0)
    chances: dict[str, Any] = {
        name: Chance(probability=p, earliest_h=earliest_h, likely_h=earliest_h)
        for name, p in changed.items()
    }
    calm: dict[str, Any] = {
        name: Chance(probability=0.01) for name in ("ahead", "window", "before", "begun")
    }
    calm |= {"ice_ahead": Chance(probability=0.01)}
    assert level_of(replace(numbers, **(calm | chances)), 0.1) is expected


def test_no_answer_is_needed_to_stop_only_a_done_from_anybody_with_the_vehicle() -> None:
    done = Answer(vehicle="M1", by="jean", kind=AnswerKind.DONE, at=on(0, 19))
    days = replay(on(2, 2), readings(0, 2), days=Days(answers=[done]))
    assert days.kinds() == ["work order"]


@pytest.mark.parametrize(("count", "called"), [(10, False), (40, True)])
def test_work_that_tomorrows_slot_cannot_hold_is_called_for_today(count: int, called: bool) -> None:
    # 18 min a full van and 8 for its waste (estimates of the trade); one person, 7.4 h of light.
    tuesday = on(0, 7 + 2 / 3)  # ice comes in the night to Thursday: Wednesday's slot would do
    bays = builders.bay_names(count)
    night = a_night(tuesday, on(2, 2))
    vans = [a_van(f"Y{n:02d}", bay=bays[n], night=night) for n in range(count)]
    found = judge(a_view(tuesday, *vans, site=builders.a_site(crew=1)), tuesday)
    assert kinds(found) == (["work order"] if called else [])
    reason = Reason.DOES_NOT_FIT if called else Reason.LATER_SLOT
    assert set(reasons(found)) == {reason}


def test_a_call_is_made_once_more_when_the_chance_has_risen_above_one_half() -> None:
    lead = builders.an_operator(reading=(time(7, 40),))
    days = Days()
    for now, harm, share in (
        (on(1, 7 + 2 / 3), on(2, 2), 0.2),
        (on(2, 7 + 2 / 3), on(3, 2), 0.8),
    ):
        van = a_van(night=a_night(now, harm, share=share))
        days.judge(a_view(now, van, people=[lead]), now)
    assert [reason for *_, reason in days.said] == ["first", "more likely than when first told"]
