"""What the pages read, each in a fixed number of queries."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from sqlalchemy import Connection, select

from frostwatch.advice.board import Board
from frostwatch.advice.reminders import Decision
from frostwatch.ports.lessons import AirReading
from frostwatch.ports.outbox import round_reminder
from frostwatch.ports.pages import Sending, VehicleFile, WalkFile, Yard
from frostwatch.records.entries import Entry
from frostwatch.storage import (
    board_rows,
    entry_rows,
    fleet_rows,
    lesson_rows,
    outbox_rows,
    pass_rows,
    photo_rows,
    round_rows,
)
from frostwatch.storage.bodies import from_body
from frostwatch.storage.database import Database
from frostwatch.storage.tables import DecisionRow, table_of

SAID_SINCE = timedelta(days=240)
SAID_MOST = 40
"""Messages told on a vehicle's page: the newest of a season."""

_decision = table_of(DecisionRow)


class SqlPages:
    """Implements ``ports.pages.Pages`` on SQLite or PostgreSQL."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def yard(self, site: str, now: datetime) -> Yard | None:
        """A site with all its vehicles; None if there is none of that key."""
        with self._database.reading() as connection:
            found = fleet_rows.load_sites(connection, [site])
            if not found:
                return None
            board = board_rows.load_board(connection, site)
            walk = round_rows.open_round(connection, site, now)
            over = round_rows.round_over(connection, site, now)
            return Yard(
                site=found[0],
                board=board,
                vehicles={v.key: v for v in fleet_rows.load_vehicles(connection, [site])},
                people={p.key: p for p in fleet_rows.load_people(connection)},
                fresh=_fresh(connection, site, board, now),
                passed=pass_rows.load_passes(connection, [site]).get(site),
                round=walk,
                presses=round_rows.load_presses(connection, walk.code) if walk else (),
                told=outbox_rows.about(connection, round_reminder(walk.code)) if walk else (),
                over=over,
                over_presses=round_rows.load_presses(connection, over.code) if over else (),
            )

    def vehicle(self, key: str, now: datetime) -> VehicleFile | None:
        """One vehicle; None if there is none of that key."""
        with self._database.reading() as connection:
            vehicle = fleet_rows.load_vehicle(connection, key)
            if vehicle is None:
                return None
            (site,) = fleet_rows.load_sites(connection, [vehicle.site])
            return VehicleFile(
                vehicle=vehicle,
                site=site,
                board=board_rows.load_board(connection, site.key),
                night=board_rows.load_night(connection, key),
                record=entry_rows.of_vehicle(connection, key),
                said=_said(connection, key, now),
                people={p.key: p for p in fleet_rows.load_people(connection)},
                round=round_rows.open_round(connection, site.key, now),
                photos=photo_rows.of_vehicle(connection, key),
                passed=pass_rows.load_passes(connection, [site.key]).get(site.key),
            )

    def sendings(self, vehicle: str) -> Sequence[Sending]:
        """Every message about a vehicle that is still kept, oldest first."""
        with self._database.reading() as connection:
            wanted = select(_decision.c.id, _decision.c.body)
            wanted = wanted.where(_decision.c.vehicle == vehicle, _decision.c.said)
            said = [
                from_body(Decision, body, where=f"decision {number}")
                for number, body in connection.execute(wanted.order_by(_decision.c.id))
            ]
            # what was decided and what was queued bear the moment of one pass
            own = {(one.at, one.recipient, str(one.kind)): one for one in said}
            rows = outbox_rows.queued_at(connection, sorted({one.at for one in said}))
            return [
                Sending(decision=own[key], row=row)
                for row in rows
                if (key := (row.queued_at, row.message.recipient, row.message.kind)) in own
            ]

    def walk(self, code: str) -> WalkFile | None:
        """A released round; None if there is none of that code."""
        with self._database.reading() as connection:
            walk = round_rows.load_round(connection, code)
            if walk is None:
                return None
            (site,) = fleet_rows.load_sites(connection, [walk.site])
            stops = [stop.stop.vehicle for stop in walk.stops]
            stops += [stop.vehicle for stop in walk.left]
            return WalkFile(
                round=walk,
                presses=round_rows.load_presses(connection, code),
                site=site,
                board=board_rows.load_board(connection, site.key),
                vehicles=fleet_rows.vehicles_named(connection, stops),
                people={p.key: p for p in fleet_rows.load_people(connection)},
                photos=photo_rows.on_round(connection, code),
            )

    def air_read(self, site: str, since: datetime, until: datetime) -> Sequence[AirReading]:
        """What a thermometer at a site read in a span, in order of time."""
        with self._database.reading() as connection:
            return lesson_rows.air_read(connection, site, since, until)

    def board(self, site: str) -> Board | None:
        """How the vehicles of a site stood at the last pass; None before the first."""
        with self._database.reading() as connection:
            return board_rows.load_board(connection, site)

    def site_names(self) -> Mapping[str, str]:
        """Key -> name of every site, in order of their keys."""
        with self._database.reading() as connection:
            return fleet_rows.site_names(connection)

    def board_times(self) -> Mapping[str, datetime]:
        """Site -> moment of the pass its board is from."""
        with self._database.reading() as connection:
            return board_rows.board_times(connection)


def _fresh(
    connection: Connection, site: str, board: Board | None, now: datetime
) -> Mapping[str, tuple[Entry, ...]]:
    """Entries of vehicles that were recorded about since the board; of all without one."""
    if board is None:
        return entry_rows.recent(connection, now, [site])
    return entry_rows.of_those_recorded_since(connection, site, board.at, now)


def _said(connection: Connection, vehicle: str, now: datetime) -> tuple[Decision, ...]:
    """What people were told about a vehicle, newest first."""
    wanted = (
        select(_decision.c.id, _decision.c.body)
        .where(
            _decision.c.vehicle == vehicle,
            _decision.c.said,
            _decision.c.at > now - SAID_SINCE,
            _decision.c.at <= now,
        )
        .order_by(_decision.c.at.desc(), _decision.c.id.desc())
        .limit(SAID_MOST)
    )
    return tuple(
        from_body(Decision, body, where=f"decision {number}")
        for number, body in connection.execute(wanted)
    )
