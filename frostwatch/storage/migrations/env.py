"""Called by Alembic: run the steps on the connection that was handed over."""

from typing import Any, Literal

from alembic import context
from sqlmodel import AutoString

from frostwatch.storage.tables import Base, UtcDateTime


def _plain(kind: str, item: Any, _context: Any) -> str | Literal[False]:
    """Write plain SQLAlchemy types into new steps, so that a step never changes with the code."""
    if kind == "type" and isinstance(item, UtcDateTime):
        return "sa.DateTime(timezone=True)"
    if kind == "type" and isinstance(item, AutoString):
        return "sa.String()"
    return False


def _same_type(
    _context: Any, _column: Any, _found: Any, wanted: Any, _rendered: Any
) -> bool | None:
    return False if isinstance(wanted, UtcDateTime) else None


connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=Base.metadata,
    render_as_batch=True,
    render_item=_plain,
    compare_type=_same_type,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
