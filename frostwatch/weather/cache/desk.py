"""Asking one provider: who is due, in which batches, within which budget, after which trouble."""

import threading
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta

from frostwatch.weather.asking import Outcome, Provider, Validators, batches
from frostwatch.weather.cache.shelf import Held, Shelf
from frostwatch.weather.forecast import FailureKind, FetchFailure, Point
from frostwatch.weather.manners import (
    COLD_REFRESH,
    FAILED_WEIGHT,
    SLACK,
    Attempt,
    AttemptLog,
    break_of,
    cold_night_ahead,
    hourly_fits,
    room,
    room_again_at,
)

TOGETHER_FRACTION = 0.75
"""Share of the refresh time after which a place joins a batch that goes out anyway."""
LONGEST_WAIT_S = 600.0
"""Longest a pass waits for the budget of the next minutes [s]."""
PAUSE_S = 1.0
"""Shortest time between two requests to a host [s]."""
LOG_SPAN = timedelta(days=1)
HOURLY_UP_TO = timedelta(hours=3)
"""Providers refreshed at least this often by themselves are refreshed hourly before cold nights."""


class Desk:
    """Sends requests to providers, one at a time per host.

    Args:
        shelf: replies at hand.
        attempts: log of requests.
        sleep: how to wait.
    """

    def __init__(
        self,
        shelf: Shelf,
        attempts: AttemptLog,
        *,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        self._shelf = shelf
        self._log = attempts
        self._sleep = sleep
        self._turns: dict[str, threading.Lock] = {}

    def attempts(self, host: str, now: datetime) -> Sequence[Attempt]:
        """Requests of the last day at a host, in order of time."""
        return self._log.since(host, now - LOG_SPAN)

    def refresh(
        self, provider: Provider, points: Sequence[Point], now: datetime
    ) -> dict[str, FetchFailure]:
        """Ask for the places that are due; point key -> why it has nothing new."""
        if not points:
            return {}
        with self._turns.setdefault(provider.host, threading.Lock()):
            held = self._shelf.held(provider, points)
            failures = self._ask(provider, self.due(provider, points, held, now), held, now)
        for point in points:
            refused = self._shelf.refusal(provider, point)
            if refused is not None:
                failures.setdefault(point.key, refused)
        return failures

    def due(
        self,
        provider: Provider,
        points: Sequence[Point],
        held: Mapping[str, Held],
        now: datetime,
    ) -> list[Point]:
        """Places whose time has come, and those that may as well come along in the batch."""
        points = [point for point in points if not self._too_early(provider, point, held, now)]
        times = self.due_times(provider, points, held, now)
        due = [point for point in points if times[point.key] <= now + SLACK]
        if due and provider.max_batch > 1:
            early = provider.refresh * (1.0 - TOGETHER_FRACTION)
            due = [point for point in points if times[point.key] <= now + early]
        return due

    def due_times(
        self,
        provider: Provider,
        points: Sequence[Point],
        held: Mapping[str, Held],
        now: datetime,
    ) -> dict[str, datetime]:
        """Point key -> time from which it may be asked again, UTC."""
        cold = {key for key, one in held.items() if cold_night_ahead(one.forecast, now)}
        hourly = provider.refresh <= HOURLY_UP_TO and hourly_fits(
            provider, self.attempts(provider.host, now), now, len(points), len(cold)
        )
        found = {}
        for point in points:
            times = [now - LOG_SPAN]
            one = held.get(point.key)
            if one is not None:
                wait = COLD_REFRESH if hourly and point.key in cold else provider.refresh
                times.append(one.reply.fetched_at + wait)
                if one.reply.expires_at is not None:
                    times.append(one.reply.expires_at)
            refused = self._shelf.refusal(provider, point)
            if refused is not None and refused.retry_at is not None:
                times.append(refused.retry_at)
            found[point.key] = max(times)
        return found

    def _too_early(
        self, provider: Provider, point: Point, held: Mapping[str, Held], now: datetime
    ) -> bool:
        """True before the provider's own word: an expiry, or the end of a refusal."""
        refused = self._shelf.refusal(provider, point)
        times = [
            held[point.key].reply.expires_at if point.key in held else None,
            refused.retry_at if refused is not None else None,
        ]
        return any(moment is not None and moment > now for moment in times)

    def _ask(
        self,
        provider: Provider,
        points: Sequence[Point],
        held: Mapping[str, Held],
        now: datetime,
    ) -> dict[str, FetchFailure]:
        """Batch after batch, the oldest replies first, as far as budget and trouble allow."""
        in_order = sorted(
            points,
            key=lambda point: (
                held[point.key].reply.fetched_at.timestamp() if point.key in held else 0.0
            ),
        )
        failures: dict[str, FetchFailure] = {}
        waited_s = 0.0
        for number, batch in enumerate(batches(in_order, provider.max_batch)):
            moment = now + timedelta(seconds=waited_s)
            obstacle, wait_s = self._obstacle(provider, len(batch), moment)
            wait_s = max(wait_s, PAUSE_S if number else 0.0)
            if obstacle is None and waited_s + wait_s > LONGEST_WAIT_S:
                obstacle = _own_budget(provider, moment + timedelta(seconds=wait_s))
            if obstacle is not None:
                failures |= dict.fromkeys((point.key for point in batch), obstacle)
                continue
            if wait_s:
                self._sleep(wait_s)
                waited_s += wait_s
            failures |= self._send(provider, batch, held, now + timedelta(seconds=waited_s))
        return failures

    def _obstacle(
        self, provider: Provider, places: int, moment: datetime
    ) -> tuple[FetchFailure | None, float]:
        """What forbids a request now, and how long waiting would help [s]."""
        attempts = self.attempts(provider.host, moment)
        pause = break_of(attempts, provider.name)
        if pause is not None and pause.until > moment:
            words = (
                f"{provider.name} is not asked before {pause.until:%H:%M} UTC, "
                f"after: {pause.failure.message}"
            )
            kind = pause.failure.kind
            return FetchFailure(kind=kind, message=words, retry_at=pause.until), 0.0
        weight = provider.weight(places)
        if room(provider.limits, attempts, moment) >= weight:
            return None, 0.0
        free_at = room_again_at(provider.limits, attempts, moment, weight)
        wait_s = (free_at - moment).total_seconds()
        return (_own_budget(provider, free_at), 0.0) if wait_s > LONGEST_WAIT_S else (None, wait_s)

    def _send(
        self,
        provider: Provider,
        batch: Sequence[Point],
        held: Mapping[str, Held],
        moment: datetime,
    ) -> dict[str, FetchFailure]:
        """One request; what comes back is kept, trouble is noted."""
        known = {
            point.key: Validators(
                last_modified=held[point.key].reply.last_modified,
                etag=held[point.key].reply.etag,
            )
            for point in batch
            if point.key in held
        }
        found = provider.fetch(batch, now=moment, known=known)
        wrong = _host_trouble(list(found.values()))
        self._log.note(
            Attempt(
                host=provider.host,
                at=moment,
                weight=provider.weight(len(batch)) if wrong is None else FAILED_WEIGHT,
                places=len(batch),
                failure=wrong,
                provider=provider.name,
            )
        )
        self._shelf.keep(provider, found, held, moment)
        return {key: one for key, one in found.items() if isinstance(one, FetchFailure)}


def _host_trouble(outcomes: Sequence[Outcome]) -> FetchFailure | None:
    """The failure that speaks of the server and not of a place; None if any place was answered."""
    trouble = None
    for one in outcomes:
        if not isinstance(one, FetchFailure) or one.kind is FailureKind.NOT_COVERED:
            return None
        trouble = one
    return trouble


def _own_budget(provider: Provider, free_at: datetime) -> FetchFailure:
    return FetchFailure(
        kind=FailureKind.THROTTLED,
        message=(
            f"{provider.name}: four fifths of its limit are used; asked again from "
            f"{free_at:%Y-%m-%d %H:%M} UTC. A key or a server of one's own has wider limits."
        ),
        retry_at=free_at,
    )
