"""The settings decide who is asked: the forecast, an ensemble, the model's ground, stand-ins."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from frostwatch.settings import ProviderChoice, Settings
from frostwatch.weather.asking import Use
from frostwatch.weather.cache import MemoryReplies, WeatherCache
from frostwatch.weather.forecast import Forecast, point_for, standing
from frostwatch.weather.manners import MemoryAttempts
from frostwatch.wiring import build_cache
from tests.weather.bodies import as_bytes, open_meteo

VALLEY = point_for(54.4, -2.9, 125.0)
PLAN = b'{"error":true,"reason":"This endpoint requires the API Professional or Enterprise plan"}'


def settings(**weather: Any) -> Settings:
    return Settings(weather={"providers": (ProviderChoice.OPEN_METEO,)} | weather)  # type: ignore[arg-type]


def own_server(httpserver: HTTPServer, **more: Any) -> Settings:
    """A customer's own server, where every part of the API lives at one address."""
    address = httpserver.url_for("").rstrip("/")
    return settings(use=Use.COMMERCIAL, open_meteo={"base_url": address} | more)


def spread_body(now: datetime) -> dict[str, Any]:
    body = open_meteo(now, mean_c=-2.0, past_h=0, hours=168)
    body["hourly"] = {
        "time": body["hourly"]["time"],
        "temperature_2m": body["hourly"]["temperature_2m"],
        "temperature_2m_spread": [2.5] * 168,
    }
    body["hourly_units"] = {
        "time": "unixtime",
        "temperature_2m": "°C",
        "temperature_2m_spread": "K",
    }
    return body


def forecasts(now: datetime) -> Callable[[Request], Response]:
    """Answers the forecast, and the question for the model's ground: 200 m above the valley."""

    def answer(request: Request) -> Response:
        if "nan" in request.args["elevation"]:
            warmed = [open_meteo(now, mean_c=-2.0 - 1.3), open_meteo(now, mean_c=-2.0)]
            warmed[1]["location_id"] = 1
            return Response(as_bytes(warmed), 200)
        return Response(as_bytes(open_meteo(now, mean_c=-2.0)), 200)

    return answer


@pytest.fixture
def server(httpserver: HTTPServer, now: datetime) -> HTTPServer:
    httpserver.expect_request("/v1/forecast").respond_with_handler(forecasts(now))
    return httpserver


def asked(server: HTTPServer) -> list[str]:
    return [request.path for request, _ in server.log]


def test_open_meteo_brings_its_ensemble_and_its_ground_along(
    server: HTTPServer, now: datetime
) -> None:
    server.expect_request("/v1/ensemble").respond_with_json(spread_body(now))
    cache = build_cache(own_server(server), MemoryReplies(), MemoryAttempts(), lambda _: None)
    forecast = cache.at([VALLEY], now)[VALLEY.key]
    assert isinstance(forecast, Forecast)
    assert forecast.grid_height_m == pytest.approx(325.0)
    assert forecast.columns["air_spread_k"][130] == pytest.approx(2.5)
    cache.at([VALLEY], now + timedelta(hours=1))
    assert asked(server).count("/v1/forecast") == 3, "the ground is asked for once"


def test_a_plan_without_ensembles_leaves_the_forecast_as_it_is_and_is_said_once(
    server: HTTPServer, now: datetime, log_lines: list[Any]
) -> None:
    server.expect_request("/v1/ensemble").respond_with_data(PLAN, 403)
    cache = build_cache(own_server(server), MemoryReplies(), MemoryAttempts(), lambda _: None)
    for hour in range(4):
        moment = now + timedelta(hours=hour)
        forecast = cache.at([VALLEY], moment)[VALLEY.key]
        assert isinstance(forecast, Forecast)
        assert standing(forecast, moment).age_h == pytest.approx(0.0)
        assert "air_spread_k" not in forecast.columns
    assert asked(server).count("/v1/ensemble") == 2, "members and spread once, not before tomorrow"
    assert [line["event"] for line in log_lines] == ["no ensemble"]
    assert "ensemble = false" in log_lines[0]["cause"]


def test_the_ensemble_can_be_switched_off(server: HTTPServer, now: datetime) -> None:
    off = own_server(server, ensemble=False)
    cache = build_cache(off, MemoryReplies(), MemoryAttempts(), lambda _: None)
    cache.at([VALLEY], now)
    assert set(asked(server)) == {"/v1/forecast"}


def test_other_providers_stand_in_in_order_and_bring_neither() -> None:
    cache: WeatherCache = build_cache(
        settings(
            providers=(ProviderChoice.MET_NORWAY, ProviderChoice.BRIGHT_SKY),
            contact="yard@example.org",
        ),
        MemoryReplies(),
    )
    assert [provider.name for provider in cache.providers] == ["met-norway", "bright-sky"]
    assert (cache.beside.ensemble, cache.beside.members, cache.beside.ground) == (None, None, None)


def test_open_meteo_as_a_stand_in_brings_both_too() -> None:
    cache = build_cache(
        settings(
            providers=(ProviderChoice.MET_NORWAY, ProviderChoice.OPEN_METEO),
            contact="yard@example.org",
        ),
        MemoryReplies(),
    )
    assert cache.beside.ensemble is not None
    assert cache.beside.members is not None
    assert cache.beside.ground is not None
