"""What every forecast provider looks like from outside, and what asking one costs."""

import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Protocol, TypeVar

from frostwatch.weather.forecast import Attribution, FetchFailure, Forecast, Point

T = TypeVar("T")


class Commercial(StrEnum):
    """Whether a provider's terms let a business use it."""

    YES = "yes"
    KEY = "with a key"
    NO = "no"


class Use(StrEnum):
    """What the operator declares to be doing."""

    PRIVATE = "private"
    COMMERCIAL = "commercial"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """Weight a provider allows per window of the clock.

    Attributes:
        every: length of the window; it starts on whole minutes, hours or days of UTC.
        weight: most weight in one window.
    """

    every: timedelta
    weight: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Validators:
    """What a server wants to see again in a conditional request, exactly as received."""

    last_modified: str = ""
    etag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fetched:
    """A forecast that has just arrived.

    Attributes:
        forecast: the frame.
        payload: the reply for this place alone, in the provider's own shape, kept as evidence;
            ``parse(payload, [point], fetched_at)`` gives the same frame again.
        expires_at: the provider's word on when to ask again, UTC; None if it gives none.
        validators: for the next request.
    """

    forecast: Forecast
    payload: bytes
    expires_at: datetime | None = None
    validators: Validators = field(default_factory=Validators)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unchanged:
    """The server says that what was received before still holds.

    Attributes:
        expires_at: when to ask again, UTC; None if it does not say.
    """

    expires_at: datetime | None = None


Outcome = Fetched | Unchanged | FetchFailure
Parsed = Forecast | FetchFailure


class Parser(Protocol):
    """Turns a provider's body into frames; pure, so that a kept reply can be read again."""

    def __call__(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        """Point key -> frame, or why there is none; never raises for what a server sends."""
        ...


class Provider(Protocol):
    """One open forecast API. Adding one is one file that has these, and one line in wiring."""

    @property
    def name(self) -> str:
        """Short name, as in settings and in the folders of kept replies."""
        ...

    @property
    def attribution(self) -> tuple[Attribution, ...]:
        """Words its licence asks for."""
        ...

    @property
    def commercial(self) -> Commercial:
        """Whether a business may use it."""
        ...

    @property
    def host(self) -> str:
        """Server it asks; one request at a time, and one budget, per host."""
        ...

    @property
    def max_batch(self) -> int:
        """Most places in one request."""
        ...

    @property
    def horizon_h(self) -> int:
        """How far ahead it reaches [h]."""
        ...

    @property
    def refresh(self) -> timedelta:
        """Time after which a new reply is worth asking for, where the reply names no expiry."""
        ...

    @property
    def limits(self) -> tuple[Limit, ...]:
        """Published limits of the host; empty if it names none."""
        ...

    def weight(self, places: int) -> float:
        """What a request for that many places costs against ``limits``."""
        ...

    def fetch(
        self,
        points: Sequence[Point],
        *,
        now: datetime,
        known: Mapping[str, Validators] | None = None,
    ) -> dict[str, Outcome]:
        """Ask for every distinct place; partial success is normal.

        Args:
            points: places; the same key twice is asked once.
            now: aware UTC time, becomes ``fetched_at``.
            known: point key -> validators of the reply at hand.

        Returns:
            Point key -> what came back, one entry for every key asked.
        """
        ...

    def parse(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        """See ``Parser``."""
        ...


def distinct(points: Sequence[Point]) -> list[Point]:
    """The points with each key once, in order of first mention."""
    return list({point.key: point for point in points}.values())


def batches(things: Sequence[T], size: int) -> list[Sequence[T]]:
    """Runs of at most ``size`` things."""
    return [things[begin : begin + size] for begin in range(0, len(things), size)]


def spread(key: str, size: int) -> int:
    """A number from 0 to ``size`` - 1 that depends on the key alone, to stagger requests."""
    return zlib.crc32(key.encode()) % size
