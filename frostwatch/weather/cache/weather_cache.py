"""The forecasts of a pass: providers in order, always a whole frame of one of them."""

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from frostwatch.ports import ReplyStore
from frostwatch.weather.asking import Provider, distinct
from frostwatch.weather.cache.desk import Desk
from frostwatch.weather.cache.shelf import Shelf
from frostwatch.weather.choice import (
    AGEING_H,
    LONG_ENOUGH_H,
    SHORT_PAST,
    RecentAir,
    best_of,
    with_past,
)
from frostwatch.weather.ensemble import with_spread
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point, standing
from frostwatch.weather.manners import AttemptLog, MemoryAttempts, cold_night_ahead, hourly_fits

MEMBERS_BELOW_C = 5.0
"""Air ahead below which an ensemble's members are worth four times the weight. Estimate."""


class WeatherCache:
    """Forecasts of the places asked for, with as few requests as will do.

    Implements ``ports.Forecasts``. What cannot be asked now is said; what was known before stays
    in use until its age forbids it.

    Args:
        providers: the preferred provider first.
        replies: where replies are kept.
        ensemble: provider of mean and spread; None leaves the error to the table.
        members: provider of an ensemble's members, for places with a cold night ahead.
        ground: provider of the height of the model's own ground, and the name of the provider
            whose frames it belongs to.
        attempts: log of requests; None keeps it in this process.
        sleep: how to wait.
    """

    def __init__(
        self,
        providers: Sequence[Provider],
        replies: ReplyStore,
        *,
        ensemble: Provider | None = None,
        members: Provider | None = None,
        ground: tuple[Provider, str] | None = None,
        attempts: AttemptLog | None = None,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        self.providers = tuple(providers)
        self.ensemble = ensemble
        self.members = members
        self._ground = ground
        self._leaned_on: dict[str, Forecast] = {}
        self._recent = RecentAir()
        self.shelf = Shelf(replies)
        log = MemoryAttempts() if attempts is None else attempts
        self.desk = Desk(self.shelf, log, sleep=sleep)

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        """Point key -> the best forecast at hand, or why there is none.

        The next provider is asked for the places whose frame is missing, short or ageing.
        """
        wanted = distinct(points)
        waiting: Sequence[Point] = wanted
        frames: dict[str, list[Forecast]] = {point.key: [] for point in wanted}
        failures: dict[str, list[FetchFailure]] = {point.key: [] for point in wanted}
        for provider in self.providers:
            for key, failure in self.desk.refresh(provider, waiting, now).items():
                failures[key].append(failure)
            for key, one in self.shelf.held(provider, waiting).items():
                frames[key].append(one.forecast)
            waiting = [point for point in waiting if not _young(frames[point.key], now)]
        found: dict[str, Forecast | FetchFailure] = {}
        for point in wanted:
            best = best_of(frames[point.key], now)
            if best is None:
                found[point.key] = _together(point, failures[point.key])
                continue
            if best.start > now - SHORT_PAST:
                best = with_past(best, self._past_of(point), now)
            best = self._recent.noted(point.key, best)
            found[point.key] = best
            self._leaned_on[point.key] = best
        return self._with_spread(wanted, self._with_ground(wanted, found, now), now)

    def known(self, point: Point, now: datetime) -> Forecast | None:
        """The best forecast at hand, nothing asked; None if there is none."""
        held = [self.shelf.held(provider, [point]) for provider in self.providers]
        best = best_of([one[point.key].forecast for one in held if point.key in one], now)
        if best is None or self.ensemble is None:
            return best
        spread = self.shelf.held(self.ensemble, [point]).get(point.key)
        return best if spread is None else with_spread(best, spread.forecast, now)

    def _past_of(self, point: Point) -> Forecast | None:
        """What was leaned on before; after a restart, the frame at hand that starts earliest."""
        if point.key in self._leaned_on:
            return self._leaned_on[point.key]
        shelves = [self.shelf.held(provider, [point]) for provider in self.providers]
        held = [one[point.key].forecast for one in shelves if point.key in one]
        return min(held, key=lambda frame: frame.start, default=None)

    def _with_ground(
        self,
        points: Sequence[Point],
        found: Mapping[str, Forecast | FetchFailure],
        now: datetime,
    ) -> dict[str, Forecast | FetchFailure]:
        """Say how high the model's own ground is; asked once a place and kept for good."""
        if self._ground is None:
            return dict(found)
        provider, model_of = self._ground
        covered = [
            point
            for point in points
            if point.height_m is not None
            and isinstance(one := found[point.key], Forecast)
            and one.provider == model_of
        ]
        self.desk.refresh(provider, covered, now)
        held = self.shelf.held(provider, covered)
        return {
            key: replace(one, grid_height_m=held[key].forecast.grid_height_m)
            if isinstance(one, Forecast) and key in held
            else one
            for key, one in found.items()
        }

    def _with_spread(
        self,
        points: Sequence[Point],
        found: Mapping[str, Forecast | FetchFailure],
        now: datetime,
    ) -> dict[str, Forecast | FetchFailure]:
        """Lay ensembles beside the forecasts after asking for those that are due."""
        if self.ensemble is None:
            return dict(found)
        covered = [point for point in points if isinstance(found[point.key], Forecast)]
        self._ask_members(covered, found, now)
        self.desk.refresh(self.ensemble, covered, now)
        held = self.shelf.held(self.ensemble, covered)
        return {
            key: with_spread(one, held[key].forecast, now)
            if isinstance(one, Forecast) and key in held
            else one
            for key, one in found.items()
        }

    def _ask_members(
        self,
        points: Sequence[Point],
        found: Mapping[str, Forecast | FetchFailure],
        now: datetime,
    ) -> None:
        if self.members is None:
            return
        cold = [
            point
            for point in points
            if isinstance(one := found[point.key], Forecast)
            and cold_night_ahead(one, now, MEMBERS_BELOW_C)
        ]
        attempts = self.desk.attempts(self.members.host, now)
        if hourly_fits(self.members, attempts, now, len(cold), len(cold)):
            self.desk.refresh(self.members, cold, now)


def _young(frames: Sequence[Forecast], now: datetime) -> bool:
    """True if the newest frame at hand needs no stand-in."""
    if not frames:
        return False
    known = standing(frames[-1], now)
    return known.usable and known.age_h <= AGEING_H and known.future_h >= LONG_ENOUGH_H


def _together(point: Point, failures: Sequence[FetchFailure]) -> FetchFailure:
    """One failure out of those of all providers."""
    if not failures:
        return FetchFailure(
            kind=FailureKind.UNREACHABLE,
            message=f"No provider covers {point.key}; name one under [weather] providers.",
        )
    times = [one.retry_at for one in failures if one.retry_at is not None]
    return FetchFailure(
        kind=failures[0].kind,
        message=" ".join(dict.fromkeys(one.message for one in failures)),
        retry_at=min(times, default=None),
    )
