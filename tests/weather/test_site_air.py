"""The air at the vehicle: height, hollow, town, night sky, coarse tails."""

from datetime import datetime, timedelta

import numpy as np
import pytest

from frostwatch.errors import NoForecastError
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.site_air import (
    SiteAir,
    air_at_site,
    bent_to_minima,
    height_correction_k,
)
from tests.weather.frames import HOURS, PAST_H, a_frame, daily_air_c


def at_site(
    forecast: Forecast,
    now: datetime,
    *,
    height_m: float | None = 100.0,
    lie_offset_k: float = 0.0,
    shelter_factor: float = 1.0,
    colder_k: float = 0.0,
) -> SiteAir:
    return air_at_site(
        forecast,
        site_key="cold-rigg",
        now=now,
        height_m=height_m,
        lie_offset_k=lie_offset_k,
        shelter_factor=shelter_factor,
        colder_k=colder_k,
    )


def test_the_series_run_from_the_first_past_hour_to_the_end_of_what_is_known(
    now: datetime,
) -> None:
    air = at_site(a_frame(now, wind_m_per_s=3.0), now)
    assert air.air_c.shape == (40, HOURS)
    assert air.wind_m_per_s.shape == air.roof_k.shape == (HOURS,)
    assert air.now_index == PAST_H
    assert air.start == now.replace(minute=0) - timedelta(hours=PAST_H)


def test_the_future_ends_where_the_forecast_ends(now: datetime) -> None:
    later = now + timedelta(hours=100)
    air = at_site(a_frame(now, wind_m_per_s=3.0), later)
    assert air.air_c.shape[1] == 120 + 68 + 1
    assert air.now_index == 120


def test_a_forecast_that_does_not_reach_now_is_no_forecast(now: datetime) -> None:
    with pytest.raises(NoForecastError, match="does not reach"):
        at_site(a_frame(now), now + timedelta(hours=169))


def test_a_higher_site_is_colder_by_six_and_a_half_kelvin_a_kilometre(now: datetime) -> None:
    low = at_site(a_frame(now, wind_m_per_s=6.0), now, height_m=100.0)
    high = at_site(a_frame(now, wind_m_per_s=6.0), now, height_m=300.0)
    assert low.air_c - high.air_c == pytest.approx(np.full_like(low.air_c, 1.3))


def test_a_lower_site_is_not_warmed_on_a_calm_clear_night(now: datetime) -> None:
    still = a_frame(now, wind_m_per_s=1.0, cloud_fraction=0.0, sun_w_per_m2=0.0)
    assert height_correction_k(still, 0.0) == pytest.approx(0.0)
    windy = a_frame(now, wind_m_per_s=6.0, cloud_fraction=0.0, sun_w_per_m2=0.0)
    assert height_correction_k(windy, 0.0) == pytest.approx(0.65)
    cloudy = a_frame(now, wind_m_per_s=1.0, cloud_fraction=1.0, sun_w_per_m2=0.0)
    assert height_correction_k(cloudy, 0.0) == pytest.approx(0.65)
    day = a_frame(now, wind_m_per_s=1.0, cloud_fraction=0.0, sun_w_per_m2=300.0)
    assert height_correction_k(day, 0.0) == pytest.approx(0.65)


def test_unknown_wind_or_cloud_counts_as_calm_and_clear_for_the_guard(now: datetime) -> None:
    assert height_correction_k(a_frame(now, sun_w_per_m2=0.0), 0.0) == pytest.approx(0.0)


def test_what_the_provider_warmed_a_valley_by_is_taken_back_on_a_still_night(
    now: datetime,
) -> None:
    valley = a_frame(
        now, height_m=100.0, grid_height_m=300.0,
        wind_m_per_s=1.0, cloud_fraction=0.0, sun_w_per_m2=0.0,
    )  # fmt: skip
    assert height_correction_k(valley, 100.0) == pytest.approx(-1.3)
    assert height_correction_k(valley, 400.0) == pytest.approx(-1.95)


def test_cooling_with_height_holds_on_still_nights_too(now: datetime) -> None:
    still = a_frame(now, wind_m_per_s=1.0, cloud_fraction=0.0, sun_w_per_m2=0.0)
    assert height_correction_k(still, 200.0) == pytest.approx(-0.65)


def test_without_a_height_the_air_stays_as_it_is_and_it_is_said(now: datetime) -> None:
    air = at_site(a_frame(now, wind_m_per_s=3.0), now, height_m=None)
    assert any("Height" in note for note in air.notes)


