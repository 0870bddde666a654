"""A provider's rows -> one hourly frame that holds together, or a clear refusal.

What is mended is said in ``Forecast.warnings``; what cannot be mended is never filled.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import ForecastError
from frostwatch.weather.forecast import COLUMNS, LEAST_FUTURE_H, Attribution, Forecast

Column = NDArray[np.float64]

RANGES: Mapping[str, tuple[float, float]] = {
    "air_c": (-60.0, 50.0),
    "dew_c": (-80.0, 40.0),
    "humidity_fraction": (0.0, 1.1),
    "wind_m_per_s": (0.0, 75.0),
    "gust_m_per_s": (0.0, 110.0),
    "sun_w_per_m2": (-5.0, 1400.0),
    "cloud_fraction": (0.0, 1.01),
    "precipitation_mm": (0.0, 400.0),
    "snow_cm": (0.0, 400.0),
    "ground_c": (-70.0, 80.0),
    "air_min_c": (-60.0, 50.0),
    "air_spread_k": (0.0, 25.0),
    "step_h": (1.0, 24.0),
}
"""What can be weather at all. Estimates: wider than any record of places where vehicles stand."""

BRIDGED = ("air_c", "dew_c", "wind_m_per_s")
"""Columns whose short gaps may be bridged by a straight line; a sum or a maximum never is."""
LONGEST_BRIDGE_H = 2
NEAR_H = 48
"""Hours ahead within which holes count against the whole reply."""
MOST_HOLES_FRACTION = 0.10


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Where a frame comes from; the fields of ``Forecast`` that are not series."""

    provider: str
    fetched_at: datetime
    issued_at: datetime | None = None
    model: str = ""
    height_m: float | None = None
    grid_height_m: float | None = None
    attribution: tuple[Attribution, ...] = ()
    warnings: tuple[str, ...] = ()


