"""What every provider has to do, run over all of them against a loopback server that misbehaves."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

import frostwatch.weather.providers as package
from frostwatch.weather.asking import Fetched, Provider, Use
from frostwatch.weather.forecast import FetchFailure, Forecast, Point, point_for
from frostwatch.weather.providers.bright_sky import BrightSky
from frostwatch.weather.providers.met_norway import MetNorway
from frostwatch.weather.providers.open_meteo import OpenMeteo
from frostwatch.weather.providers.open_meteo_ensemble import OpenMeteoEnsemble
from frostwatch.weather.providers.open_meteo_ground import OpenMeteoGround
from frostwatch.weather.providers.open_meteo_server import OpenMeteoServer
from tests.weather.bodies import (
    STREAM_BROKE,
    as_bytes,
    bright_sky,
    met_norway,
    open_meteo,
)

PLACES = [point_for(50.0 + n / 10, 8.0, 100.0 + 25.0 * n) for n in range(3)]
Make = Callable[[str], Provider]


def open_meteo_server(url: str) -> OpenMeteoServer:
    return OpenMeteoServer(
        "api", user_agent="t", use=Use.PRIVATE, base_url=url, sleep=lambda _: None
    )


def met(url: str) -> MetNorway:
    return MetNorway(user_agent="t", contact="a@b.example", base_url=url, sleep=lambda _: None)


def sky(url: str) -> BrightSky:
    return BrightSky(user_agent="t", base_url=url, sleep=lambda _: None)


@dataclass(frozen=True)
class Case:
    """A provider and a server that answers it well."""

    make: Make
    body: Callable[[datetime, Request], Any]


def many(element: Callable[[datetime], dict[str, Any]]) -> Callable[[datetime, Request], Any]:
    """An object for one place, a list for several."""

    def body(now: datetime, request: Request) -> Any:
        count = len(request.args["latitude"].split(","))
        listed = []
        for number in range(count):
            one = element(now)
            listed.append(one | {"location_id": number} if number else one)
        return listed[0] if count == 1 else listed

    return body


def spread(now: datetime) -> dict[str, Any]:
    one = open_meteo(now, past_h=0, hours=168)
    one["hourly_units"] = {"time": "unixtime", "temperature_2m": "°C", "temperature_2m_spread": "K"}
    one["hourly"] = {
        "time": one["hourly"]["time"],
        "temperature_2m": one["hourly"]["temperature_2m"],
        "temperature_2m_spread": [1.1] * 168,
    }
    return one


CASES = {
    "open-meteo": Case(lambda url: OpenMeteo(open_meteo_server(url)), many(open_meteo)),
    "open-meteo-ensemble": Case(
        lambda url: OpenMeteoEnsemble(open_meteo_server(url)), many(spread)
    ),
    "open-meteo-ground": Case(
        lambda url: OpenMeteoGround(open_meteo_server(url)), many(open_meteo)
    ),
    "met-norway": Case(met, lambda now, _: met_norway(now)),
    "bright-sky": Case(sky, lambda now, _: bright_sky(now)),
}


@pytest.fixture(params=list(CASES))
def case(request: pytest.FixtureRequest) -> Case:
    return CASES[request.param]


@pytest.fixture
def provider(case: Case, httpserver: HTTPServer) -> Provider:
    return case.make(httpserver.url_for("").rstrip("/"))


def serve(httpserver: HTTPServer, handler: Callable[[Request], Response]) -> None:
    httpserver.expect_request("/", method="GET").respond_with_handler(handler)
    for path in (
        "/v1/forecast",
        "/v1/ensemble",
        "/weather",
        "/weatherapi/locationforecast/2.0/complete",
    ):
        httpserver.expect_request(path).respond_with_handler(handler)


def well(case: Case, now: datetime) -> Callable[[Request], Response]:
    return lambda request: Response(as_bytes(case.body(now, request)))


def test_every_provider_file_is_in_this_suite() -> None:
    """A new file with a class that fetches has to be named in CASES."""
    folder = Path(str(package.__file__)).parent
    fetching = {
        path.stem.replace("_", "-")
        for path in folder.glob("*.py")
        if "    def weight(" in path.read_text()
    }
    assert fetching == set(CASES)


def test_it_says_who_it_is_and_what_its_licence_asks(case: Case, provider: Provider) -> None:
    assert CASES[provider.name] is case
    assert provider.attribution
    for credit in provider.attribution:
        assert credit.text
        assert credit.licence
        assert credit.url.startswith("https://")
    assert provider.max_batch >= 1
    assert provider.refresh >= timedelta(hours=1)
    assert provider.weight(7) == 7 * provider.weight(1)


def test_every_distinct_place_gets_a_whole_frame(
    case: Case, provider: Provider, httpserver: HTTPServer, now: datetime
) -> None:
    serve(httpserver, well(case, now))
    found = provider.fetch([*PLACES, PLACES[0]], now=now)
    assert set(found) == {point.key for point in PLACES}
    for one in found.values():
        assert isinstance(one, Fetched), one
        frame = one.forecast
        assert frame.provider == provider.name
        assert frame.fetched_at == now
        assert frame.attribution == provider.attribution
        assert frame.start.utcoffset() == timedelta(0)
        assert frame.start.minute == 0
        assert frame.index_at(now) >= 0
        assert frame.valid_to - now >= timedelta(hours=18)
        assert all(len(values) == frame.hours for values in frame.columns.values())
        assert frame.columns["air_c"].min() > -60.0


def test_the_kept_payload_reads_as_the_same_frame(
    case: Case, provider: Provider, httpserver: HTTPServer, now: datetime
) -> None:
    serve(httpserver, well(case, now))
    for point in PLACES:
        one = provider.fetch(PLACES, now=now)[point.key]
        assert isinstance(one, Fetched)
        again = provider.parse(one.payload, [point], now)[point.key]
        assert isinstance(again, Forecast)
        assert again.start == one.forecast.start
        assert again.warnings == one.forecast.warnings
        for name, values in one.forecast.columns.items():
            assert again.columns[name] == pytest.approx(values, nan_ok=True)


TROUBLES = {
    "a 500": Response(b"Something went wrong.", 500),
    "a 503 of a proxy in HTML": Response(b"<html><body>busy</body></html>", 503),
    "a 429": Response(b"slow down", 429),
    "a 403 in HTML": Response(b"<html>no</html>", 403),
    "a 404": Response(b'{"detail":"no source"}', 404),
    "an empty 200": Response(b"", 200),
    "a stream that broke": Response(b'[{"hourly":{' + STREAM_BROKE, 200),
    "a 200 with an error in it": Response(b'{"error":true,"reason":"limit exceeded"}', 200),
    "a 200 in HTML": Response(b"<html>sign in to the network</html>", 200),
    "a list of nothing": Response(b"[]", 200),
    "a number": Response(b"42", 200),
    "text that is no UTF-8": Response(b"\xff\xfe\x00", 200),
    "a body shorter than announced": Response(b"{}", 200, {"Content-Length": "9000"}),
    "a redirect in a circle": Response(b"", 302, {"Location": "/weather"}),
}


@pytest.mark.parametrize("trouble", list(TROUBLES))
def test_a_misbehaving_server_is_a_failure_for_every_place_and_never_an_exception(
    provider: Provider, httpserver: HTTPServer, now: datetime, trouble: str
) -> None:
    serve(httpserver, lambda _: TROUBLES[trouble])
    found = provider.fetch(PLACES, now=now)
    assert set(found) == {point.key for point in PLACES}
    for one in found.values():
        assert isinstance(one, FetchFailure)
        assert len(one.message) > 10


@pytest.mark.parametrize("cut", [0.2, 0.5, 0.9, 0.999])
def test_a_reply_cut_in_the_middle_is_never_half_a_forecast(
    case: Case, provider: Provider, httpserver: HTTPServer, now: datetime, cut: float
) -> None:
    def handler(request: Request) -> Response:
        body = as_bytes(case.body(now, request))
        return Response(body[: int(len(body) * cut)])

    serve(httpserver, handler)
    found = provider.fetch(PLACES, now=now)
    assert all(isinstance(one, FetchFailure) for one in found.values())


def test_temperatures_that_are_all_null_are_a_failure(
    case: Case, provider: Provider, httpserver: HTTPServer, now: datetime
) -> None:
    def handler(request: Request) -> Response:
        return Response(as_bytes(_without_air(case.body(now, request))))

    serve(httpserver, handler)
    found = provider.fetch(PLACES, now=now)
    assert all(isinstance(one, FetchFailure) for one in found.values())


def _without_air(body: Any) -> Any:
    """The body with every temperature replaced by null."""
    if isinstance(body, list):
        return [_without_air(one) for one in body]
    if not isinstance(body, dict):
        return body
    return {
        name: ([None] * len(value) if isinstance(value, list) else None)
        if name in ("temperature_2m", "temperature", "air_temperature")
        and not isinstance(value, str)
        else _without_air(value)
        for name, value in body.items()
    }


def test_a_server_that_is_not_there_is_a_failure(case: Case, now: datetime) -> None:
    found = case.make("http://127.0.0.1:9").fetch(PLACES[:1], now=now)
    assert isinstance(found[PLACES[0].key], FetchFailure)


def test_nothing_asked_is_nothing_found(
    provider: Provider, httpserver: HTTPServer, now: datetime
) -> None:
    nobody: list[Point] = []
    assert provider.fetch(nobody, now=now) == {}
    assert httpserver.log == []
