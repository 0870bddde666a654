"""Requests to forecast servers: budgets and breaks outlive a restart."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import delete, select

from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.database import Database
from frostwatch.storage.tables import AttemptRow, table_of
from frostwatch.weather.manners import Attempt

KEPT = timedelta(days=1)
"""No published limit looks further back than a day."""

_attempt = table_of(AttemptRow)


class SqlAttempts:
    """The log of requests on a database. Implements ``weather.manners.AttemptLog``."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def note(self, attempt: Attempt) -> None:
        """Keep one attempt and drop those that no limit looks at any more."""
        row = {"host": attempt.host, "at": attempt.at, "body": to_body(Attempt, attempt)}
        with self._database.writing() as connection:
            connection.execute(_attempt.insert().values(row))
            connection.execute(delete(_attempt).where(_attempt.c.at < attempt.at - KEPT))

    def since(self, host: str, moment: datetime) -> Sequence[Attempt]:
        """Attempts at a host from ``moment`` on, in order of time."""
        wanted = (
            select(_attempt.c.body)
            .where(_attempt.c.host == host, _attempt.c.at >= moment)
            .order_by(_attempt.c.at, _attempt.c.id)
        )
        with self._database.reading() as connection:
            bodies = connection.scalars(wanted).all()
        return [from_body(Attempt, body, where=f"a request to {host}") for body in bodies]
