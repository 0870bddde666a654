"""Bodies of the Open-Meteo forecast API -> frames. Pure: no network, no clock.

Traps that the documentation does not shout about: one place comes as an object, several as a
list; ``location_id`` is left out for the first; coordinates are those of the grid cell; an unknown
variable has the unit ``undefined`` and nothing but nulls; a body may break off inside a 200.
"""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import ForecastError
from frostwatch.weather.asking import Parsed
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure, Forecast, Point
from frostwatch.weather.mending import Column, Origin, assemble

NAME = "open-meteo"

COLUMN_OF: Mapping[str, tuple[str, str, float]] = {
    "temperature_2m": ("air_c", "°C", 1.0),
    "dew_point_2m": ("dew_c", "°C", 1.0),
    "relative_humidity_2m": ("humidity_fraction", "%", 0.01),
    "wind_speed_10m": ("wind_m_per_s", "m/s", 1.0),
    "wind_gusts_10m": ("gust_m_per_s", "m/s", 1.0),
    "shortwave_radiation": ("sun_w_per_m2", "W/m²", 1.0),
    "cloud_cover": ("cloud_fraction", "%", 0.01),
    "precipitation": ("precipitation_mm", "mm", 1.0),
    "snowfall": ("snow_cm", "cm", 1.0),
    "soil_temperature_0cm": ("ground_c", "°C", 1.0),
}
"""Variable asked for -> column, unit in which it must come, factor into the column's unit.

Means and sums cover the preceding hour, as our columns do: no shift."""

ATTRIBUTION = (
    Attribution(
        text="Weather data by Open-Meteo.com",
        url="https://open-meteo.com/",
        licence="CC BY 4.0; UK Met Office data within it CC BY-SA 4.0",
    ),
)


def parse(body: bytes, points: Sequence[Point], fetched_at: datetime) -> dict[str, Parsed]:
    """Frames of the places asked for, or why a place has none.

    Args:
        body: the body as received, for one place or for several.
        points: the places in the order of the request.
        fetched_at: when it was received, UTC.
    """
    parts = elements(body, points)
    if isinstance(parts, FetchFailure):
        return dict.fromkeys((point.key for point in points), parts)
    return {point.key: _frame(parts[point.key], point, fetched_at) for point in points}


def elements(body: bytes, points: Sequence[Point]) -> dict[str, Any] | FetchFailure:
    """The part of the body that belongs to each place, by point key."""
    found = placed(body, len(points))
    if isinstance(found, FetchFailure):
        return found
    return {point.key: one for point, one in zip(points, found, strict=True)}


def placed(body: bytes, count: int) -> list[dict[str, Any]] | FetchFailure:
    """The parts of a body in the order of the request: by location_id, else as they come."""
    try:
        found = json.loads(body)
    except ValueError as broken:
        return _broken(f"the body is not JSON ({broken}): {_start(body)}")
    if isinstance(found, dict) and found.get("error"):
        return _broken(str(found.get("reason", "an error without a reason")))
    listed = found if isinstance(found, list) else [found]
    if len(listed) != count:
        return _broken(f"{len(listed)} places came back for {count} asked for.")
    by_number: dict[int, dict[str, Any]] = {}
    for order, element in enumerate(listed):
        if not isinstance(element, dict):
            return _broken(f"place {order} is not an object: {str(element)[:80]}")
        number = element.get("location_id", order) if count > 1 else 0
        if not isinstance(number, int) or number in by_number or not 0 <= number < count:
            return _broken(f"location_id {number!r} does not fit {count} places.")
        by_number[number] = element
    return [by_number[number] for number in range(count)]


def dump(element: Any) -> bytes:
    """One place's part of a body, as bytes that ``parse`` reads again."""
    return json.dumps(element, ensure_ascii=False, separators=(",", ":")).encode()


