"""What is said to whom, by when, and why nothing is said."""

from dataclasses import replace
from datetime import time

import pytest

from frostwatch.advice.due import is_due
from frostwatch.advice.judge import judge
from frostwatch.advice.reminders import (
    Answer,
    AnswerKind,
    Reason,
    Status,
)
from frostwatch.fleet.people import Slot
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Kind, Level
from tests import builders
from tests.advice.nights import (
    DRIVE,
    DRY,
    HOUR,
    OWNER,
    Days,
    a_night,
    a_van,
    a_view,
    a_yards_view,
    an_air,
    an_owners_view,
    kinds,
    on,
    readings,
    reasons,
    replay,
)

# --- the window that only the next slot can meet ------------------------------------------------


def test_an_owner_is_called_on_the_evening_before_the_last_slot() -> None:
    now = on(0, 17.25)
    found = judge(an_owners_view(now, on(2, 2)), now)
    (draft,) = found.drafts
    assert (draft.kind, draft.level) == (Kind.WORK_ORDER, Level.URGENT)
    assert draft.act_by == on(1, 16)  # dusk of Wednesday is 16:20 UTC
    assert draft.earliest is not None
    assert draft.act_by < draft.earliest


def test_a_day_earlier_a_later_slot_still_serves() -> None:
    now = on(-1, 17.25)
    found = judge(an_owners_view(now, on(2, 2)), now)
    assert found.drafts == ()
    assert reasons(found) == [Reason.LATER_SLOT]
    assert found.decisions[0].level is Level.NOTICE


def test_a_yard_is_called_in_the_morning_and_not_on_the_evening_before() -> None:
    evening, morning = on(0, 18 + 1 / 6), on(1, 7 + 2 / 3)
    people = [builders.an_operator(reading=(time(7, 40), time(18, 10)))]
    before = judge(a_yards_view(evening, on(2, 2), people=people), evening)
    after = judge(a_yards_view(morning, on(2, 2), people=people), morning)
    assert reasons(before) == [Reason.LATER_READING]
    assert kinds(after) == ["work order"]


def test_friday_covers_the_weekend_of_a_yard_that_rests() -> None:
    friday = on(3, 7 + 2 / 3)
    found = judge(a_yards_view(friday, on(5, 3)), friday)  # harm in the night to Sunday
    assert kinds(found) == ["work order"]
    assert found.drafts[0].act_by == on(3, 15.5)


def test_an_owner_who_can_only_come_at_weekends_is_called_for_the_whole_week() -> None:
    saturdays = (Slot(weekday=5, starts=time(10), ends=time(16)),)
    person = replace(OWNER, slots=saturdays)
    friday = on(3, 17.25)
    night = a_night(friday, on(8, 3))  # harm on Wednesday night of the week after
    van = a_van("M1", night=night, site=DRIVE.key, bay="", keeper="maelle")
    found = judge(a_view(friday, van, people=[person], site=DRIVE), friday)
    assert kinds(found) == ["work order"]
    assert found.drafts[0].act_by == on(4, 15)  # the slot ends at 16:00 UTC+1


@pytest.mark.parametrize(
    ("ratio", "share", "called"),
    [
        (0.05, 1 / 40, False),  # 1.5 / 41 = 0.037
        (0.05, 2 / 40, True),  # 2.5 / 41 = 0.061
        (0.10, 3 / 40, False),  # 0.085
        (0.10, 4 / 40, True),  # 0.110
        (0.20, 7 / 40, False),  # 0.183
        (0.20, 8 / 40, True),  # 0.207
    ],
)
def test_the_cost_ratio_of_the_place_decides(ratio: float, share: float, called: bool) -> None:
    now = on(0, 17.25)
    site = replace(DRIVE, cost_ratio=ratio)
    night = a_night(now, on(2, 2), share=share)
    van = a_van("M1", night=night, site=site.key, bay="", keeper="maelle")
    found = judge(a_view(now, van, people=[OWNER], site=site), now)
    assert (kinds(found) == ["work order"]) is called


def test_a_calm_night_says_nothing_and_keeps_why() -> None:
    now = on(0, 17.25)
    found = judge(an_owners_view(now, None), now)
    assert reasons(found) == [Reason.STAYS_LIQUID]
    assert found.decisions[0].probability == pytest.approx(0.5 / 41)
    assert found.decisions[0].litres == pytest.approx(135.2)


