"""What is said of a site as a whole, how often, and what is kept of it."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from frostwatch.advice.due import is_due, next_reading
from frostwatch.advice.judge import judge
from frostwatch.advice.reminders import (
    Answer,
    AnswerKind,
    Decision,
    Reason,
    Reminder,
    Status,
)
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Kind, Level, Voice
from frostwatch.records.entries import Evidence, State
from tests import builders
from tests.advice.nights import (
    DRY,
    FULL,
    HOUR,
    LOST,
    OFFICE,
    OLDER,
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

# --- no forecast ---------------------------------------------------------------------------------


def test_without_a_forecast_the_operator_is_told_once_and_then_every_morning() -> None:
    days = Days()
    people = [OFFICE, builders.a_crew()]
    for now in (on(0, 13), on(0, 14), on(0, 18.2), on(1, 7.7), on(1, 12), on(2, 7.7)):
        days.judge(a_view(now, a_van(), people=people, standing=LOST), now)
    assert [(at, who, kind) for at, who, kind, _ in days.said] == [
        (on(0, 13), "ailsa", "no forecast"),
        (on(1, 7.7), "ailsa", "no forecast"),
        (on(2, 7.7), "ailsa", "no forecast"),
    ]


def test_when_a_forecast_is_read_again_it_is_said_once_without_a_flood() -> None:
    days = Days()
    days.judge(a_view(on(0, 13), a_van(), people=[OFFICE], standing=LOST), on(0, 13))
    for now in (on(0, 15), on(0, 16)):
        view = a_yards_view(now, None, people=[OFFICE])
        assert is_due(replace(view, reminders=tuple(days.reminders.values())), now) or now.hour > 15
        days.judge(view, now)
    assert [reason for *_, reason in days.said] == ["no usable forecast", "cleared"]


def test_missing_weather_clears_nothing_and_downgrades_nothing() -> None:
    days = replay(on(2, 2), [on(0, 17.25)])
    for now in readings(1, 5):
        found = days.judge(an_owners_view(now, None, standing=LOST), now)
        assert [d.level for d in found.decisions] == [Level.URGENT]
        assert reasons(found) == [Reason.LAST_STANDS]
    (matter,) = [r for r in days.reminders.values() if not r.is_tally]
    assert matter.status is Status.STANDING


def test_an_owner_without_an_operator_is_told_of_a_lost_forecast_once() -> None:
    days = Days()
    for now in readings(0, 3):
        days.judge(an_owners_view(now, None, standing=LOST), now)
    assert days.kinds() == ["no forecast"]


def test_a_yard_that_is_all_drained_is_not_bothered_with_forecasts() -> None:
    now = on(0, 13)
    assert judge(a_view(now, a_van(litres=DRY), people=[OFFICE], standing=LOST), now).drafts == ()


def test_an_old_forecast_is_still_decided_on_and_says_so() -> None:
    now = on(0, 17.25)
    (draft,) = judge(an_owners_view(now, on(2, 2), standing=OLDER), now).drafts
    assert draft.facts.colder_k == 2.0


# --- budgets -------------------------------------------------------------------------------------


def test_a_yard_is_sent_at_most_two_messages_a_day() -> None:
    days = Days()
    people = [builders.an_operator(reading=(time(7, 40), time(10), time(12), time(15)))]
    bays = builders.bay_names(10)
    for step, now in enumerate((on(1, 7.7), on(1, 10), on(1, 12), on(1, 15))):
        vans = [
            a_van(f"Y{n:02d}", bay=bays[n], night=a_night(now, on(2, 2)))
            for n in range(2 * step + 2)
        ]
        days.judge(a_view(now, *vans, people=people), now)
    assert len(days.said) == 2


def test_the_first_call_of_a_day_goes_out_after_two_messages_of_what_to_leave_alone() -> None:
    days = Days()
    people = [builders.an_operator(reading=(time(7, 40), time(10), time(12), time(15)))]
    frozen = on(1, 7.7)
    late = a_van("Y01", bay="A-01", night=a_night(frozen, frozen - 6 * HOUR))
    more = a_van("Y02", bay="A-02", night=a_night(on(1, 10), on(1, 4)))
    filled = a_van("Y03", bay="A-03", night=a_night(on(1, 12), on(2, 2)))
    days.judge(a_view(frozen, late, people=people), frozen)
    days.judge(a_view(on(1, 10), late, more, people=people), on(1, 10))
    days.judge(a_view(on(1, 12), late, more, filled, people=people), on(1, 12))
    assert days.kinds() == ["leave alone", "leave alone", "work order"]


def test_an_owner_is_sent_at_most_three_messages_a_spell() -> None:
    days = replay(on(2, 2), readings(0, 1))
    for now in (on(2, 7), on(2, 11.25), on(3, 11.25), on(4, 11.25), on(4, 12)):
        air = an_air(now, 6.0, past_c=6.0)
        days.judge(an_owners_view(now, on(2, 2), air=air), now)
    assert len(days.said) <= 3


def test_late_in_a_winter_only_the_first_call_of_a_spell_still_goes_out() -> None:
    days = Days()
    for week in range(12):
        for now in readings(7 * week, 7 * week + 1):
            days.judge(an_owners_view(now, on(7 * week + 2, 2), share=0.45), now)
        for now in readings(7 * week + 2, 7 * week + 6):
            days.judge(an_owners_view(now, None), now)
    assert days.kinds().count("work order") >= 12
    assert len(days.said) <= 12 + 6


# --- when to look --------------------------------------------------------------------------------


def test_nothing_is_due_between_readings() -> None:
    now = on(0, 15)
    view = an_owners_view(now, on(2, 2), judged_to=on(0, 12))
    assert not is_due(view, now)
    assert next_reading(view, now) == on(0, 17.25)
    assert is_due(view, on(0, 17.25))


def test_an_act_by_hour_that_was_told_is_a_moment_to_look() -> None:
    days = replay(on(2, 2), [on(0, 17.25)])
    view = replace(
        an_owners_view(on(1, 12), on(2, 2)),
        reminders=tuple(days.reminders.values()),
        judged_to=on(1, 11.5),
    )
    assert next_reading(view, on(1, 12)) == on(1, 16)
    assert is_due(view, on(1, 16))


def test_a_frozen_vehicle_is_looked_at_between_readings_by_day() -> None:
    days = Days()
    frozen = on(1, 7.7)
    cold = an_air(frozen, -3.0)
    days.judge(a_yards_view(frozen, frozen - 6 * HOUR, air=cold), frozen)
    view = replace(
        a_yards_view(frozen, None),
        reminders=tuple(days.reminders.values()),
        judged_to=days.judged_to,
    )
    assert next_reading(view, frozen) == on(1, 8)


def test_the_first_judgement_serves_everybody_who_is_awake() -> None:
    now = on(0, 15)
    view = an_owners_view(now, on(2, 2), judged_to=None)
    assert is_due(view, now)
    assert kinds(judge(view, now)) == ["work order"]


def test_reminders_and_decisions_survive_being_kept_as_json() -> None:
    import json

    now = on(0, 17.25)
    answers = (Answer(vehicle="M1", by="maelle", kind=AnswerKind.PART, at=on(0, 17)),)
    found = judge(replace(an_owners_view(now, on(2, 2)), answers=answers), now)
    for matter in found.reminders:
        assert Reminder.from_dict(json.loads(json.dumps(matter.to_dict()))) == matter
    for decision in found.decisions:
        assert Decision.from_dict(json.loads(json.dumps(decision.to_dict()))) == decision
    assert found.reminders
    assert found.decisions


def test_full_litres_are_what_the_decision_reckons_with() -> None:
    now = on(0, 17.25)
    found = judge(an_owners_view(now, None), now)
    assert found.decisions[0].litres == pytest.approx(sum(FULL.values()))


def test_what_nobody_knows_joins_the_round_that_is_walked_anyway() -> None:
    now = on(1, 7 + 2 / 3)
    known = a_van("Y01", night=a_night(now, on(2, 2)), bay="A-01")
    unknown = a_van(
        "Y02",
        night=a_night(now, on(2, 2)),
        bay="A-02",
        state=State.UNKNOWN,
        evidence=Evidence.EXPIRED,
    )
    (draft,) = judge(a_view(now, known, unknown), now).drafts
    assert (draft.kind, draft.vehicles) == (Kind.WORK_ORDER, ("Y01", "Y02"))


def test_a_crew_is_left_in_peace_on_its_day_off_and_the_office_is_not() -> None:
    sunday = on(5, 11)
    van = a_van(night=a_night(sunday, on(5, 23)))
    people = [OFFICE, builders.a_crew()]
    found = judge(a_view(sunday, van, people=people, judged_to=None), sunday)
    assert {d.recipient for d in found.drafts} == {"ailsa"}
    assert {d.recipient for d in found.decisions} == {"ailsa"}


def test_a_round_is_due_when_half_of_it_is_and_what_is_due_sooner_comes_first() -> None:
    now = on(1, 7 + 2 / 3)
    bays = builders.bay_names(5)
    soon = a_van("Y00", bay=bays[4], night=a_night(now, on(1, 13)))
    later = [a_van(f"Y{n}", bay=bays[n], night=a_night(now, on(2, 2))) for n in range(4)]
    (draft,) = judge(a_view(now, *later, soon), now).drafts
    assert draft.act_by == on(1, 15.5)
    assert draft.facts.first[0] == bays[4]


def test_a_last_call_is_for_what_can_still_be_reached() -> None:
    person = builders.an_operator(reading=(time(7, 40),))
    now = on(1, 7 + 2 / 3)
    found = judge(a_yards_view(now, on(1, 8.4), people=[person]), now)
    assert not [d for d in found.drafts if d.kind is Kind.LAST_CALL]


def test_dosed_traps_alone_bring_no_word_of_a_lost_forecast() -> None:
    dosed = {Circuit.TRAPS: 0.9}
    van = a_van(litres=dosed, state=State.DOSED)
    now = on(0, 13)
    assert judge(a_view(now, van, people=[OFFICE], standing=LOST), now).drafts == ()


def test_an_owner_whose_vehicle_stands_at_a_dealers_is_addressed_as_a_customer() -> None:
    now = on(0, 17.25)
    forecourt = builders.a_forecourt(operator="")
    van = a_van("M1", night=a_night(now, on(2, 2)), site=forecourt.key, bay="A-01", keeper="maelle")
    (draft,) = judge(a_view(now, van, people=[OWNER], site=forecourt), now).drafts
    assert draft.voice is Voice.CUSTOMER


def test_who_answers_done_and_stays_drained_hears_no_more_than_that_in_a_winter() -> None:
    done = Answer(vehicle="M1", by="maelle", kind=AnswerKind.DONE, at=on(3, 10))
    days = Days(answers=[done])
    season = datetime(2026, 10, 1, tzinfo=UTC)
    for day in range(180):
        for hour in (11.25, 17.25):
            now = season + timedelta(days=day, hours=hour)
            frost = now + 32 * HOUR if now >= on(2, 0) else None
            days.judge(an_owners_view(now, frost, air=an_air(now, -3.0)), now)
    assert days.kinds() == ["season", "work order"]
