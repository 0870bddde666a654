"""Handover plans in their tables."""

import zlib
from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import Connection, delete, select

from frostwatch.advice.plan_board import PlanBoard, UnderWay
from frostwatch.ports.plans import PlanFile
from frostwatch.records.entries import Entry
from frostwatch.storage import entry_rows
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.database import Database, insert_new, upsert
from frostwatch.storage.page_tables import SitePlansRow, UnderWayRow
from frostwatch.storage.tables import table_of

FAST = 1
"""Level of compression."""

_plans = table_of(SitePlansRow)
_under_way = table_of(UnderWayRow)


class SqlPlans:
    """Implements ``ports.plans.Plans`` on SQLite or PostgreSQL."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def keep(self, board: PlanBoard) -> None:
        """Keep the plans of a site instead of those that were."""
        body = zlib.compress(to_body(PlanBoard, board).encode(), FAST)
        with self._database.writing() as connection:
            upsert(
                connection, _plans, [{"site": board.site, "at": board.at, "body": body}], ["site"]
            )

    def board(self, site: str) -> PlanBoard | None:
        """The plans of a site; None where none were ever made."""
        with self._database.reading() as connection:
            return _load_board(connection, site)

    def file(self, site: str, now: datetime) -> PlanFile:
        """What the page of a site reads: three queries."""
        with self._database.reading() as connection:
            rows = connection.execute(select(_under_way).where(_under_way.c.site == site))
            return PlanFile(
                board=_load_board(connection, site),
                under_way={row.vehicle: _read(row.vehicle, row.body) for row in rows},
                entries=entry_rows.recent(connection, now, [site]),
            )

    def press(
        self,
        vehicle: str,
        before: UnderWay | None,
        after: UnderWay | None,
        entries: Sequence[Entry],
    ) -> bool:
        """Move a plan on; False if somebody else pressed in between."""
        known = _under_way.c.vehicle == vehicle
        with self._database.writing() as connection:
            if before is not None:
                body = connection.scalar(select(_under_way.c.body).where(known))
                if body is None or _read(vehicle, body) != before:
                    return False
                connection.execute(delete(_under_way).where(known))
            if after is not None:
                row = {
                    "vehicle": vehicle,
                    "site": after.site,
                    "body": to_body(UnderWay, after),
                }
                if insert_new(connection, _under_way, [row], ["vehicle"]) != 1:
                    return False
            if entries:
                entry_rows.append(connection, entries)
            return True


def _load_board(connection: Connection, site: str) -> PlanBoard | None:
    body = connection.scalar(select(_plans.c.body).where(_plans.c.site == site))
    if body is None:
        return None
    text = zlib.decompress(bytes(body)).decode()
    return from_body(PlanBoard, text, where=f"the handover plans of site {site}")


def _read(vehicle: str, body: str) -> UnderWay:
    return from_body(UnderWay, body, where=f"the plan under way of vehicle {vehicle}")
