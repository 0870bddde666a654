"""The form of the database: made anew, stepped up, or refused with a reason."""

from datetime import datetime
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine, inspect, text

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


def test_stepping_up_ends_in_the_form_of_the_tables(ledger_url: str) -> None:
    open_ledger(ledger_url).close()
    database = Database(ledger_url)
    schema.upgrade(database)
    with database.reading() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": _same_type})
        assert compare_metadata(context, Base.metadata) == []
        assert schema.revision_of(connection) == schema.newest_revision()
    database.close()


def test_memory_has_the_same_indexes_as_a_stepped_up_file(tmp_path: Path) -> None:
    forms = []
    for url in ("sqlite://", f"sqlite:///{tmp_path}/a.db"):
        database = Database(url)
        schema.upgrade(database)
        found = inspect(database.engine)
        forms.append({name: _index_names(found, name) for name in Base.metadata.tables})
        database.close()
    assert forms[0] == forms[1]


def _index_names(found: object, table: str) -> list[str]:
    return sorted(str(index["name"]) for index in found.get_indexes(table))  # type: ignore[attr-defined]


def test_opening_again_keeps_what_was_there(tmp_path: Path, now: datetime) -> None:
    url = f"sqlite:///{tmp_path}/deep/down/ledger.db"
    ledger = open_ledger(url)
    ledger.save_fleet(sites=[a_site()])
    ledger.close()

    again = open_ledger(url)
    assert again.load(now).sites == (a_site(),)
    again.close()


def test_a_database_of_a_newer_version_is_left_alone(ledger_url: str) -> None:
    if ledger_url == "sqlite://":
        pytest.skip("memory is never older or newer")
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
    schema.upgrade(database)
    found = set(inspect(database.engine).get_table_names())
    database.close()
    assert found == {*Base.metadata.tables, "alembic_version"}
