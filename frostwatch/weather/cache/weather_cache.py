"""The forecasts of a pass: providers in order, always a whole frame of one of them."""

import time
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from frostwatch.ports import ReplyStore
from frostwatch.weather.asking import Provider, distinct
from frostwatch.weather.cache.beside import Beside
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
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point
from frostwatch.weather.manners import AttemptLog, MemoryAttempts


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
        self._leaned_on: dict[str, Forecast] = {}
        self._recent = RecentAir()
        self.shelf = Shelf(replies)
        requests = MemoryAttempts() if attempts is None else attempts
        self.desk = Desk(self.shelf, requests, sleep=sleep)
        self.beside = Beside(
            self.shelf, self.desk, ensemble=ensemble, members=members, ground=ground
        )

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
        chosen = {key: one for key, one in found.items() if isinstance(one, Forecast)}
        covered = [point for point in wanted if point.key in chosen]
        self.beside.ask(covered, chosen, self.providers, now)
        return found | self.beside.laid(covered, chosen, now)

    def known(self, point: Point, now: datetime) -> Forecast | None:
        """The best forecast at hand, nothing asked; None if there is none."""
        shelves = [self.shelf.held(provider, [point]) for provider in self.providers]
        frames = [held[point.key].forecast for held in shelves if point.key in held]
        best = self._best(point, frames, now)
        if best is None:
            return None
        return self.beside.laid([point], {point.key: best}, now)[point.key]

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
