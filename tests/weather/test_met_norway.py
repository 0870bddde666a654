"""MET Norway: forward periods, six-hourly instants, and the manners its terms ask for."""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from frostwatch.errors import SettingsError
from frostwatch.weather.asking import Fetched, Unchanged, Validators
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, point_for
from frostwatch.weather.providers.met_norway import MetNorway
from frostwatch.weather.providers.met_norway_reply import parse
from frostwatch.weather.site_air import bent_to_minima
from tests.weather.bodies import as_bytes, met_air_c, met_norway

HERE = point_for(54.4, -2.9, 125.0)


def read(body: dict[str, Any], now: datetime) -> Forecast:
    found = parse(as_bytes(body), [HERE], now)[HERE.key]
    assert isinstance(found, Forecast), found
    return found


def refused(body: Any, now: datetime) -> FetchFailure:
    found = parse(body if isinstance(body, bytes) else as_bytes(body), [HERE], now)[HERE.key]
    assert isinstance(found, FetchFailure)
    return found


def test_the_frame_is_hourly_and_counts_its_age_from_the_update(now: datetime) -> None:
    forecast = read(met_norway(now), now)
    assert forecast.start == now.replace(minute=0)
    assert forecast.issued_at == now - timedelta(minutes=40)
    assert forecast.height_m == 125.0
    assert forecast.hours > 200
    assert forecast.attribution[0].text == "Based on data from MET Norway"


def test_an_update_without_a_zone_is_a_broken_reply(now: datetime) -> None:
    body = met_norway(now)
    body["properties"]["meta"]["updated_at"] = "2026-12-01T06:00:00"
    assert "has no zone" in refused(body, now).message


def test_forward_periods_stand_at_the_hour_that_ends_them(now: datetime) -> None:
    """``next_1_hours`` at t covers t to t + 1: our sums end at their index."""
    rain = read(met_norway(now), now).columns["precipitation_mm"]
    assert np.isnan(rain[0])
    assert rain[1:4] == pytest.approx([0.0, 0.1, 0.2])


def test_the_tail_is_marked_six_hourly_with_the_minimum_of_each_step(now: datetime) -> None:
    columns = read(met_norway(now), now).columns
    assert columns["step_h"][:54] == pytest.approx(1.0)
    assert columns["step_h"][-100:] == pytest.approx(6.0)
    assert np.isnan(columns["air_min_c"][:54]).all()
    assert not np.isnan(columns["air_min_c"][-100:]).any()


def test_six_hourly_instants_miss_the_minimum_and_the_bent_path_does_not(now: datetime) -> None:
    """The true air falls to -4.0 at 03:00; the instants at 00 and 06 UTC both say -2.8."""
    forecast = read(met_norway(now), now)
    straight = forecast.columns["air_c"]
    bent = bent_to_minima(straight, forecast)
    third_night = forecast.index_at(now.replace(hour=0, minute=0) + timedelta(days=4))
    window = slice(third_night, third_night + 7)
    assert straight[window].min() == pytest.approx(met_air_c(0.0), abs=0.06)
    assert bent[window].min() == pytest.approx(-4.0, abs=0.06)


def test_percentiles_become_a_spread_where_they_are_given(now: datetime) -> None:
    assert "air_spread_k" not in read(met_norway(now), now).columns
    spread = read(met_norway(now, percentiles=True), now).columns["air_spread_k"]
    assert spread == pytest.approx(1.0, abs=0.01)


def test_the_sun_is_estimated_and_it_is_said(now: datetime) -> None:
    forecast = read(met_norway(now), now)
    sun = forecast.columns["sun_w_per_m2"]
    at = [(forecast.start + timedelta(hours=hour)).hour for hour in range(24)]
    assert sun[at.index(13)] > 80.0
    assert sun[at.index(2)] == 0.0
    assert any("estimated" in warning for warning in forecast.warnings)


def test_an_empty_period_of_the_compact_product_does_no_harm(now: datetime) -> None:
    body = met_norway(now)
    for entry in body["properties"]["timeseries"]:
        entry["data"]["instant"]["details"].pop("dew_point_temperature")
        entry["data"].pop("next_6_hours", None)
    forecast = read(body, now)
    assert np.isnan(forecast.columns["dew_c"]).all()
    assert np.isnan(forecast.columns["air_min_c"]).all()


def test_a_step_longer_than_six_hours_ends_the_forecast(now: datetime) -> None:
    body = met_norway(now)
    whole = read(body, now).hours
    del body["properties"]["timeseries"][-5:-3]
    assert read(body, now).hours < whole


