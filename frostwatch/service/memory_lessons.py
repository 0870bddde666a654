"""Lessons of one program run: what a replay learns, forgotten when it ends."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime

from frostwatch.ports import AirReading, Intake, KeptGuess, Lesson, SeenNight


class MemoryLessons:
    """Implements ``ports.LessonStore`` with plain dictionaries."""

    def __init__(self) -> None:
        self._lessons: dict[str, Lesson] = {}
        self._guesses: dict[tuple[str, date, int], KeptGuess] = {}
        self._seen: dict[tuple[str, date, str], SeenNight] = {}
        self._intakes: list[Intake] = []
        self._readings: list[Sequence[AirReading]] = []

    def lessons(self) -> Mapping[str, Lesson]:
        """Site -> its lesson."""
        return self._lessons

    def keep_lesson(self, lesson: Lesson) -> None:
        """Keep what was learnt of a site."""
        self._lessons[lesson.site] = lesson

    def note(self, guesses: Sequence[KeptGuess], seen: Sequence[SeenNight]) -> None:
        """Keep guesses, the first of a night and lead, and nights as they were, the last word."""
        for guess in guesses:
            self._guesses.setdefault((guess.site, guess.night, guess.lead_day), guess)
        for night in seen:
            self._seen[night.site, night.night, night.provider] = night

    def guesses(self, site: str) -> Sequence[KeptGuess]:
        """All guesses of a site's nights, in order of the nights."""
        return [self._guesses[key] for key in sorted(self._guesses) if key[0] == site]

    def seen(self, site: str) -> Sequence[SeenNight]:
        """Nights as analysed, in order of the nights."""
        return [self._seen[key] for key in sorted(self._seen) if key[0] == site]

    def take(self, intake: Intake, readings: Sequence[AirReading]) -> Intake:
        """Keep readings; the intake comes back with its number."""
        numbered = replace(intake, id=len(self._intakes) + 1)
        self._intakes.append(numbered)
        self._readings.append(tuple(readings))
        return numbered

    def intakes(self, site: str) -> Sequence[Intake]:
        """What was taken in for a site, oldest first."""
        return [one for one in self._intakes if one.site == site]

    def set_aside(self, intake: int, forgotten_at: datetime | None) -> None:
        """Leave an intake aside from then on, or let it count again."""
        self._intakes[intake - 1] = replace(self._intakes[intake - 1], forgotten_at=forgotten_at)

    def readings(self, site: str) -> Sequence[AirReading]:
        """Readings that count, in order of time."""
        newest = {
            reading.at: reading
            for one in self.intakes(site)
            if one.forgotten_at is None
            for reading in self._readings[one.id - 1]
        }
        return [newest[at] for at in sorted(newest)]
