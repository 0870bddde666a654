"""Providers' replies: cache while fresh, evidence afterwards."""

import zlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import delete, func, select, union

from frostwatch.ports import Reply
from frostwatch.storage.basis_tables import PassBasisRow
from frostwatch.storage.database import Database
from frostwatch.storage.tables import DecisionRow, ReplyRow, table_of

UNUSED_REPLY_KEPT = timedelta(days=14)
EVIDENCE_KEPT = timedelta(days=400)
"""Both estimates: a fortnight to look into a fault, a season and a spare to answer a dispute."""

_reply = table_of(ReplyRow)
_decision = table_of(DecisionRow)
_basis = table_of(PassBasisRow)


class SqlReplies:
    """The reply store on a database. Implements ``ports.ReplyStore``."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def keep(self, replies: Sequence[Reply]) -> tuple[Reply, ...]:
        """Store replies; the same ones come back with their numbers."""
        kept = []
        with self._database.writing() as connection:
            for reply in replies:
                made = _reply.insert().values(_row(reply)).returning(_reply.c.id)
                kept.append(replace(reply, id=connection.execute(made).scalar_one()))
        return tuple(kept)

    def still_valid(
        self, reply: Reply, *, fetched_at: datetime, expires_at: datetime | None
    ) -> None:
        """Note that a conditional request was answered "not modified"."""
        with self._database.writing() as connection:
            connection.execute(
                _reply.update()
                .where(_reply.c.id == reply.id)
                .values(fetched_at=fetched_at, expires_at=expires_at)
            )

    def newest(self, provider: str, points: Sequence[str]) -> Mapping[str, Reply]:
        """Point key -> newest reply of that provider; places without one are left out."""
        latest = (
            select(func.max(_reply.c.id))
            .where(_reply.c.provider == provider, _reply.c.point.in_(points))
            .group_by(_reply.c.point)
        )
        with self._database.reading() as connection:
            rows = connection.execute(select(_reply).where(_reply.c.id.in_(latest)))
            return {row.point: _read(row) for row in rows}

    def reply(self, reply_id: int) -> Reply | None:
        """The reply of that number, None if it is no longer kept."""
        with self._database.reading() as connection:
            row = connection.execute(select(_reply).where(_reply.c.id == reply_id)).first()
        return None if row is None else _read(row)

    def prune(self, now: datetime) -> int:
        """Drop replies no kept decision rests on, and all past a season; returns how many."""
        used = union(
            *(
                select(column).where(column.is_not(None))
                for column in (_decision.c.reply_id, _basis.c.reply_id, _basis.c.spread_reply_id)
            )
        )
        newest = select(func.max(_reply.c.id)).group_by(_reply.c.provider, _reply.c.point)
        unused = (
            (_reply.c.fetched_at < now - UNUSED_REPLY_KEPT)
            & _reply.c.id.not_in(used)
            & _reply.c.id.not_in(newest)
        )
        with self._database.writing() as connection:
            gone = connection.execute(
                delete(_reply).where(unused | (_reply.c.fetched_at < now - EVIDENCE_KEPT))
            )
            return gone.rowcount


def _row(reply: Reply) -> dict[str, Any]:
    return {
        "point": reply.point,
        "provider": reply.provider,
        "fetched_at": reply.fetched_at,
        "issued_at": reply.issued_at,
        "expires_at": reply.expires_at,
        "last_modified": reply.last_modified,
        "etag": reply.etag,
        "status": reply.status,
        "payload": zlib.compress(reply.payload),
    }


def _read(row: Any) -> Reply:
    return Reply(
        id=row.id,
        point=row.point,
        provider=row.provider,
        fetched_at=row.fetched_at,
        issued_at=row.issued_at,
        expires_at=row.expires_at,
        last_modified=row.last_modified,
        etag=row.etag,
        status=row.status,
        payload=zlib.decompress(row.payload),
    )
