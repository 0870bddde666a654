"""Bodies of the Bright Sky API (open data of the German weather service) -> frames. Pure.

Asked for in SI units: kelvin, m/s, joules per square metre. Rows come from stations, not from a
grid: the height is the station's, and fields may be null row by row.
"""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

import numpy as np

from frostwatch.errors import ForecastError
from frostwatch.units import KELVIN_AT_0_C
from frostwatch.weather.asking import Parsed
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure, Point
from frostwatch.weather.mending import Column, Origin, assemble
from frostwatch.weather.sun import estimated_sun_w_per_m2

NAME = "bright-sky"
ATTRIBUTION = (
    Attribution(
        text="Data: Deutscher Wetterdienst, via Bright Sky",
        url="https://brightsky.dev/",
        licence="Open data of Deutscher Wetterdienst, source to be named",
    ),
)
COLUMN_OF: Mapping[str, tuple[str, float, float]] = {
    "temperature": ("air_c", 1.0, -KELVIN_AT_0_C),
    "dew_point": ("dew_c", 1.0, -KELVIN_AT_0_C),
    "relative_humidity": ("humidity_fraction", 0.01, 0.0),
    "wind_speed": ("wind_m_per_s", 1.0, 0.0),
    "wind_gust_speed": ("gust_m_per_s", 1.0, 0.0),
    "solar": ("sun_w_per_m2", 1.0 / 3600.0, 0.0),
    "cloud_cover": ("cloud_fraction", 0.01, 0.0),
    "precipitation": ("precipitation_mm", 1.0, 0.0),
}
"""Field -> column, factor, offset. Sums cover the previous 60 minutes, as ours do."""
FARTHEST_M = 25_000.0
MOST_HEIGHT_APART_M = 150.0
"""Beyond these a station says too little about a place. Estimates."""
COLDEST_K = 200.0


def parse(body: bytes, points: Sequence[Point], fetched_at: datetime) -> dict[str, Parsed]:
    """The frame of the one place asked for, or why there is none."""
    found: Parsed
    try:
        if len(points) != 1:
            raise ForecastError(f"a reply speaks of one place, not of {len(points)}.")
        found = _read(json.loads(body), points[0], fetched_at)
    except (ForecastError, ValueError, KeyError, TypeError, AttributeError) as unusable:
        words = f"Bright Sky: the body cannot be read ({type(unusable).__name__}: {unusable})"
        found = FetchFailure(kind=FailureKind.BROKEN_REPLY, message=words)
    return dict.fromkeys((point.key for point in points), found)


def _read(body: dict[str, Any], point: Point, fetched_at: datetime) -> Parsed:
    rows, sources = body["weather"], {one["id"]: one for one in body["sources"]}
    if not rows:
        raise ForecastError("no rows.")
    ahead = [row for row in rows if _moment(row) >= fetched_at and row["temperature"] is not None]
    station = sources[ahead[-1]["source_id"]] if ahead else None
    if station is None:
        raise ForecastError("no hour ahead has a temperature.")
    too_far = _too_far(station, point)
    if too_far:
        return FetchFailure(kind=FailureKind.NOT_COVERED, message=f"Bright Sky: {too_far}")
    unix_s = np.array([int(_moment(row).timestamp()) for row in rows], dtype=np.int64)
    columns: dict[str, Column] = {}
    for field, (name, factor, offset) in COLUMN_OF.items():
        given = np.array([row.get(field) for row in rows], dtype=np.float64)
        if offset and np.nanmin(given, initial=1e9) < COLDEST_K:
            raise ForecastError(f"{field} does not come in kelvin, which was asked for.")
        columns[name] = given * factor + offset
    warnings = [f"Station {station.get('station_name') or station['id']}."]
    if np.isnan(columns["sun_w_per_m2"]).any():
        estimate = estimated_sun_w_per_m2(
            unix_s.astype(np.float64),
            columns["cloud_fraction"],
            point.latitude_deg,
            point.longitude_deg,
        )
        given = columns["sun_w_per_m2"]
        columns["sun_w_per_m2"] = np.where(np.isnan(given), estimate, given)
        warnings.append("Sun is estimated from its height and the cloud.")
    columns["step_h"] = np.ones(len(unix_s))
    return assemble(
        unix_s,
        columns,
        Origin(
            provider=NAME,
            fetched_at=fetched_at,
            height_m=float(station["height"]),
            attribution=ATTRIBUTION,
            warnings=tuple(warnings),
        ),
    )


def _moment(row: Mapping[str, Any]) -> datetime:
    """Time of a row; offsets may change within a reply, so each is read for itself."""
    moment = datetime.fromisoformat(row["timestamp"])
    if moment.tzinfo is None:
        raise ForecastError(f"the time {row['timestamp']!r} has no zone.")
    return moment


def _too_far(station: Mapping[str, Any], point: Point) -> str:
    """Why a station does not speak for a place, "" if it does."""
    distance_m = float(station["distance"])
    if distance_m > FARTHEST_M:
        return f"the nearest station is {distance_m / 1000:.0f} km away."
    apart_m = 0.0 if point.height_m is None else abs(float(station["height"]) - point.height_m)
    if apart_m >= MOST_HEIGHT_APART_M:
        return f"the nearest station lies {apart_m:.0f} m higher or lower."
    return ""
