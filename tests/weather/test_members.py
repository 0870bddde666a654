"""One forecast becomes equally likely airs with the intended error."""

from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.errors import NoForecastError
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw, best_guess, make_members
from frostwatch.weather.mending import Column
from frostwatch.weather.noise import normal_quantiles
from tests.weather.frames import HOURS, PAST_H, a_frame, daily_air_c

NO_SITE = ErrorLaw(site_k=0.0)
TABLE_K = (1.5, 1.7, 1.9, 2.2, 2.5, 2.8, 3.1)


def windy(now: datetime, air_spread_k: Column | float | None = None) -> Forecast:
    """A forecast to which neither the cold-night bias nor a pull applies in a test of noise."""
    if air_spread_k is None:
        return a_frame(now, air_c=10.0, wind_m_per_s=8.0)
    return a_frame(now, air_c=10.0, wind_m_per_s=8.0, air_spread_k=air_spread_k)


def errors(
    forecast: Forecast, now: datetime, *, site: str = "cold-rigg", law: ErrorLaw = DEFAULT_LAW
) -> Column:
    return make_members(forecast, site_key=site, now=now, law=law) - best_guess(forecast, law=law)


def test_the_table_holds_in_the_middle_of_each_day_after_the_issue() -> None:
    middles = 24.0 * np.arange(1, 8) - 12.0
    assert DEFAULT_LAW.sigma_k(middles) == pytest.approx(TABLE_K)


def test_error_grows_from_the_issue_on_and_never_shrinks() -> None:
    sigma = DEFAULT_LAW.sigma_k(np.arange(0.0, 200.0, 0.25))
    assert sigma[0] == pytest.approx(DEFAULT_LAW.analysis_k)
    assert np.all(np.diff(sigma) > 0.0)
    assert np.abs(np.diff(sigma)).max() < 0.1
    assert DEFAULT_LAW.sigma_k(np.array([180.0])) == pytest.approx(3.4)


def test_same_day_values_lie_within_two_kelvin_as_often_as_published() -> None:
    """UK Met Office accuracy page: 95.1 % of same-day three-hourly temperatures within 2 degC,
    86.5 % of first night minima. Ours must not claim more than that."""
    first_hours = float(DEFAULT_LAW.sigma_k(np.array([3.0]))[0])
    first_night = float(DEFAULT_LAW.sigma_k(np.array([12.0]))[0])
    within_2_k = [
        float((np.abs(sigma * normal_quantiles(4000)) <= 2.0).mean())
        for sigma in (first_hours, first_night)
    ]
    assert 0.85 < within_2_k[0] < 0.951
    assert 0.78 < within_2_k[1] < 0.865


def test_at_every_hour_mean_and_spread_are_exact(now: datetime) -> None:
    at_hours = errors(windy(now), now)
    lead_h = np.arange(HOURS) - PAST_H - 5 / 60
    expected = np.sqrt(DEFAULT_LAW.sigma_k(lead_h) ** 2 + 0.8**2)
    assert at_hours.mean(axis=0) == pytest.approx(0.0, abs=1e-9)
    assert at_hours.std(axis=0) == pytest.approx(expected)


def test_at_every_hour_the_members_are_stratified(now: datetime) -> None:
    at_hours = errors(windy(now), now)
    in_order = np.sort(at_hours / at_hours.std(axis=0), axis=0)
    assert in_order == pytest.approx(np.tile(normal_quantiles(40)[:, None], HOURS))


