"""Bringing a database to the form this version speaks."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Index, inspect, text
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.schema import CreateIndex, CreateTable

from frostwatch.errors import LedgerError, NewerLedgerError
from frostwatch.storage import basis_tables as basis_tables  # all tables hang on Base
from frostwatch.storage import calendar_tables as calendar_tables
from frostwatch.storage import lesson_tables as lesson_tables
from frostwatch.storage import link_tables as link_tables
from frostwatch.storage import page_tables as page_tables
from frostwatch.storage import photo_tables as photo_tables
from frostwatch.storage import terrain_tables as terrain_tables
from frostwatch.storage.database import Database
from frostwatch.storage.tables import Base

if TYPE_CHECKING:
    from alembic.config import Config

_UPGRADE_LOCK = 0x66726F7374  # any fixed number: two programs must not upgrade at once
_VERSION_TABLE = (
    "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, "
    "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
)
"""As Alembic makes it."""


def upgrade(database: Database) -> None:
    """Bring ``database`` up to this version's form, or leave it exactly as it was.

    Raises:
        NewerLedgerError: a newer frostwatch wrote it.
        LedgerError: it cannot be read or written, or holds somebody else's tables.
    """
    if is_current(database):
        return
    with database.writing() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _UPGRADE_LOCK})
        if revision_of(connection) is None:  # asked again: another program may have been quicker
            _lay_out_whole(connection)
        else:
            step_up(connection, database.where)


def is_current(database: Database) -> bool:
    """Whether ``database`` stands in this version's form; nothing is changed.

    Raises:
        NewerLedgerError: a newer frostwatch wrote it.
        LedgerError: it cannot be read, or holds somebody else's tables.
    """
    with database.reading() as connection:
        found = revision_of(connection)
        _refuse_strangers(connection, found, database.where)
    return found == newest_revision()


def revision_of(connection: Connection) -> str | None:
    """The form a database stands in; None if it is empty."""
    if not inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return str(found) if found else None


@cache
def newest_revision() -> str:
    """The form this version of frostwatch speaks: the name of the last file of versions/."""
    steps = sorted((Path(__file__).parent / "migrations" / "versions").glob("[0-9]*.py"))
    return steps[-1].stem.partition("_")[0] if steps else "0000"


def _refuse_strangers(connection: Connection, found: str | None, where: str) -> None:
    if found is not None and found > newest_revision():
        raise NewerLedgerError(
            f"The database {where} has form {found}, this version of frostwatch knows up to "
            f"{newest_revision()}. Install the newer version again, or restore the backup made "
            "before it was first started; nothing was changed."
        )
    ours = set(Base.metadata.tables)
    if found is None and ours & set(inspect(connection).get_table_names()):
        raise LedgerError(
            f"The database {where} holds tables of another program under names that frostwatch "
            "needs. Give database_url an empty database."
        )


def _lay_out_whole(connection: Connection) -> None:
    """Where nothing is there is nothing to step up from; tests hold both ways to the same form."""
    for statement in _statements(connection.dialect.name):
        connection.exec_driver_sql(statement)
    connection.execute(
        text("INSERT INTO alembic_version VALUES (:form)"), {"form": newest_revision()}
    )


@cache
def _statements(kind: str) -> Sequence[str]:
    """What makes every table and index, worded once for a kind of database."""
    dialect = (sqlite if kind == "sqlite" else postgresql).dialect()
    found: list[CreateTable | CreateIndex] = []
    for table in Base.metadata.sorted_tables:
        found += [CreateTable(table), *map(CreateIndex, sorted(table.indexes, key=_name_of))]
    return *(str(element.compile(dialect=dialect)) for element in found), _VERSION_TABLE


def _name_of(index: Index) -> str:
    return str(index.name)


def step_up(connection: Connection, where: str) -> None:
    """Take every step that is missing, from whatever form the database stands in.

    Raises:
        LedgerError: a step cannot be taken.
    """
    from alembic import command
    from alembic.util import CommandError

    try:
        command.upgrade(alembic_config(connection), "head")
    except CommandError as failure:
        raise LedgerError(
            f"The database {where} cannot be brought to form {newest_revision()}: {failure}. "
            "Nothing was changed; restore a backup that this version knows."
        ) from failure


def alembic_config(connection: Connection) -> "Config":
    """Alembic's configuration for an open connection."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config
