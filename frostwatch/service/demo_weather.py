"""The demo's weather: replies in the form of a forecast API, written from an invented course."""

import json
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.weather.providers.open_meteo_reply import NAME
from frostwatch.weather.providers.recorded import ARRIVAL

ISSUE_EVERY_H = 3
PAST_H = 120
AHEAD_H = 168
DAYS = 8
"""Days for which the demo has forecasts ..."""
BEFORE_H = 99
"""... and hours before its day."""


def write_replies(folder: Path, places: list[Mapping[str, Any]], midnight: datetime) -> None:
    """Write the replies of all places for the demo's day, four days before it and the week after.

    Args:
        folder: folder of recorded replies; made if missing.
        places: rows of the demo's weather file.
        midnight: 00:00 UTC of the demo's day.
    """
    for place in places:
        target = folder / "forecasts" / NAME / str(place["site"])
        target.mkdir(parents=True, exist_ok=True)
        for issue_h in range(-BEFORE_H, 24 * DAYS, ISSUE_EVERY_H):
            arrival = midnight + timedelta(hours=issue_h, minutes=5)
            body = json.dumps(_reply(place, midnight, issue_h))
            (target / f"{arrival:{ARRIVAL}}.json").write_text(body, encoding="utf-8")


def course_c(place: Mapping[str, Any], hours: NDArray[np.float64]) -> NDArray[np.float64]:
    """Invented air [degC] at hours after the demo's midnight: half cosines between the rows."""
    at, air = np.array(place["air"], float).T
    upper = np.clip(np.searchsorted(at, hours, side="right"), 1, len(at) - 1)
    share = np.clip((hours - at[upper - 1]) / (at[upper] - at[upper - 1]), 0.0, 1.0)
    swing = 0.5 - 0.5 * np.cos(np.pi * share)
    return np.asarray(air[upper - 1] + swing * (air[upper] - air[upper - 1]))


def _reply(place: Mapping[str, Any], midnight: datetime, issue_h: int) -> dict[str, Any]:
    hours = np.arange(issue_h - PAST_H, issue_h + AHEAD_H + 1, dtype=float)
    lead_days = np.clip((hours - issue_h) / 24.0, 0.0, 3.0)
    air_c = course_c(place, hours) + place["drift_k_per_day"] * lead_days
    cloud = np.where(hours < place["clear_from"], place["cloud_before"], place["cloud_after"])
    stamps = (int(midnight.timestamp()) + 3600 * hours.astype(int)).tolist()
    columns: dict[str, tuple[str, NDArray[np.float64]]] = {
        "temperature_2m": ("°C", air_c.round(1)),
        "dew_point_2m": ("°C", (air_c - 2.0).round(1)),
        "relative_humidity_2m": ("%", np.full_like(air_c, 86.0)),
        "wind_speed_10m": ("m/s", np.full_like(air_c, place["wind_m_per_s"])),
        "wind_gusts_10m": ("m/s", np.full_like(air_c, 2.0 * place["wind_m_per_s"])),
        "shortwave_radiation": ("W/m²", np.zeros_like(air_c)),
        "cloud_cover": ("%", cloud),
        "precipitation": ("mm", np.zeros_like(air_c)),
        "snowfall": ("cm", np.zeros_like(air_c)),
        "soil_temperature_0cm": ("°C", (air_c + 0.5).round(1)),
    }
    return {
        "latitude": 0.0,
        "longitude": 0.0,
        "generationtime_ms": 0.1,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "timezone_abbreviation": "GMT",
        "hourly_units": {"time": "unixtime"} | {name: unit for name, (unit, _) in columns.items()},
        "hourly": {"time": stamps} | {name: row.tolist() for name, (_, row) in columns.items()},
    }


def midnight_of(moment: datetime) -> datetime:
    """00:00 UTC of that day."""
    return moment.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
