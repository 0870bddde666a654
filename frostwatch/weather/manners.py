"""Manners towards a forecast server: budgets, breaks after trouble, when to ask again. Pure."""

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from math import ceil
from typing import Protocol

from frostwatch.weather.asking import Limit, Provider
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast

BUDGET_FRACTION = 0.8
"""Share of a published limit that is ever used."""
EXTRAS_FRACTION = 0.13
"""Share of a day's limit up to which a host is asked for what is not needed. Estimate."""
FAILED_WEIGHT = 3.0
"""What a failed request counts: each of up to three tries costs 1 at the server."""
BREAK = timedelta(minutes=10)
LONGEST_BREAK = timedelta(hours=2)
FAILURES_BEFORE_A_BREAK = 2
THROTTLED_BREAK = timedelta(minutes=1)
LONGEST_THROTTLED_BREAK = timedelta(hours=1)
COLD_NIGHT_C = 3.0
"""Air ahead below which replies are refreshed every hour, within the budget. Estimate."""
COLD_REFRESH = timedelta(hours=1)
NIGHT_AHEAD_H = 36
SLACK = timedelta(minutes=5)
"""A pass that comes a little early still counts as the next one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """One request and what became of it.

    Attributes:
        host: server asked.
        at: when, UTC.
        weight: what it counts against the limits.
        places: places asked for.
        failure: None if any place got an answer.
        provider: who asked; several may share a host and its limits.
    """

    host: str
    at: datetime
    weight: float
    places: int
    failure: FetchFailure | None = None
    provider: str = ""


class AttemptLog(Protocol):
    """Remembers requests for a day."""

    def note(self, attempt: Attempt) -> None:
        """Keep one attempt."""
        ...

    def since(self, host: str, moment: datetime) -> Sequence[Attempt]:
        """Attempts at a host from ``moment`` on, in order of time."""
        ...


class MemoryAttempts:
    """The log of one process. Implements ``AttemptLog``."""

    def __init__(self, days: float = 1.0) -> None:
        self._kept = timedelta(days=days)
        self._attempts: dict[str, deque[Attempt]] = {}

    def note(self, attempt: Attempt) -> None:
        """Keep one attempt and drop those that no limit looks at any more."""
        attempts = self._attempts.setdefault(attempt.host, deque())
        attempts.append(attempt)
        while attempts[0].at < attempt.at - self._kept:
            attempts.popleft()

    def since(self, host: str, moment: datetime) -> Sequence[Attempt]:
        """Attempts at a host from ``moment`` on, in order of time."""
        return [one for one in self._attempts.get(host, ()) if one.at >= moment]


def window_start(moment: datetime, every: timedelta) -> datetime:
    """Start of the window of the clock that ``moment`` lies in, UTC."""
    seconds = int(every.total_seconds())
    return datetime.fromtimestamp(int(moment.timestamp()) // seconds * seconds, UTC)


def spent(attempts: Iterable[Attempt], since: datetime) -> float:
    """Weight used from ``since`` on."""
    return sum(one.weight for one in attempts if one.at >= since)


def room(limits: Sequence[Limit], attempts: Sequence[Attempt], moment: datetime) -> float:
    """Weight that may still be used at ``moment``; inf without limits."""
    return min(
        (
            BUDGET_FRACTION * limit.weight - spent(attempts, window_start(moment, limit.every))
            for limit in limits
        ),
        default=float("inf"),
    )


def room_again_at(
    limits: Sequence[Limit], attempts: Sequence[Attempt], moment: datetime, weight: float
) -> datetime:
    """Earliest time from ``moment`` on at which ``weight`` fits under every limit, UTC.

    A weight above a whole window's budget is let through when that window is unused: nothing
    smaller can be asked.
    """
    for limit in sorted(limits, key=lambda one: one.every, reverse=True):
        begin = window_start(moment, limit.every)
        used = spent(attempts, begin)
        if used > 0.0 and used + weight > BUDGET_FRACTION * limit.weight:
            return begin + limit.every
    return moment


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A host is left alone for a while.

    Attributes:
        until: when it may be asked again, UTC.
        failure: what it answered last.
    """

    until: datetime
    failure: FetchFailure


