"""One suite over every database: a file, memory, and a PostgreSQL server."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from frostwatch.storage.ledger import SqlLedger, open_ledger


@pytest.fixture(params=["file", "memory", "postgres"])
def database_kind(request: pytest.FixtureRequest) -> str:
    kind: str = request.param
    return kind


@pytest.fixture
def ledger_url(request: pytest.FixtureRequest, database_kind: str, tmp_path: Path) -> str:
    """URL of an empty database."""
    if database_kind == "memory":
        return "sqlite://"
    if database_kind == "file":
        return f"sqlite:///{tmp_path}/ledger.db"
    return empty_postgres(request.getfixturevalue("postgres"))


def empty_postgres(server: str, name: str = "ledger") -> str:
    """URL of a database made anew on the embedded server."""
    engine = create_engine(
        server.format(name="postgres").replace("postgresql", "postgresql+psycopg"),
        isolation_level="AUTOCOMMIT",
    )
    with engine.connect() as connection:
        connection.execute(text(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)'))
        connection.execute(text(f'CREATE DATABASE "{name}"'))
    engine.dispose()
    return server.format(name=name)


@pytest.fixture(scope="session")
def kept_ledger(postgres: str) -> Iterator[SqlLedger]:
    """One on PostgreSQL for all tests: a database of its own takes a fifth of a second."""
    opened = open_ledger(empty_postgres(postgres, "kept"))
    yield opened
    opened.close()


@pytest.fixture
def ledger(request: pytest.FixtureRequest, database_kind: str) -> Iterator[SqlLedger]:
    """An empty ledger; at ``ledger_url`` where a test asks for that too."""
    if database_kind == "postgres" and "ledger_url" not in request.fixturenames:
        kept: SqlLedger = request.getfixturevalue("kept_ledger")
        kept.forget_everything()
        yield kept
        return
    opened = open_ledger(request.getfixturevalue("ledger_url"))
    yield opened
    opened.close()