def test_the_night_minimum_has_the_spread_of_the_table(now: datetime) -> None:
    """Large sample: 150 sites, minimum of noon to noon, site term left out; coldest at 05:00,
    which is 23 hours after the issue and so on."""
    forecast = a_frame(now, air_c=daily_air_c(12.0, 5.0), wind_m_per_s=8.0)
    guess = best_guess(forecast, law=NO_SITE)
    spread, shift = np.zeros(6), np.zeros(6)
    for number in range(150):
        air = make_members(forecast, site_key=f"site-{number}", now=now, law=NO_SITE)
        for day in range(6):
            hours = slice(PAST_H + 6 + 24 * day, PAST_H + 30 + 24 * day)
            lowest = air[:, hours].min(axis=1)
            spread[day] += lowest.var() / 150
            shift[day] += (lowest.mean() - guess[hours].min()) / 150
    expected = DEFAULT_LAW.sigma_k(23.0 + 24.0 * np.arange(6))
    assert np.sqrt(spread) == pytest.approx(expected, rel=0.01)
    assert np.all(shift < 0.0), "roughness may only make a minimum colder"
    assert np.all(shift > -0.06 * expected)


def pooled(now: datetime, sites: int, law: ErrorLaw = NO_SITE) -> Column:
    """Unit errors of many sites from a day after the issue on, shape (sites * 40, hours)."""
    found = [errors(windy(now), now, site=f"site-{n}", law=law) for n in range(sites)]
    ahead = np.concatenate(found)[:, PAST_H + 24 :]
    unit: Column = ahead / ahead.std(axis=0)
    return unit


def test_errors_along_one_issue_lose_a_factor_e_in_thirty_hours(now: datetime) -> None:
    unit = pooled(now, 60)
    seen = {lag: float((unit[:, :-lag] * unit[:, lag:]).mean()) for lag in (24, 30, 60)}
    assert seen[30] == pytest.approx(np.exp(-1.0), abs=0.04)
    assert seen[60] == pytest.approx(0.07, abs=0.04)
    assert seen[24] == pytest.approx(0.49, abs=0.04)


def test_errors_run_smoothly_through_one_night(now: datetime) -> None:
    unit = pooled(now, 60)
    seen = {lag: float((unit[:, :-lag] * unit[:, lag:]).mean()) for lag in (3, 6, 12)}
    assert seen[3] > 0.96
    assert seen[6] == pytest.approx(0.93, abs=0.02)
    assert seen[12] == pytest.approx(0.79, abs=0.03)


def test_consecutive_issues_share_nine_tenths_of_their_error_and_distant_ones_too(
    now: datetime,
) -> None:
    first = windy(now)
    for later_h in (3, 24):
        later = windy(now + timedelta(hours=later_h))
        shared = []
        for number in range(60):
            one = errors(first, now, site=f"s{number}", law=NO_SITE)
            two = errors(later, now + timedelta(hours=later_h), site=f"s{number}", law=NO_SITE)
            same = (one[:, PAST_H + 30 : -1], two[:, PAST_H + 30 - later_h : -1 - later_h])
            shared.append(float(np.mean(same[0] / same[0].std(0) * same[1] / same[1].std(0))))
        assert np.mean(shared) == pytest.approx(0.9, abs=0.04)


def test_a_probability_hardly_flickers_between_two_issues_that_say_the_same(
    now: datetime,
) -> None:
    """Night mean below 9 degC in a forecast of 10: a count of 40 moves by a member or two, the
    smaller error of the later issue included."""
    moves = []
    for number in range(80):
        later = now + timedelta(hours=3)
        one = make_members(windy(now), site_key=f"s{number}", now=now)
        two = make_members(windy(later), site_key=f"s{number}", now=later)
        cold = [
            int((air[:, begin : begin + 10].mean(axis=1) < 9.0).sum())
            for air, begin in ((one, PAST_H + 12), (two, PAST_H + 9))
        ]
        moves.append(abs(cold[0] - cold[1]))
    assert np.mean(moves) < 1.5
    assert max(moves) <= 3


def test_two_sites_share_nothing(now: datetime) -> None:
    unit = pooled(now, 60)
    cube = unit.reshape(60, 40, -1)
    together = float((cube[:-1] * cube[1:]).mean())
    assert abs(together) < 0.03


def test_the_same_site_and_issue_repeat_exactly(now: datetime) -> None:
    one = make_members(windy(now), site_key="cold-rigg", now=now)
    assert np.array_equal(one, make_members(windy(now), site_key="cold-rigg", now=now))
    other = make_members(windy(now), site_key="warm-rigg", now=now)
    assert not np.array_equal(one, other)