def break_of(attempts: Sequence[Attempt], provider: str) -> Break | None:
    """The break after trouble that a provider takes from its host; None if it takes none.

    A limit that was hit is everybody's at that host; an ensemble that is refused or out of order
    says nothing about the forecasts of the same company.

    Args:
        attempts: requests at the host, in order of time.
        provider: who wants to ask.
    """
    own = _break([one for one in attempts if one.provider == provider])
    last = attempts[-1].failure if attempts else None
    if last is None or last.kind is not FailureKind.THROTTLED:
        return own
    found = [one for one in (own, _break(attempts)) if one is not None]
    return max(found, key=lambda one: one.until, default=None)


def _break(attempts: Sequence[Attempt]) -> Break | None:
    """Counts the failures since the last answer: breaks double from 10 minutes to 2 hours, those
    after a limit was hit from 1 minute to 1 hour; what the server asked for holds in any case."""
    run: list[Attempt] = []
    for one in reversed(attempts):
        if one.failure is None:
            break
        run.append(one)
    if not run or run[0].failure is None:
        return None
    last, failure = run[0].at, run[0].failure
    until = failure.retry_at
    if failure.kind is FailureKind.THROTTLED:
        wait = min(THROTTLED_BREAK * 2.0 ** (len(run) - 1), LONGEST_THROTTLED_BREAK)
    elif len(run) >= FAILURES_BEFORE_A_BREAK:
        wait = min(BREAK * 2.0 ** min(len(run) - FAILURES_BEFORE_A_BREAK, 10), LONGEST_BREAK)
    elif until is None:
        return None
    else:
        return Break(until=until, failure=failure)
    until = last + wait if until is None else max(last + wait, until)
    return Break(until=until, failure=failure)


def cold_night_ahead(forecast: Forecast, now: datetime, below_c: float = COLD_NIGHT_C) -> bool:
    """True if the forecast's own air falls below ``below_c`` within the next day and a half."""
    return lowest_ahead_c(forecast, now) < below_c


def lowest_ahead_c(forecast: Forecast, now: datetime) -> float:
    """Lowest air of the forecast in the next day and a half [degC]; inf if it ends before."""
    begin = max(0, forecast.index_at(now))
    ahead = forecast.columns["air_c"][begin : begin + NIGHT_AHEAD_H]
    return float(ahead.min()) if len(ahead) else float("inf")


def weight_to_come(provider: Provider, places: int, moment: datetime, *, asked: bool) -> float:
    """What a provider's usual requests will still cost today.

    Args:
        provider: the provider.
        places: places it is asked for.
        moment: aware UTC time.
        asked: whether it has been asked at ``moment`` already.
    """
    day = timedelta(days=1)
    rounds = ceil((window_start(moment, day) + day - moment) / provider.refresh)
    return provider.weight(places) * (rounds - 1 if asked else rounds)


def room_for_extras(
    limits: Sequence[Limit], attempts: Sequence[Attempt], moment: datetime, to_come: float
) -> float:
    """Weight left today for what is worth having but can be done without; inf without limits.

    Extras never take a host's day beyond 13 % of its limit, so that others at the same address
    are not crowded out.

    Args:
        limits: of the host.
        attempts: requests of the last day at the host.
        moment: aware UTC time.
        to_come: weight set aside for the usual requests of the rest of the day.
    """
    day = timedelta(days=1)
    daily = [EXTRAS_FRACTION * one.weight for one in limits if one.every == day]
    used = spent(attempts, window_start(moment, day))
    return min(daily, default=float("inf")) - used - to_come


def hourly_fits(
    provider: Provider, attempts: Sequence[Attempt], moment: datetime, places: int, cold: int
) -> bool:
    """Whether the budget of the day bears hourly replies for ``cold`` of ``places`` places.

    What the three-hourly replies of the rest of the day will cost is set aside first.
    """
    day = timedelta(days=1)
    for limit in provider.limits:
        if limit.every != day:
            continue
        begin = window_start(moment, day)
        left = BUDGET_FRACTION * limit.weight - spent(attempts, begin)
        rounds = (begin + day - moment) / provider.refresh
        if left - provider.weight(places) * rounds < provider.weight(cold):
            return False
    return True
