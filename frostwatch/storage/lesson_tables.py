"""Tables of what a place's nights taught. See ``storage.tables``."""

from datetime import date, datetime

from sqlalchemy import Text
from sqlmodel import Field

from frostwatch.storage.tables import NEVER_REUSED, Base, UtcDateTime


class LessonRow(Base, table=True):
    """What is known of a site's own law of errors; "" while nothing is."""

    __tablename__ = "lesson"

    site: str = Field(primary_key=True, foreign_key="site.key", ondelete="CASCADE")
    learning: bool
    fitted_at: datetime | None = Field(default=None, sa_type=UtcDateTime, nullable=True)
    body: str = Field(default="", sa_type=Text)


class NightGuessRow(Base, table=True):
    """What a night was forecast to be."""

    __tablename__ = "night_guess"

    site: str = Field(primary_key=True, foreign_key="site.key", ondelete="CASCADE")
    night: date = Field(primary_key=True)
    lead_day: int = Field(primary_key=True)
    provider: str
    issued_at: datetime = Field(sa_type=UtcDateTime)
    lowest_c: float
    plain_c: float


class SeenNightRow(Base, table=True):
    """What a night was by a provider's analysis."""

    __tablename__ = "seen_night"

    site: str = Field(primary_key=True, foreign_key="site.key", ondelete="CASCADE")
    night: date = Field(primary_key=True)
    provider: str = Field(primary_key=True)
    lowest_c: float


class IntakeRow(Base, table=True):
    """Readings of a thermometer outdoors that came together."""

    __tablename__ = "intake"
    __table_args__ = (NEVER_REUSED,)

    id: int | None = Field(default=None, primary_key=True)
    site: str = Field(foreign_key="site.key", ondelete="CASCADE", index=True)
    name: str = Field(sa_type=Text)
    received_at: datetime = Field(sa_type=UtcDateTime)
    count: int
    first_at: datetime = Field(sa_type=UtcDateTime)
    last_at: datetime = Field(sa_type=UtcDateTime)
    forgotten_at: datetime | None = Field(default=None, sa_type=UtcDateTime, nullable=True)


class AirReadingRow(Base, table=True):
    """One value of a thermometer outdoors."""

    __tablename__ = "air_reading"

    intake: int = Field(primary_key=True, foreign_key="intake.id", ondelete="CASCADE")
    at: datetime = Field(primary_key=True, sa_type=UtcDateTime)
    air_c: float
