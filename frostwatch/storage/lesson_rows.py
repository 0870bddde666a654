"""What a place's nights taught, and the readings it was learnt from."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, delete, select, update

from frostwatch.errors import RecordError
from frostwatch.ports import AirReading, Intake, KeptGuess, Lesson, SeenNight
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.database import Database, upsert
from frostwatch.storage.lesson_tables import (
    AirReadingRow,
    IntakeRow,
    LessonRow,
    NightGuessRow,
    SeenNightRow,
)
from frostwatch.storage.tables import SiteRow, table_of
from frostwatch.weather.learning import Learnt

_site = table_of(SiteRow)
_lesson = table_of(LessonRow)
_guess = table_of(NightGuessRow)
_seen = table_of(SeenNightRow)
_intake = table_of(IntakeRow)
_reading = table_of(AirReadingRow)


class SqlLessons:
    """Lessons on a database. Implements ``ports.LessonStore``."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def lessons(self) -> Mapping[str, Lesson]:
        """Site -> its lesson; sites without one are left out."""
        with self._database.reading() as connection:
            return {row.site: _lesson_of(row) for row in connection.execute(select(_lesson))}

    def keep_lesson(self, lesson: Lesson) -> None:
        """Keep what was learnt of a site.

        Raises:
            RecordError: the site is not entered.
        """
        row = {
            "site": lesson.site,
            "learning": lesson.learning,
            "fitted_at": lesson.fitted_at,
            "body": to_body(Learnt, lesson.learnt) if lesson.learnt is not None else "",
        }
        with self._database.writing() as connection:
            _refuse_unknown(connection, lesson.site)
            upsert(connection, _lesson, [row], ["site"])

    def forget(self, site: str, now: datetime) -> None:
        """Forget what was learnt of a site, as it lies elsewhere now; whether it learns stays.

        Files of thermometers are left aside, so that they can be made to count again.
        """
        with self._database.writing() as connection:
            for table in (_guess, _seen):
                connection.execute(delete(table).where(table.c.site == site))
            connection.execute(
                update(_lesson).where(_lesson.c.site == site).values(body="", fitted_at=None)
            )
            aside = update(_intake).where(_intake.c.site == site, _intake.c.forgotten_at.is_(None))
            connection.execute(aside.values(forgotten_at=now))

    def note(self, guesses: Sequence[KeptGuess], seen: Sequence[SeenNight]) -> None:
        """Keep guesses, the first of a night and lead, and nights as they were, the last word."""
        with self._database.writing() as connection:
            for site in {one.site for one in guesses}:
                wanted = select(_guess.c.night, _guess.c.lead_day).where(_guess.c.site == site)
                there = {(row.night, row.lead_day) for row in connection.execute(wanted)}
                own = [one for one in guesses if one.site == site]
                new = [asdict(one) for one in own if (one.night, one.lead_day) not in there]
                if new:
                    connection.execute(_guess.insert(), new)
            rows = [asdict(one) for one in seen]
            upsert(connection, _seen, rows, ["site", "night", "provider"])

    def guesses(self, site: str) -> Sequence[KeptGuess]:
        """All guesses of a site's nights, in order of the nights."""
        wanted = select(_guess).where(_guess.c.site == site)
        wanted = wanted.order_by(_guess.c.night, _guess.c.lead_day)
        with self._database.reading() as connection:
            return [KeptGuess(**row._mapping) for row in connection.execute(wanted)]

    def seen(self, site: str) -> Sequence[SeenNight]:
        """Nights as analysed, in order of the nights."""
        wanted = select(_seen).where(_seen.c.site == site)
        wanted = wanted.order_by(_seen.c.night, _seen.c.provider)
        with self._database.reading() as connection:
            return [SeenNight(**row._mapping) for row in connection.execute(wanted)]

    def take(self, intake: Intake, readings: Sequence[AirReading]) -> Intake:
        """Keep readings, all or none; the intake comes back with its number.

        Raises:
            RecordError: the site is not entered.
        """
        values = asdict(intake)
        del values["id"]
        with self._database.writing() as connection:
            _refuse_unknown(connection, intake.site)
            made = _intake.insert().values(values).returning(_intake.c.id)
            number: int = connection.execute(made).scalar_one()
            rows = [{"intake": number, "at": one.at, "air_c": one.air_c} for one in readings]
            connection.execute(_reading.insert(), rows)
        return replace(intake, id=number)

    def intakes(self, site: str) -> Sequence[Intake]:
        """What was taken in for a site, oldest first, that left aside included."""
        wanted = select(_intake).where(_intake.c.site == site).order_by(_intake.c.id)
        with self._database.reading() as connection:
            return [Intake(**row._mapping) for row in connection.execute(wanted)]

    def set_aside(self, intake: int, forgotten_at: datetime | None) -> None:
        """Leave an intake aside from then on, or let it count again."""
        with self._database.writing() as connection:
            connection.execute(
                update(_intake).where(_intake.c.id == intake).values(forgotten_at=forgotten_at)
            )

    def readings(self, site: str) -> Sequence[AirReading]:
        """Readings that count, in order of time; of two of one moment the later file's."""
        wanted = (
            select(_reading.c.at, _reading.c.air_c)
            .join(_intake, _intake.c.id == _reading.c.intake)
            .where(_intake.c.site == site, _intake.c.forgotten_at.is_(None))
            .order_by(_reading.c.intake, _reading.c.at)
        )
        with self._database.reading() as connection:
            newest = {row.at: row.air_c for row in connection.execute(wanted)}
        return [AirReading(at=at, air_c=newest[at]) for at in sorted(newest)]

    def prune(self, before: datetime) -> None:
        """Drop nights and readings older than that; what was learnt from them stays."""
        with self._database.writing() as connection:
            connection.execute(delete(_guess).where(_guess.c.night < before.date()))
            connection.execute(delete(_seen).where(_seen.c.night < before.date()))
            connection.execute(delete(_intake).where(_intake.c.last_at < before))


def air_read(
    connection: Connection, site: str, since: datetime, until: datetime
) -> Sequence[AirReading]:
    """Readings of a site's thermometer in a span that count, in order of time."""
    wanted = (
        select(_reading.c.at, _reading.c.air_c)
        .join(_intake, _intake.c.id == _reading.c.intake)
        .where(
            _intake.c.site == site,
            _intake.c.forgotten_at.is_(None),
            _reading.c.at >= since,
            _reading.c.at <= until,
        )
        .order_by(_reading.c.intake, _reading.c.at)
    )
    newest = {row.at: row.air_c for row in connection.execute(wanted)}
    return [AirReading(at=at, air_c=newest[at]) for at in sorted(newest)]


def _refuse_unknown(connection: Any, site: str) -> None:
    if connection.scalar(select(_site.c.key).where(_site.c.key == site)) is None:
        raise RecordError(f"site {site!r} is not entered. See: frostwatch export fleet")


def _lesson_of(row: Any) -> Lesson:
    where = f"what was learnt of site {row.site}"
    return Lesson(
        site=row.site,
        learning=row.learning,
        fitted_at=row.fitted_at,
        learnt=from_body(Learnt, row.body, where=where) if row.body else None,
    )
