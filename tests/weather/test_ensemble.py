"""Mean and spread, members, and the names that members go by."""

from datetime import datetime, timedelta
from typing import Any

import numpy as np
import pytest
from pytest_httpserver import HTTPServer

from frostwatch.weather.asking import Fetched, Use
from frostwatch.weather.ensemble import with_spread
from frostwatch.weather.forecast import FetchFailure, Forecast, point_for
from frostwatch.weather.providers.open_meteo_ensemble import OpenMeteoEnsemble
from frostwatch.weather.providers.open_meteo_ensemble_reply import parse
from frostwatch.weather.providers.open_meteo_server import OpenMeteoServer
from tests.weather.bodies import as_bytes
from tests.weather.frames import PAST_H, a_frame

HERE = point_for(54.4, -2.9, 125.0)
HOURS = 168


def a_body(now: datetime, columns: dict[str, list[Any]], unit: str = "°C") -> dict[str, Any]:
    first = int(now.replace(minute=0).timestamp())
    return {
        "latitude": 54.5,
        "longitude": -2.75,
        "utc_offset_seconds": 0,
        "elevation": 125.0,
        "hourly_units": {"time": "unixtime"} | dict.fromkeys(columns, unit),
        "hourly": {"time": [first + 3600 * hour for hour in range(HOURS)]} | columns,
    }


def members(count: int, suffix: str = "") -> dict[str, list[Any]]:
    """A control of 2 degC and members that lie 1 K apart around it."""
    names = [f"temperature_2m{suffix}"]
    names += [f"temperature_2m_member{number:02d}{suffix}" for number in range(1, count)]
    middle = (count - 1) / 2
    return {name: [2.0 + order - middle] * HOURS for order, name in enumerate(names)}


def read(body: dict[str, Any], now: datetime) -> Forecast:
    found = parse(as_bytes(body), [HERE], now)[HERE.key]
    assert isinstance(found, Forecast), found
    return found


def refused(body: dict[str, Any], now: datetime) -> str:
    found = parse(as_bytes(body), [HERE], now)[HERE.key]
    assert isinstance(found, FetchFailure)
    return found.message


def test_mean_and_spread_are_read_as_they_come(now: datetime) -> None:
    body = a_body(now, {"temperature_2m": [1.5] * HOURS, "temperature_2m_spread": [0.9] * HOURS})
    body["hourly_units"]["temperature_2m_spread"] = "K"
    ensemble = read(body, now)
    assert ensemble.columns["air_spread_k"] == pytest.approx(0.9)
    assert ensemble.columns["air_c"] == pytest.approx(1.5)
    assert ensemble.known_since == now


def test_twenty_one_columns_are_a_control_and_twenty_members(now: datetime) -> None:
    ensemble = read(a_body(now, members(21)), now)
    assert ensemble.model == "21 members"
    assert ensemble.columns["air_c"] == pytest.approx(2.0)
    assert ensemble.columns["air_spread_k"] == pytest.approx(np.std(np.arange(21), ddof=1))


@pytest.mark.parametrize("suffix", ["", "_icon_seamless_eps", "_ncep_gefs_seamless"])
def test_members_are_known_whether_a_models_suffix_stays_changes_or_disappears(
    now: datetime, suffix: str
) -> None:
    assert read(a_body(now, members(21, suffix)), now).model == "21 members"


def test_a_member_that_ends_early_leaves_the_spread_of_the_others(now: datetime) -> None:
    columns = members(21)
    columns["temperature_2m_member20"][100:] = [None] * (HOURS - 100)
    spread = read(a_body(now, columns), now).columns["air_spread_k"]
    assert spread[120] == pytest.approx(np.std(np.arange(20), ddof=1))


def test_hours_in_which_hardly_a_member_is_left_have_no_spread(now: datetime) -> None:
    columns = members(21)
    for name in list(columns)[3:]:
        columns[name][100:] = [None] * (HOURS - 100)
    ensemble = read(a_body(now, columns), now)
    assert ensemble.hours == 100


def test_a_handful_of_members_is_no_ensemble(now: datetime) -> None:
    assert "3 members" in refused(a_body(now, members(3)), now)


def test_members_in_another_unit_are_refused(now: datetime) -> None:
    assert "'°F'" in refused(a_body(now, members(21), unit="°F"), now)


def test_a_spread_of_nothing_but_nulls_is_refused(now: datetime) -> None:
    body = a_body(now, {"temperature_2m": [1.5] * HOURS, "temperature_2m_spread": [None] * HOURS})
    assert "only nulls" in refused(body, now)


def test_a_spread_older_than_a_day_and_a_half_is_left_aside(now: datetime) -> None:
    ensemble = read(a_body(now, members(21)), now)
    forecast = a_frame(now)
    fresh = with_spread(forecast, ensemble, now + timedelta(hours=36))
    assert fresh.columns["air_spread_k"][PAST_H + 5] > 1.0
    assert with_spread(forecast, ensemble, now + timedelta(hours=37)) is forecast
    assert with_spread(forecast, None, now) is forecast


@pytest.mark.parametrize(
    ("wanted", "weight", "hourly", "models"),
    [
        (False, 1.0, "temperature_2m,temperature_2m_spread", "ecmwf_ifs025_ensemble_mean"),
        (True, 4.0, "temperature_2m", "icon_seamless"),
    ],
)
def test_the_request_asks_for_mean_and_spread_or_for_members(
    httpserver: HTTPServer, now: datetime, wanted: bool, weight: float, hourly: str, models: str
) -> None:
    server = OpenMeteoServer(
        "ensemble-api", user_agent="t", use=Use.PRIVATE, base_url=httpserver.url_for("")
    )
    provider = OpenMeteoEnsemble(server, members=wanted)
    httpserver.expect_request("/v1/ensemble").respond_with_data(as_bytes(a_body(now, members(21))))
    assert isinstance(provider.fetch([HERE], now=now)[HERE.key], Fetched)
    arguments = httpserver.log[0][0].args
    assert arguments["hourly"] == hourly
    assert arguments["models"] == models
    assert arguments["forecast_hours"] == "168"
    assert provider.weight(1) == weight
