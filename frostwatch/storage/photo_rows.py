"""Photographs in their table."""

from dataclasses import asdict, fields
from datetime import datetime

from sqlalchemy import Connection, delete, func, select, text

from frostwatch.errors import RecordError
from frostwatch.ports.photos import (
    MOST_OF_A_VEHICLE,
    SEASON,
    NoPhotoError,
    Photo,
    Picture,
    WhyNot,
)
from frostwatch.storage.database import Database, insert_new
from frostwatch.storage.photo_tables import PhotoRow
from frostwatch.storage.tables import EntryRow, VehicleRow, table_of
from frostwatch.told import told

_photo = table_of(PhotoRow)
_entry = table_of(EntryRow)
_vehicle = table_of(VehicleRow)
_known = [_photo.c[field.name] for field in fields(Photo)]
"""All but the pictures."""


class SqlPhotos:
    """Implements ``ports.photos.Photos`` on SQLite or PostgreSQL."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def add(self, photo: Photo, picture: Picture) -> bool:
        """Keep a photograph once; False if it was known already. See ``ports.photos``."""
        row = asdict(photo) | {"small": picture.small, "jpeg": picture.jpeg}
        with self._database.writing() as connection:
            if connection.dialect.name == "postgresql":
                # two at once would both find room for the last one
                connection.execute(text("LOCK TABLE photo IN SHARE ROW EXCLUSIVE MODE"))
            owner = connection.scalar(select(_photo.c.vehicle).where(_photo.c.id == photo.id))
            if owner is not None and owner != photo.vehicle:
                raise RecordError(told("photo_other", id=photo.id))
            if owner is None and _count(connection, photo) >= MOST_OF_A_VEHICLE:
                raise NoPhotoError(WhyNot.ENOUGH)
            return insert_new(connection, _photo, [row], ["id"]) == 1

    def site_of(self, vehicle: str) -> str | None:
        """Where a vehicle stands; None if it is not entered (any more)."""
        with self._database.reading() as connection:
            return connection.scalar(select(_vehicle.c.site).where(_vehicle.c.key == vehicle))

    def has(self, vehicle: str, photo: str) -> bool:
        """Whether the vehicle has a photograph of that id."""
        wanted = select(_photo.c.id).where(_photo.c.id == photo, _photo.c.vehicle == vehicle)
        with self._database.reading() as connection:
            return connection.scalar(wanted) is not None

    def of_vehicle(self, vehicle: str) -> tuple[Photo, ...]:
        """A vehicle's photographs without their pictures, in the order they were taken."""
        with self._database.reading() as connection:
            return of_vehicle(connection, vehicle)

    def jpeg(self, vehicle: str, photo: str, *, small: bool = False) -> bytes | None:
        """One picture of a vehicle; None if it has none of that id."""
        column = _photo.c.small if small else _photo.c.jpeg
        wanted = select(column).where(_photo.c.id == photo, _photo.c.vehicle == vehicle)
        with self._database.reading() as connection:
            found = connection.scalar(wanted)
        return None if found is None else bytes(found)

    def entry_of(self, vehicle: str, at: datetime, received_at: datetime) -> int:
        """Number of the first entry about a moment that arrived at another; 0 for none."""
        wanted = select(func.min(_entry.c.number)).where(
            _entry.c.vehicle == vehicle, _entry.c.at == at, _entry.c.received_at == received_at
        )
        with self._database.reading() as connection:
            return connection.scalar(wanted) or 0

    def belong(self, vehicle: str, *, round: str, by: str, entry: int) -> None:
        """What somebody took at a stop before they pressed belongs to what they then recorded."""
        theirs = (_photo.c.vehicle == vehicle, _photo.c.round == round, _photo.c.by == by)
        free = _photo.update().where(*theirs, _photo.c.entry == 0)
        with self._database.writing() as connection:
            connection.execute(free.values(entry=entry))

    def prune(self, before: datetime) -> None:
        """Drop photographs that arrived before that moment."""
        with self._database.writing() as connection:
            connection.execute(delete(_photo).where(_photo.c.received_at < before))


def of_vehicle(connection: Connection, vehicle: str) -> tuple[Photo, ...]:
    """A vehicle's photographs without their pictures, in the order they were taken."""
    wanted = select(*_known).where(_photo.c.vehicle == vehicle)
    rows = connection.execute(wanted.order_by(_photo.c.at, _photo.c.id))
    return tuple(Photo(**row._mapping) for row in rows)


def on_round(connection: Connection, code: str) -> dict[str, int]:
    """Vehicle -> how many photographs were taken on a round."""
    wanted = select(_photo.c.vehicle, func.count()).where(_photo.c.round == code)
    return {row[0]: row[1] for row in connection.execute(wanted.group_by(_photo.c.vehicle))}


def _count(connection: Connection, photo: Photo) -> int:
    """The vehicle's photographs of this season."""
    wanted = select(func.count()).where(
        _photo.c.vehicle == photo.vehicle, _photo.c.received_at > photo.received_at - SEASON
    )
    return connection.scalar(wanted) or 0
