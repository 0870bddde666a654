"""Which of several forecasts is leaned on: always a whole frame of one provider."""

from collections.abc import Iterable
from datetime import datetime

from frostwatch.weather.forecast import Fitness, Forecast, standing

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