# --- one call a spell ----------------------------------------------------------------------------


def test_one_call_one_reminder_on_the_last_light_then_leave_alone() -> None:
    days = replay(on(2, 2), readings(-2, 1))
    assert days.kinds() == ["work order", "work order"]
    assert [reason for *_, reason in days.said] == ["first", "no answer and the last light"]
    frozen = on(2, 7.0)
    days.judge(an_owners_view(frozen, on(2, 2)), frozen)
    assert days.kinds()[2:] == ["leave alone"]
    replay(on(2, 2), readings(2, 3), days=days)
    assert len(days.said) == 3


def test_a_person_who_reads_once_a_day_gets_the_last_call_instead() -> None:
    person = replace(OWNER, reading=(time(18),))
    days = Days()
    for now in (on(0, 17), on(1, 15.5), on(1, 17)):
        van = a_van("M1", night=a_night(now, on(2, 2)), site=DRIVE.key, bay="", keeper="maelle")
        days.judge(a_view(now, van, people=[person], site=DRIVE), now)
    assert days.kinds() == ["work order", "last call"]


def test_a_last_call_is_not_made_when_there_is_no_time_left_to_go() -> None:
    now = on(1, 17.25)
    days = replay(on(1, 17.9), [on(0, 17.25), now])
    assert days.kinds() == ["work order"]


@pytest.mark.parametrize("kind", [k for k in AnswerKind if k is not AnswerKind.UNDO])
def test_an_answer_ends_the_reminders(kind: AnswerKind) -> None:
    answer = Answer(vehicle="M1", by="maelle", kind=kind, at=on(0, 19), going_at=on(1, 14))
    days = replay(on(2, 2), [on(0, 17.25), on(1, 11.25)], days=Days(answers=[answer]))
    assert days.kinds() == ["work order"]


@pytest.mark.parametrize("kind", [k for k in AnswerKind if k is not AnswerKind.UNDO])
def test_an_answer_that_was_taken_back_ends_nothing(kind: AnswerKind) -> None:
    asked = replay(on(2, 2), [on(0, 17.25), on(1, 11.25)]).kinds()
    answer = Answer(vehicle="M1", by="maelle", kind=kind, at=on(0, 19), going_at=on(1, 14))
    undo = Answer(vehicle="M1", by="maelle", kind=AnswerKind.UNDO, at=on(0, 20))
    days = replay(on(2, 2), [on(0, 17.25), on(1, 11.25)], days=Days(answers=[answer, undo]))
    assert days.kinds() == asked
    assert len(asked) > 1


def test_done_ends_everything_whatever_comes() -> None:
    done = Answer(vehicle="M1", by="maelle", kind=AnswerKind.DONE, at=on(0, 19))
    days = replay(on(2, 2), readings(0, 6), days=Days(answers=[done]))
    assert days.kinds() == ["work order"]
    matter = next(r for r in days.reminders.values() if not r.is_tally)
    assert matter.status is Status.CLEARED


def test_who_cannot_come_is_asked_once_more_only_if_it_gets_colder() -> None:
    cannot = Answer(vehicle="M1", by="maelle", kind=AnswerKind.CANNOT, at=on(0, 18))
    days = Days(answers=[cannot])
    mild, cold = an_air(on(0, 17), -2.0), an_air(on(1, 11), -5.0)
    days.judge(an_owners_view(on(0, 17.25), on(2, 12), air=mild), on(0, 17.25))
    days.judge(an_owners_view(on(1, 11.25), on(2, 12), air=mild), on(1, 11.25))
    assert days.kinds() == ["work order"]
    days.judge(an_owners_view(on(1, 17.25), on(2, 12), air=cold), on(1, 17.25))
    assert [reason for *_, reason in days.said][1:] == [Reason.COLDER.value]


def test_who_said_when_they_go_is_left_alone_until_then() -> None:
    going = Answer(
        vehicle="M1", by="maelle", kind=AnswerKind.GOING, at=on(0, 18), going_at=on(1, 13)
    )
    days = replay(on(2, 2), [on(0, 17.25), on(1, 11.25), on(1, 15)], days=Days(answers=[going]))
    assert days.kinds() == ["work order"]
    days.judge(an_owners_view(on(1, 17.25), on(2, 2)), on(1, 17.25))
    assert days.kinds() == ["work order", "last call"]


