"""Which frame is leaned on, and where its past comes from."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from frostwatch.weather.choice import RecentAir, best_of, with_past
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.members import best_guess
from tests.weather.frames import HOURS, PAST_H, a_frame


def named(name: str, frame: Forecast) -> Forecast:
    return replace(frame, provider=name)


def chosen(now: datetime, *frames: Forecast) -> str:
    best = best_of(frames, now)
    assert best is not None
    return best.provider


def short(now: datetime, ahead_h: int) -> Forecast:
    frame = a_frame(now)
    return replace(frame, columns={"air_c": frame.columns["air_c"][: PAST_H + 1 + ahead_h]})


def test_no_frames_are_no_forecast(now: datetime) -> None:
    assert best_of([], now) is None


@pytest.mark.parametrize(
    ("first_age_h", "second_age_h", "winner"),
    [
        (0, 0, "first"),
        (5, 0, "first"),
        (7, 0, "second"),
        (7, 8, "first"),
        (13, 11, "second"),
        (20, 13, "first"),
        (31, 29, "second"),
        (40, 35, "first"),
    ],
)
def test_usable_before_older_before_none_and_fresher_once_it_ages(
    now: datetime, first_age_h: float, second_age_h: float, winner: str
) -> None:
    first = named("first", a_frame(now, age_h=first_age_h))
    second = named("second", a_frame(now, age_h=second_age_h))
    assert chosen(now, first, second) == winner


def test_a_frame_that_reaches_two_days_goes_before_a_shorter_one(now: datetime) -> None:
    assert chosen(now, named("first", short(now, 40)), named("second", a_frame(now))) == "second"
    assert chosen(now, named("first", short(now, 40)), named("second", short(now, 30))) == "first"


def without_past(now: datetime) -> Forecast:
    """A frame from the present hour on, 5 degC throughout, as a provider without a past sends."""
    return replace(
        a_frame(now),
        start=now.replace(minute=0),
        columns={"air_c": np.full(160, 5.0), "wind_m_per_s": np.full(160, 2.0)},
        provider="second",
    )


def test_hours_behind_the_first_one_come_from_an_earlier_frame(now: datetime) -> None:
    earlier = a_frame(now, air_c=-3.0, cloud_fraction=0.5)
    joined = with_past(without_past(now), earlier, now)
    assert joined.provider == "second"
    assert joined.start == now.replace(minute=0) - timedelta(hours=PAST_H)
    assert joined.columns["air_c"][:PAST_H] == pytest.approx(-3.0)
    assert joined.columns["air_c"][PAST_H:] == pytest.approx(5.0)
    assert np.isnan(joined.columns["wind_m_per_s"][:PAST_H]).all()
    assert np.isnan(joined.columns["cloud_fraction"][PAST_H:]).all()
    assert joined.valid_to == without_past(now).valid_to
    assert "earlier reply" in joined.warnings[-1]


def test_not_one_hour_ahead_is_mixed(now: datetime) -> None:
    joined = with_past(without_past(now), a_frame(now, air_c=-3.0), now)
    ahead = joined.columns["air_c"][joined.index_at(now) :]
    assert set(ahead) == {5.0}


def test_an_earlier_frame_that_leaves_a_gap_is_not_joined(now: datetime) -> None:
    long_ago = replace(a_frame(now), start=now.replace(minute=0) - timedelta(hours=HOURS + 5))
    assert with_past(without_past(now), long_ago, now).start == now.replace(minute=0)
    assert with_past(without_past(now), None, now).start == now.replace(minute=0)


def test_a_frame_with_a_past_of_its_own_keeps_it(now: datetime) -> None:
    whole = a_frame(now)
    assert with_past(whole, a_frame(now, air_c=-3.0), now) is whole


def recent(memory: RecentAir, frame: Forecast) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    known = memory.noted("here", frame).recent_c
    assert known is not None
    return known


def test_the_recent_air_grows_with_every_frame_up_to_twenty_days(now: datetime) -> None:
    memory = RecentAir()
    lengths = []
    for day in range(0, 30, 3):
        at = now + timedelta(days=day)
        lengths.append(len(recent(memory, a_frame(at, air_c=float(day)))))
    assert lengths[:3] == [120, 192, 264]
    assert lengths[-1] == 480


def test_where_frames_overlap_the_newer_one_holds(now: datetime) -> None:
    memory = RecentAir()
    recent(memory, a_frame(now, air_c=1.0))
    known = recent(memory, a_frame(now + timedelta(hours=30), air_c=2.0))
    assert known[:30] == pytest.approx(1.0)
    assert known[30:] == pytest.approx(2.0)
    assert len(known) == 150


def test_hours_after_the_issue_never_count_as_what_was(now: datetime) -> None:
    frame = a_frame(now, air_c=1.0, age_h=10.0)
    assert len(recent(RecentAir(), frame)) == 110


def test_a_frame_without_a_past_keeps_what_is_known(now: datetime) -> None:
    memory = RecentAir()
    recent(memory, a_frame(now, air_c=1.0))
    known = recent(memory, replace(without_past(now), fetched_at=now))
    assert known == pytest.approx(1.0)
    assert memory.noted("elsewhere", replace(without_past(now), fetched_at=now)).recent_c is None


def test_a_long_silence_leaves_a_hole_and_a_longer_one_forgets(now: datetime) -> None:
    memory = RecentAir()
    recent(memory, a_frame(now, air_c=1.0))
    known = recent(memory, a_frame(now + timedelta(days=10), air_c=2.0))
    assert np.isnan(known).sum() == 120
    known = recent(memory, a_frame(now + timedelta(days=60), air_c=3.0))
    assert known == pytest.approx(3.0)
    assert len(known) == 120


def test_an_older_frame_after_a_newer_one_does_no_harm(now: datetime) -> None:
    memory = RecentAir()
    recent(memory, a_frame(now, air_c=1.0))
    known = recent(memory, a_frame(now - timedelta(hours=6), air_c=2.0))
    assert known == pytest.approx(2.0)


def test_what_a_place_was_lately_pulls_later_days(now: datetime) -> None:
    """Twenty days at 10 degC pull a forecast of zero more than five do."""
    memory = RecentAir()
    for day in range(15, -1, -5):
        at = now - timedelta(days=day)
        turn = np.full(HOURS, 10.0)
        turn[PAST_H + 1 :] = 0.0
        frame = memory.noted("here", a_frame(at, air_c=turn, wind_m_per_s=8.0))
    alone = best_guess(replace(frame, recent_c=None))[PAST_H + 150]
    assert best_guess(frame)[PAST_H + 150] > alone + 0.5
