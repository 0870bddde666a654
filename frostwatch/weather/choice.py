"""Which of several forecasts is leaned on: always a whole frame of one provider."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.weather.forecast import Fitness, Forecast, standing
from frostwatch.weather.night_sky import column
from frostwatch.weather.site_air import AIR_LAPSE_K_PER_M

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

APART_K = 3.0
"""Difference of two fresh forecasts' night minima from which neither is taken as it is [K]."""
DAYS_COMPARED = 3


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


def with_second_opinion(chosen: Forecast, others: Iterable[Forecast], now: datetime) -> Forecast:
    """The chosen forecast, or the colder one where a fresh one of another provider disagrees.

    If the lowest air of any of the next three days differs by more than 3 K, the frame that is
    colder on the first such day is used, whole, and half the difference is laid on those days as
    spread: one of the two providers is wrong, and nobody knows which.

    Args:
        chosen: the frame that would be leaned on.
        others: frames at hand for the place; the chosen one may be among them.
        now: aware UTC time.
    """
    if not is_fresh(chosen, now):
        return chosen
    lowest_c = _daily_lowest_c(chosen, now)
    for other in others:
        if other.provider == chosen.provider or not is_fresh(other, now):
            continue
        apart_k = _daily_lowest_c(other, now) - lowest_c
        if chosen.height_m is not None and other.height_m is not None:
            apart_k += AIR_LAPSE_K_PER_M * (other.height_m - chosen.height_m)
        days = np.flatnonzero(np.abs(apart_k) > APART_K)
        if len(days):
            return _colder(chosen, other, apart_k, days, now)
    return chosen


def is_fresh(forecast: Forecast, now: datetime) -> bool:
    """True if a forecast needs no stand-in: it holds for now, is younger than six hours, and
    reaches two days ahead."""
    known = standing(forecast, now)
    reaches = forecast.start <= now and known.future_h >= LONG_ENOUGH_H
    return known.usable and known.age_h <= AGEING_H and reaches


def _daily_lowest_c(forecast: Forecast, now: datetime) -> NDArray[np.float64]:
    """Lowest air of each of the next days [degC], NaN beyond the forecast."""
    begin = forecast.index_at(now)
    ahead_c = np.full(24 * DAYS_COMPARED, np.nan)
    known_c = np.fmin(forecast.columns["air_c"], column(forecast, "air_min_c"))
    known_c = known_c[begin : begin + len(ahead_c)]
    ahead_c[: len(known_c)] = known_c
    lowest_c: NDArray[np.float64] = ahead_c.reshape(DAYS_COMPARED, 24).min(axis=1)
    return lowest_c


def _colder(
    chosen: Forecast,
    other: Forecast,
    apart_k: NDArray[np.float64],
    days: NDArray[np.intp],
    now: datetime,
) -> Forecast:
    """The frame that is colder on the first of ``days``, half of the difference as spread."""
    used, left = (other, chosen) if apart_k[days[0]] < 0.0 else (chosen, other)
    spread_k = column(used, "air_spread_k").copy()
    begin = used.index_at(now)
    for day in days:
        hours = slice(begin + 24 * int(day), begin + 24 * int(day) + 24)
        spread_k[hours] = np.fmax(spread_k[hours], 0.5 * abs(float(apart_k[day])))
    words = (
        f"{used.provider} and {left.provider} differ by {np.nanmax(np.abs(apart_k)):.1f} K in the "
        f"lowest air of a day: the colder one, {used.provider}, is used, and less is held certain."
    )
    return replace(
        used,
        columns={**used.columns, "air_spread_k": spread_k},
        attribution=tuple(dict.fromkeys((*used.attribution, *left.attribution))),
        warnings=(*used.warnings, words),
    )


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
        earlier_h=end - begin,
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