def test_another_unit_is_refused(now: datetime) -> None:
    body = met_norway(now)
    body["properties"]["meta"]["units"]["air_temperature"] = "fahrenheit"
    assert "fahrenheit" in refused(body, now).message


def test_times_that_go_back_are_refused(now: datetime) -> None:
    body = met_norway(now)
    series = body["properties"]["timeseries"]
    series[4], series[5] = series[5], series[4]
    assert "go back" in refused(body, now).message


@pytest.mark.parametrize(
    "body", [b"", b"{}", b"[]", b'{"properties": {}}', b'{"properties":{"meta":null}}', b"<html>"]
)
def test_nonsense_is_a_failure_and_never_an_exception(now: datetime, body: bytes) -> None:
    assert refused(body, now).kind is FailureKind.BROKEN_REPLY


@pytest.fixture
def provider(httpserver: HTTPServer) -> MetNorway:
    return MetNorway(
        user_agent="frostwatch/0.1",
        contact="keeper@yard.example",
        base_url=httpserver.url_for(""),
        sleep=lambda _: None,
    )


PATH = "/weatherapi/locationforecast/2.0/complete"


def test_the_request_names_us_and_a_contact_and_rounds_the_place(
    httpserver: HTTPServer, provider: MetNorway, now: datetime
) -> None:
    httpserver.expect_request(PATH).respond_with_json(met_norway(now))
    assert isinstance(provider.fetch([HERE], now=now)[HERE.key], Fetched)
    request, _ = httpserver.log[0]
    assert request.headers["User-Agent"] == "frostwatch/0.1 keeper@yard.example"
    assert "gzip" in request.headers["Accept-Encoding"]
    assert request.args.to_dict() == {"lat": "54.4", "lon": "-2.9", "altitude": "125"}


def test_an_unknown_height_is_left_out(provider: MetNorway) -> None:
    assert "altitude" not in provider.url(point_for(54.4, -2.9, None))


@pytest.mark.parametrize("contact", ["", "  ", "me", "someone@"])
def test_without_a_contact_the_provider_cannot_be_set_up(contact: str) -> None:
    with pytest.raises(SettingsError, match="contact"):
        MetNorway(user_agent="frostwatch/0.1", contact=contact)


def test_not_modified_is_asked_for_with_the_string_exactly_as_received(
    httpserver: HTTPServer, provider: MetNorway, now: datetime
) -> None:
    stamp = "Tue, 01 Dec 2026 05:25:13 GMT"

    def handler(request: Request) -> Response:
        headers = {"Expires": "Tue, 01 Dec 2026 06:36:02 GMT", "Last-Modified": stamp}
        if request.headers.get("If-Modified-Since") == stamp:
            return Response(status=304, headers=headers)
        return Response(as_bytes(met_norway(now)), headers=headers)

    httpserver.expect_request(PATH).respond_with_handler(handler)
    first = provider.fetch([HERE], now=now)[HERE.key]
    assert isinstance(first, Fetched)
    assert first.expires_at == datetime(2026, 12, 1, 6, 36, 2, tzinfo=UTC)
    assert first.validators == Validators(last_modified=stamp)
    again = provider.fetch([HERE], now=now, known={HERE.key: first.validators})[HERE.key]
    assert isinstance(again, Unchanged)
    assert again.expires_at == first.expires_at


def test_a_deprecated_product_is_used_without_validators(
    httpserver: HTTPServer, provider: MetNorway, now: datetime
) -> None:
    httpserver.expect_request(PATH).respond_with_json(
        met_norway(now), status=203, headers={"Last-Modified": "Tue, 01 Dec 2026 05:25:13 GMT"}
    )
    fetched = provider.fetch([HERE], now=now)[HERE.key]
    assert isinstance(fetched, Fetched)
    assert fetched.validators == Validators()


@pytest.mark.parametrize(
    ("status", "kind", "word"),
    [
        (403, FailureKind.REFUSED, "contact"),
        (404, FailureKind.NOT_COVERED, "404"),
        (422, FailureKind.NOT_COVERED, "422"),
        (429, FailureKind.THROTTLED, "429"),
        (499, FailureKind.UNREACHABLE, "499"),
        (500, FailureKind.UNREACHABLE, "500"),
        (400, FailureKind.REFUSED, "400"),
    ],
)
def test_every_status_has_its_meaning_though_the_body_is_html(
    httpserver: HTTPServer,
    provider: MetNorway,
    now: datetime,
    status: int,
    kind: FailureKind,
    word: str,
) -> None:
    httpserver.expect_request(PATH).respond_with_data(b"<html><h1>No</h1></html>", status)
    found = provider.fetch([HERE], now=now)[HERE.key]
    assert isinstance(found, FetchFailure)
    assert found.kind is kind
    assert word in found.message
