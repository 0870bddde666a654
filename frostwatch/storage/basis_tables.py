"""The table of what passes rested on. See ``storage.tables``."""

from datetime import datetime

from sqlalchemy import Index, LargeBinary
from sqlmodel import Field

from frostwatch.storage.tables import NEVER_REUSED, Base, UtcDateTime


class PassBasisRow(Base, table=True):
    """What one pass over a site rested on; outlives the site."""

    __tablename__ = "pass_basis"
    __table_args__ = (Index("ix_pass_basis_site_at", "site", "at"), NEVER_REUSED)

    id: int | None = Field(default=None, primary_key=True)
    site: str
    at: datetime = Field(sa_type=UtcDateTime, index=True)
    said: bool
    reply_id: int | None = Field(default=None, index=True)
    spread_reply_id: int | None = Field(default=None, index=True)
    body: bytes = Field(sa_type=LargeBinary)
    numbers: bytes = Field(sa_type=LargeBinary)
