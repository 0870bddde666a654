"""Table of the addresses of calendars. See ``storage.tables``."""

from datetime import datetime

from sqlalchemy import Text
from sqlmodel import Field

from frostwatch.storage.tables import Base, UtcDateTime


class CalendarAddressRow(Base, table=True):
    """Where somebody's calendar can be fetched; its secret is kept only as a digest."""

    __tablename__ = "calendar_address"

    whose: str = Field(primary_key=True)
    digest: str = Field(index=True, unique=True)
    made_at: datetime = Field(sa_type=UtcDateTime)
    expires_at: datetime = Field(sa_type=UtcDateTime)
    vehicles: str = Field(sa_type=Text)
    fetched_at: datetime | None = Field(default=None, sa_type=UtcDateTime, nullable=True)
    shown: str = Field(default="", sa_type=Text)
