"""The spread of an ensemble, laid beside a forecast."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.weather.forecast import Forecast

OLDEST_SPREAD_H = 36.0
"""Age beyond which a spread is left aside [h]. Estimate; spread changes slowly."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spread:
    """How far an ensemble's members lie apart, hour by hour.

    Attributes:
        start: time of index 0, a whole hour, UTC.
        spread_k: standard deviation of the members' air [K], shape (H,), NaN where missing.
        members: number of members it rests on, 0 if the provider does not say.
        fetched_at: when it was received, UTC.
    """

    start: datetime
    spread_k: NDArray[np.float64]
    members: int
    fetched_at: datetime


def with_spread(forecast: Forecast, spread: Spread | None, now: datetime) -> Forecast:
    """The forecast with ``air_spread_k`` by valid hour, or unchanged if the spread is too old."""
    if spread is None or now - spread.fetched_at > timedelta(hours=OLDEST_SPREAD_H):
        return forecast
    offset = int((forecast.start - spread.start) // timedelta(hours=1))
    at = np.arange(forecast.hours) + offset
    inside = (at >= 0) & (at < len(spread.spread_k))
    laid = np.full(forecast.hours, np.nan)
    laid[inside] = spread.spread_k[at[inside]]
    return replace(forecast, columns={**forecast.columns, "air_spread_k": laid})
