"""Tables of what pages read: boards, nights, rounds, presses. See ``storage.tables``."""

from datetime import datetime

from sqlalchemy import Index, LargeBinary, Text
from sqlmodel import Field

from frostwatch.storage.tables import Base, UtcDateTime


class SiteBoardRow(Base, table=True):
    """How the vehicles of a site stood at its last pass: JSON, compressed."""

    __tablename__ = "site_board"

    site: str = Field(primary_key=True, foreign_key="site.key", ondelete="CASCADE")
    at: datetime = Field(sa_type=UtcDateTime)
    body: bytes = Field(sa_type=LargeBinary)


class VehicleNightRow(Base, table=True):
    """The night of a wet vehicle at the last pass: JSON, compressed."""

    __tablename__ = "vehicle_night"

    vehicle: str = Field(primary_key=True, foreign_key="vehicle.key", ondelete="CASCADE")
    site: str = Field(index=True)
    body: bytes = Field(sa_type=LargeBinary)


class RoundRow(Base, table=True):
    """A released round."""

    __tablename__ = "round"
    __table_args__ = (Index("ix_round_site_made_at", "site", "made_at"),)

    code: str = Field(primary_key=True)
    site: str = Field(foreign_key="site.key", ondelete="CASCADE")
    made_at: datetime = Field(sa_type=UtcDateTime)
    handed_back_at: datetime | None = Field(default=None, sa_type=UtcDateTime, nullable=True)
    body: str = Field(sa_type=Text)


class PressRow(Base, table=True):
    """A press at a stop, under the id that whoever pressed gave it."""

    __tablename__ = "press"
    __table_args__ = (Index("ix_press_round_received_at", "round", "received_at"),)

    id: str = Field(primary_key=True)
    round: str = Field(foreign_key="round.code", ondelete="CASCADE")
    received_at: datetime = Field(sa_type=UtcDateTime)
    body: str = Field(sa_type=Text)


class SitePlansRow(Base, table=True):
    """The handover plans of a site as they were made last: JSON, compressed."""

    __tablename__ = "site_plans"

    site: str = Field(primary_key=True, foreign_key="site.key", ondelete="CASCADE")
    at: datetime = Field(sa_type=UtcDateTime)
    body: bytes = Field(sa_type=LargeBinary)


class UnderWayRow(Base, table=True):
    """A handover plan that somebody is at work on."""

    __tablename__ = "under_way"

    vehicle: str = Field(primary_key=True, foreign_key="vehicle.key", ondelete="CASCADE")
    site: str = Field(index=True)
    body: str = Field(sa_type=Text)


class HandoverChangeRow(Base, table=True):
    """A handover entered, moved or taken off, and by whom."""

    __tablename__ = "handover_change"
    __table_args__ = (Index("ix_handover_change_site_at", "site", "at"),)

    id: int | None = Field(default=None, primary_key=True)
    vehicle: str = Field(index=True)
    site: str
    at: datetime = Field(sa_type=UtcDateTime)
    body: str = Field(sa_type=Text)
