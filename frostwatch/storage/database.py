"""Opening a database, and turning its failures into sentences people can act on."""

import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, Table, create_engine, event
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError, SQLAlchemyError
from sqlalchemy.pool import StaticPool

from frostwatch.errors import LedgerError

BUSY_TIMEOUT_S = 30.0
"""How long a writer waits for another on SQLite: estimate, a pass commits in milliseconds."""

_HINTS = (
    ("database or disk is full", "Free some space; nothing of this step was written."),
    ("no space left", "Free some space; nothing of this step was written."),
    ("could not extend file", "Free some space; nothing of this step was written."),
    ("readonly database", "Let the user that runs frostwatch write to the file and its folder."),
    ("read-only", "Let frostwatch write to this database."),
    ("unable to open database file", "Make the folder, and let frostwatch write to it."),
    ("database is locked", "Another program holds the file; end it, or wait and try again."),
    ("not a database", "Give database_url a frostwatch database, or restore the last backup."),
    ("malformed", "Restore the last backup; see deploy/README.md."),
    ("password authentication", "Check user and password in database_url."),
    ("connection refused", "Start the PostgreSQL server, or correct database_url."),
    ("does not exist", "Create the database first, or correct database_url."),
)


class Database:
    """An engine with two doors: one to read, one to write in a single transaction."""

    def __init__(self, url: str) -> None:
        """Open ``url``; a missing folder of an SQLite file is made.

        Raises:
            LedgerError: the URL is not understood or its driver is missing.
        """
        self.url = _parsed(url)
        self.where = self.url.render_as_string(hide_password=True)
        self.in_memory = self.url.get_backend_name() == "sqlite" and self.url.database in (
            None,
            "",
            ":memory:",
        )
        self.engine = _engine(self.url, in_memory=self.in_memory)
        self._reader = (
            self.engine
            if self.is_sqlite
            else self.engine.execution_options(isolation_level="REPEATABLE READ")
        )
        self._writer = self.engine.execution_options(sqlite_begin="BEGIN IMMEDIATE")
        # one shared connection cannot hold two transactions
        self._one_at_a_time = threading.RLock() if self.in_memory else None

    @property
    def is_sqlite(self) -> bool:
        """Whether this is the embedded store."""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection with one consistent view."""
        with self._guarded("read"), self._reader.begin() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction: all of it is kept, or none."""
        with self._guarded("written"), self._writer.begin() as connection:
            yield connection

    @contextmanager
    def _guarded(self, doing: str) -> Iterator[None]:
        if self._one_at_a_time:
            self._one_at_a_time.acquire()
        try:
            yield
        except SQLAlchemyError as failure:
            raise LedgerError(_sentence(failure, self.where, doing)) from failure
        finally:
            if self._one_at_a_time:
                self._one_at_a_time.release()

    def close(self) -> None:
        """Give all connections back."""
        self.engine.dispose()


def upsert(
    connection: Connection, table: Table, rows: Sequence[dict[str, Any]], key: Sequence[str]
) -> None:
    """Insert rows, or replace the columns given where the key is there already."""
    if not rows:
        return
    insert = sqlite.insert if connection.dialect.name == "sqlite" else postgresql.insert
    statement: Any = insert(table)
    changed = {name: statement.excluded[name] for name in rows[0] if name not in key}
    connection.execute(statement.on_conflict_do_update(index_elements=key, set_=changed), rows)


def insert_new(
    connection: Connection, table: Table, rows: Sequence[dict[str, Any]], key: Sequence[str]
) -> int:
    """Insert rows whose key is not there yet; returns how many were new."""
    insert = sqlite.insert if connection.dialect.name == "sqlite" else postgresql.insert
    statement: Any = insert(table).on_conflict_do_nothing(index_elements=key)
    # psycopg counts rows only where some come back
    told = statement.returning(table.c[key[0]])
    return sum(len(connection.execute(told.values(row)).all()) for row in rows)


def _parsed(url: str) -> URL:
    try:
        parsed = make_url(url)
    except ArgumentError as wrong:
        raise LedgerError(
            "database_url is not understood. Write sqlite:///var/frostwatch.db or "
            "postgresql://user@host/name."
        ) from wrong
    if parsed.drivername in ("postgresql", "postgres"):
        return parsed.set(drivername="postgresql+psycopg")
    return parsed


def _engine(url: URL, *, in_memory: bool) -> Engine:
    options: dict[str, Any] = {"hide_parameters": True}
    if url.get_backend_name() == "sqlite":
        options["connect_args"] = {"timeout": BUSY_TIMEOUT_S, "check_same_thread": False}
        if in_memory:
            options["poolclass"] = StaticPool
        elif not str(url.database).startswith("file:"):
            _make_place(Path(str(url.database)))
    else:
        options["pool_pre_ping"] = True
    try:
        engine = create_engine(url, **options)
    except (ImportError, NoSuchModuleError) as missing:
        raise LedgerError(
            f"database_url: no driver for {url.get_backend_name()!r} is installed. For PostgreSQL "
            'install "frostwatch[postgres]"; only SQLite and PostgreSQL are supported.'
        ) from missing
    if url.get_backend_name() == "sqlite":
        event.listen(engine, "connect", _prepare_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    return engine


def _make_place(file: Path) -> None:
    """Folder and file; the file for its owner alone, as addresses of channels hold passwords."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        if not file.exists():
            file.touch(mode=0o600)
    except OSError as failure:
        raise LedgerError(
            f"database_url: {file} cannot be made ({failure.strerror}). "
            "Make its folder, and let frostwatch write to it."
        ) from failure


def _prepare_sqlite(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # the driver must not open transactions by itself
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode = WAL")
    cursor.execute("PRAGMA synchronous = FULL")
    cursor.execute("PRAGMA foreign_keys = ON")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    begin = connection.get_execution_options().get("sqlite_begin", "BEGIN")
    connection.exec_driver_sql(begin)


def _sentence(failure: SQLAlchemyError, where: str, doing: str) -> str:
    cause = str(getattr(failure, "orig", None) or failure).strip().splitlines()[0]
    hint = next((hint for words, hint in _HINTS if words in cause.lower()), "")
    return f"The database {where} cannot be {doing}: {cause}. {hint}".rstrip()