def assemble(unix_s: NDArray[np.int64], columns: Mapping[str, Column], origin: Origin) -> Forecast:
    """Put a provider's rows on the hourly grid, check them, mend what may be mended.

    Args:
        unix_s: time of each row [s since 1970-01-01 UTC], shape (N,); whole hours, increasing.
        columns: values in the units of ``COLUMNS``, each of shape (N,), NaN where missing.
        origin: provider, times, heights, licence words.

    Raises:
        ForecastError: times out of order, air that cannot be weather, holes in more than a tenth
            of the next 48 hours, or too little future left.
    """
    index, hours = hourly_grid(unix_s)
    placed = {name: _place(name, values, index, hours) for name, values in columns.items()}
    warnings = list(origin.warnings)
    warnings += _drop_what_cannot_be(placed)
    start = datetime.fromtimestamp(int(unix_s[0]), UTC)
    now_index = int((origin.fetched_at - start) // timedelta(hours=1))
    first, end = _known_span(placed["air_c"], now_index)
    cut_after = start + timedelta(hours=end - 1)
    if end < hours:
        warnings.append(f"The air ends at {cut_after:%Y-%m-%d %H:%M} UTC, earlier than asked for.")
    _refuse_holes(placed["air_c"], now_index, end)
    bridged = _bridge(placed)
    if bridged:
        warnings.append(f"Short gaps bridged by a straight line: {', '.join(bridged)}.")
    first, end = _whole_span(placed["air_c"], now_index, first, end, warnings)
    if end - 1 - now_index < LEAST_FUTURE_H:
        raise ForecastError(
            f"{origin.provider}: the air reaches only {end - 1 - now_index} h ahead, at least "
            f"{LEAST_FUTURE_H:.0f} h are needed. Another provider or a later run is asked."
        )
    return Forecast(
        start=start + timedelta(hours=first),
        columns={name: values[first:end] for name, values in placed.items()},
        provider=origin.provider,
        fetched_at=origin.fetched_at,
        issued_at=origin.issued_at,
        model=origin.model,
        height_m=origin.height_m,
        grid_height_m=origin.grid_height_m,
        attribution=origin.attribution,
        warnings=tuple(warnings),
    )


def hourly_grid(unix_s: NDArray[np.int64]) -> tuple[NDArray[np.int64], int]:
    """Index of every row on the hourly grid, and the length of that grid."""
    if len(unix_s) == 0:
        raise ForecastError("The reply holds no hours at all.")
    if np.any(unix_s % 3600):
        raise ForecastError("The reply has times that are not whole hours of UTC.")
    steps = np.diff(unix_s)
    if np.any(steps <= 0):
        row = int(np.argmax(steps <= 0)) + 1
        at = datetime.fromtimestamp(int(unix_s[row]), UTC)
        raise ForecastError(
            f"The times of the reply go back or repeat at row {row} ({at:%Y-%m-%d %H:%M} UTC)."
        )
    index = (unix_s - unix_s[0]) // 3600
    return index, int(index[-1]) + 1


def _place(name: str, values: Column, index: NDArray[np.int64], hours: int) -> Column:
    if name not in COLUMNS:
        raise ForecastError(f"{name!r} is not a column of a forecast; those are {COLUMNS}.")
    if len(values) != len(index):
        raise ForecastError(f"The reply has {len(values)} values of {name} for {len(index)} times.")
    placed = np.full(hours, np.nan)
    placed[index] = values
    return placed


def _drop_what_cannot_be(placed: dict[str, Column]) -> list[str]:
    """Refuse air that cannot be weather; take such values out of every other column."""
    warnings = []
    for name, values in placed.items():
        low, high = RANGES[name]
        wrong = ~np.isnan(values) & ~((values >= low) & (values <= high))
        if not wrong.any():
            continue
        example = float(values[wrong][0])
        if name == "air_c":
            raise ForecastError(
                f"The reply has an air temperature of {example:g} °C, outside {low:g}..{high:g}. "
                "Its unit or its numbers are wrong; nothing of it is used."
            )
        values[wrong] = np.nan
        warnings.append(f"{name}: {int(wrong.sum())} impossible values left out ({example:g}).")
    return warnings


def _known_span(air_c: Column, now_index: int) -> tuple[int, int]:
    """First and one past the last hour with air, which must embrace the time of the reply."""
    known = np.flatnonzero(~np.isnan(air_c))
    if len(known) == 0:
        raise ForecastError("The reply has no air temperature at all, only nulls.")
    first, end = int(known[0]), int(known[-1]) + 1
    if not first <= now_index < end:
        raise ForecastError(
            "The air of the reply does not cover the hour in which it was received."
        )
    return first, end


def _refuse_holes(air_c: Column, now_index: int, end: int) -> None:
    near = air_c[now_index : min(end, now_index + NEAR_H)]
    holes = int(np.isnan(near).sum())
    if holes > MOST_HOLES_FRACTION * len(near):
        raise ForecastError(
            f"{holes} of the next {len(near)} hours have no air temperature; "
            "more than a tenth missing is not a forecast."
        )


def _gaps(values: Column) -> Iterable[tuple[int, int]]:
    """Runs of NaN with a known value on both sides, as (first, one past the last)."""
    missing = np.isnan(values)
    edges = np.diff(np.concatenate(([0], missing.astype(np.int8), [0])))
    for begin, end in zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1), strict=True):
        if begin > 0 and end < len(values):
            yield int(begin), int(end)


def _bridge(placed: dict[str, Column]) -> list[str]:
    """Draw straight lines over gaps of at most two hours, in place; name what was bridged."""
    bridged = []
    for name in BRIDGED:
        values = placed.get(name)
        if values is None:
            continue
        short = [gap for gap in _gaps(values) if gap[1] - gap[0] <= LONGEST_BRIDGE_H]
        for begin, end in short:
            line = np.linspace(values[begin - 1], values[end], end - begin + 2)
            values[begin:end] = line[1:-1]
        if short:
            bridged.append(f"{name} {sum(end - begin for begin, end in short)} h")
    return bridged


def _whole_span(
    air_c: Column, now_index: int, first: int, end: int, warnings: list[str]
) -> tuple[int, int]:
    """The longest run of hours without a hole in the air around the time of the reply."""
    for begin, after in list(_gaps(air_c[:end])):
        if after <= now_index:
            first = max(first, after)
        elif begin <= now_index:
            raise ForecastError(
                "The air of the reply is missing around the hour in which it was received."
            )
        else:
            warnings.append(f"A gap of {after - begin} h in the air: nothing after it is used.")
            return first, begin
    return first, end
