"""The spread of an ensemble, laid beside a forecast.

An ensemble travels as a frame of its own whose ``air_c`` is the mean of its members and whose
``air_spread_k`` is their standard deviation.
"""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from frostwatch.weather.forecast import Forecast
from frostwatch.weather.night_sky import column

OLDEST_SPREAD_H = 36.0
"""Age beyond which a spread is left aside [h]. Estimate; spread changes slowly."""


def with_spread(forecast: Forecast, ensemble: Forecast | None, now: datetime) -> Forecast:
    """The forecast with ``air_spread_k`` by valid hour, or unchanged if the ensemble is too old.

    A spread that the forecast has already stays where it is the wider one.
    """
    if ensemble is None or now - ensemble.known_since > timedelta(hours=OLDEST_SPREAD_H):
        return forecast
    spread_k = ensemble.columns.get("air_spread_k")
    if spread_k is None:
        return forecast
    at = np.arange(forecast.hours) + ensemble.index_at(forecast.start)
    inside = (at >= 0) & (at < len(spread_k))
    laid = np.full(forecast.hours, np.nan)
    laid[inside] = spread_k[at[inside]]
    laid = np.fmax(laid, column(forecast, "air_spread_k"))
    return replace(
        forecast,
        columns={**forecast.columns, "air_spread_k": laid},
        attribution=tuple(dict.fromkeys((*forecast.attribution, *ensemble.attribution))),
        spread_reply_id=ensemble.reply_id,
    )
