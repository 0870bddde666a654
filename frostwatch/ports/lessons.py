"""What the service asks of the memory in which a place's nights are collected."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol

from frostwatch.weather.learning import Learnt


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptGuess:
    """What one night was forecast to be, lowest air at the site's height, ground left out.

    Attributes:
        site: key of the site.
        night: date of its evening, by the sun's time.
        lead_day: see ``weather.learning.NightGuess``.
        provider: whose forecast.
        issued_at: when it was issued, UTC.
        lowest_c: by the default law of errors, the warmth of still nights taken off [degC].
        plain_c: the same with that warmth left in [degC].
    """

    site: str
    night: date
    lead_day: int
    provider: str
    issued_at: datetime
    lowest_c: float
    plain_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenNight:
    """What a night was by a provider's own analysis, at the site's height.

    Attributes:
        site: key of the site.
        night: date of its evening.
        provider: whose analysis.
        lowest_c: lowest air [degC].
    """

    site: str
    night: date
    provider: str
    lowest_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AirReading:
    """One value of a thermometer outdoors.

    Attributes:
        at: when, UTC.
        air_c: air [degC].
    """

    at: datetime
    air_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Intake:
    """Readings that were taken in together.

    Attributes:
        id: number in the ledger, 0 before it is kept.
        site: key of the site.
        name: name of the file or of the sender.
        received_at: when, UTC.
        count: readings in it.
        first_at: earliest reading, UTC.
        last_at: latest reading, UTC.
        forgotten_at: since when it is left aside, UTC; None while it counts.
    """

    id: int = 0
    site: str
    name: str
    received_at: datetime
    count: int
    first_at: datetime
    last_at: datetime
    forgotten_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """What is known of a site's own law of errors.

    Attributes:
        site: key of the site.
        learning: False where somebody wants the default law.
        learnt: what its nights taught; None while there are too few.
        fitted_at: when it was last worked out, UTC; None if it never was.
    """

    site: str
    learning: bool = True
    learnt: Learnt | None = None
    fitted_at: datetime | None = None

    @property
    def in_force(self) -> Learnt | None:
        """What is used; None for the default law."""
        return self.learnt if self.learning else None


class LessonStore(Protocol):
    """Nights as forecast, nights as they were, and what follows. Raises LedgerError."""

    def lessons(self) -> Mapping[str, Lesson]:
        """Site -> its lesson; sites without one are left out."""
        ...

    def keep_lesson(self, lesson: Lesson) -> None:
        """Keep what was learnt of a site."""
        ...

    def note(self, guesses: Sequence[KeptGuess], seen: Sequence[SeenNight]) -> None:
        """Keep guesses, the first of a night and lead, and nights as they were, the last word."""
        ...

    def guesses(self, site: str) -> Sequence[KeptGuess]:
        """All guesses of a site's nights, in order of the nights."""
        ...

    def seen(self, site: str) -> Sequence[SeenNight]:
        """Nights as analysed, in order of the nights."""
        ...

    def take(self, intake: Intake, readings: Sequence[AirReading]) -> Intake:
        """Keep readings, all or none; the intake comes back with its number."""
        ...

    def intakes(self, site: str) -> Sequence[Intake]:
        """What was taken in for a site, oldest first, that left aside included."""
        ...

    def set_aside(self, intake: int, forgotten_at: datetime | None) -> None:
        """Leave an intake aside from then on, or let it count again."""
        ...

    def readings(self, site: str) -> Sequence[AirReading]:
        """Readings that count, in order of time; of two of one moment the later file's."""
        ...
