"""The form of the database: made anew, stepped up, or refused with a reason."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import MetaData, create_engine, inspect, text

from frostwatch.errors import LedgerError, NewerLedgerError
from frostwatch.storage import schema
from frostwatch.storage.database import Database
from frostwatch.storage.ledger import open_ledger
from frostwatch.storage.tables import Base, UtcDateTime
from tests.builders import a_site


def _same_type(
    _context: object, _column: object, _found: object, wanted: object, _r: object
) -> bool | None:
    return False if isinstance(wanted, UtcDateTime) else None


@pytest.fixture
def database(ledger_url: str) -> Iterator[Database]:
    opened = Database(ledger_url)
    yield opened
    opened.close()


def _step_up(database: Database) -> None:
    with database.writing() as connection:
        schema.step_up(connection, database.where)


@pytest.mark.parametrize("way", [schema.upgrade, _step_up])
def test_a_new_database_is_in_the_form_of_the_tables(
    database: Database, way: Callable[[Database], None]
) -> None:
    way(database)
    with database.reading() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": _same_type})
        assert compare_metadata(context, Base.metadata) == []
        assert schema.revision_of(connection) == schema.newest_revision()
    assert schema.is_current(database)


def test_the_steps_end_in_the_form_that_is_laid_out_whole(database: Database) -> None:
    schema.upgrade(database)
    whole = _form_of(database)
    with database.writing() as connection:
        found = MetaData()
        found.reflect(connection)
        found.drop_all(connection)
    _step_up(database)
    assert _form_of(database) == whole


def _form_of(database: Database) -> dict[str, Any]:
    """Everything a database tells of its tables; in which order columns stand does not count."""
    told = inspect(database.engine)
    return {
        table: {
            "columns": {column["name"]: str(column) for column in told.get_columns(table)},
            "key": told.get_pk_constraint(table),
            "others": _by_name(told.get_foreign_keys(table)),
            "unique": _by_name(told.get_unique_constraints(table)),
            "checks": _by_name(told.get_check_constraints(table)),
            "indexes": _by_name(told.get_indexes(table)),
        }
        for table in told.get_table_names()
    }


def _by_name(parts: Iterable[Mapping[str, Any]]) -> list[str]:
    return sorted(str(dict(part)) for part in parts)


def test_opening_again_keeps_what_was_there(tmp_path: Path, now: datetime) -> None:
    url = f"sqlite:///{tmp_path}/deep/down/ledger.db"
    ledger = open_ledger(url)
    ledger.save_fleet(sites=[a_site()])
    ledger.close()

    again = open_ledger(url)
    assert again.load(now).sites == (a_site(),)
    again.close()


@pytest.mark.parametrize("database_kind", ["file", "postgres"])
def test_a_database_of_a_newer_version_is_left_alone(ledger_url: str) -> None:
    """Memory is never older or newer."""
    open_ledger(ledger_url).close()
    database = Database(ledger_url)
    with database.writing() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))

    with pytest.raises(NewerLedgerError, match=r"has form 9999.*Install the newer version"):
        open_ledger(ledger_url)

    with database.reading() as connection:
        assert schema.revision_of(connection) == "9999"
    database.close()


def test_another_programs_tables_are_left_alone(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/other.db"
    engine = create_engine(url)
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE vehicle (key TEXT)"))

    with pytest.raises(LedgerError, match="another program"):
        open_ledger(url)

    assert inspect(engine).get_table_names() == ["vehicle"]
    engine.dispose()


def test_every_table_that_a_step_makes_is_one_of_ours(tmp_path: Path) -> None:
    database = Database(f"sqlite:///{tmp_path}/a.db")
    _step_up(database)
    found = set(inspect(database.engine).get_table_names())
    database.close()
    assert found == {*Base.metadata.tables, "alembic_version"}