def test_the_members_are_the_same_on_every_computer() -> None:
    """Computed once with this code: a change here means that every past night replays anew."""
    now = datetime.fromisoformat("2026-12-01T06:05:00+00:00")
    members = make_members(windy(now), site_key="cold-rigg", now=now)
    assert members[:4, 100] == pytest.approx(MEMBERS_BEFORE, abs=1e-6)
    assert members[:4, 150] == pytest.approx(MEMBERS_AFTER, abs=1e-6)


MEMBERS_BEFORE = [10.025471, 10.127861, 9.602727, 10.887259]
MEMBERS_AFTER = [7.474012, 10.292975, 11.485776, 10.532349]


def test_hours_before_the_issue_carry_the_site_term_alone(now: datetime) -> None:
    past = errors(windy(now), now)[:, : PAST_H + 1]
    assert np.ptp(past, axis=1) == pytest.approx(0.0, abs=1e-12)
    assert past[:, 0].std() == pytest.approx(0.8)


def test_hours_between_issue_and_now_are_still_a_forecast(now: datetime) -> None:
    old = a_frame(now, age_h=9.0, air_c=np.full(HOURS, 10.0), wind_m_per_s=8.0)
    spread = errors(old, now).std(axis=0)
    assert spread[PAST_H - 9] == pytest.approx(0.8)
    assert spread[PAST_H] > 1.5
    assert spread[PAST_H + 12] > errors(windy(now), now).std(axis=0)[PAST_H + 12]


def test_the_site_term_stays_with_the_site_from_issue_to_issue(now: datetime) -> None:
    later = now + timedelta(hours=30)
    one, two = errors(windy(now), now), errors(windy(later), later)
    assert np.array_equal(one[:, 0], two[:, 0])


def test_a_narrow_ensemble_never_narrows_the_error(now: datetime) -> None:
    plain = errors(windy(now), now).std(axis=0)
    narrow = errors(windy(now, air_spread_k=0.3), now).std(axis=0)
    assert narrow == pytest.approx(plain)


def test_a_wide_ensemble_widens_the_error(now: datetime) -> None:
    wide = errors(windy(now, air_spread_k=4.0), now).std(axis=0)
    assert wide[PAST_H + 1 :] == pytest.approx(np.sqrt(4.0**2 + 1.2**2 + 0.8**2), abs=0.1)
    assert wide[PAST_H] == pytest.approx(0.8)


def test_hours_without_a_spread_keep_the_table(now: datetime) -> None:
    spread = np.full(HOURS, 4.0)
    spread[PAST_H + 48 :] = np.nan
    widened = errors(windy(now, air_spread_k=spread), now).std(axis=0)
    plain = errors(windy(now), now).std(axis=0)
    assert widened[PAST_H + 48 :] == pytest.approx(plain[PAST_H + 48 :])


def off_k(
    now: datetime,
    air_c: float,
    *,
    wind: float = 1.0,
    cloud: float = float("nan"),
    sun: float = 0.0,
) -> float:
    """What is taken off the first coming night, 12 h ahead."""
    forecast = a_frame(now, air_c=air_c, wind_m_per_s=wind, cloud_fraction=cloud, sun_w_per_m2=sun)
    taken = forecast.columns["air_c"] - best_guess(forecast)
    return float(taken[PAST_H + 12])


def test_three_quarters_of_the_warm_bias_come_off_a_calm_clear_frost_night(
    now: datetime,
) -> None:
    assert off_k(now, -2.0, cloud=0.1) == pytest.approx(0.75 * 1.4)
    assert off_k(now, 1.0, cloud=0.1) == pytest.approx(0.75 * 1.4)
    assert off_k(now, 6.0, cloud=0.1) == pytest.approx(0.0)
    assert off_k(now, -2.0, cloud=0.1, wind=6.0) == pytest.approx(0.0)
    assert off_k(now, -2.0, cloud=0.9) == pytest.approx(0.0)
    assert off_k(now, -2.0, cloud=0.1, sun=90.0) == pytest.approx(0.0)


