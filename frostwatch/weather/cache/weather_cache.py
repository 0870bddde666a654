"""The forecasts of a pass: providers in order, always a whole frame of one of them."""

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

import structlog

from frostwatch.ports import ReplyStore
from frostwatch.weather.asking import Provider, distinct
from frostwatch.weather.cache.desk import Desk
from frostwatch.weather.cache.shelf import Shelf
from frostwatch.weather.choice import (
    SHORT_PAST,
    RecentAir,
    best_of,
    is_fresh,
    with_past,
    with_second_opinion,
)
from frostwatch.weather.ensemble import with_spread
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point
from frostwatch.weather.manners import AttemptLog, MemoryAttempts, cold_night_ahead, hourly_fits

log = structlog.get_logger()

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
        self.ground = ground
        self._said: set[str] = set()
        self._leaned_on: dict[str, Forecast] = {}
        self._recent = RecentAir()
        self.shelf = Shelf(replies)
        requests = MemoryAttempts() if attempts is None else attempts
        self.desk = Desk(self.shelf, requests, sleep=sleep)

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        """Point key -> the best forecast at hand, or why there is none.

        The next provider is asked for the places whose frame is missing, short or ageing.
        """
        wanted = distinct(points)
        frames, failures = self._ask_providers(wanted, now)
        found: dict[str, Forecast | FetchFailure] = {}
        for point in wanted:
            best = self._best(point, frames[point.key], now)
            if best is None:
                found[point.key] = _together(point, failures[point.key])
                continue
            found[point.key] = self._leaned_on[point.key] = self._recent.noted(point.key, best)
        covered = [point for point in wanted if isinstance(found[point.key], Forecast)]
        self._ask_ground(covered, found, now)
        self._ask_spread(covered, found, now)
        return found | self._dressed(covered, found, now)

    def known(self, point: Point, now: datetime) -> Forecast | None:
        """The best forecast at hand, nothing asked; None if there is none."""
        shelves = [self.shelf.held(provider, [point]) for provider in self.providers]
        frames = [held[point.key].forecast for held in shelves if point.key in held]
        best = self._best(point, frames, now)
        if best is None:
            return None
        dressed = self._dressed([point], {point.key: best}, now)[point.key]
        return dressed if isinstance(dressed, Forecast) else best

    def _ask_providers(
        self, points: Sequence[Point], now: datetime
    ) -> tuple[dict[str, list[Forecast]], dict[str, list[FetchFailure]]]:
        """Frames at hand and failures of each place, the preferred provider first."""
        waiting = points
        frames: dict[str, list[Forecast]] = {point.key: [] for point in points}
        failures: dict[str, list[FetchFailure]] = {point.key: [] for point in points}
        for provider in self.providers:
            for key, failure in self.desk.refresh(provider, waiting, now).items():
                failures[key].append(failure)
            for key, one in self.shelf.held(provider, points).items():
                frames[key].append(one.forecast)
            waiting = [
                point
                for point in waiting
                if not any(is_fresh(frame, now) for frame in frames[point.key])
            ]
        return frames, failures

    def _best(self, point: Point, frames: Sequence[Forecast], now: datetime) -> Forecast | None:
        """One provider's frame with its past; where two that are fresh disagree, the colder."""
        best = best_of(frames, now)
        if best is None:
            return None
        best = with_second_opinion(best, frames, now)
        if best.start > now - SHORT_PAST:
            best = with_past(best, self._past_of(point), now)
        return best

    def _past_of(self, point: Point) -> Forecast | None:
        """What was leaned on before; after a restart, the frame at hand that starts earliest."""
        if point.key in self._leaned_on:
            return self._leaned_on[point.key]
        shelves = [self.shelf.held(provider, [point]) for provider in self.providers]
        held = [one[point.key].forecast for one in shelves if point.key in one]
        return min(held, key=lambda frame: frame.start, default=None)

    def _ask_ground(
        self,
        points: Sequence[Point],
        found: Mapping[str, Forecast | FetchFailure],
        now: datetime,
    ) -> None:
        """Ask how high the model's own ground is; once a place, and kept for good."""
        if self.ground is not None:
            provider, model_of = self.ground
            own = [
                point
                for point in points
                if point.height_m is not None
                and isinstance(one := found[point.key], Forecast)
                and one.provider == model_of
            ]
            self.desk.refresh(provider, own, now)

    def _ask_spread(
        self,
        points: Sequence[Point],
        found: Mapping[str, Forecast | FetchFailure],
        now: datetime,
    ) -> None:
        """Ask for the ensembles that are due. Without one the error follows the table."""
        if self.ensemble is None:
            return
        self._ask_members(points, found, now)
        failures = list(self.desk.refresh(self.ensemble, points, now).values())
        refused = [one for one in failures if one.kind is FailureKind.REFUSED]
        if refused and self.ensemble.name not in self._said:
            self._said.add(self.ensemble.name)
            log.warning("no ensemble", cause=refused[0].message, instead="the table of errors")

    def _dressed(
        self,
        points: Sequence[Point],
        found: Mapping[str, Forecast | FetchFailure],
        now: datetime,
    ) -> dict[str, Forecast | FetchFailure]:
        """Forecasts with the height of the model's ground and an ensemble's spread, if known."""
        grounds = self.shelf.held(self.ground[0], points) if self.ground else {}
        spreads = self.shelf.held(self.ensemble, points) if self.ensemble else {}
        dressed: dict[str, Forecast | FetchFailure] = {}
        for point in points:
            one = found[point.key]
            if isinstance(one, Forecast):
                ground = grounds.get(point.key)
                if ground is not None and self.ground and one.provider == self.ground[1]:
                    one = replace(one, grid_height_m=ground.forecast.grid_height_m)
                spread = spreads.get(point.key)
                if spread is not None:
                    one = with_spread(one, spread.forecast, now)
            dressed[point.key] = one
        return dressed

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
