"""``frostwatch tonight``: one van, nothing set up, against a forecast server on loopback."""

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from pytest_httpserver import HTTPServer
from werkzeug import Request, Response

from frostwatch.weather.providers.recorded import ARRIVAL
from frostwatch.wiring import utc_now
from tests.builders import FLEET_TOML
from tests.cli.conftest import Cli
from tests.worlds import Weather, open_meteo_reply

HERE = ("--lat", "54.74", "--lon", "-2.31", "--height", "410", "--zone", "Europe/London")
WATER = ("--layout", "panel-van", "--water", "fresh=20,waste=8,heater=10")
AT = datetime(2026, 12, 1, 16, 5, tzinfo=UTC)

Serve = Callable[[Weather], None]


@pytest.fixture
def serve(httpserver: HTTPServer, at_home: Path) -> Iterator[Serve]:
    """Answer forecast requests with the weather given; settings that lead there."""
    (at_home / "frostwatch.toml").write_text(
        f'[weather.open_meteo]\nbase_url = "{httpserver.url_for("").rstrip("/")}"\n'
    )

    def start(weather: Weather) -> None:
        def answer(request: Request) -> Response:
            return Response(open_meteo_reply(weather, utc_now()), content_type="application/json")

        httpserver.expect_request("/v1/forecast").respond_with_handler(answer)
        heights = {"elevation": [410.0] * 9}
        httpserver.expect_request("/v1/elevation").respond_with_json(heights)
        httpserver.expect_request("/v1/ensemble").respond_with_data(status=404)

    yield start
    httpserver.clear()


def cold_tonight() -> Weather:
    weather = Weather()
    weather.cold(utc_now() + timedelta(hours=8))
    return weather


@pytest.fixture
def replies(at_home: Path) -> Path:
    """A recorded reply, cold from 20:00 on 1 December 2026."""
    weather = Weather()
    weather.cold(datetime(2026, 12, 1, 20, tzinfo=UTC))
    folder = at_home / "past" / "forecasts" / "open-meteo" / "anywhere"
    folder.mkdir(parents=True)
    issued = datetime(2026, 12, 1, 15, tzinfo=UTC)
    (folder / f"{issued:{ARRIVAL}}.json").write_bytes(open_meteo_reply(weather, issued))
    return at_home / "past"


def test_a_cold_night_is_told_with_hours_chances_cautions_and_credit(
    cli: Cli, serve: Serve
) -> None:
    serve(cold_tonight())

    ran = cli("tonight", *HERE, *WATER)

    assert ran.status == 0, ran.err
    assert ran.out.startswith("Frost could do harm from ")
    assert "−8" in ran.out or "−7" in ran.out
    assert re.search(r"^F1 +locker +20\.0 ", ran.out, re.MULTILINE)
    assert re.search(r"^W3 +under the floor +8\.0 ", ran.out, re.MULTILINE)
    assert "H1" in ran.out
    for words in ("Estimate", "look before you act", "handbook first", "Open-Meteo", "CC BY 4.0"):
        assert words in ran.out
    assert "Hours in Europe/London" in ran.out
    for word in ("safe", "protected", "warning:"):
        assert word not in ran.out.lower()


def test_a_mild_week_says_how_far_that_is_known(cli: Cli, serve: Serve) -> None:
    weather = Weather()
    weather.spells = [(utc_now() - timedelta(days=5), utc_now() + timedelta(days=9), 15.0)]
    serve(weather)

    ran = cli("tonight", *HERE, *WATER)

    assert ran.status == 0
    assert re.match(r"No ice is likely in the \d+ h that are known\.", ran.out)


def test_machines_get_json_with_times_in_utc(cli: Cli, serve: Serve) -> None:
    serve(cold_tonight())

    found = cli("tonight", *HERE, *WATER, "--json").json

    items = {row["item"]: row for row in found["items"]}
    assert items["F1"]["litres"] == 20.0
    assert items["W3"]["harm"]["probability"] > 0.5
    assert datetime.fromisoformat(items["W3"]["ice"]["earliest"]).utcoffset() == timedelta(0)
    assert found["provider"] == "open-meteo"
    assert found["standing"] == "usable"
    assert found["coldest"]["cold_c"] <= found["coldest"]["likely_c"]
    assert found["attribution"]


def test_circuits_that_are_not_named_count_as_unknown(cli: Cli, serve: Serve) -> None:
    """Full for what could break, nearly empty (5 L) for how soon."""
    serve(cold_tonight())

    found = cli("tonight", *HERE, "--layout", "panel-van", "--json").json

    litres = {row["item"]: row["litres"] for row in found["items"]}
    assert litres["F1"] == 5.0
    assert litres["W3"] == 5.0