def reason_of(body: bytes) -> str:
    """The server's reason if the body is an error, else ""."""
    if len(body) > 4096 or b"error" not in body:
        return ""
    try:
        found = json.loads(body)
    except ValueError:
        return ""
    if isinstance(found, dict) and found.get("error"):
        return str(found.get("reason", "an error without a reason"))
    return ""


def whole(body: bytes) -> bool:
    """False if a streamed body broke off on its way."""
    end = body[-400:].rstrip()
    return end.endswith((b"}", b"]")) and b"Unexpected error while streaming" not in end


def _frame(element: dict[str, Any], point: Point, fetched_at: datetime) -> Parsed:
    try:
        return _read(element, point, fetched_at)
    except ForecastError as unusable:
        return _broken(str(unusable))


def _read(element: dict[str, Any], point: Point, fetched_at: datetime) -> Forecast:
    if element.get("error"):
        raise ForecastError(str(element.get("reason", "an error without a reason")))
    hourly, units = element.get("hourly"), element.get("hourly_units")
    if not isinstance(hourly, dict) or not isinstance(units, dict) or "time" not in hourly:
        raise ForecastError("The reply has no hourly values with units.")
    unix_s = times_of(hourly["time"], units.get("time"), element.get("utc_offset_seconds", 0))
    columns: dict[str, Column] = {}
    warnings: list[str] = []
    for variable, (name, unit, factor) in COLUMN_OF.items():
        if variable not in hourly:
            warnings.append(f"{variable} is not in the reply.")
            continue
        if units.get(variable) == "undefined":
            warnings.append(f"{variable} is not offered by the model.")
            continue
        if units.get(variable) != unit:
            raise ForecastError(f"{variable} comes in {units.get(variable)!r}, not in {unit}.")
        columns[name] = numbers_of(variable, hourly[variable]) * factor
    if "air_c" not in columns:
        raise ForecastError("The reply has no temperature_2m: nothing can be said from it.")
    columns["step_h"] = np.ones(len(unix_s))
    height_m = element.get("elevation", point.height_m)
    if point.height_m is None:
        warnings.append("The height of the place is not known: a map's height is used.")
    return assemble(
        unix_s,
        columns,
        Origin(
            provider=NAME,
            fetched_at=fetched_at,
            height_m=float(height_m) if isinstance(height_m, int | float) else None,
            attribution=ATTRIBUTION,
            warnings=tuple(warnings),
        ),
    )


def times_of(values: Any, unit: Any, offset_s: Any) -> NDArray[np.int64]:
    """Times as seconds since 1970 UTC.

    The server applies one offset, today's, to the whole reply. Stamps in words are therefore
    UTC plus that offset and nothing else; read as local time they would name hours that do not
    exist.
    """
    if not isinstance(values, list):
        raise ForecastError("The times of the reply are not a list.")
    try:
        if unit == "unixtime":
            return np.array(values, dtype=np.int64)
        if unit == "iso8601":
            stamps = np.array(values, dtype="datetime64[s]")
            return stamps.astype(np.int64) - int(offset_s)
    except (TypeError, ValueError, OverflowError) as wrong:
        raise ForecastError(f"A time of the reply cannot be read: {wrong}.") from wrong
    raise ForecastError(f"The times of the reply are in {unit!r}; unixtime was asked for.")


def numbers_of(variable: str, values: Any) -> Column:
    """Values as floats, null as NaN."""
    if not isinstance(values, list):
        raise ForecastError(f"{variable} is not a list of numbers.")
    try:
        numbers = np.array(values, dtype=np.float64)
    except (TypeError, ValueError) as wrong:
        raise ForecastError(f"{variable} holds something that is no number: {wrong}.") from wrong
    if numbers.ndim != 1:
        raise ForecastError(f"{variable} is not a plain list of numbers.")
    return numbers


def _broken(words: str) -> FetchFailure:
    return FetchFailure(kind=FailureKind.BROKEN_REPLY, message=f"Open-Meteo: {words}")


def _start(body: bytes) -> str:
    return " ".join(body[:120].decode("utf-8", "replace").split())
