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

MET_UNITS = {
    "air_temperature": "celsius",
    "air_temperature_min": "celsius",
    "dew_point_temperature": "celsius",
    "relative_humidity": "%",
    "wind_speed": "m/s",
    "cloud_area_fraction": "%",
    "precipitation_amount": "mm",
}
MET_HOURLY = 54


def met_air_c(hour: float, mean_c: float = 0.0) -> float:
    """The air that the MET bodies sample: a daily wave, coldest at 03:00 UTC."""
    return mean_c - 4.0 * float(np.cos((hour - 3.0) * np.pi / 12))


def met_norway(
    now: datetime,
    *,
    mean_c: float = 0.0,
    height_m: float = 125.0,
    percentiles: bool = False,
    updated_at: datetime | None = None,
) -> dict[str, Any]:
    """54 hourly entries, then six-hourly ones at 00, 06, 12, 18 UTC; the last has no period."""
    start = now.replace(minute=0, second=0, microsecond=0)
    stamps = [start + timedelta(hours=hour) for hour in range(MET_HOURLY)]
    while stamps[-1].hour % 6:
        stamps.append(stamps[-1] + timedelta(hours=1))
    stamps += [stamps[-1] + timedelta(hours=6 * step) for step in range(1, 29)]
    midnight = start.replace(hour=0)
    series = []
    for number, stamp in enumerate(stamps):
        hour = (stamp - midnight) / timedelta(hours=1)
        details: dict[str, Any] = {
            "air_temperature": round(met_air_c(hour, mean_c), 1),
            "dew_point_temperature": round(met_air_c(hour, mean_c) - 2.0, 1),
            "relative_humidity": 85.0,
            "wind_speed": 2.5,
            "cloud_area_fraction": 30.0,
        }
        if percentiles:
            details["air_temperature_percentile_10"] = details["air_temperature"] - 1.2815
            details["air_temperature_percentile_90"] = details["air_temperature"] + 1.2815
        data: dict[str, Any] = {"instant": {"details": details}}
        last = number == len(stamps) - 1
        if not last:
            lowest = min(met_air_c(hour + step / 4, mean_c) for step in range(25))
            data["next_6_hours"] = {
                "summary": {"symbol_code": "cloudy"},
                "details": {"air_temperature_min": round(lowest, 1), "precipitation_amount": 1.2},
            }
            data["next_12_hours"] = {"summary": {"symbol_code": "cloudy"}, "details": {}}
            if stamps[number + 1] - stamp == timedelta(hours=1):
                data["next_1_hours"] = {
                    "summary": {"symbol_code": "rain"},
                    "details": {"precipitation_amount": 0.1 * (number % 3)},
                }
        series.append({"time": f"{stamp:%Y-%m-%dT%H:%M:%SZ}", "data": data})
    issued = updated_at or now - timedelta(minutes=40)
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-2.9, 54.4, height_m]},
        "properties": {
            "meta": {"updated_at": f"{issued:%Y-%m-%dT%H:%M:%SZ}", "units": dict(MET_UNITS)},
            "timeseries": series,
        },
    }


def bright_sky(
    now: datetime, *, mean_c: float = 2.0, height_m: float = 110.0, distance_m: float = 8000.0
) -> dict[str, Any]:
    """Observed rows of one station up to now, forecast rows of another from there; SI units."""
    start = now.replace(minute=0, second=0, microsecond=0) - timedelta(hours=120)
    rows: list[dict[str, Any]] = []
    for hour in range(289):
        stamp = start + timedelta(hours=hour)
        kelvin = round(273.15 + mean_c + 4.0 * float(np.sin((hour - 5.0) * np.pi / 12)), 2)
        rows.append(
            {
                "timestamp": stamp.isoformat(),
                "source_id": 11 if hour <= 120 else 12,
                "temperature": kelvin,
                "dew_point": round(kelvin - 2.0, 2),
                "relative_humidity": 86,
                "wind_speed": 2.4,
                "wind_gust_speed": 5.5,
                "solar": 360_000.0 if 9 <= stamp.hour <= 15 else 0.0,
                "cloud_cover": 25,
                "precipitation": 0.0,
                "condition": "dry",
                "icon": "cloudy",
                "fallback_source_ids": {},
            }
        )
    common = {"lat": 50.0, "lon": 8.0, "height": height_m, "distance": distance_m}
    return {
        "weather": rows,
        "sources": [
            {"id": 11, "observation_type": "synop", "station_name": "Invented Moor", **common},
            {"id": 12, "observation_type": "forecast", "station_name": "Invented Moor", **common},
        ],
    }
