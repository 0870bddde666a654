"""Which of several forecasts is leaned on: always a whole frame of one provider."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.weather.forecast import Fitness, Forecast, standing

PAST_H = 120
"""Hours behind a forecast's first one that are worth remembering [h]: water keeps its cold for
days."""

SHORT_PAST = timedelta(hours=72)
"""A frame with less past than this gets the hours before it from an earlier one. Estimate: what a
tank of water remembers."""
RECENT_H = 480
"""Hours of past air that say what is usual [h]: 20 days. Estimate."""
LONG_ENOUGH_H = 48.0
"""Future with which an earlier provider in the order is not passed over for its reach [h]."""
AGEING_H = 6.0
"""Age from which the next provider is asked, and preferred if it is fresher [h]. Estimate."""


def best_of(forecasts: Iterable[Forecast], now: datetime) -> Forecast | None:
    """The first usable forecast in the order of providers, never a mixture.

    Usable goes before older, older before none; among equals a forecast that reaches two days
    ahead goes before a shorter one, one younger than six hours before an ageing one, then the
    order given decides.

    Args:
        forecasts: at most one a provider, the preferred provider first.
        now: aware UTC time.
    """
    ranked = {Fitness.USABLE: 0, Fitness.OLDER: 1, Fitness.NONE: 2}
    best: tuple[tuple[int, bool, bool, int], Forecast] | None = None
    for order, forecast in enumerate(forecasts):
        known = standing(forecast, now)
        short, ageing = known.future_h < LONG_ENOUGH_H, known.age_h > AGEING_H
        rank = (ranked[known.fitness], short, ageing, order)
        if best is None or rank < best[0]:
            best = (rank, forecast)
    return None if best is None else best[1]


def with_past(forecast: Forecast, earlier: Forecast | None, now: datetime) -> Forecast:
    """The forecast with the hours before its first one, as an earlier frame of the place had them.

    Some providers send no past. What lies ahead stays the one provider's own, and so does every
    hour it speaks of; the hours behind it are what was known then, and the water has felt them.

    Args:
        forecast: the frame that is leaned on.
        earlier: a frame that was leaned on before, of any provider; None if there is none.
        now: aware UTC time.
    """
    if earlier is None:
        return forecast
    begin = max(0, earlier.index_at(now) - PAST_H)
    end = earlier.index_at(forecast.start)
    if end <= begin or end > earlier.hours:
        return forecast
    names = set(forecast.columns) | set(earlier.columns)
    unknown = np.full(max(forecast.hours, end - begin), np.nan)
    columns = {
        name: np.concatenate(
            [
                earlier.columns.get(name, unknown)[begin:end],
                forecast.columns.get(name, unknown)[: forecast.hours],
            ]
        )
        for name in names
    }
    words = f"Hours before {forecast.start:%Y-%m-%d %H:%M} UTC come from an earlier reply."
    return replace(
        forecast,
        start=earlier.start + timedelta(hours=begin),
        columns=columns,
        attribution=tuple(dict.fromkeys((*forecast.attribution, *earlier.attribution))),
        warnings=(*forecast.warnings, words),
    )


class RecentAir:
    """What the air of each place was over the last 20 days, as far as frames have told.

    Every frame adds the hours before its issue; where frames overlap, the newer one holds.
    """

    def __init__(self) -> None:
        self._places: dict[str, tuple[int, NDArray[np.float64]]] = {}

    def noted(self, key: str, forecast: Forecast) -> Forecast:
        """Add a frame's past to what is known of a place; the frame comes back with ``recent_c``.

        Args:
            key: identity of the place.
            forecast: its newest frame.
        """
        start = int(forecast.start.timestamp()) // 3600
        end = int(forecast.known_since.timestamp()) // 3600
        past_c = forecast.columns["air_c"][: max(0, min(end - start, forecast.hours))]
        recent_c = np.full(RECENT_H, np.nan)
        before = self._places.get(key)
        if before is not None:
            known_to, known_c = before
            behind = max(0, end - known_to)
            if known_to > end:
                known_c = known_c[: RECENT_H - (known_to - end)]
            if behind < RECENT_H and len(known_c):
                kept = known_c[max(0, len(known_c) - (RECENT_H - behind)) :]
                recent_c[RECENT_H - behind - len(kept) : RECENT_H - behind] = kept
        first = RECENT_H - (end - start)
        if len(past_c):
            recent_c[max(0, first) : first + len(past_c)] = past_c[max(0, -first) :]
        self._places[key] = (end, recent_c)
        known = np.flatnonzero(~np.isnan(recent_c))
        return replace(forecast, recent_c=recent_c[known[0] :] if len(known) else None)
