"""Which frame is leaned on, and where its past comes from."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from frostwatch.weather.choice import RecentAir, best_of, with_past, with_second_opinion
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.members import best_guess, sigma_total_k
from tests.weather.frames import HOURS, PAST_H, a_frame, daily_air_c


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


def opinion(now: datetime, second: Forecast) -> Forecast:
    return with_second_opinion(named("first", a_frame(now)), [named("second", second)], now)


def colder(now: datetime, by_k: float, *, age_h: float = 0.0, height_m: float = 100.0) -> Forecast:
    return a_frame(now, age_h=age_h, air_c=daily_air_c() - by_k, height_m=height_m)


@pytest.mark.parametrize(("by_k", "used"), [(2.9, "first"), (3.2, "second"), (-3.2, "first")])
def test_where_two_fresh_forecasts_disagree_the_colder_one_is_used(
    now: datetime, by_k: float, used: str
) -> None:
    assert opinion(now, colder(now, by_k)).provider == used


@pytest.mark.parametrize("by_k", [3.2, -3.2])
def test_what_two_forecasts_disagree_about_is_held_less_certain(now: datetime, by_k: float) -> None:
    doubted = opinion(now, colder(now, by_k))
    assert doubted.columns["air_spread_k"][PAST_H + 12] == pytest.approx(1.6)
    plain = sigma_total_k(named("first", a_frame(now)))[1][PAST_H + 12]
    assert sigma_total_k(doubted)[1][PAST_H + 12] > plain + 0.2
    assert "differ by 3.2 K" in doubted.warnings[-1]


def test_days_on_which_two_forecasts_agree_keep_their_certainty(now: datetime) -> None:
    air_c = daily_air_c()
    air_c[PAST_H + 24 : PAST_H + 48] -= 8.0
    doubted = opinion(now, a_frame(now, air_c=air_c))
    assert doubted.provider == "second"
    spread_k = doubted.columns["air_spread_k"]
    assert np.isnan(spread_k[PAST_H : PAST_H + 24]).all()
    assert spread_k[PAST_H + 24 : PAST_H + 48] == pytest.approx(4.0)


def test_an_ageing_opinion_does_not_count(now: datetime) -> None:
    assert opinion(now, colder(now, 9.0, age_h=7.0)).provider == "first"


def test_a_forecast_that_does_not_reach_back_to_now_is_no_second_opinion(now: datetime) -> None:
    late = replace(
        colder(now, 4.0),
        start=now.replace(minute=0) + timedelta(hours=1),
        columns={"air_c": daily_air_c()[PAST_H + 1 :] - 4.0},
    )
    assert opinion(now, late).provider == "first"


def test_opinions_are_compared_at_one_height(now: datetime) -> None:
    """4 K colder at a station 600 m higher up is the same air."""
    assert opinion(now, colder(now, 4.0, height_m=700.0)).provider == "first"


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