def test_a_hollow_is_colder_for_every_member(now: datetime) -> None:
    forecast = a_frame(now, wind_m_per_s=3.0)
    open_ground, hollow = at_site(forecast, now), at_site(forecast, now, lie_offset_k=-2.0)
    assert hollow.air_c - open_ground.air_c == pytest.approx(np.full((40, HOURS), -2.0))


def test_a_warm_town_never_warms_the_coldest_quarter_of_the_members(now: datetime) -> None:
    forecast = a_frame(now, wind_m_per_s=3.0)
    open_ground, town = at_site(forecast, now), at_site(forecast, now, lie_offset_k=0.5)
    warmer = np.sort(town.air_c - open_ground.air_c, axis=0)
    assert warmer[:10] == pytest.approx(0.0)
    assert warmer[20:] == pytest.approx(0.5)
    cold, cold_town = np.sort(open_ground.air_c, axis=0), np.sort(town.air_c, axis=0)
    assert cold_town[:10] == pytest.approx(cold[:10])


def test_an_older_forecast_is_colder_ahead_and_unchanged_behind(now: datetime) -> None:
    forecast = a_frame(now, wind_m_per_s=3.0)
    colder = at_site(forecast, now, colder_k=2.0).air_c - at_site(forecast, now).air_c
    assert colder[:, : PAST_H + 1] == pytest.approx(0.0)
    assert colder[:, PAST_H + 1 :] == pytest.approx(-2.0)


def test_shelter_takes_its_share_of_the_wind(now: datetime) -> None:
    air = at_site(a_frame(now, wind_m_per_s=4.0), now, shelter_factor=0.3)
    assert air.wind_m_per_s == pytest.approx(1.2)


def test_unknown_wind_is_taken_on_the_windy_side_and_said(now: datetime) -> None:
    air = at_site(a_frame(now), now)
    assert air.wind_m_per_s == pytest.approx(5.0)
    assert any("Wind" in note for note in air.notes)


def with_a_coarse_tail(now: datetime, minimum_c: float) -> Forecast:
    """Hourly to 48 h ahead, then six-hourly instants joined by straight lines."""
    air_c = daily_air_c()
    step_h = np.ones(HOURS)
    tail = PAST_H + 48
    knots = np.arange(tail, HOURS, 6)
    hours = np.arange(tail, HOURS)
    air_c[tail:] = np.interp(hours, knots, air_c[knots])
    step_h[tail + 1 :] = 6.0
    air_min_c = np.full(HOURS, np.nan)
    for begin in knots[:-1]:
        line_end = min(begin + 6, HOURS - 1)
        air_min_c[begin + 1 : line_end + 1] = (
            min(air_c[begin], air_c[line_end]) + minimum_c if not np.isnan(minimum_c) else np.nan
        )
    return a_frame(now, air_c=air_c, step_h=step_h, air_min_c=air_min_c, wind_m_per_s=3.0)


def test_a_six_hourly_tail_meets_the_minima_of_its_steps(now: datetime) -> None:
    forecast = with_a_coarse_tail(now, -1.7)
    path = forecast.columns["air_c"]
    bent = bent_to_minima(path, forecast)
    tail = PAST_H + 48
    for begin in range(tail, HOURS - 6, 6):
        lowest = bent[begin : begin + 7].min()
        assert lowest == pytest.approx(min(path[begin], path[begin + 6]) - 1.7)
        assert bent[begin] == path[begin]
    assert np.array_equal(bent[:tail], path[:tail])


def test_a_minimum_that_the_line_already_meets_bends_nothing(now: datetime) -> None:
    forecast = with_a_coarse_tail(now, 0.0)
    path = forecast.columns["air_c"]
    assert np.array_equal(bent_to_minima(path, forecast), path)


def test_a_coarse_tail_without_minima_sinks_by_what_such_lines_miss(now: datetime) -> None:
    forecast = with_a_coarse_tail(now, float("nan"))
    path = forecast.columns["air_c"]
    sunk = path - bent_to_minima(path, forecast)
    assert sunk.max() == pytest.approx(1.3)
    assert np.all(sunk >= 0.0)


def test_a_coarse_tail_is_flagged(now: datetime) -> None:
    air = at_site(with_a_coarse_tail(now, -1.0), now)
    assert air.coarse_from == PAST_H + 49
    assert any("more than an hour apart" in note for note in air.notes)
    assert at_site(a_frame(now, wind_m_per_s=3.0), now).coarse_from is None
