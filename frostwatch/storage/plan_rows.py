"""Handover plans in their tables."""

import zlib
from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from sqlalchemy import Connection, delete, select

from frostwatch.advice.plan_board import PlanBoard, UnderWay
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.plans import HandoverChange, PlanFile
from frostwatch.records.entries import Entry
from frostwatch.storage import entry_rows, fleet_rows
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.database import Database, insert_new, upsert
from frostwatch.storage.page_tables import HandoverChangeRow, SitePlansRow, UnderWayRow
from frostwatch.storage.tables import VehicleRow, table_of

FAST = 1
"""Level of compression."""
LATELY = timedelta(days=30)
"""Changes of handovers that the page tells of."""

_plans = table_of(SitePlansRow)
_under_way = table_of(UnderWayRow)
_changes = table_of(HandoverChangeRow)
_vehicle = table_of(VehicleRow)


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

    def file(self, site: str, now: datetime, vehicles: Collection[str] | None = None) -> PlanFile:
        """What the page of a site reads: four queries."""
        with self._database.reading() as connection:
            rows = connection.execute(select(_under_way).where(_under_way.c.site == site))
            return PlanFile(
                board=_load_board(connection, site),
                under_way={row.vehicle: _read(row.vehicle, row.body) for row in rows},
                entries=entry_rows.recent(connection, now, [site], vehicles=vehicles),
                changes=_last_changes(connection, site, now),
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

    def enter(self, change: HandoverChange, *, post: str | None = None) -> bool:
        """Enter, move or take off a handover; False if somebody else changed it in between."""
        known = _vehicle.c.key == change.vehicle
        with self._database.writing() as connection:
            body = connection.scalar(select(_vehicle.c.body).where(known).with_for_update())
            if body is None:
                return False
            vehicle = from_body(Vehicle, body, where=f"vehicle {change.vehicle}")
            if vehicle.handover != change.before or vehicle.site != change.site:
                return False
            after = replace(
                vehicle,
                handover=change.after,
                post=vehicle.post if post is None else post,
            )
            fleet_rows.save_vehicles(connection, [after])
            row = {
                "vehicle": change.vehicle,
                "site": change.site,
                "at": change.at,
                "body": to_body(HandoverChange, change),
            }
            connection.execute(_changes.insert(), [row])
            _move_with(connection, change)
            return True

    def changes_of(self, vehicle: str) -> tuple[HandoverChange, ...]:
        """What was ever changed about a vehicle's handovers, oldest first."""
        wanted = select(_changes.c.body).where(_changes.c.vehicle == vehicle)
        with self._database.reading() as connection:
            bodies = connection.scalars(wanted.order_by(_changes.c.id)).all()
        return tuple(_read_change(vehicle, body) for body in bodies)

    def prune(self, before: datetime) -> None:
        """Drop changes older than a moment."""
        with self._database.writing() as connection:
            connection.execute(delete(_changes).where(_changes.c.at < before))


def worked_on(connection: Connection, now: datetime) -> frozenset[str]:
    """Vehicles that somebody is making ready just now."""
    rows = connection.execute(select(_under_way.c.vehicle, _under_way.c.body))
    ways = [_read(row.vehicle, row.body) for row in rows]
    return frozenset(way.vehicle for way in ways if way.is_worked_on(now))


def _move_with(connection: Connection, change: HandoverChange) -> None:
    """A plan that somebody is at work on moves with its hour, and ends with its handover."""
    known = _under_way.c.vehicle == change.vehicle
    body = connection.scalar(select(_under_way.c.body).where(known))
    way = _read(change.vehicle, body) if body is not None else None
    if way is None or way.ended_at is not None:
        return
    if change.after is None:
        connection.execute(delete(_under_way).where(known))
        return
    moved = replace(way, handover=change.after, plan=replace(way.plan, at=change.after.at))
    values = {"body": to_body(UnderWay, moved)}
    connection.execute(_under_way.update().where(known).values(**values))


def _last_changes(connection: Connection, site: str, now: datetime) -> dict[str, HandoverChange]:
    wanted = (
        select(_changes.c.vehicle, _changes.c.body)
        .where(_changes.c.site == site, _changes.c.at > now - LATELY)
        .order_by(_changes.c.id)
    )
    found = {row.vehicle: row.body for row in connection.execute(wanted)}
    return {vehicle: _read_change(vehicle, body) for vehicle, body in found.items()}


def _read_change(vehicle: str, body: str) -> HandoverChange:
    return from_body(HandoverChange, body, where=f"a change of the handover of vehicle {vehicle}")


def _load_board(connection: Connection, site: str) -> PlanBoard | None:
    body = connection.scalar(select(_plans.c.body).where(_plans.c.site == site))
    if body is None:
        return None
    text = zlib.decompress(bytes(body)).decode()
    return from_body(PlanBoard, text, where=f"the handover plans of site {site}")


def _read(vehicle: str, body: str) -> UnderWay:
    return from_body(UnderWay, body, where=f"the plan under way of vehicle {vehicle}")
