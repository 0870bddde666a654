"""Rows of a provider -> one hourly frame, or a refusal that says why."""

from collections.abc import Iterable
from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.errors import ForecastError
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.mending import Column, Origin, assemble

PAST_H = 120
HOURS = 288


def rows(now: datetime, hours: int = HOURS) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    first = now.replace(minute=0) - timedelta(hours=PAST_H)
    return int(first.timestamp()) + 3600 * np.arange(hours, dtype=np.int64)


def air(holes: Iterable[int] = (), hours: int = HOURS) -> Column:
    values = 3.0 + 4.0 * np.sin(np.arange(hours) * np.pi / 12)
    values[list(holes)] = np.nan
    return values


def frame(now: datetime, **columns: Column) -> Forecast:
    return assemble(rows(now), columns, Origin(provider="made", fetched_at=now))


def test_whole_rows_come_back_unchanged(now: datetime) -> None:
    forecast = frame(now, air_c=air())
    assert np.array_equal(forecast.columns["air_c"], air())
    assert forecast.index_at(now) == PAST_H
    assert forecast.warnings == ()


def test_times_that_go_back_are_refused(now: datetime) -> None:
    times = rows(now)
    times[[5, 6]] = times[[6, 5]]
    with pytest.raises(ForecastError, match="go back or repeat at row 6"):
        assemble(times, {"air_c": air()}, Origin(provider="made", fetched_at=now))


def test_duplicated_hours_at_the_clock_change_are_refused(now: datetime) -> None:
    times = rows(now)
    times[50:] -= 3600
    with pytest.raises(ForecastError, match="repeat at row 50"):
        assemble(times, {"air_c": air()}, Origin(provider="made", fetched_at=now))


def test_times_off_the_whole_hour_are_refused(now: datetime) -> None:
    with pytest.raises(ForecastError, match="whole hours"):
        assemble(rows(now) + 1800, {"air_c": air()}, Origin(provider="made", fetched_at=now))


def test_columns_of_unequal_length_are_refused(now: datetime) -> None:
    with pytest.raises(ForecastError, match="287 values of wind_m_per_s for 288 times"):
        frame(now, air_c=air(), wind_m_per_s=np.ones(HOURS - 1))


def test_a_reply_without_hours_is_refused(now: datetime) -> None:
    with pytest.raises(ForecastError, match="no hours"):
        assemble(
            np.array([], dtype=np.int64),
            {"air_c": np.array([])},
            Origin(provider="made", fetched_at=now),
        )


def test_air_in_the_wrong_unit_is_refused_as_a_whole(now: datetime) -> None:
    with pytest.raises(ForecastError, match="unit or its numbers are wrong"):
        frame(now, air_c=air() + 273.15)


def test_an_infinite_air_temperature_is_refused(now: datetime) -> None:
    values = air()
    values[130] = np.inf
    with pytest.raises(ForecastError, match="outside"):
        frame(now, air_c=values)


def test_an_impossible_wind_is_left_out_and_said(now: datetime) -> None:
    wind = np.full(HOURS, 3.0)
    wind[130] = 1048.36 * 0.44704
    forecast = frame(now, air_c=air(), wind_m_per_s=wind)
    assert forecast.columns["wind_m_per_s"][130] == 3.0
    assert "wind_m_per_s: 1 impossible" in forecast.warnings[0]


def test_nulls_at_the_tail_are_cut_and_valid_to_says_so(now: datetime) -> None:
    forecast = frame(now, air_c=air(range(PAST_H + 90, HOURS)), dew_c=air())
    assert forecast.valid_to == now.replace(minute=0) + timedelta(hours=89)
    assert len(forecast.columns["dew_c"]) == forecast.hours
    assert "ends at" in forecast.warnings[0]


def test_a_model_that_ends_before_the_next_night_is_refused(now: datetime) -> None:
    with pytest.raises(ForecastError, match="reaches only 9 h ahead"):
        frame(now, air_c=air(range(PAST_H + 10, HOURS)))


