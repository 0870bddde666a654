"""Asking an Open-Meteo server: the request, its batches, and every way it can go wrong."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from urllib.parse import parse_qs

import pytest
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from frostwatch.errors import SettingsError
from frostwatch.weather.asking import Commercial, Fetched, Outcome, Use
from frostwatch.weather.forecast import FailureKind, FetchFailure, Point, point_for
from frostwatch.weather.providers.open_meteo import OpenMeteo
from frostwatch.weather.providers.open_meteo_server import OpenMeteoServer, call_weight
from tests.weather.bodies import STREAM_BROKE, as_bytes, open_meteo, several

HERE = point_for(54.4, -2.9, 125.0)


def places(count: int) -> list[Point]:
    return [point_for(45.0 + n * 0.1, 7.0, 25.0 * (n % 8)) for n in range(count)]


@pytest.fixture
def naps() -> list[float]:
    return []


@pytest.fixture
def provider(httpserver: HTTPServer, naps: list[float]) -> OpenMeteo:
    return OpenMeteo(
        OpenMeteoServer(
            "api",
            user_agent="frostwatch-test",
            use=Use.COMMERCIAL,
            base_url=httpserver.url_for("").rstrip("/"),
            sleep=naps.append,
        )
    )


def server(use: Use, *, base_url: str = "", api_key: str = "") -> OpenMeteoServer:
    return OpenMeteoServer("api", user_agent="t", use=use, base_url=base_url, api_key=api_key)


Handler = Callable[[Request], Response]


def serve(httpserver: HTTPServer, handler: Handler) -> None:
    httpserver.expect_request("/v1/forecast").respond_with_handler(handler)


def answers(now: datetime) -> Handler:
    """A well-behaved server: an object for one place, a list for several."""

    def handler(request: Request) -> Response:
        latitudes = request.args["latitude"].split(",")
        body = open_meteo(now) if len(latitudes) == 1 else several(now, places(len(latitudes)))
        return Response(as_bytes(body), content_type="application/json")

    return handler


def failure(outcome: Outcome) -> FetchFailure:
    assert isinstance(outcome, FetchFailure), outcome
    return outcome


def test_the_request_is_the_default_one(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime
) -> None:
    serve(httpserver, answers(now))
    assert isinstance(provider.fetch([HERE], now=now)[HERE.key], Fetched)
    request, _ = httpserver.log[0]
    assert parse_qs(request.query_string.decode()) == {
        "latitude": ["54.4"],
        "longitude": ["-2.9"],
        "elevation": ["125"],
        "hourly": [
            "temperature_2m,dew_point_2m,relative_humidity_2m,wind_speed_10m,wind_gusts_10m,"
            "shortwave_radiation,cloud_cover,precipitation,snowfall,soil_temperature_0cm"
        ],
        "past_hours": ["120"],
        "forecast_hours": ["168"],
        "wind_speed_unit": ["ms"],
        "timeformat": ["unixtime"],
        "timezone": ["GMT"],
        "cell_selection": ["land"],
    }
    assert request.headers["User-Agent"] == "frostwatch-test"


def test_a_place_asked_twice_is_asked_once(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime
) -> None:
    serve(httpserver, answers(now))
    found = provider.fetch([HERE, HERE, HERE], now=now)
    assert list(found) == [HERE.key]
    assert httpserver.log[0][0].args["latitude"] == "54.4"


def test_250_places_are_three_requests_of_at_most_100_with_a_pause_between(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime, naps: list[float]
) -> None:
    serve(httpserver, answers(now))
    found = provider.fetch(places(250), now=now)
    sizes = [len(request.args["latitude"].split(",")) for request, _ in httpserver.log]
    assert sizes == [100, 100, 50]
    assert all(isinstance(one, Fetched) for one in found.values())
    assert len(found) == 250
    assert min(naps) >= 1.0


def test_places_without_a_height_are_asked_apart_and_without_elevation(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime
) -> None:
    serve(httpserver, answers(now))
    provider.fetch([HERE, point_for(50.0, 8.0, None)], now=now)
    assert ["elevation" in request.args for request, _ in httpserver.log] == [True, False]


def test_the_kept_payload_reads_as_the_same_forecast(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime
) -> None:
    serve(httpserver, answers(now))
    for point in places(3):
        fetched = provider.fetch(places(3), now=now)[point.key]
        assert isinstance(fetched, Fetched)
        again = provider.parse(fetched.payload, [point], now)[point.key]
        assert not isinstance(again, FetchFailure)
        assert again.start == fetched.forecast.start
        assert again.height_m == fetched.forecast.height_m
        assert (again.columns["air_c"] == fetched.forecast.columns["air_c"]).all()


def test_a_key_goes_into_a_header_and_never_into_the_address(
    httpserver: HTTPServer, now: datetime
) -> None:
    serve(httpserver, answers(now))
    provider = OpenMeteo(server(Use.COMMERCIAL, base_url=httpserver.url_for(""), api_key="k-123"))
    provider.fetch([HERE], now=now)
    request, _ = httpserver.log[0]
    assert request.headers["X-Api-Key"] == "k-123"
    assert "k-123" not in request.url


def test_commercial_use_of_the_free_host_is_refused_with_three_ways_out() -> None:
    with pytest.raises(SettingsError) as refused:
        server(Use.COMMERCIAL)
    for way in ("api_key", "base_url", "met-norway"):
        assert way in str(refused.value)


def test_commercial_use_of_the_free_host_by_its_address_is_refused_too() -> None:
    with pytest.raises(SettingsError):
        server(Use.COMMERCIAL, base_url="https://api.open-meteo.com")
    with pytest.raises(SettingsError):
        server(Use.COMMERCIAL, base_url="https://API.open-meteo.com", api_key="k")


def test_who_may_use_which_host() -> None:
    private = server(Use.PRIVATE)
    customer = server(Use.COMMERCIAL, api_key="k")
    own = server(Use.COMMERCIAL, base_url="http://forecast.example:8080")
    assert (private.base_url, private.commercial) == ("https://api.open-meteo.com", Commercial.NO)
    assert (customer.base_url, customer.commercial) == (
        "https://customer-api.open-meteo.com",
        Commercial.KEY,
    )
    assert (own.host, own.commercial) == ("forecast.example", Commercial.YES)
    assert [limit.weight for limit in private.limits] == [600, 5000, 10000]
    assert customer.limits == own.limits == ()


@pytest.mark.parametrize("base_url", ["forecast.example", "ftp://forecast.example", "http://"])
def test_an_address_without_scheme_or_host_is_refused(base_url: str) -> None:
    with pytest.raises(SettingsError, match="base_url"):
        server(Use.PRIVATE, base_url=base_url)


@pytest.mark.parametrize(
    ("variables", "days", "weight"),
    [(10, 14, 1.0), (12, 9, 1.2), (10, 16, 1.143), (30, 9, 3.0), (31, 7, 3.1), (10, 365, 26.07)],
)
def test_weight_follows_the_published_formula(variables: int, days: float, weight: float) -> None:
    """Rows of the table computed from the server's rule, 10 variables x 3 models = 30."""
    assert call_weight(variables, days) == pytest.approx(weight, abs=0.005)


