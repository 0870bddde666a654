"""Temperatures that loggers took in and at the vehicles."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, select

from frostwatch.errors import RecordError
from frostwatch.storage.database import Database, insert_new
from frostwatch.storage.tables import ReadingRow, VehicleRow, table_of

_vehicle = table_of(VehicleRow)
_reading = table_of(ReadingRow)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One temperature that a logger took.

    Attributes:
        vehicle: key of the vehicle.
        sensor: the logger's own name.
        where: ``"cabin"``, ``"locker"``, ``"outside"``, or an item of the layout such as ``"F1"``.
        at: when it was taken, UTC.
        temperature_c: what it showed [degC].
        received_at: when the ledger took it in, UTC.
        sent_by: who sent it.
    """

    vehicle: str
    sensor: str
    where: str
    at: datetime
    temperature_c: float
    received_at: datetime
    sent_by: str


class SqlReadings:
    """What loggers measured."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, readings: Sequence[Reading]) -> int:
        """Keep readings, all or none; one of the same sensor and moment is kept once.

        Returns:
            How many were new.

        Raises:
            RecordError: a vehicle is not entered.
        """
        rows = [
            {
                "vehicle": one.vehicle,
                "sensor": one.sensor,
                "where": one.where,
                "at": one.at,
                "temperature_c": one.temperature_c,
                "received_at": one.received_at,
                "sent_by": one.sent_by,
            }
            for one in readings
        ]
        named = {one.vehicle for one in readings}
        with self._database.writing() as connection:
            entered = select(_vehicle.c.key).where(_vehicle.c.key.in_(named))
            unknown = sorted(named - set(connection.scalars(entered)))
            if unknown:
                raise RecordError(f"vehicle {unknown[0]!r} is not entered; correct its key.")
            return insert_new(connection, _reading, rows, ["vehicle", "sensor", "at"])

    def of_vehicle(self, vehicle: str, *, since: datetime, until: datetime) -> tuple[Reading, ...]:
        """Readings taken from ``since`` up to but not at ``until``, oldest first."""
        wanted = (
            select(_reading)
            .where(_reading.c.vehicle == vehicle, _reading.c.at >= since, _reading.c.at < until)
            .order_by(_reading.c.at, _reading.c.sensor)
        )
        with self._database.reading() as connection:
            return tuple(Reading(**row._mapping) for row in connection.execute(wanted))

    def prune(self, before: datetime) -> None:
        """Drop readings taken before then."""
        with self._database.writing() as connection:
            connection.execute(delete(_reading).where(_reading.c.at < before))
