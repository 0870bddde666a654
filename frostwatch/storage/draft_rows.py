"""Places that somebody began to enter and has not finished."""

from datetime import datetime, timedelta

from sqlalchemy import delete, select

from frostwatch.storage.database import Database, upsert
from frostwatch.storage.tables import DraftRow, table_of

KEPT = timedelta(days=90)
"""A place nobody went on with for so long is forgotten. Estimate."""

_draft = table_of(DraftRow)


class SqlDrafts:
    """One unfinished place for each account."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def find(self, account: int) -> str:
        """What an account has entered so far, "" for nothing."""
        wanted = select(_draft.c.body).where(_draft.c.account == account)
        with self._database.reading() as connection:
            return str(connection.execute(wanted).scalar() or "")

    def keep(self, account: int, body: str, now: datetime) -> None:
        """Keep it in the place of what there was, and forget what nobody went on with."""
        with self._database.writing() as connection:
            connection.execute(delete(_draft).where(_draft.c.changed_at < now - KEPT))
            row = {"account": account, "changed_at": now, "body": body}
            upsert(connection, _draft, [row], ["account"])

    def drop(self, account: int) -> None:
        """Forget it."""
        with self._database.writing() as connection:
            connection.execute(delete(_draft).where(_draft.c.account == account))
