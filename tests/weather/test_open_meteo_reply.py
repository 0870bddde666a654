"""Traps in the bodies of the Open-Meteo forecast API, each by name."""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point, point_for
from frostwatch.weather.providers.open_meteo_reply import parse
from tests.weather.bodies import STREAM_BROKE, as_bytes, open_meteo, several

HERE = point_for(54.4, -2.9, 125.0)
PLACES = [point_for(50.0 + n, -1.0, 25.0 * n) for n in range(4)]


def forecast_of(body: Any, now: datetime, point: Point = HERE) -> Forecast:
    parsed = parse(as_bytes(body), [point], now)[point.key]
    assert isinstance(parsed, Forecast), parsed
    return parsed


def failure_of(body: bytes, now: datetime, points: list[Point] | None = None) -> FetchFailure:
    parsed = parse(body, points or [HERE], now)
    assert all(isinstance(one, FetchFailure) for one in parsed.values())
    first = next(iter(parsed.values()))
    assert isinstance(first, FetchFailure)
    return first


def test_one_place_comes_as_an_object(now: datetime) -> None:
    forecast = forecast_of(open_meteo(now), now)
    assert forecast.hours == 288
    assert forecast.index_at(now) == 120
    assert forecast.height_m == 125.0
    assert forecast.provider == "open-meteo"
    assert forecast.attribution[0].url == "https://open-meteo.com/"


def test_several_places_come_as_a_list_whose_first_has_no_location_id(now: datetime) -> None:
    body = several(now, PLACES)
    assert "location_id" not in body[0]
    parsed = parse(as_bytes(body), PLACES, now)
    for number, point in enumerate(PLACES):
        found = parsed[point.key]
        assert isinstance(found, Forecast)
        assert found.height_m == 25.0 * number
        assert found.columns["air_c"].mean() == pytest.approx(number, abs=0.05)


def test_a_list_in_another_order_is_put_right_by_location_id(now: datetime) -> None:
    body = several(now, PLACES)
    body[2], body[3] = body[3], body[2]
    found = parse(as_bytes(body), PLACES, now)[PLACES[3].key]
    assert isinstance(found, Forecast)
    assert found.height_m == 75.0


def test_a_list_without_any_location_id_is_taken_in_order(now: datetime) -> None:
    body = several(now, PLACES)
    for element in body:
        element.pop("location_id", None)
    found = parse(as_bytes(body), PLACES, now)[PLACES[1].key]
    assert isinstance(found, Forecast)
    assert found.height_m == 25.0


def test_a_list_of_another_length_gives_no_place_a_forecast(now: datetime) -> None:
    failure = failure_of(as_bytes(several(now, PLACES)[:3]), now, PLACES)
    assert "3 places came back for 4" in failure.message


def test_a_location_id_that_comes_twice_gives_no_place_a_forecast(now: datetime) -> None:
    body = several(now, PLACES)
    body[3]["location_id"] = 1
    assert "location_id 1" in failure_of(as_bytes(body), now, PLACES).message


def test_one_broken_place_in_a_list_leaves_the_others_whole(now: datetime) -> None:
    body = several(now, PLACES)
    body[1]["hourly"]["temperature_2m"] = [None] * 288
    parsed = parse(as_bytes(body), PLACES, now)
    assert isinstance(parsed[PLACES[1].key], FetchFailure)
    assert sum(isinstance(one, Forecast) for one in parsed.values()) == 3


def test_units_are_turned_into_ours(now: datetime) -> None:
    columns = forecast_of(open_meteo(now), now).columns
    assert columns["cloud_fraction"] == pytest.approx(0.25)
    assert columns["humidity_fraction"] == pytest.approx(0.86)
    assert columns["wind_m_per_s"] == pytest.approx(2.31)
    assert columns["step_h"] == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("variable", "unit"),
    [
        ("temperature_2m", "°F"),
        ("wind_speed_10m", "km/h"),
        ("wind_speed_10m", "mp/h"),
        ("precipitation", "inch"),
        ("temperature_2m", None),
    ],
)
def test_a_unit_that_was_not_asked_for_is_refused(
    now: datetime, variable: str, unit: str | None
) -> None:
    body = open_meteo(now)
    body["hourly_units"][variable] = unit
    failure = failure_of(as_bytes(body), now)
    assert failure.kind is FailureKind.BROKEN_REPLY
    assert f"{variable} comes in" in failure.message


