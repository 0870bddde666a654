"""One suite over every database: a file, memory, and a PostgreSQL server."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from frostwatch.storage.ledger import SqlLedger, open_ledger


@pytest.fixture(params=["file", "memory", "postgres"])
def ledger_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """URL of an empty database."""
    if request.param == "memory":
        return "sqlite://"
    if request.param == "file":
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


@pytest.fixture
def ledger(ledger_url: str) -> Iterator[SqlLedger]:
    """An empty ledger."""
    opened = open_ledger(ledger_url)
    yield opened
    opened.close()
