"""Bright Sky: SI units, stations that are too far, mixed offsets."""

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from pytest_httpserver import HTTPServer

from frostwatch.weather.asking import Fetched
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, point_for
from frostwatch.weather.providers.bright_sky import BrightSky
from frostwatch.weather.providers.bright_sky_reply import parse
from tests.weather.bodies import as_bytes, bright_sky

HERE = point_for(50.03, 8.01, 125.0)


def read(body: dict[str, Any], now: datetime) -> Forecast:
    found = parse(as_bytes(body), [HERE], now)[HERE.key]
    assert isinstance(found, Forecast), found
    return found


def refused(body: Any, now: datetime) -> FetchFailure:
    found = parse(body if isinstance(body, bytes) else as_bytes(body), [HERE], now)[HERE.key]
    assert isinstance(found, FetchFailure)
    return found


def test_kelvin_and_joules_become_celsius_and_watts(now: datetime) -> None:
    columns = read(bright_sky(now), now).columns
    assert columns["air_c"].mean() == pytest.approx(2.0, abs=0.1)
    assert columns["dew_c"].mean() == pytest.approx(0.0, abs=0.1)
    assert columns["sun_w_per_m2"].max() == pytest.approx(100.0)
    assert columns["cloud_fraction"][0] == 0.25


def test_the_height_is_that_of_the_forecasts_station(now: datetime) -> None:
    body = bright_sky(now)
    body["sources"][0]["height"] = 20.0
    assert read(body, now).height_m == 110.0


@pytest.mark.parametrize(
    ("knobs", "word"),
    [({"distance_m": 26_000.0}, "26 km"), ({"height_m": 280.0}, "155 m higher")],
)
def test_a_station_too_far_or_too_high_does_not_speak_for_the_place(
    now: datetime, knobs: dict[str, float], word: str
) -> None:
    failure = refused(bright_sky(now, **knobs), now)
    assert failure.kind is FailureKind.NOT_COVERED
    assert word in failure.message


def test_mixed_offsets_across_the_autumn_change_are_read_one_by_one() -> None:
    """25 October 2026: 02:00 exists twice in Berlin, as +02:00 and as +01:00."""
    now = datetime(2026, 10, 25, 6, 5, tzinfo=UTC)
    body = bright_sky(now)
    for row in body["weather"]:
        moment = datetime.fromisoformat(row["timestamp"])
        row["timestamp"] = moment.astimezone(ZoneInfo("Europe/Berlin")).isoformat()
    stamps = [row["timestamp"] for row in body["weather"]]
    assert "2026-10-25T02:00:00+02:00" in stamps
    assert "2026-10-25T02:00:00+01:00" in stamps
    forecast = read(body, now)
    assert forecast.hours == 289
    assert forecast.start == now.replace(minute=0) - timedelta(hours=120)


def test_sun_that_is_null_in_every_row_is_estimated_and_said(now: datetime) -> None:
    body = bright_sky(now)
    for row in body["weather"]:
        row["solar"] = None
    forecast = read(body, now)
    assert not np.isnan(forecast.columns["sun_w_per_m2"]).any()
    assert forecast.columns["sun_w_per_m2"].max() > 50.0
    assert any("estimated" in warning for warning in forecast.warnings)


def test_temperatures_in_celsius_where_kelvin_was_asked_for_are_refused(now: datetime) -> None:
    body = bright_sky(now)
    for row in body["weather"]:
        row["temperature"] -= 273.15
    assert "kelvin" in refused(body, now).message


def test_a_reply_without_an_hour_ahead_is_refused(now: datetime) -> None:
    body = bright_sky(now)
    body["weather"] = body["weather"][:100]
    assert "ahead" in refused(body, now).message


@pytest.mark.parametrize(
    "body", [b"", b"{}", b"[]", b'{"weather": [], "sources": []}', b'{"detail": "nope"}']
)
def test_nonsense_is_a_failure_and_never_an_exception(now: datetime, body: bytes) -> None:
    assert refused(body, now).kind is FailureKind.BROKEN_REPLY


def test_the_request_asks_for_si_units_in_utc(httpserver: HTTPServer, now: datetime) -> None:
    provider = BrightSky(user_agent="frostwatch/0.1", base_url=httpserver.url_for(""))
    httpserver.expect_request("/weather").respond_with_json(bright_sky(now))
    assert isinstance(provider.fetch([HERE], now=now)[HERE.key], Fetched)
    assert httpserver.log[0][0].args.to_dict() == {
        "lat": "50.03",
        "lon": "8.01",
        "date": "2026-11-26T06:00:00+00:00",
        "last_date": "2026-12-08T06:00:00+00:00",
        "tz": "Etc/UTC",
        "units": "si",
        "max_dist": "25000",
    }


def test_no_station_near_is_not_covered(httpserver: HTTPServer, now: datetime) -> None:
    provider = BrightSky(user_agent="frostwatch/0.1", base_url=httpserver.url_for(""))
    httpserver.expect_request("/weather").respond_with_json({"detail": "No sources"}, status=404)
    found = provider.fetch([HERE], now=now)[HERE.key]
    assert isinstance(found, FetchFailure)
    assert found.kind is FailureKind.NOT_COVERED
