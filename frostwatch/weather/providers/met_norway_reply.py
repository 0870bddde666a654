"""Bodies of MET Norway Locationforecast 2.0 ``complete`` -> frames. Pure.

Traps: periods point forward; after two days the instants lie six hours apart and miss the night
minimum, which stands in ``next_6_hours``; the last instant has no period; there is no sun and no
past.
"""

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import ForecastError
from frostwatch.weather.asking import Parsed
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure, Forecast, Point
from frostwatch.weather.mending import Column, Origin, assemble
from frostwatch.weather.sun import estimated_sun_w_per_m2

NAME = "met-norway"
ATTRIBUTION = (
    Attribution(
        text="Based on data from MET Norway",
        url="https://api.met.no/",
        licence="CC BY 4.0 / NLOD 2.0",
    ),
)
INSTANTS = {
    "air_temperature": ("air_c", "celsius", 1.0),
    "dew_point_temperature": ("dew_c", "celsius", 1.0),
    "relative_humidity": ("humidity_fraction", "%", 0.01),
    "wind_speed": ("wind_m_per_s", "m/s", 1.0),
    "cloud_area_fraction": ("cloud_fraction", "%", 0.01),
}
"""Detail -> column, unit in which it must come, factor; straight lines between instants."""
LONGEST_STEP_H = 6
DECILES_APART = 2.563
"""Distance of the 90th from the 10th percentile of a normal distribution in standard deviations."""


def parse(body: bytes, points: Sequence[Point], fetched_at: datetime) -> dict[str, Parsed]:
    """The frame of the one place asked for, or why there is none."""
    found: Parsed
    try:
        if len(points) != 1:
            raise ForecastError(f"a reply speaks of one place, not of {len(points)}.")
        found = _read(json.loads(body), points[0], fetched_at)
    except (ForecastError, ValueError, KeyError, TypeError, AttributeError) as unusable:
        words = f"MET Norway: the body cannot be read ({type(unusable).__name__}: {unusable})"
        found = FetchFailure(kind=FailureKind.BROKEN_REPLY, message=words)
    return dict.fromkeys((point.key for point in points), found)


def _read(body: dict[str, Any], point: Point, fetched_at: datetime) -> Forecast:
    properties = body["properties"]
    units = properties["meta"]["units"]
    entries = _even(properties["timeseries"])
    unix_s = np.array([_unix_s(entry["time"]) for entry in entries], dtype=np.int64)
    hours = (unix_s - unix_s[0]) // 3600
    grid_s = unix_s[0] + 3600 * np.arange(int(hours[-1]) + 1)
    columns: dict[str, Column] = {}
    for detail, (name, unit, factor) in INSTANTS.items():
        values = _instants(entries, detail)
        if units.get(detail) != unit and not np.isnan(values).all():
            raise ForecastError(f"{detail} comes in {units.get(detail)!r}, not in {unit}.")
        columns[name] = np.interp(np.arange(len(grid_s)), hours, values) * factor
    columns |= _periods(entries, hours, len(grid_s))
    spread_k = _instants(entries, "air_temperature_percentile_90") - _instants(
        entries, "air_temperature_percentile_10"
    )
    if not np.isnan(spread_k).all():
        columns["air_spread_k"] = np.interp(np.arange(len(grid_s)), hours, spread_k) / DECILES_APART
    columns["sun_w_per_m2"] = estimated_sun_w_per_m2(
        grid_s.astype(np.float64),
        columns["cloud_fraction"],
        point.latitude_deg,
        point.longitude_deg,
    )
    place = body["geometry"]["coordinates"]
    return assemble(
        grid_s,
        columns,
        Origin(
            provider=NAME,
            fetched_at=fetched_at,
            issued_at=_moment(properties["meta"]["updated_at"]),
            height_m=float(place[2]) if len(place) > 2 else point.height_m,
            attribution=ATTRIBUTION,
            warnings=("Sun is estimated from its height and the cloud.",),
        ),
    )


def _even(entries: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The entries up to the first step that is longer than six hours."""
    for number in range(1, len(entries)):
        step_s = _unix_s(entries[number]["time"]) - _unix_s(entries[number - 1]["time"])
        if not 0 < step_s <= LONGEST_STEP_H * 3600:
            if step_s <= 0:
                raise ForecastError(f"the times go back or repeat at {entries[number]['time']}.")
            return entries[:number]
    return entries


def _unix_s(stamp: str) -> int:
    return int(_moment(stamp).timestamp())


def _moment(stamp: str) -> datetime:
    moment = datetime.fromisoformat(stamp)
    if moment.tzinfo is None:
        raise ForecastError(f"the time {stamp!r} has no zone.")
    return moment


def _instants(entries: Sequence[dict[str, Any]], detail: str) -> Column:
    found = [entry["data"]["instant"]["details"].get(detail) for entry in entries]
    return np.array(found, dtype=np.float64)


def _periods(
    entries: Sequence[dict[str, Any]], hours: NDArray[np.int64], length: int
) -> dict[str, Column]:
    """Columns of periods: those at t cover the hours after t, so they stand at the hours' ends."""
    step_h = np.ones(length)
    air_min_c = np.full(length, np.nan)
    rain_mm = np.full(length, np.nan)
    for number in range(len(entries) - 1):
        data = entries[number]["data"]
        begin, end = int(hours[number]) + 1, int(hours[number + 1]) + 1
        step = end - begin
        step_h[begin:end] = step
        if step == 1:
            rain_mm[begin] = _detail(data, "next_1_hours", "precipitation_amount")
        elif step == LONGEST_STEP_H:
            air_min_c[begin:end] = _detail(data, "next_6_hours", "air_temperature_min")
            rain_mm[begin:end] = _detail(data, "next_6_hours", "precipitation_amount") / step
    return {"step_h": step_h, "air_min_c": air_min_c, "precipitation_mm": rain_mm}


def _detail(data: dict[str, Any], period: str, name: str) -> float:
    value = data.get(period, {}).get("details", {}).get(name)
    return float("nan") if value is None else float(value)
