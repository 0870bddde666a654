"""Bodies in the documented shapes of the forecast APIs, written for these tests.

Shapes and key order follow the public documentation and server source of Open-Meteo (August 2026)
and the documentation of MET Norway and Bright Sky; every number is invented.
"""

import json
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from frostwatch.weather.forecast import Point

UNITS = {
    "time": "unixtime",
    "temperature_2m": "°C",
    "dew_point_2m": "°C",
    "relative_humidity_2m": "%",
    "wind_speed_10m": "m/s",
    "wind_gusts_10m": "m/s",
    "shortwave_radiation": "W/m²",
    "cloud_cover": "%",
    "precipitation": "mm",
    "snowfall": "cm",
    "soil_temperature_0cm": "°C",
}


def open_meteo(
    now: datetime,
    *,
    mean_c: float = 3.0,
    hours: int = 288,
    past_h: int = 120,
    elevation_m: float | None = 125.0,
    location_id: int = 0,
) -> dict[str, Any]:
    """One place's part of a body: 120 past and 168 coming hours."""
    start = now.replace(minute=0, second=0, microsecond=0) - timedelta(hours=past_h)
    first = int(start.timestamp())
    hour = np.arange(hours)
    air_c = np.round(mean_c + 4.0 * np.sin((hour - 5.0) * np.pi / 12), 1)
    hourly: dict[str, list[Any]] = {
        "time": [first + 3600 * int(h) for h in hour],
        "temperature_2m": air_c.tolist(),
        "dew_point_2m": np.round(air_c - 2.0, 1).tolist(),
        "relative_humidity_2m": [86] * hours,
        "wind_speed_10m": [2.31] * hours,
        "wind_gusts_10m": [5.4] * hours,
        "shortwave_radiation": [0.0] * hours,
        "cloud_cover": [25] * hours,
        "precipitation": [0.0] * hours,
        "snowfall": [0.0] * hours,
        "soil_temperature_0cm": [None] * hours,
    }
    body: dict[str, Any] = {
        "latitude": 54.4,
        "longitude": -2.92,
        "generationtime_ms": 0.2,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "timezone_abbreviation": "GMT",
    }
    if elevation_m is not None:
        body["elevation"] = elevation_m
    if location_id:
        body["location_id"] = location_id
    return body | {"hourly_units": dict(UNITS), "hourly": hourly}


def several(now: datetime, points: list[Point]) -> list[dict[str, Any]]:
    """The list that comes back for several places; the first one has no location_id."""
    return [
        open_meteo(now, mean_c=float(number % 10), elevation_m=point.height_m, location_id=number)
        for number, point in enumerate(points)
    ]


def as_bytes(body: Any) -> bytes:
    return json.dumps(body, ensure_ascii=False).encode()


STREAM_BROKE = b"Unexpected error while streaming data: connection reset"