def test_a_variable_the_model_lacks_has_unit_undefined_and_stays_missing(now: datetime) -> None:
    body = open_meteo(now)
    body["hourly_units"]["cloud_cover"] = "undefined"
    body["hourly"]["cloud_cover"] = [None] * 288
    forecast = forecast_of(body, now)
    assert "cloud_fraction" not in forecast.columns
    assert any("cloud_cover is not offered" in warning for warning in forecast.warnings)


def test_a_model_without_temperature_is_refused(now: datetime) -> None:
    body = open_meteo(now)
    body["hourly_units"]["temperature_2m"] = "undefined"
    assert "no temperature_2m" in failure_of(as_bytes(body), now).message


def test_nulls_become_missing_and_never_zero(now: datetime) -> None:
    forecast = forecast_of(open_meteo(now), now)
    assert np.isnan(forecast.columns["ground_c"]).all()


def test_means_of_the_preceding_hour_stay_at_the_hour_that_ends_them(now: datetime) -> None:
    body = open_meteo(now)
    body["hourly"]["shortwave_radiation"][150] = 321.0
    assert forecast_of(body, now).columns["sun_w_per_m2"][150] == 321.0


def test_a_200_with_a_broken_stream_is_a_broken_reply(now: datetime) -> None:
    whole = as_bytes(open_meteo(now))
    failure = failure_of(whole[:5000] + STREAM_BROKE, now)
    assert failure.kind is FailureKind.BROKEN_REPLY


def test_a_body_with_a_bare_nan_is_a_broken_reply(now: datetime) -> None:
    body = as_bytes(open_meteo(now)).replace(b"2.31", b"nan", 1)
    assert failure_of(body, now).kind is FailureKind.BROKEN_REPLY


@pytest.mark.parametrize(
    "body",
    [
        b'{"error":true,"reason":"Hourly API request limit exceeded."}',
        b'{"reason":"Hourly API request limit exceeded.","error":true}',
    ],
)
def test_an_error_body_is_never_read_as_weather(now: datetime, body: bytes) -> None:
    assert "limit exceeded" in failure_of(body, now).message


@pytest.mark.parametrize("body", [b"", b"[]", b"null", b"42", b"{}", b"<html>busy</html>", b"[1]"])
def test_nonsense_is_a_failure_and_never_an_exception(now: datetime, body: bytes) -> None:
    assert failure_of(body, now).kind is FailureKind.BROKEN_REPLY


@pytest.mark.parametrize(
    "value", ["cold", [1, 2], {"a": 1}, [[1.0]] * 288, ["x"] * 288, 7, None, [True, {}]]
)
def test_a_column_that_is_no_list_of_numbers_is_a_failure(now: datetime, value: Any) -> None:
    body = open_meteo(now)
    body["hourly"]["temperature_2m"] = value
    assert failure_of(as_bytes(body), now).kind is FailureKind.BROKEN_REPLY


def test_a_wrong_season_offset_is_undone_as_the_reply_applied_it(now: datetime) -> None:
    """Stamps in words are UTC plus the one offset of the reply: today's holds for every hour,
    also across a clock change."""
    body = open_meteo(now)
    start = datetime.fromtimestamp(body["hourly"]["time"][0], UTC)
    body["utc_offset_seconds"] = 7200
    body["hourly_units"]["time"] = "iso8601"
    body["hourly"]["time"] = [
        f"{start + timedelta(hours=hour + 2):%Y-%m-%dT%H:%M}" for hour in range(288)
    ]
    assert forecast_of(body, now).start == start


def test_an_hour_that_does_not_exist_on_the_wall_is_read_all_the_same() -> None:
    """8 March 2026 02:00 in Toronto: no such hour there, but 07:00 UTC all the same."""
    now = datetime(2026, 3, 6, 12, 5, tzinfo=UTC)
    body = open_meteo(now)
    start = datetime.fromtimestamp(body["hourly"]["time"][0], UTC)
    body["utc_offset_seconds"] = -18000
    body["hourly_units"]["time"] = "iso8601"
    body["hourly"]["time"] = [
        f"{start + timedelta(hours=hour - 5):%Y-%m-%dT%H:%M}" for hour in range(288)
    ]
    assert "2026-03-08T02:00" in body["hourly"]["time"]
    assert forecast_of(body, now).start == start


def test_without_an_elevation_the_height_of_the_point_holds(now: datetime) -> None:
    assert forecast_of(open_meteo(now, elevation_m=None), now).height_m == HERE.height_m


def test_an_unknown_height_is_said(now: datetime) -> None:
    nowhere = point_for(54.4, -2.9, None)
    forecast = forecast_of(open_meteo(now, elevation_m=312.0), now, nowhere)
    assert forecast.height_m == 312.0
    assert any("height" in warning for warning in forecast.warnings)