def test_after_three_quiet_days_a_new_spell_calls_again() -> None:
    days = replay(on(2, 2), [on(0, 17.25)], share=0.3)
    replay(None, readings(1, 5), days=days)
    assert days.kinds() == ["work order"]
    replay(on(9, 2), readings(6, 7), days=days)
    assert [reason for *_, reason in days.said][1:2] == ["after quiet days"]


def test_two_quiet_days_are_not_a_new_spell() -> None:
    days = replay(on(2, 2), [on(0, 17.25)], share=0.3)
    replay(None, readings(1, 2), days=days)
    replay(on(5, 2), [on(3, 17.25)], days=days, share=0.3)
    assert days.kinds() == ["work order"]


def test_an_hour_that_moves_three_hours_earlier_is_told_again() -> None:
    yard = [builders.an_operator(reading=(time(7, 40), time(10)))]
    days = Days()
    days.judge(a_yards_view(on(1, 7.7), on(2, 2), people=yard), on(1, 7.7))
    days.judge(a_yards_view(on(1, 10), on(1, 16), people=yard), on(1, 10))
    assert [reason for *_, reason in days.said] == ["first", "hour moved earlier"]


def test_new_water_is_called_for_at_once() -> None:
    done = Answer(vehicle="M1", by="maelle", kind=AnswerKind.DONE, at=on(0, 19))
    days = replay(on(4, 2), [on(0, 17.25), on(1, 17.25)], days=Days(answers=[done]))
    now = on(3, 13)
    refilled = a_van(
        "M1",
        night=a_night(now, on(4, 2)),
        site=DRIVE.key,
        bay="",
        keeper="maelle",
        since=on(3, 12.5),
        recorded_at=on(3, 12.9),
    )
    view = an_owners_view(now, on(4, 2), van=refilled)
    assert is_due(replace(view, judged_to=days.judged_to), now)
    days.judge(view, now)
    assert days.said[-1][2:] == ("work order", "new water")


def test_water_recorded_by_night_waits_for_the_morning() -> None:
    night, morning = on(1, 22), on(2, 5.5)  # 23:00 and 06:30 on the drive
    van = a_van(
        "M1",
        night=a_night(morning, on(3, 2)),
        site=DRIVE.key,
        bay="",
        keeper="maelle",
        recorded_at=on(1, 21.5),
    )
    view = an_owners_view(night, None, van=van, judged_to=on(1, 20))
    assert not is_due(view, night)
    found = judge(view, night)
    assert found.drafts == ()
    assert found.judged_to < on(1, 21.5)
    assert is_due(replace(view, judged_to=found.judged_to), morning)
    later = judge(replace(view, judged_to=found.judged_to), morning)
    assert kinds(later) == ["work order"]


def test_a_call_that_nobody_answers_is_repeated_at_most_once_in_a_spell() -> None:
    days = Days()
    for day in range(30):
        for now in readings(day, day):
            harm = now + 30 * HOUR if now.hour == 17 else now + 36 * HOUR
            days.judge(an_owners_view(now, harm, share=0.4), now)
    assert days.kinds().count("work order") + days.kinds().count("last call") == 2


# --- too late, thaw ------------------------------------------------------------------------------


def test_a_vehicle_that_froze_is_left_alone_once_and_never_called_for() -> None:
    now = on(2, 7.7)
    days = Days()
    for at in (now, on(2, 12), on(3, 7.7)):
        days.judge(a_yards_view(at, at - 6 * HOUR, air=an_air(at, -3.0)), at)
    assert days.kinds() == ["leave alone"]


def test_the_thaw_check_waits_for_three_mild_hours_and_daylight() -> None:
    days = Days()
    frozen = on(1, 7.7)
    cold = an_air(frozen, -3.0)
    days.judge(a_yards_view(frozen, frozen - 6 * HOUR, air=cold), frozen)
    touching = on(2, 12)
    air = an_air(touching, 1.5, past_c=1.5)
    days.judge(a_yards_view(touching, touching - 6 * HOUR, air=air), touching)
    assert days.kinds() == ["leave alone"]
    mild = on(3, 12)
    air = an_air(mild, 4.0, past_c=4.0)
    days.judge(a_yards_view(mild, mild - 6 * HOUR, air=air), mild)
    assert days.kinds() == ["leave alone", "thaw check"]
    again = on(3, 14)
    days.judge(a_yards_view(again, again - 6 * HOUR, air=an_air(again, 4.0)), again)
    assert len(days.said) == 2