def test_the_default_request_weighs_exactly_one_a_place(provider: OpenMeteo) -> None:
    assert provider.weight(1) == 1.0
    assert provider.weight(100) == 100.0


@pytest.mark.parametrize(
    ("reason", "until"),
    [
        (
            "Minutely API request limit exceeded. Please try again in one minute.",
            datetime(2026, 12, 1, 6, 6, tzinfo=UTC),
        ),
        (
            "Hourly API request limit exceeded. Please try again in the next hour.",
            datetime(2026, 12, 1, 7, 0, tzinfo=UTC),
        ),
        (
            "Daily API request limit exceeded. Please try again tomorrow.",
            datetime(2026, 12, 2, 0, 0, tzinfo=UTC),
        ),
        ("Too many concurrent requests", datetime(2026, 12, 1, 6, 5, 5, tzinfo=UTC)),
    ],
)
@pytest.mark.parametrize("status", [429, 400, 200])
def test_a_used_up_limit_is_waited_for_whatever_its_status(
    httpserver: HTTPServer,
    provider: OpenMeteo,
    now: datetime,
    reason: str,
    until: datetime,
    status: int,
) -> None:
    body = {"error": True, "reason": reason}
    serve(httpserver, lambda _: Response(as_bytes(body), status))
    found = provider.fetch(places(7), now=now)
    refused = failure(found[places(7)[3].key])
    assert refused.kind is FailureKind.THROTTLED
    assert reason in refused.message
    assert refused.retry_at is not None
    assert until <= refused.retry_at <= until + timedelta(seconds=30)
    assert len(httpserver.log) == 1


def test_a_429_with_another_body_is_waited_for_a_minute(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime
) -> None:
    serve(httpserver, lambda _: Response(b"<html>slow down</html>", 429))
    assert failure(provider.fetch([HERE], now=now)[HERE.key]).retry_at == now + timedelta(minutes=1)


