"""What is known about the weather of one place: from whom, how old, what asking again costs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from frostwatch.ports import Forecasts
from frostwatch.weather.asking import Provider
from frostwatch.weather.cache.beside import MEMBERS_BELOW_C
from frostwatch.weather.cache.weather_cache import WeatherCache
from frostwatch.weather.forecast import (
    FetchFailure,
    Forecast,
    ForecastStanding,
    Point,
    standing,
)
from frostwatch.weather.manners import (
    BUDGET_FRACTION,
    Attempt,
    break_of,
    spent,
    window_start,
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ProviderView:
    """One provider's part in what is known about a place.

    Attributes:
        name: of the provider.
        forecast: its newest frame, None if there is none.
        standing: how far that frame can be leaned on.
        last_failure: what the last request brought instead of a frame, None if it was good.
        blocked_until: not asked before, after trouble, UTC; None if it may be asked.
        next_ask_at: earliest time of the next request for this place, UTC.
        next_weight: what that request counts, for this place alone.
        spent_today: weight used at its host since 00:00 UTC.
        budget_today: most weight used in a day; None without a limit.
        asked_when: condition under which it is asked at all, "" for none.
    """

    name: str
    forecast: Forecast | None
    standing: ForecastStanding
    last_failure: FetchFailure | None
    blocked_until: datetime | None
    next_ask_at: datetime
    next_weight: float
    spent_today: float
    budget_today: float | None
    asked_when: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlaceView:
    """What is known about the weather of a place.

    Attributes:
        point: the place as it is asked for.
        forecast: the frame that decisions rest on, None if there is none.
        standing: how far it can be leaned on.
        providers: in order of preference, ensembles last.
    """

    point: Point
    forecast: Forecast | None
    standing: ForecastStanding
    providers: tuple[ProviderView, ...]


def place_view(cache: WeatherCache, point: Point, now: datetime) -> PlaceView:
    """Look without asking anybody."""
    best = cache.known(point, now)
    return PlaceView(
        point=point,
        forecast=best,
        standing=standing(best, now),
        providers=tuple(
            _provider_view(cache, provider, point, now, asked_when=condition)
            for provider, condition in _asked(cache)
        ),
    )


def recorded_view(recorded: Forecasts, point: Point, now: datetime) -> PlaceView:
    """What a folder of recorded replies knows; there is nobody to ask."""
    found = recorded.at([point], now)[point.key]
    forecast = found if isinstance(found, Forecast) else None
    known = standing(forecast, now)
    if isinstance(found, FetchFailure):
        known = replace(known, reason=found.message)
    return PlaceView(point=point, forecast=forecast, standing=known, providers=())


def _asked(cache: WeatherCache) -> Iterator[tuple[Provider, str]]:
    """Who may be asked, and under which condition."""
    for number, provider in enumerate(cache.providers):
        yield provider, "if those before fail or age" if number else ""
    if cache.beside.ensemble is not None:
        yield cache.beside.ensemble, "without members" if cache.beside.members else ""
    if cache.beside.members is not None:
        yield cache.beside.members, f"below {MEMBERS_BELOW_C:.0f} °C ahead"


def _provider_view(
    cache: WeatherCache, provider: Provider, point: Point, now: datetime, *, asked_when: str
) -> ProviderView:
    held = cache.shelf.held(provider, [point])
    forecast = held[point.key].forecast if point.key in held else None
    attempts = cache.desk.attempts(provider.host, now)
    pause = break_of(attempts, provider.name)
    blocked = pause.until if pause is not None and pause.until > now else None
    due_at = cache.desk.due_times(provider, [point], held, now)[point.key]
    day = timedelta(days=1)
    daily = [limit.weight for limit in provider.limits if limit.every == day]
    return ProviderView(
        name=provider.name,
        forecast=forecast,
        standing=standing(forecast, now),
        last_failure=cache.shelf.refusal(provider, point) or _last_failure(attempts, provider),
        blocked_until=blocked,
        next_ask_at=max(now, due_at, blocked or now),
        next_weight=provider.weight(1),
        spent_today=spent(attempts, window_start(now, day)),
        budget_today=BUDGET_FRACTION * daily[0] if daily else None,
        asked_when=asked_when,
    )


def _last_failure(attempts: Sequence[Attempt], provider: Provider) -> FetchFailure | None:
    """Why the last request of any process at the provider's host brought nothing."""
    own = [one for one in attempts if one.provider == provider.name]
    return own[-1].failure if own else None