def test_nobody_who_was_told_nothing_gets_a_thaw_check() -> None:
    now = on(3, 12)
    found = judge(a_yards_view(now, None, air=an_air(now, 4.0)), now)
    assert found.drafts == ()


def test_a_vehicle_filled_again_after_a_frost_is_called_for_again() -> None:
    days = Days()
    frozen = on(1, 7.7)
    cold = an_air(frozen, -3.0)
    days.judge(a_yards_view(frozen, frozen - 6 * HOUR, air=cold), frozen)
    now = on(5, 11)
    van = a_van(night=a_night(now, on(6, 2)), since=on(5, 9), recorded_at=on(5, 10))
    people = [builders.an_operator(reading=(time(11),))]
    site = builders.a_site(
        shifts=tuple(replace(builders.WEEKDAYS[0], weekday=day) for day in range(7))
    )
    days.judge(a_view(now, van, people=people, site=site), now)
    assert days.kinds() == ["leave alone", "work order"]


# --- who and what gets nothing -------------------------------------------------------------------


def test_a_drained_vehicle_gets_nothing_ever() -> None:
    days = Days()
    for now in readings(0, 10):
        van = a_van(
            "M1", litres=DRY, site=DRIVE.key, bay="", keeper="maelle", night=a_night(now, keys=())
        )
        days.judge(an_owners_view(now, None, van=van), now)
    assert days.said == []
    assert {r.status for r in days.reminders.values()} <= {Status.CLEARED}


def test_a_working_frost_opening_valve_is_told_as_a_fact_and_never_called_for() -> None:
    now = on(0, 17.25)
    van = a_van(
        "M1",
        litres={Circuit.HEATER_TANK: 10.0},
        night=a_night(now, keys=(), valve_at=on(2, 3)),
        site=DRIVE.key,
        bay="",
        keeper="maelle",
    )
    found = judge(an_owners_view(now, None, van=van), now)
    assert found.drafts == ()
    assert reasons(found) == [Reason.VALVE]
    assert found.decisions[0].level is Level.NOTICE


def test_the_valves_hour_is_a_fact_of_the_call_about_the_rest() -> None:
    now = on(0, 17.25)
    van = a_van(
        "M1",
        night=a_night(now, on(2, 2), valve_at=on(1, 3)),
        site=DRIVE.key,
        bay="",
        keeper="maelle",
    )
    (draft,) = judge(an_owners_view(now, None, van=van), now).drafts
    assert draft.facts.valve_at == on(1, 3)
    assert not draft.facts.breaks or Circuit.HEATER_TANK not in draft.facts.breaks


def test_nothing_is_said_in_quiet_hours() -> None:
    for hour in (20.0, 21.0, 23.0, 2.0, 5.4):
        now = on(1, hour)
        found = judge(an_owners_view(now, now + 20 * HOUR, judged_to=None), now)
        assert found.drafts == ()


def test_a_vehicle_for_which_nobody_can_be_told_is_written_down() -> None:
    now = on(0, 17.25)
    found = judge(a_view(now, a_van(), people=[]), now)
    assert [(d.recipient, d.reason) for d in found.decisions] == [("", Reason.NOBODY)]


def test_owners_hear_of_their_vehicle_and_the_office_of_the_others() -> None:
    now = on(1, 7 + 2 / 3)
    owner = replace(OWNER, key="owner", reading=(time(7, 40),))
    vans = [a_van("Y03", night=a_night(now, on(2, 2)))]
    vans.append(a_van("Y04", night=a_night(now, on(2, 2)), keeper="owner", bay="A-02"))
    found = judge(a_view(now, *vans, people=[builders.an_operator(), owner]), now)
    assert {d.recipient: d.vehicles for d in found.drafts} == {
        "ailsa": ("Y03",),
        "owner": ("Y04",),
    }


def test_a_yard_gets_one_message_for_the_round_and_never_one_a_van() -> None:
    now = on(1, 7 + 2 / 3)
    bays = builders.bay_names(24)
    vans = [a_van(f"Y{n:02d}", night=a_night(now, on(2, 2)), bay=bay) for n, bay in enumerate(bays)]
    found = judge(a_view(now, *vans, people=[builders.an_operator(), builders.a_crew()]), now)
    assert [(d.recipient, d.kind.value, len(d.vehicles)) for d in found.drafts] == [
        ("ailsa", "work order", 24),
        ("kit", "work order", 24),
    ]
