"""Heights of places whose height nobody entered: looked up once, and kept for good."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from frostwatch.ports import TerrainStore
from frostwatch.weather.asking import Limit, batches
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure
from frostwatch.weather.manners import FAILED_WEIGHT, Attempt, AttemptLog, break_of, room
from frostwatch.weather.terrain import (
    POINTS,
    KnownHeight,
    Terrain,
    corners_of,
    height_at,
    place_of,
)

NAME = "open-meteo-elevation"
PLACES_AT_ONCE = 100 // POINTS
REQUESTS_A_PASS = 3
"""Requests of one pass: heights never hold up the forecast; the rest follows with the next."""
ASK_AGAIN = timedelta(hours=6)
"""Time after which a failed look-up is tried again, or later if the server says so. Estimate."""

Ask = Callable[[Sequence[tuple[float, float]], datetime], tuple[float, ...] | FetchFailure]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightService:
    """Who is asked for heights.

    Attributes:
        ask: coordinates [deg] and time -> heights [m] in that order, or why there are none.
        credit: words the licence asks for.
        host: server asked; shares its limits with the forecasts from there.
        limits: published limits; a point counts one.
    """

    ask: Ask
    credit: Attribution
    host: str
    limits: tuple[Limit, ...] = ()


@dataclass(slots=True)
class MemoryTerrain:
    """Heights of one process. Implements ``ports.TerrainStore``."""

    kept: dict[str, Terrain] = field(default_factory=dict)

    def keep(self, terrains: Sequence[Terrain]) -> None:
        """Store what was said, in place of what was said before."""
        self.kept |= {one.place: one for one in terrains}

    def known(self, places: Sequence[str]) -> Mapping[str, Terrain]:
        """Place -> what was said; places never asked for are left out."""
        return {place: self.kept[place] for place in places if place in self.kept}


class KeptHeights:
    """Heights that were looked up before; nobody is asked. Implements ``ports.Heights``."""

    def __init__(self, store: TerrainStore) -> None:
        self._store = store

    def at(
        self, coordinates: Sequence[tuple[float, float]], now: datetime
    ) -> dict[tuple[float, float], KnownHeight | FetchFailure]:
        """Height of each, or why it is not known."""
        place = {each: place_of(*each) for each in coordinates}
        known = self._store.known(sorted(set(place.values())))
        return {each: _height(known.get(place[each]), each, _NOT_YET) for each in coordinates}


class PlaceHeights:
    """Implements ``ports.Heights``.

    Args:
        service: who is asked.
        store: where heights are kept.
        attempts: log of requests, shared with the forecasts.
    """

    def __init__(self, service: HeightService, store: TerrainStore, attempts: AttemptLog) -> None:
        self._service = service
        self._store = store
        self._attempts = attempts

    def at(
        self, coordinates: Sequence[tuple[float, float]], now: datetime
    ) -> dict[tuple[float, float], KnownHeight | FetchFailure]:
        """Height of each, or why it is not known; asks for places never asked for."""
        place = {each: place_of(*each) for each in coordinates}
        known = dict(self._store.known(sorted(set(place.values()))))
        due = sorted(each for each in set(place.values()) if _is_due(known.get(each), now))
        trouble: FetchFailure | None = None
        for number, batch in enumerate(batches(due, PLACES_AT_ONCE)):
            trouble = self._obstacle(len(batch), now) if number < REQUESTS_A_PASS else _LATER
            if trouble is not None:
                break
            asked = self._asked(batch, now)
            self._store.keep(asked)
            known |= {one.place: one for one in asked}
        return {each: _height(known.get(place[each]), each, trouble) for each in coordinates}

    def _obstacle(self, places: int, now: datetime) -> FetchFailure | None:
        """What forbids a request now."""
        attempts = self._attempts.since(self._service.host, now - timedelta(days=1))
        pause = break_of(attempts, NAME)
        if pause is not None and pause.until > now:
            return pause.failure
        return _LATER if room(self._service.limits, attempts, now) < POINTS * places else None

    def _asked(self, places: Sequence[str], now: datetime) -> list[Terrain]:
        corners = [corner for place in places for corner in corners_of(place)]
        found = self._service.ask(corners, now)
        failure = found if isinstance(found, FetchFailure) else None
        self._attempts.note(
            Attempt(
                host=self._service.host,
                at=now,
                weight=float(len(corners)) if failure is None else FAILED_WEIGHT,
                places=len(places),
                failure=failure,
                provider=NAME,
            )
        )
        if isinstance(found, FetchFailure):
            return [Terrain(place=place, asked_at=now, failure=found) for place in places]
        return [
            Terrain(
                place=place,
                asked_at=now,
                heights_m=tuple(found[POINTS * n : POINTS * (n + 1)]),
                credit=self._service.credit,
            )
            for n, place in enumerate(places)
        ]


_LATER = FetchFailure(
    kind=FailureKind.THROTTLED, message="Heights are looked up a few at a time; the rest follows."
)

_NOT_YET = FetchFailure(
    kind=FailureKind.UNREACHABLE, message="It was not asked for yet; the next pass does."
)


def _is_due(known: Terrain | None, now: datetime) -> bool:
    if known is None:
        return True
    if known.failure is None:
        return False
    again = known.asked_at + ASK_AGAIN
    return now >= max(again, known.failure.retry_at or again)


def _height(
    known: Terrain | None, coordinates: tuple[float, float], trouble: FetchFailure | None
) -> KnownHeight | FetchFailure:
    if known is None:
        return trouble or _LATER
    if known.failure is not None or known.credit is None:
        return known.failure or _LATER
    return KnownHeight(
        height_m=round(height_at(known.place, known.heights_m, *coordinates)),
        credit=known.credit,
        asked_at=known.asked_at,
    )
