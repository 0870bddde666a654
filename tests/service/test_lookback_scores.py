"""Messages against what happened: calls in time, missed, beyond reach, false, notice."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import numpy as np
import pytest

from frostwatch.advice.harm import VehicleNight
from frostwatch.advice.reminders import Answer, AnswerKind, Reason, Reminder, Said, Status
from frostwatch.errors import SettingsError
from frostwatch.fleet.fleet import Fleet
from frostwatch.messages.wording.draft import Kind
from frostwatch.records.entries import State
from frostwatch.service.lookback import Past, Spell
from frostwatch.service.nights import Memory
from frostwatch.service.rules import minimum_below, rule_from
from frostwatch.service.scores import Score, Scores, scores_of
from tests.builders import a_layout, a_site, a_vehicle, an_owner, entries_for
from tests.weather.frames import HOURS, PAST_H, a_frame

MONDAY = datetime(2026, 12, 7, 18, tzinfo=UTC)
"""A reading in the evening; daylight is from 08:15 to 15:40."""
HOUR = timedelta(hours=1)
OWNER = an_owner(reading=(time(18),), slots=(), travel_min=30.0)
VAN = a_vehicle(keeper=OWNER.key)
FLEET = Fleet(sites=(a_site(operator=""),), people=(OWNER,), vehicles=(VAN,))
WEEK = timedelta(days=7)


def harm(begins: datetime, hours: float = 30.0) -> Spell:
    return Spell(begins=begins, ends=begins + hours * HOUR)


def a_past(*spells: Spell, filled: Sequence[datetime] = (MONDAY - WEEK,)) -> Past:
    water = []
    for at in filled:
        entries = entries_for(a_layout(), State.FULL, at=at)
        water.append((at, Memory().van(VAN, entries, at + HOUR)))
    return Past(vehicle=VAN, water=tuple(water), spells=spells, by_item={"W3": spells})


def called(*at: datetime, kind: Kind = Kind.WORK_ORDER, **changed: object) -> Reminder:
    matter = Reminder(
        key=f"m{at[0]:%d%H}",
        site=VAN.site,
        recipient=OWNER.key,
        vehicle=VAN.key,
        kind=kind,
        status=Status.STANDING,
        spell="",
        raised_at=at[0],
        said=tuple(Said(kind=kind, at=moment, reason=Reason.FIRST) for moment in at),
    )
    return replace(matter, **changed)  # type: ignore[arg-type]


def score(past: Past, *matters: Reminder) -> Score:
    return scores_of(FLEET, {OWNER.key: len(matters)}, matters, {VAN.key: past}).total


def test_a_call_that_left_a_slot_before_the_harm_is_in_time() -> None:
    found = score(a_past(harm(MONDAY + 30 * HOUR)), called(MONDAY))
    assert (found.spells, found.missed, found.false_calls) == (1, 0, 0)
    assert found.notice_h == (30.0,)


def test_a_call_in_the_evening_before_a_night_of_harm_left_no_slot() -> None:
    found = score(a_past(harm(MONDAY + 8 * HOUR)), called(MONDAY))
    assert (found.missed, found.beyond_reach, found.false_calls) == (1, 0, 0)


def test_a_message_that_is_no_call_saves_nothing() -> None:
    found = score(a_past(harm(MONDAY + 30 * HOUR)), called(MONDAY, kind=Kind.OUTLOOK))
    assert (found.calls, found.missed) == (0, 1)


def test_a_call_without_harm_is_false() -> None:
    assert score(a_past(), called(MONDAY)).false_calls == 1


def test_a_call_stands_for_harm_until_its_matter_was_quiet_for_three_days() -> None:
    quiet = called(MONDAY, status=Status.CLEARED, quiet_since=MONDAY + 24 * HOUR)
    within, after = harm(MONDAY + 90 * HOUR), harm(MONDAY + 100 * HOUR)
    assert score(a_past(within), quiet).missed == 0
    found = score(a_past(after), quiet)
    assert (found.missed, found.false_calls) == (1, 1)


def test_a_call_answered_done_stands_until_water_is_recorded_again() -> None:
    done = Answer(vehicle=VAN.key, by=OWNER.key, kind=AnswerKind.DONE, at=MONDAY + 15 * HOUR)
    matter = called(MONDAY, status=Status.ACKNOWLEDGED, answer=done)
    filled = (MONDAY - WEEK, MONDAY + 2 * WEEK)
    assert score(a_past(harm(MONDAY + WEEK), filled=filled), matter).missed == 0
    assert score(a_past(harm(MONDAY + 3 * WEEK), filled=filled), matter).missed == 1


def test_harm_in_the_night_after_a_filling_at_dusk_was_beyond_reach() -> None:
    filled = (MONDAY,)
    found = score(a_past(harm(MONDAY + 6 * HOUR), filled=filled))
    assert (found.missed, found.beyond_reach) == (1, 1)


def test_two_calls_for_one_spell_are_both_right_and_the_notice_is_of_the_first() -> None:
    found = score(a_past(harm(MONDAY + 60 * HOUR)), called(MONDAY, MONDAY + 24 * HOUR))
    assert (found.calls, found.false_calls, found.notice_h) == (2, 0, (60.0,))
    assert found.as_json()["calls_a_spell"] == 2.0


def test_scores_add_up_and_shares_of_nothing_are_left_open() -> None:
    both = Score(spells=1, calls=2, notice_h=(3.0,)) + Score(spells=2, missed=1)
    assert both == Score(spells=3, missed=1, calls=2, notice_h=(3.0,))
    assert Score().as_json()["notice_h"] is None
    assert Score().as_json()["calls_a_spell"] is None


def test_the_summary_names_every_vehicle_the_sum_the_messages_and_the_doubts() -> None:
    scores = Scores(
        by_vehicle={"Y03": Score(spells=2, calls=2, notice_h=(30.0, 20.0))},
        items={"Y03": {"W3": 2}},
        messages={"maelle": 4, "ailsa": 0},
        doubts=("cold-rigg: 3 of 100 hours were not observed",),
    )
    text = scores.as_text()
    assert [line.split()[0] for line in text.splitlines()[2:4]] == ["Y03", "all"]
    assert "Messages: maelle 4." in text
    assert "not observed" in text
    assert scores.as_json()["vehicles"]["Y03"]["items"] == {"W3": 2}


def test_without_observed_air_only_the_doubts_are_told() -> None:
    doubts = ("cold-rigg: no air was observed.",)
    assert Scores(by_vehicle={}, items={}, messages={}, doubts=doubts).as_text() == doubts[0]


def night_below(limit_c: float, cold_h: Sequence[int], state: State = State.FULL) -> VehicleNight:
    air_c = np.full(HOURS, 3.0)
    air_c[[PAST_H + hour for hour in cold_h]] = -1.0
    entries = entries_for(a_layout(), state, at=MONDAY - WEEK)
    van = Memory().van(VAN, entries, MONDAY)
    return minimum_below(limit_c)([van], a_frame(MONDAY, air_c=air_c), MONDAY)[VAN.key]


def test_the_plain_rule_is_sure_where_one_hour_of_the_window_is_cold_and_sure_where_none_is() -> (
    None
):
    night = night_below(0.0, [5, 30])
    assert night.harm_between(14.0, 46.0).probability > 0.9
    assert night.harm_between(14.0, 46.0).earliest_h == 30.0
    assert night.harm_between(6.0, 29.0).probability < 0.05
    assert night.harm_by(46.0).earliest_h == 5.0


def test_under_the_plain_rule_a_frost_that_is_here_already_has_done_no_harm() -> None:
    assert night_below(0.0, [0]).harm_by(0.9).probability < 0.05


def test_the_plain_rule_asks_nobody_to_drained_vehicles() -> None:
    assert night_below(0.0, [5, 30], State.DRAINED).harm_by(46.0).probability == 0.0


def test_another_limit_is_another_rule() -> None:
    assert night_below(-2.0, [5, 30]).harm_by(46.0).probability < 0.05


@pytest.mark.parametrize(
    "words", ["minimum", "minimum:", "minimum:cold", "maximum:0", "minimum:nan"]
)
def test_a_rule_that_nobody_knows_is_refused_with_the_form_it_must_have(words: str) -> None:
    with pytest.raises(SettingsError, match="minimum:X"):
        rule_from(words)