def test_what_is_named_dry_is_left_out(cli: Cli, serve: Serve) -> None:
    serve(cold_tonight())

    found = cli("tonight", *HERE, "--layout", "panel-van", "--water", "waste=0", "--json").json

    assert "W3" not in {row["item"] for row in found["items"]}


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--lat", "95", "--lon", "7"], "latitude is 95"),
        (["--lat", "nan", "--lon", "7"], "latitude is nan"),
        (["--lat", "47", "--lon", "-190"], "longitude is -190"),
        (["--lat", "47", "--lon", "7", "--height", "9999"], "height is 9999"),
        ([*HERE, "--layout", "spaceship"], "spaceship"),
        ([*HERE, *WATER[:2], "--water", "fresh=400"], "400 L is more than F1 fresh tank holds"),
        ([*HERE, *WATER[:2], "--water", "fresh=-1"], "fresh=-1"),
        ([*HERE, *WATER[:2], "--water", "fresh=nan"], "fresh=nan"),
        ([*HERE, *WATER[:2], "--water", "fresh"], "circuit=litres"),
        ([*HERE, *WATER[:2], "--water", "frsh=10"], "Did you mean 'fresh'?"),
        ([*HERE, "--layout", "small-camper", "--water", "heater=5"], "has no H1"),
    ],
)
def test_what_does_not_fit_is_said_and_nothing_goes_to_standard_output(
    cli: Cli, serve: Serve, arguments: list[str], words: str
) -> None:
    serve(Weather())

    ran = cli("tonight", *arguments)

    assert ran.status == 2
    assert ran.out == ""
    assert words in ran.err


def test_a_zone_nobody_knows_is_said(cli: Cli, serve: Serve) -> None:
    serve(Weather())

    ran = cli("tonight", "--lat", "54.7", "--lon", "-2.3", "--zone", "Europe/Atlantis")

    assert ran.status == 2
    assert ran.out == ""
    assert "'Europe/Atlantis' is not known" in ran.err


@pytest.mark.parametrize(
    ("status", "body"),
    [
        (200, b'{"error": true, "reason": "Latitude must be in range"}'),
        (404, b"no"),
        (429, b'{"error": true, "reason": "Daily API request limit exceeded."}'),
    ],
)
def test_without_a_forecast_it_never_says_that_there_is_no_frost(
    cli: Cli, httpserver: HTTPServer, at_home: Path, status: int, body: bytes
) -> None:
    (at_home / "frostwatch.toml").write_text(
        f'[weather.open_meteo]\nbase_url = "{httpserver.url_for("").rstrip("/")}"\n'
    )
    httpserver.expect_request("/v1/forecast").respond_with_data(body, status=status)

    ran = cli("tonight", *HERE, *WATER)

    assert ran.status == 2
    assert ran.out == ""
    assert "no usable forecast" in ran.err
    assert "This does not mean no frost. Treat tonight as frost" in ran.err


def test_recorded_replies_answer_for_a_past_night(cli: Cli, replies: Path) -> None:
    ran = cli("tonight", *HERE, *WATER, "--replies", str(replies), "--at", AT.isoformat())

    assert ran.status == 0, ran.err
    assert "Tue 01 Dec" in ran.out
    assert "Frost could do harm" in ran.out


def test_a_past_moment_before_any_reply_has_no_forecast(cli: Cli, replies: Path) -> None:
    ran = cli("tonight", *HERE, "--replies", str(replies), "--at", "2026-11-30T16:00Z")

    assert ran.status == 2
    assert "This does not mean no frost" in ran.err


def test_a_minus_sign_survives_a_terminal_that_lacks_it(shell: Cli, replies: Path) -> None:
    arguments = " ".join([*HERE, *WATER, "--replies", str(replies), "--at", AT.isoformat()])

    ran = shell(f"PYTHONUTF8=0 PYTHONIOENCODING=ascii frostwatch tonight {arguments} | head -2")

    assert ran.err == ""
    assert "\\u2212" in ran.out, "spelled out rather than lost"


def test_the_request_carries_the_place_rounded_to_a_kilometre(
    cli: Cli, serve: Serve, httpserver: HTTPServer
) -> None:
    serve(cold_tonight())

    cli("tonight", "--lat", "54.741234", "--lon", "-2.312345", *WATER, "--zone", "UTC")

    (request,) = [r for r, _ in httpserver.log if "shortwave_radiation" in r.args.get("hourly", "")]
    assert (request.args["latitude"], request.args["longitude"]) == ("54.74", "-2.31")
    assert request.args["elevation"] == "400", "looked up, since none was given"
    assert not any("1234" in r.url or "2345" in r.url for r, _ in httpserver.log)
    assert request.headers["User-Agent"].startswith("frostwatch/")


def test_of_a_site_that_nobody_keeps_it_is_said_that_nobody_is_told(
    cli: Cli, replies: Path, at_home: Path
) -> None:
    past = ("--site", "cold-rigg", "--replies", str(replies), "--at", AT.isoformat())
    kept, nobody = at_home / "kept.toml", at_home / "nobody.toml"
    people = FLEET_TOML[FLEET_TOML.index("[[person]]") : FLEET_TOML.index("[[vehicle]]")]
    nobody.write_text(FLEET_TOML.replace(people, "").replace('operator = "ailsa"\n', ""))
    kept.write_text(FLEET_TOML)

    assert cli("import", str(nobody)).status == 0
    ran = cli("tonight", *past)
    assert ran.status == 0, ran.err
    assert "nobody is entered who could be told about 2 of its vehicles" in ran.out
    assert "Enter a keeper or an operator." in ran.out
    assert "nobody is entered" in cli("tonight", *past, "--json").json["nobody_told"][0]

    assert cli("import", str(kept)).status == 0
    assert "nobody is entered" not in cli("tonight", *past).out
