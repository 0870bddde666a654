"""Nights collected as passes go by, and what they do to the air of the passes after them."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from frostwatch.errors import RecordError
from frostwatch.fleet.sites import Lie
from frostwatch.ports import AirReading, Lesson, LessonStore
from frostwatch.service.lessons import (
    Lessons,
    evening_of,
    fit,
    forget,
    nights_in,
    set_learning,
    take_readings,
)
from frostwatch.service.memory_lessons import MemoryLessons
from frostwatch.service.pass_ import run_pass
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.learning import Source
from tests.builders import NOW, a_site
from tests.weather.frames import HOURS, PAST_H, daily_air_c
from tests.worlds import World, a_small_yard, a_world

SITE = a_site(longitude_deg=0.0, height_m=100.0)
EVENING = datetime(2026, 11, 1, 18, 5, tzinfo=UTC)
WINDY = {"wind_m_per_s": np.full(HOURS, 9.0), "cloud_fraction": np.ones(HOURS)}
"""Nothing is taken off for still nights."""


def evening_frame(now: datetime, *, too_warm_k: float, **changed: object) -> Forecast:
    """A frame whose past is the daily wave, and whose future is forecast too warm."""
    start = now.replace(minute=0, second=0) - timedelta(hours=PAST_H)
    air_c = daily_air_c(hours=HOURS)
    air_c = np.roll(air_c, -(start.hour - 6))
    air_c[PAST_H + 1 :] += too_warm_k
    frame = Forecast(
        start=start,
        columns={"air_c": air_c, **WINDY},
        provider="open-meteo",
        fetched_at=now,
        height_m=100.0,
        recent_c=np.zeros(0),
    )
    return replace(frame, **changed)  # type: ignore[arg-type]


def evenings(lessons: Lessons, count: int, too_warm_k: float) -> datetime:
    """So many evenings pass."""
    now = EVENING
    for number in range(count):
        now = EVENING + timedelta(days=number)
        lessons.note([(SITE, evening_frame(now, too_warm_k=too_warm_k))], now)
    return now


def thermometer(air_c: float, days: int = 59) -> list[AirReading]:
    """A thermometer that shows the same every hour."""
    return [
        AirReading(at=EVENING + timedelta(hours=hour), air_c=air_c) for hour in range(24 * days)
    ]


def lesson(store: LessonStore) -> Lesson:
    return store.lessons()[SITE.key]


def test_a_frame_of_the_evening_is_kept_and_one_of_the_morning_is_not() -> None:
    frame = evening_frame(EVENING, too_warm_k=0.0)
    assert evening_of(frame, SITE) == EVENING.date()
    assert evening_of(replace(frame, fetched_at=NOW), SITE) is None
    far_east = replace(SITE, longitude_deg=150.0)
    assert evening_of(replace(frame, fetched_at=EVENING - timedelta(hours=10)), far_east)


def test_a_frame_tells_seven_nights_ahead_and_those_that_were() -> None:
    guesses, seen = nights_in(evening_frame(EVENING, too_warm_k=2.0), SITE)
    assert [one.lead_day for one in guesses] == [1, 2, 3, 4, 5, 6, 7]
    assert [round(one.plain_c, 2) for one in guesses] == [1.0] * 7
    assert [one.lowest_c for one in seen] == pytest.approx([-1.0] * 4)


def test_hours_laid_in_front_from_an_earlier_reply_are_nobodys_analysis() -> None:
    frame = evening_frame(EVENING, too_warm_k=2.0, earlier_h=PAST_H)
    assert nights_in(frame, SITE)[1] == []


def test_thirty_nights_of_analysis_are_learnt_from_and_fewer_are_not() -> None:
    lessons = Lessons(MemoryLessons())
    evenings(lessons, 30, 2.0)
    assert lesson(lessons.store).learnt is None
    assert lessons.in_force() == {}
    lessons = Lessons(MemoryLessons())
    evenings(lessons, 60, 2.0)
    learnt = lesson(lessons.store).learnt
    assert learnt is not None
    assert learnt.source is Source.ANALYSIS
    assert learnt.mean_error_k == pytest.approx(2.0)
    assert lessons.in_force()[SITE.key].law.site_bias_k == pytest.approx(2.0 * 59 / 89, abs=0.05)


def test_an_evening_is_kept_once_however_often_it_is_looked_at() -> None:
    lessons = Lessons(MemoryLessons())
    for minute in (0, 5, 10):
        now = EVENING + timedelta(minutes=minute)
        lessons.note([(SITE, evening_frame(now, too_warm_k=minute))], now)
    assert {one.plain_c for one in lessons.store.guesses(SITE.key)} == {-1.0}


def test_readings_of_its_own_go_before_any_analysis_and_may_warm_the_place() -> None:
    store = MemoryLessons()
    now = evenings(Lessons(store), 60, 2.0)
    intake, learnt = take_readings(store, SITE, thermometer(4.0), name="yard.csv", now=now)
    assert intake.count == 59 * 24
    assert learnt is not None
    assert learnt.source is Source.READINGS
    assert learnt.mean_error_k == pytest.approx(-3.0, abs=0.1)
    assert learnt.law.site_bias_k < -1.5


def test_readings_in_a_hollow_are_held_against_the_forecast_in_the_hollow() -> None:
    """2 K colder than the forecast, as the hollow is taken to be: nothing more to learn."""
    store = MemoryLessons()
    now = evenings(Lessons(store), 60, 2.0)
    hollow = replace(SITE, lie=Lie.HOLLOW)
    _, learnt = take_readings(store, hollow, thermometer(-1.0), name="yard.csv", now=now)
    assert learnt is not None
    assert learnt.mean_error_k == pytest.approx(0.0, abs=0.1)


def test_readings_forgotten_are_not_used_and_come_back() -> None:
    store = MemoryLessons()
    now = evenings(Lessons(store), 60, 2.0)
    intake, before = take_readings(store, SITE, thermometer(-6.0), name="yard.csv", now=now)
    (changed,), without = forget(store, SITE, intake.id, now)
    assert changed.id == intake.id
    assert without is not None
    assert without.source is Source.ANALYSIS
    _, again = forget(store, SITE, None, now, again=True)
    assert again == before
    with pytest.raises(RecordError, match="no readings with number 7"):
        forget(store, SITE, 7, now)


def test_learning_is_switched_off_and_on_and_nothing_is_lost() -> None:
    store = MemoryLessons()
    lessons = Lessons(store)
    now = evenings(lessons, 60, 2.0)
    law = fit(store, SITE, now)
    set_learning(store, SITE, learning=False)
    assert lessons.in_force() == {}
    fit(store, SITE, now)
    assert lessons.in_force() == {}
    set_learning(store, SITE, learning=True)
    assert lessons.in_force() == {SITE.key: law}


def test_readings_of_the_future_or_none_at_all_are_refused_and_nothing_is_lost() -> None:
    store = MemoryLessons()
    take_readings(store, SITE, thermometer(1.0, days=1), name="a.csv", now=EVENING + 9 * DAY)
    for wrong in ([], thermometer(1.0, days=12)):
        with pytest.raises(RecordError, match="nothing was taken in"):
            take_readings(store, SITE, wrong, name="b.csv", now=EVENING + 9 * DAY)
    assert len(store.readings(SITE.key)) == 24


DAY = timedelta(days=1)


@pytest.fixture
def world() -> Iterator[World]:
    world = a_world()
    yield world
    world.ledger.close()


def test_a_pass_collects_its_evening_and_uses_what_was_learnt(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    world.weather.cold(NOW + timedelta(hours=30))
    lessons = Lessons(world.ledger.lessons)
    kit = replace(world.kit, lessons=lessons)
    evening = NOW.replace(hour=18)
    usual = run_pass(kit, evening, everything=True).sites[0]
    assert len(world.ledger.lessons.guesses(site.key)) >= 6
    learner = Lessons(MemoryLessons())
    evenings(learner, 60, 2.0)
    world.ledger.lessons.keep_lesson(
        replace(lesson(learner.store), site=site.key, fitted_at=evening)
    )
    again = run_pass(kit, evening, everything=True).sites[0]
    assert usual.air is not None
    assert again.air is not None
    ahead = slice(again.air.now_index + 2, again.air.now_index + 24)
    colder_k = usual.air.air_c[:, ahead].mean() - again.air.air_c[:, ahead].mean()
    assert colder_k == pytest.approx(again.law.site_bias_k, abs=0.05)
    assert again.law.site_bias_k > 1.2


def test_a_look_that_keeps_nothing_collects_nothing(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    kit = replace(world.kit, lessons=Lessons(world.ledger.lessons))
    run_pass(kit, NOW.replace(hour=18), everything=True, keep=False)
    assert not world.ledger.lessons.guesses(site.key)
