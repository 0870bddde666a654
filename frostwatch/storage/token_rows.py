"""What machines show to act without signing in."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import delete, select, update

from frostwatch.errors import LedgerError
from frostwatch.ports.accounts import Scope, Token
from frostwatch.storage.database import Database
from frostwatch.storage.tables import SiteRow, TokenRow, table_of

USED_EVERY = timedelta(minutes=5)
"""How closely a token notes its last use: spares a write for every request."""

_token = table_of(TokenRow)
_site = table_of(SiteRow)


class SqlTokens:
    """Who may act without signing in."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, token: Token) -> Token:
        """Keep a token; the same comes back with its number.

        Raises:
            LedgerError: its site is not entered.
        """
        row = {
            "digest": token.digest,
            "site": token.site,
            "name": token.name,
            "scopes": " ".join(sorted(token.scopes)),
            "made_at": token.made_at,
            "expires_at": token.expires_at,
        }
        with self._database.writing() as connection:
            if not connection.execute(select(_site).where(_site.c.key == token.site)).first():
                raise LedgerError(
                    f"There is no site {token.site!r}. Enter it first; its key stands in: "
                    "frostwatch export fleet"
                )
            number = connection.execute(_token.insert().returning(_token.c.id), row).scalar_one()
        return replace(token, id=number)

    def find(self, digest: str, now: datetime) -> Token | None:
        """The token of that digest unless it has expired."""
        wanted = select(_token).where(_token.c.digest == digest)
        with self._database.reading() as connection:
            row = connection.execute(wanted).first()
        if row is None or (row.expires_at is not None and row.expires_at <= now):
            return None
        return _read(row)

    def listed(self, site: str | None = None) -> tuple[Token, ...]:
        """Tokens of one site, or all of them, in order of their numbers."""
        wanted = select(_token).order_by(_token.c.id)
        if site is not None:
            wanted = wanted.where(_token.c.site == site)
        with self._database.reading() as connection:
            return tuple(_read(row) for row in connection.execute(wanted))

    def note_used(self, token: Token, now: datetime) -> None:
        """Note that it was used; nothing is written where that is known."""
        if token.used_at is not None and now - token.used_at < USED_EVERY:
            return
        with self._database.writing() as connection:
            connection.execute(update(_token).where(_token.c.id == token.id).values(used_at=now))

    def remove(self, number: int) -> bool:
        """Make a token void; False if there is none of that number."""
        with self._database.writing() as connection:
            return connection.execute(delete(_token).where(_token.c.id == number)).rowcount == 1


def _read(row: Any) -> Token:
    return Token(
        id=row.id,
        digest=row.digest,
        site=row.site,
        name=row.name,
        scopes=frozenset(Scope(word) for word in row.scopes.split()),
        made_at=row.made_at,
        expires_at=row.expires_at,
        used_at=row.used_at,
    )
