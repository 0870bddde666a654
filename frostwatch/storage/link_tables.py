"""Tables of links in messages and of what people wrote back. See ``storage.tables``."""

from datetime import datetime

from sqlalchemy import Index, Text
from sqlmodel import Field

from frostwatch.storage.tables import NEVER_REUSED, Base, UtcDateTime


class AnswerLinkRow(Base, table=True):
    """What a message told, under the code that its link carries."""

    __tablename__ = "answer_link"
    __table_args__ = (Index("ix_answer_link_recipient_made_at", "recipient", "made_at"),)

    code: str = Field(primary_key=True)
    recipient: str
    reminder: str
    revision: int
    site: str = Field(index=True)
    urgent: bool
    deadline: datetime | None = Field(default=None, sa_type=UtcDateTime, nullable=True, index=True)
    made_at: datetime = Field(sa_type=UtcDateTime, index=True)
    expires_at: datetime = Field(sa_type=UtcDateTime)
    body: str = Field(sa_type=Text)


class HeardRow(Base, table=True):
    """What somebody wrote back."""

    __tablename__ = "heard"
    __table_args__ = (NEVER_REUSED,)

    id: int | None = Field(default=None, primary_key=True)
    at: datetime = Field(sa_type=UtcDateTime, index=True)
    sender: str = Field(sa_type=Text)
    text: str = Field(sa_type=Text)
    person: str
    code: str
    taken_as: str
    why: str = Field(sa_type=Text)