def test_an_unknown_sky_takes_half_of_the_bias_off(now: datetime) -> None:
    assert off_k(now, -2.0) == pytest.approx(0.525)


def test_the_past_is_never_corrected_for_the_bias(now: datetime) -> None:
    forecast = a_frame(now, air_c=-2.0, wind_m_per_s=1.0, cloud_fraction=0.0, sun_w_per_m2=0.0)
    assert best_guess(forecast)[: PAST_H + 1] == pytest.approx(-2.0)


def a_cold_turn(now: datetime) -> Forecast:
    """Ten degrees for five days, then forecast at zero: wind, so that no bias applies."""
    air_c = np.full(HOURS, 10.0)
    air_c[PAST_H + 1 :] = 0.0
    return a_frame(now, air_c=air_c, wind_m_per_s=8.0)


def test_the_first_day_is_not_pulled_and_later_days_by_what_the_error_is_worth(
    now: datetime,
) -> None:
    guess = best_guess(a_cold_turn(now))
    assert guess[PAST_H + 1 : PAST_H + 24] == pytest.approx(0.0)
    days = guess[PAST_H + 36 : PAST_H + 168 : 24]
    assert np.all(np.diff(days) > 0.0)
    assert 0.3 < days[0] < 2.5
    assert 1.0 < days[-1] < 5.0


def test_twenty_known_days_pull_as_the_formula_says(now: datetime) -> None:
    """480 hours around 10 degC whose daily departures have a variance of 9 K2."""
    days = np.tile([3.0, -3.0], 10)
    recent_c = 10.0 + np.repeat(days, 24)
    guess = best_guess(a_cold_turn(now), recent_c=recent_c)
    seen = 9.0 * 20 / 19
    variance = (10 / 30 * 4.5**2 + 20 / 30 * seen) * (1 + 5 / 20)
    lead_h = 156 - 5 / 60
    sigma = float(DEFAULT_LAW.sigma_k(np.array([lead_h]))[0])
    assert guess[PAST_H + 156] == pytest.approx(10.0 * sigma**2 / (variance + sigma**2))


def test_the_pull_keeps_the_time_of_day(now: datetime) -> None:
    """A forecast that repeats its own past is pulled nowhere."""
    forecast = a_frame(now, air_c=daily_air_c(8.0, 5.0), wind_m_per_s=8.0)
    assert best_guess(forecast) == pytest.approx(forecast.columns["air_c"])


def test_without_three_known_days_nothing_is_pulled(now: datetime) -> None:
    turn = a_cold_turn(now)
    guess = best_guess(turn, recent_c=np.full(60, 10.0))
    assert guess == pytest.approx(turn.columns["air_c"])


def test_holes_in_the_known_days_do_no_harm(now: datetime) -> None:
    recent_c = np.full(480, 10.0)
    recent_c[::7] = np.nan
    guess = best_guess(a_cold_turn(now), recent_c=recent_c)
    assert not np.isnan(guess).any()
    assert guess[PAST_H + 100] > 0.0


def test_a_forecast_that_has_run_out_makes_no_members(now: datetime) -> None:
    with pytest.raises(NoForecastError):
        make_members(windy(now), site_key="a", now=now + timedelta(hours=200))


@given(
    count=st.integers(1, 64),
    age_h=st.integers(0, 60),
    past_h=st.integers(0, 200),
    ahead_h=st.integers(0, 300),
)
def test_members_are_whole_for_any_count_age_and_window(
    count: int, age_h: int, past_h: int, ahead_h: int
) -> None:
    now = datetime.fromisoformat("2026-12-01T06:05:00+00:00")
    members = make_members(
        a_frame(now, age_h=age_h, wind_m_per_s=2.0),
        site_key="any",
        now=now,
        count=count,
        past_h=past_h,
        ahead_h=ahead_h,
    )
    assert members.shape == (count, min(past_h, PAST_H) + min(ahead_h, 168) + 1)
    assert np.isfinite(members).all()
