"""The table of photographs. See ``storage.tables``."""

from datetime import datetime

from sqlalchemy import Index, LargeBinary, Text
from sqlmodel import Field

from frostwatch.storage.tables import Base, UtcDateTime


class PhotoRow(Base, table=True):
    """A photograph under the id that whoever took it gave it; outlives the vehicle, as entries do.

    The pictures stand last: who reads the rest need not read over them.
    """

    __tablename__ = "photo"
    __table_args__ = (
        Index("ix_photo_vehicle_at", "vehicle", "at"),
        Index("ix_photo_round", "round"),
    )

    id: str = Field(primary_key=True)
    vehicle: str
    by: str
    at: datetime = Field(sa_type=UtcDateTime)
    received_at: datetime = Field(sa_type=UtcDateTime, index=True)
    entry: int = 0
    round: str = ""
    note: str = Field(default="", sa_type=Text)
    width_px: int
    height_px: int
    size_bytes: int
    digest: str
    small: bytes = Field(sa_type=LargeBinary)
    jpeg: bytes = Field(sa_type=LargeBinary)
