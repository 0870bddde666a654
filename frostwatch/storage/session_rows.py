"""Devices that are signed in, one-time codes, and tries that failed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from sqlalchemy import delete, func, select, update

from frostwatch.errors import LedgerError
from frostwatch.ports.accounts import Account, Session
from frostwatch.storage import account_rows
from frostwatch.storage.database import Database
from frostwatch.storage.tables import (
    AccountRow,
    KnockRow,
    OneTimeCodeRow,
    SessionRow,
    table_of,
)

SEEN_EVERY = timedelta(minutes=5)
"""How closely a session notes when its device was last seen: spares a write for every page."""

_account = table_of(AccountRow)
_session = table_of(SessionRow)
_code = table_of(OneTimeCodeRow)
_knock = table_of(KnockRow)


@dataclass(frozen=True, slots=True, kw_only=True)
class OneTimeCode:
    """A code that still holds.

    Attributes:
        account: whose password it lets choose; None for the first account.
    """

    account: Account | None


class SqlSessions:
    """Who is signed in."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def open(self, session: Session) -> None:
        """Note a device that signed in."""
        row = {
            "digest": session.digest,
            "account": session.account.id,
            "made_at": session.made_at,
            "seen_at": session.seen_at,
            "expires_at": session.expires_at,
            "lasting": session.lasting,
        }
        with self._database.writing() as connection:
            connection.execute(_session.insert(), row)

    def count(self, account: int, now: datetime) -> int:
        """How many devices of an account have not expired."""
        wanted = select(func.count()).where(
            _session.c.account == account, _session.c.expires_at > now
        )
        with self._database.reading() as connection:
            return int(connection.execute(wanted).scalar_one())

    def close_others(self, account: int, digest: str) -> None:
        """Sign every device of an account out but the one of that digest."""
        with self._database.writing() as connection:
            connection.execute(
                delete(_session).where(_session.c.account == account, _session.c.digest != digest)
            )

    def find(self, digest: str, now: datetime) -> Session | None:
        """The session of that digest unless it has expired; two queries."""
        wanted = (
            select(
                _session.c.made_at.label("signed_in_at"),
                _session.c.seen_at,
                _session.c.expires_at,
                _session.c.lasting,
                _account,
            )
            .join(_account, _account.c.id == _session.c.account)
            .where(_session.c.digest == digest, _session.c.expires_at > now)
        )
        with self._database.reading() as connection:
            row = connection.execute(wanted).first()
            if row is None:
                return None
            roles = account_rows.roles_of(connection, [row.id])
        return Session(
            digest=digest,
            account=replace(account_rows.read(row), roles=roles.get(row.id, {})),
            made_at=row.signed_in_at,
            seen_at=row.seen_at,
            expires_at=row.expires_at,
            lasting=row.lasting,
        )

    def note_seen(self, session: Session, now: datetime) -> None:
        """Note that its device asked for something; nothing is written where that is known."""
        if now - session.seen_at < SEEN_EVERY:
            return
        with self._database.writing() as connection:
            connection.execute(
                update(_session).where(_session.c.digest == session.digest).values(seen_at=now)
            )

    def close(self, digest: str) -> None:
        """Sign a device out."""
        with self._database.writing() as connection:
            connection.execute(delete(_session).where(_session.c.digest == digest))

    def prune(self, now: datetime, *, quiet_since: datetime) -> None:
        """Drop codes and sessions that expired, and sessions not seen after ``quiet_since``.

        Lasting sessions may be quiet.
        """
        quiet = ~_session.c.lasting & (_session.c.seen_at < quiet_since)
        with self._database.writing() as connection:
            connection.execute(delete(_session).where((_session.c.expires_at <= now) | quiet))
            connection.execute(delete(_code).where(_code.c.expires_at <= now))


class SqlCodes:
    """Codes that let somebody choose a password once."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def keep(self, digest: str, account: int | None, *, expires_at: datetime) -> None:
        """Keep a code in the place of every earlier one of that account.

        Args:
            digest: SHA-256 of the code, hexadecimal.
            account: whose password it lets choose; None for the first account.
            expires_at: until when, UTC.
        """
        row = {"digest": digest, "account": account, "expires_at": expires_at}
        with self._database.writing() as connection:
            connection.execute(delete(_code).where(_code.c.account.is_not_distinct_from(account)))
            connection.execute(_code.insert(), row)

    def find(self, digest: str, now: datetime) -> OneTimeCode | None:
        """What a code is for; None if it is void."""
        held = select(_code.c.account).where(_code.c.digest == digest, _code.c.expires_at > now)
        with self._database.reading() as connection:
            row = connection.execute(held).first()
            if row is None:
                return None
            if row.account is None:
                return None if account_rows.is_any(connection) else OneTimeCode(account=None)
            wanted = select(_account).where(_account.c.id == row.account)
            return OneTimeCode(account=account_rows.load(connection, wanted)[0])

    def use(self, digest: str, now: datetime, *, hashed: str, first: Account | None) -> Account:
        """Choose a password by a code; the code is void then, every device signed out.

        Args:
            digest: of the code.
            now: time of use, UTC.
            hashed: the new password's hash.
            first: the account to enter by a first code; None for any other.

        Raises:
            LedgerError: the code is void, or the first account is there already.
        """
        taken = (
            delete(_code)
            .where(_code.c.digest == digest, _code.c.expires_at > now)
            .returning(_code.c.account)
        )
        with self._database.writing() as connection:
            row = connection.execute(taken).first()
            if row is None or (row.account is None) is not (first is not None):
                raise LedgerError("The code was mistyped, has expired, or has been used already.")
            if first is None:
                wanted = select(_account).where(_account.c.id == row.account)
                account = account_rows.load(connection, wanted)[0]
            elif account_rows.is_any(connection):
                raise LedgerError("The first account is there already. Sign in instead.")
            else:
                account = account_rows.insert(connection, first)
            account_rows.change_password(connection, account.id, hashed)
        return replace(account, has_password=True)


class SqlKnocks:
    """Tries at a secret that failed, by whom (``"from 192.0.2.7"``) or at whose door."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def counted(self, doors: Sequence[str], since: datetime) -> Mapping[str, int]:
        """Door -> tries that failed after ``since``; doors without any are missing."""
        counted = (
            select(_knock.c.door, func.count())
            .where(_knock.c.door.in_(doors), _knock.c.at > since)
            .group_by(_knock.c.door)
        )
        with self._database.reading() as connection:
            return {row[0]: row[1] for row in connection.execute(counted)}

    def note(self, doors: Sequence[str], now: datetime, *, forget: datetime) -> None:
        """Note a try that failed at each door, and drop those before ``forget``."""
        with self._database.writing() as connection:
            connection.execute(delete(_knock).where(_knock.c.at < forget))
            connection.execute(_knock.insert(), [{"door": door, "at": now} for door in doors])

    def forget(self, doors: Sequence[str]) -> None:
        """Let doors begin anew: somebody got in."""
        with self._database.writing() as connection:
            connection.execute(delete(_knock).where(_knock.c.door.in_(doors)))
