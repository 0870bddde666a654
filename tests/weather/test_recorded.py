"""Forecasts out of a folder of recorded replies."""

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, point_for
from frostwatch.weather.providers import open_meteo_ensemble_reply
from frostwatch.weather.providers.open_meteo_ground import parse_ground
from frostwatch.weather.providers.open_meteo_reply import parse
from frostwatch.weather.providers.recorded import Recorded, arrival_of
from tests.weather.bodies import as_bytes, open_meteo

HERE = point_for(54.4, -2.9, 125.0)


def put(
    folder: Path, at: datetime, body: Any, *, kind: str = "forecasts", name: str = "open-meteo"
) -> None:
    path = folder / kind / name / "cold-rigg" / f"{at:%Y%m%dT%H%M%SZ}.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(body if isinstance(body, bytes) else as_bytes(body))


@pytest.fixture
def recorded(tmp_path: Path) -> Recorded:
    return Recorded(
        tmp_path,
        sites={HERE.key: ("cold-rigg",)},
        parsers={"open-meteo": parse},
        ensemble_parsers={"open-meteo": open_meteo_ensemble_reply.parse},
        ground_parsers={"open-meteo": parse_ground},
    )


def air_at(recorded: Recorded, now: datetime) -> float:
    found = recorded.at([HERE], now)[HERE.key]
    assert isinstance(found, Forecast), found
    return round(float(found.columns["air_c"].mean()), 1)


@pytest.mark.parametrize("name", ["open-meteo", "open_meteo"])
def test_the_newest_reply_that_had_arrived_counts(
    tmp_path: Path, recorded: Recorded, now: datetime, name: str
) -> None:
    for hours, mean_c in ((-6, 6.0), (-3, 3.0), (3, -3.0)):
        at = now + timedelta(hours=hours)
        put(tmp_path, at, open_meteo(at, mean_c=mean_c), name=name)
    assert air_at(recorded, now) == 3.0
    assert air_at(recorded, now + timedelta(hours=3)) == -3.0
    assert air_at(recorded, now - timedelta(hours=4)) == 6.0


def test_a_reply_is_known_from_its_arrival_and_not_a_second_earlier(
    tmp_path: Path, recorded: Recorded, now: datetime
) -> None:
    put(tmp_path, now, open_meteo(now))
    assert isinstance(recorded.at([HERE], now - timedelta(seconds=1))[HERE.key], FetchFailure)
    found = recorded.at([HERE], now)[HERE.key]
    assert isinstance(found, Forecast)
    assert found.fetched_at == now


@pytest.mark.parametrize("body", [b"", b"[{", b'{"error":true,"reason":"busy"}', b"\xff\xfe"])
def test_a_broken_reply_leaves_the_older_one_in_use_and_is_counted(
    tmp_path: Path, recorded: Recorded, now: datetime, body: bytes
) -> None:
    before = now - timedelta(hours=3)
    put(tmp_path, before, open_meteo(before, mean_c=2.0))
    put(tmp_path, now, body)
    assert air_at(recorded, now) == 2.0
    assert air_at(recorded, now) == 2.0
    assert recorded.counts.used == 1
    assert recorded.counts.failed == {"broken reply": 1}


def test_nothing_but_broken_replies_is_a_failure_that_says_why(
    tmp_path: Path, recorded: Recorded, now: datetime
) -> None:
    put(tmp_path, now, b"")
    found = recorded.at([HERE], now)[HERE.key]
    assert isinstance(found, FetchFailure)
    assert found.kind is FailureKind.BROKEN_REPLY


def test_an_empty_folder_is_no_forecast(recorded: Recorded, now: datetime) -> None:
    found = recorded.at([HERE], now)[HERE.key]
    assert isinstance(found, FetchFailure)
    assert "had arrived" in found.message


def test_files_that_are_no_replies_are_passed_over(
    tmp_path: Path, recorded: Recorded, now: datetime
) -> None:
    put(tmp_path, now, open_meteo(now))
    (tmp_path / "forecasts/open-meteo/cold-rigg/notes.json").write_text("{}")
    assert arrival_of(Path("notes.json")) is None
    assert isinstance(recorded.at([HERE], now)[HERE.key], Forecast)


def test_the_second_provider_stands_in_when_the_first_grows_old(
    tmp_path: Path, now: datetime
) -> None:
    recorded = Recorded(
        tmp_path,
        sites={HERE.key: ("cold-rigg",)},
        parsers={"first": parse, "second": parse},
    )
    put(tmp_path, now, open_meteo(now, mean_c=1.0), name="first")
    later = now + timedelta(hours=7)
    put(tmp_path, now, open_meteo(now, mean_c=5.0), name="second")
    put(tmp_path, later, open_meteo(later, mean_c=7.0), name="second")
    assert air_at(recorded, now) == 1.0
    assert air_at(recorded, later - timedelta(minutes=1)) == 1.0
    assert air_at(recorded, later) == 7.0


def test_spread_is_laid_beside_the_forecast_by_valid_hour(
    tmp_path: Path, recorded: Recorded, now: datetime
) -> None:
    put(tmp_path, now, open_meteo(now))
    first = int(now.replace(minute=0).timestamp())
    body = {
        "hourly_units": {"time": "unixtime", "temperature_2m": "°C", "temperature_2m_spread": "K"},
        "hourly": {
            "time": [first + 3600 * hour for hour in range(168)],
            "temperature_2m": [3.0] * 168,
            "temperature_2m_spread": [0.5 + hour / 100 for hour in range(168)],
        },
    }
    put(tmp_path, now, body, kind="ensemble")
    found = recorded.at([HERE], now)[HERE.key]
    assert isinstance(found, Forecast)
    spread = found.columns["air_spread_k"]
    assert spread[120] == pytest.approx(0.5)
    assert spread[220] == pytest.approx(1.5)
    assert spread[119] != spread[119]


def test_the_height_of_the_models_ground_is_laid_beside_from_its_arrival_on(
    tmp_path: Path, recorded: Recorded, now: datetime
) -> None:
    """Asked for at elevation=nan and at 125 m: 1.3 K apart is a ground 200 m higher."""
    put(tmp_path, now, open_meteo(now))
    bare, lifted = open_meteo(now, mean_c=2.0), open_meteo(now, mean_c=3.3, location_id=1)
    put(tmp_path, now + timedelta(hours=1), [bare, lifted], kind="ground")

    before, after = (recorded.at([HERE], now + timedelta(hours=h))[HERE.key] for h in (0, 2))

    assert isinstance(before, Forecast)
    assert isinstance(after, Forecast)
    assert before.grid_height_m is None
    assert after.grid_height_m == pytest.approx(325.0, abs=2.0)