def test_nulls_at_the_head_are_cut(now: datetime) -> None:
    forecast = frame(now, air_c=air(range(24)))
    assert forecast.index_at(now) == PAST_H - 24


def test_a_gap_of_two_hours_is_bridged_for_air_and_wind_and_said(now: datetime) -> None:
    wind = np.full(HOURS, 3.0)
    wind[140:142] = np.nan
    wind[142] = 6.0
    forecast = frame(now, air_c=air([130, 131]), wind_m_per_s=wind)
    assert not np.isnan(forecast.columns["air_c"]).any()
    assert forecast.columns["wind_m_per_s"][140:142] == pytest.approx([4.0, 5.0])
    assert "air_c 2 h" in forecast.warnings[0]
    assert "wind_m_per_s 2 h" in forecast.warnings[0]


def test_a_gap_in_rain_cloud_or_sun_stays_missing_and_never_reads_zero(now: datetime) -> None:
    holed = np.ones(HOURS)
    holed[130] = np.nan
    forecast = frame(
        now,
        air_c=air(),
        precipitation_mm=holed,
        cloud_fraction=holed.copy(),
        sun_w_per_m2=holed.copy(),
        gust_m_per_s=holed.copy(),
    )
    for name in ("precipitation_mm", "cloud_fraction", "sun_w_per_m2", "gust_m_per_s"):
        assert np.isnan(forecast.columns[name][130])


def test_rows_that_were_left_out_count_as_missing(now: datetime) -> None:
    kept = np.delete(np.arange(HOURS), [150, 151])
    forecast = assemble(
        rows(now)[kept], {"air_c": air()[kept]}, Origin(provider="made", fetched_at=now)
    )
    assert forecast.hours == HOURS
    assert "bridged" in forecast.warnings[0]


def test_a_longer_gap_ahead_ends_the_forecast_there(now: datetime) -> None:
    forecast = frame(now, air_c=air(range(PAST_H + 60, PAST_H + 64)))
    assert forecast.valid_to == now.replace(minute=0) + timedelta(hours=59)
    assert "gap of 4 h" in forecast.warnings[-1]


def test_a_longer_gap_in_the_past_drops_what_lies_before_it(now: datetime) -> None:
    forecast = frame(now, air_c=air(range(40, 45)))
    assert forecast.index_at(now) == PAST_H - 45


def test_a_longer_gap_around_the_reply_itself_is_refused(now: datetime) -> None:
    with pytest.raises(ForecastError, match="around the hour"):
        frame(now, air_c=air(range(PAST_H - 2, PAST_H + 2)))


def test_more_than_a_tenth_of_the_next_two_days_missing_is_refused(now: datetime) -> None:
    with pytest.raises(ForecastError, match="5 of the next 48 hours"):
        frame(now, air_c=air(range(PAST_H + 2, PAST_H + 42, 9)))
    assert frame(now, air_c=air(range(PAST_H + 2, PAST_H + 38, 9))).hours == HOURS


def test_a_reply_with_nothing_but_nulls_is_refused(now: datetime) -> None:
    with pytest.raises(ForecastError, match="only nulls"):
        frame(now, air_c=np.full(HOURS, np.nan))


def test_a_reply_about_another_time_is_refused(now: datetime) -> None:
    with pytest.raises(ForecastError, match="does not cover"):
        assemble(
            rows(now),
            {"air_c": air()},
            Origin(provider="made", fetched_at=now + timedelta(days=30)),
        )


@given(st.lists(st.integers(0, HOURS - 1), max_size=60, unique=True))
def test_mended_air_has_no_hole_and_only_bridged_hours_are_new(holes: list[int]) -> None:
    now = datetime.fromisoformat("2026-12-01T06:05:00+00:00")
    try:
        forecast = frame(now, air_c=air(holes))
    except ForecastError:
        return
    mended = forecast.columns["air_c"]
    offset = PAST_H - forecast.index_at(now)
    assert not np.isnan(mended).any()
    sent = air()[offset : offset + len(mended)]
    changed = {offset + int(hour) for hour in np.flatnonzero(mended != sent)}
    assert changed <= set(holes)
