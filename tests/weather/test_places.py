"""Places by name, heights, and the height of the model's own ground."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

import numpy as np
import pytest
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from frostwatch.weather.asking import Fetched, Use
from frostwatch.weather.cache import MemoryReplies, WeatherCache
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, point_for
from frostwatch.weather.providers.open_meteo import OpenMeteo
from frostwatch.weather.providers.open_meteo_ground import OpenMeteoGround
from frostwatch.weather.providers.open_meteo_places import Place, find_heights, find_places
from frostwatch.weather.providers.open_meteo_server import OpenMeteoServer
from tests.weather.bodies import as_bytes, open_meteo, several

HERE = point_for(54.4, -2.9, 125.0)


@pytest.fixture
def server(httpserver: HTTPServer) -> OpenMeteoServer:
    return OpenMeteoServer(
        "api",
        user_agent="t",
        use=Use.PRIVATE,
        base_url=httpserver.url_for(""),
        sleep=lambda _: None,
    )


def test_a_place_is_found_by_name(
    httpserver: HTTPServer, server: OpenMeteoServer, now: datetime
) -> None:
    body = {
        "results": [
            {
                "id": 1,
                "name": "Cold Rigg",
                "latitude": 54.4012,
                "longitude": -2.9011,
                "elevation": 131.0,
                "country": "United Kingdom",
                "admin1": "Cumbria",
                "timezone": "Europe/London",
            },
            {"name": "Cold Rigg", "latitude": 1, "longitude": 2},
        ],
        "generationtime_ms": 0.4,
    }
    httpserver.expect_request("/v1/search").respond_with_json(body)
    found = find_places(server, "Cold Rigg", now, language="de")
    assert found == (
        Place(
            name="Cold Rigg",
            region="Cumbria, United Kingdom",
            latitude_deg=54.4012,
            longitude_deg=-2.9011,
            height_m=131.0,
            time_zone="Europe/London",
        ),
        Place(
            name="Cold Rigg",
            region="",
            latitude_deg=1.0,
            longitude_deg=2.0,
            height_m=None,
            time_zone="",
        ),
    )
    assert httpserver.log[0][0].args["language"] == "de"


def test_a_search_without_a_hit_has_no_results_key_and_finds_nothing(
    httpserver: HTTPServer, server: OpenMeteoServer, now: datetime
) -> None:
    httpserver.expect_request("/v1/search").respond_with_json({"generationtime_ms": 0.3})
    assert find_places(server, "Nowhere at all", now) == ()


@pytest.mark.parametrize("body", [[], {"results": [{"name": "x"}]}, {"results": 7}])
def test_a_list_of_places_that_cannot_be_read_is_a_failure(
    httpserver: HTTPServer, server: OpenMeteoServer, now: datetime, body: Any
) -> None:
    httpserver.expect_request("/v1/search").respond_with_json(body)
    assert isinstance(find_places(server, "x y", now), FetchFailure)


def test_heights_come_in_the_order_asked_and_in_batches(
    httpserver: HTTPServer, server: OpenMeteoServer, now: datetime
) -> None:
    def handler(request: Request) -> Response:
        return Response(
            as_bytes({"elevation": [10 * float(v) for v in request.args["latitude"].split(",")]})
        )

    httpserver.expect_request("/v1/elevation").respond_with_handler(handler)
    asked = [(40.0 + n / 10, 7.0) for n in range(130)]
    heights = find_heights(server, asked, now)
    assert heights == pytest.approx([10 * latitude for latitude, _ in asked])
    assert len(httpserver.log) == 2


@pytest.mark.parametrize(
    "body", [{"elevation": []}, {"elevation": [None]}, {"elevation": 38.0}, [], {}]
)
def test_heights_that_do_not_fit_are_a_failure(
    httpserver: HTTPServer, server: OpenMeteoServer, now: datetime, body: Any
) -> None:
    httpserver.expect_request("/v1/elevation").respond_with_json(body)
    assert isinstance(find_heights(server, [(54.4, -2.9)], now), FetchFailure)


def test_a_refused_search_is_a_failure_with_the_servers_words(
    httpserver: HTTPServer, server: OpenMeteoServer, now: datetime
) -> None:
    httpserver.expect_request("/v1/search").respond_with_json(
        {"error": True, "reason": "Parameter count must be between 1 and 100."}, status=400
    )
    found = find_places(server, "x y", now)
    assert isinstance(found, FetchFailure)
    assert "Parameter count" in found.message


def ground_handler(now: datetime, ground_m: Mapping[str, float]) -> Any:
    """A server whose model ground is known: ``nan`` leaves the air there, a height moves it."""

    def handler(request: Request) -> Response:
        latitudes = request.args["latitude"].split(",")
        heights = request.args["elevation"].split(",")
        body = []
        for number, (latitude, height) in enumerate(zip(latitudes, heights, strict=True)):
            one = open_meteo(now, location_id=number, elevation_m=None)
            bare = np.array(one["hourly"]["temperature_2m"])
            if height != "nan":
                one["elevation"] = float(height)
                bare = bare + 0.0065 * (ground_m[latitude] - float(height))
            one["hourly"]["temperature_2m"] = np.round(bare + 0.013 * np.arange(288), 1).tolist()
            body.append(one)
        return Response(as_bytes(body))

    return handler


def test_the_models_ground_is_told_by_asking_with_and_without_a_height(
    httpserver: HTTPServer, server: OpenMeteoServer, now: datetime
) -> None:
    valley, hill = HERE, point_for(54.5, -2.9, 400.0)
    handler = ground_handler(now, {"54.4": 310.0, "54.5": 350.0})
    httpserver.expect_request("/v1/forecast").respond_with_handler(handler)
    provider = OpenMeteoGround(server)
    found = provider.fetch([valley, hill], now=now)
    heights = []
    for point in (valley, hill):
        fetched = found[point.key]
        assert isinstance(fetched, Fetched)
        heights.append(fetched.forecast.grid_height_m)
        again = provider.parse(fetched.payload, [point], now)[point.key]
        assert isinstance(again, Forecast)
        assert again.grid_height_m == fetched.forecast.grid_height_m
    assert heights == pytest.approx([310.0, 350.0], abs=2.0)
    assert httpserver.log[0][0].args["elevation"] == "nan,125,nan,400"


def test_a_place_without_a_height_has_no_ground_to_compare(
    server: OpenMeteoServer, now: datetime
) -> None:
    nowhere = point_for(54.4, -2.9, None)
    found = OpenMeteoGround(server).fetch([nowhere], now=now)[nowhere.key]
    assert isinstance(found, FetchFailure)
    assert found.kind is FailureKind.NOT_COVERED


def test_the_cache_asks_for_the_ground_once_and_lays_it_into_every_frame(
    httpserver: HTTPServer, server: OpenMeteoServer, now: datetime
) -> None:
    places = [HERE, point_for(54.5, -2.9, 400.0)]
    ground = ground_handler(now, {"54.4": 310.0, "54.5": 350.0})

    def handler(request: Request) -> Response:
        if "nan" in request.args["elevation"]:
            response: Response = ground(request)
            return response
        return Response(as_bytes(several(now, places)))

    httpserver.expect_request("/v1/forecast").respond_with_handler(handler)
    cache = WeatherCache(
        [OpenMeteo(server)],
        MemoryReplies(),
        ground=(OpenMeteoGround(server), "open-meteo"),
        sleep=lambda _: None,
    )
    for _ in range(3):
        found = cache.at(places, now)[HERE.key]
        assert isinstance(found, Forecast)
        assert found.grid_height_m == pytest.approx(310.0, abs=2.0)
    assert len(httpserver.log) == 2