def test_retry_after_is_obeyed(httpserver: HTTPServer, provider: OpenMeteo, now: datetime) -> None:
    serve(httpserver, lambda _: Response(b"busy", 503, {"Retry-After": "120"}))
    refused = failure(provider.fetch([HERE], now=now)[HERE.key])
    assert refused.kind is FailureKind.UNREACHABLE
    assert refused.retry_at == now + timedelta(seconds=120)
    assert len(httpserver.log) == 1


def test_one_bad_place_does_not_take_the_batch_with_it(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime
) -> None:
    asked = places(64)
    bad = f"{asked[37].latitude_deg:g}"

    def handler(request: Request) -> Response:
        latitudes = request.args["latitude"].split(",")
        if bad in latitudes:
            reason = {"error": True, "reason": "No data is available for this location"}
            return Response(as_bytes(reason), 400)
        body = open_meteo(now) if len(latitudes) == 1 else several(now, places(len(latitudes)))
        return Response(as_bytes(body))

    serve(httpserver, handler)
    found = provider.fetch(asked, now=now)
    refused = failure(found[asked[37].key])
    assert refused.kind is FailureKind.NOT_COVERED
    assert sum(isinstance(one, Fetched) for one in found.values()) == 63
    assert len(httpserver.log) <= 17


def test_a_request_that_is_wrong_for_all_places_is_not_asked_for_ever(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime
) -> None:
    reason = {"reason": "Data corrupted at path ''. Cannot initialize variable", "error": True}
    serve(httpserver, lambda _: Response(as_bytes(reason), 400))
    found = provider.fetch(places(100), now=now)
    assert {failure(one).kind for one in found.values()} == {FailureKind.REFUSED}
    assert len(httpserver.log) <= 17


@pytest.mark.parametrize("status", [401, 403])
def test_a_refused_key_says_where_to_look(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime, status: int
) -> None:
    reason = {"error": True, "reason": "The supplied API key is invalid."}
    serve(httpserver, lambda _: Response(as_bytes(reason), status))
    refused = failure(provider.fetch([HERE], now=now)[HERE.key])
    assert refused.kind is FailureKind.REFUSED
    assert "api_key" in refused.message
    assert len(httpserver.log) == 1


@pytest.mark.parametrize(
    "trouble",
    [
        Response(b"bad gateway", 502),
        Response(b'{"error":true,"reason":"The service is overloaded"}', 503),
        Response(b"[{" + STREAM_BROKE, 200),
        Response(b"", 200),
    ],
)
def test_a_passing_trouble_is_tried_three_times_in_all(
    httpserver: HTTPServer,
    provider: OpenMeteo,
    now: datetime,
    naps: list[float],
    trouble: Response,
) -> None:
    serve(httpserver, lambda _: trouble)
    refused = failure(provider.fetch([HERE], now=now)[HERE.key])
    assert refused.kind is FailureKind.UNREACHABLE
    assert len(httpserver.log) == 3
    assert naps == [2.0, 4.0]


def test_the_third_try_may_still_bring_the_forecast(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime
) -> None:
    troubles = [Response(b"", 503), Response(b"[{" + STREAM_BROKE)]
    good = answers(now)
    serve(httpserver, lambda request: troubles.pop(0) if troubles else good(request))
    assert isinstance(provider.fetch([HERE], now=now)[HERE.key], Fetched)


def test_a_body_shorter_than_announced_is_a_trouble_of_the_line(
    httpserver: HTTPServer, provider: OpenMeteo, now: datetime
) -> None:
    body = as_bytes(open_meteo(now))[:2000]
    serve(httpserver, lambda _: Response(body, 200, {"Content-Length": "90000"}))
    assert failure(provider.fetch([HERE], now=now)[HERE.key]).kind is FailureKind.UNREACHABLE


def test_a_line_that_fails_is_told_without_the_librarys_own_names(
    now: datetime, naps: list[float]
) -> None:
    server = OpenMeteoServer(
        "api", user_agent="t", use=Use.PRIVATE, base_url="http://127.0.0.1:9", sleep=naps.append
    )
    failure = OpenMeteo(server).fetch([HERE], now=now)[HERE.key]
    assert isinstance(failure, FetchFailure)
    assert "no connection: Connection refused" in failure.message
    assert "HTTPConnection" not in failure.message


def test_a_server_that_is_not_there_is_unreachable(now: datetime, naps: list[float]) -> None:
    nobody = OpenMeteo(
        OpenMeteoServer(
            "api",
            user_agent="t",
            use=Use.PRIVATE,
            base_url="http://127.0.0.1:9",
            sleep=naps.append,
        )
    )
    refused = failure(nobody.fetch([HERE], now=now)[HERE.key])
    assert refused.kind is FailureKind.UNREACHABLE
    assert "3 tries" in refused.message
