"""The tables. Their classes never leave this package.

A record that is read back as a whole is kept as one JSON text (``body``) beside the columns
that are searched by; a field added to a record later needs no migration then.
"""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    DateTime,
    Dialect,
    Index,
    LargeBinary,
    MetaData,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)
from sqlmodel import Field, SQLModel


class UtcDateTime(TypeDecorator[datetime]):
    """Aware UTC datetimes on every database; SQLite keeps no zone of its own."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Bring an aware time to UTC; a naive one is a mistake of the caller."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise TypeError(f"{value} has no time zone; the ledger keeps UTC.")
        return value.astimezone(UTC)

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """Hand out aware UTC."""
        if value is None:
            return None
        moment: datetime = value
        return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


class Base(SQLModel):
    """Root of all tables, with names for constraints so that migrations can speak of them."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


NEVER_REUSED = {"sqlite_autoincrement": True}
"""A number that stood for pruned evidence must not come to stand for something else."""


def _moment(*, nullable: bool = False, index: bool = False) -> Any:
    return Field(
        default=None if nullable else ...,
        sa_type=UtcDateTime,
        nullable=nullable,
        index=index,
    )


def _text() -> Any:
    return Field(sa_type=Text)


class SiteRow(Base, table=True):
    """A site; bays in walking order stand in its body."""

    __tablename__ = "site"

    key: str = Field(primary_key=True)
    name: str
    body: str = _text()


class PersonRow(Base, table=True):
    """A person, without channels."""

    __tablename__ = "person"

    key: str = Field(primary_key=True)
    name: str
    duty: str
    body: str = _text()


class ChannelRow(Base, table=True):
    """One way to reach a person, and what it did with the last message."""

    __tablename__ = "channel"

    person: str = Field(primary_key=True, foreign_key="person.key", ondelete="CASCADE")
    name: str = Field(primary_key=True)
    position: int
    address: str = _text()
    form: str
    last_sent_at: datetime | None = _moment(nullable=True)
    refused_at: datetime | None = _moment(nullable=True)
    refused_reason: str = Field(default="", sa_type=Text)


class VehicleRow(Base, table=True):
    """A vehicle."""

    __tablename__ = "vehicle"

    key: str = Field(primary_key=True)
    site: str = Field(foreign_key="site.key", index=True)
    bay: str
    keeper: str = Field(index=True)
    layout: str
    body: str = _text()


class EntryRow(Base, table=True):
    """One entry of a vehicle's record. Only ever added; outlives the vehicle."""

    __tablename__ = "entry"
    __table_args__ = (
        UniqueConstraint("vehicle", "number"),
        Index("ix_entry_vehicle_circuit_id", "vehicle", "circuit", "id"),
        NEVER_REUSED,
    )

    id: int | None = Field(default=None, primary_key=True)
    vehicle: str
    number: int
    circuit: str
    at: datetime = _moment(index=True)
    received_at: datetime = _moment(index=True)
    body: str = _text()
    link: str


class ReplyRow(Base, table=True):
    """One provider's answer for one place, compressed."""

    __tablename__ = "reply"
    __table_args__ = (
        Index("ix_reply_provider_point_id", "provider", "point", "id"),
        NEVER_REUSED,
    )

    id: int | None = Field(default=None, primary_key=True)
    point: str
    provider: str
    fetched_at: datetime = _moment(index=True)
    issued_at: datetime | None = _moment(nullable=True)
    expires_at: datetime | None = _moment(nullable=True)
    last_modified: str = ""
    etag: str = ""
    status: int
    payload: bytes = Field(sa_type=LargeBinary)


class AttemptRow(Base, table=True):
    """A request to a forecast server, so that a restart forgets neither budget nor trouble."""

    __tablename__ = "attempt"
    __table_args__ = (Index("ix_attempt_host_at", "host", "at"), NEVER_REUSED)

    id: int | None = Field(default=None, primary_key=True)
    host: str
    at: datetime = _moment()
    body: str = _text()


class StateRow(Base, table=True):
    """Where a vehicle's heat model stood: float32 arrays one after the other."""

    __tablename__ = "node_state"

    vehicle: str = Field(primary_key=True, foreign_key="vehicle.key", ondelete="CASCADE")
    at: datetime = _moment()
    signature: str
    shapes: str = _text()
    numbers: bytes = Field(sa_type=LargeBinary)


class SitePassRow(Base, table=True):
    """How the last pass over a site went."""

    __tablename__ = "site_pass"

    site: str = Field(primary_key=True, foreign_key="site.key", ondelete="CASCADE")
    passed_at: datetime | None = _moment(nullable=True)
    judged_to: datetime | None = _moment(nullable=True)
    failed_at: datetime | None = _moment(nullable=True)
    cause: str = Field(default="", sa_type=Text)
    failures: int = 0
    next_try_at: datetime | None = _moment(nullable=True)


class ReminderRow(Base, table=True):
    """A reminder; ``standing`` until it is cleared."""

    __tablename__ = "reminder"
    __table_args__ = (Index("ix_reminder_site_standing", "site", "standing"),)

    key: str = Field(primary_key=True)
    site: str
    recipient: str
    vehicle: str
    standing: bool
    changed_at: datetime = _moment(index=True)
    body: str = _text()


class AnswerRow(Base, table=True):
    """What somebody answered; ``once`` names the press, so that pressing twice adds nothing."""

    __tablename__ = "answer"
    __table_args__ = (
        Index("ix_answer_vehicle_at", "vehicle", "at"),
        Index("uq_answer_once", "once", unique=True),
        NEVER_REUSED,
    )

    id: int | None = Field(default=None, primary_key=True)
    vehicle: str
    at: datetime = _moment(index=True)
    body: str = _text()
    once: str | None = None


class DecisionRow(Base, table=True):
    """Why something was said, or nothing; ``until_at`` is the last pass that saw it the same."""

    __tablename__ = "decision"
    __table_args__ = (
        Index("ix_decision_site_vehicle_recipient_id", "site", "vehicle", "recipient", "id"),
        Index("ix_decision_vehicle_at", "vehicle", "at"),
        NEVER_REUSED,
    )

    id: int | None = Field(default=None, primary_key=True)
    at: datetime = _moment()
    until_at: datetime = _moment(index=True)
    site: str
    vehicle: str
    recipient: str
    said: bool
    reply_id: int | None = Field(default=None, index=True)
    body: str = _text()


class MessageRow(Base, table=True):
    """A message on its way, and what became of it."""

    __tablename__ = "message"
    __table_args__ = (
        UniqueConstraint("recipient", "channel", "reminder", "revision"),
        Index("ix_message_status_next_try_at", "status", "next_try_at"),
        NEVER_REUSED,
    )

    id: int | None = Field(default=None, primary_key=True)
    recipient: str
    channel: str
    address: str = _text()
    form: str
    reminder: str
    revision: int
    kind: str
    site: str = Field(index=True)
    subject: str = _text()
    short: str = _text()
    long: str = _text()
    status: str
    queued_at: datetime = _moment(index=True)
    send_from: datetime = _moment()
    attempts: int = 0
    first_tried_at: datetime | None = _moment(nullable=True)
    next_try_at: datetime = _moment()
    claimed_until: datetime | None = _moment(nullable=True)
    sent_at: datetime | None = _moment(nullable=True)
    result: str = Field(default="", sa_type=Text)


class AccountRow(Base, table=True):
    """Somebody who can sign in; ``password`` is an Argon2 hash, "" until one is chosen."""

    __tablename__ = "account"
    __table_args__ = (UniqueConstraint("email"), NEVER_REUSED)

    id: int | None = Field(default=None, primary_key=True)
    email: str
    name: str
    person: str = ""
    language: str
    everywhere: str = ""
    password: str = Field(default="", sa_type=Text)
    made_at: datetime = _moment()


class AccountRoleRow(Base, table=True):
    """What an account may do at one site; goes with either."""

    __tablename__ = "account_role"

    account: int = Field(primary_key=True, foreign_key="account.id", ondelete="CASCADE")
    site: str = Field(primary_key=True, foreign_key="site.key", ondelete="CASCADE")
    role: str


class SessionRow(Base, table=True):
    """A device that is signed in; its secret is kept only as a digest."""

    __tablename__ = "session"

    digest: str = Field(primary_key=True)
    account: int = Field(foreign_key="account.id", ondelete="CASCADE", index=True)
    made_at: datetime = _moment()
    seen_at: datetime = _moment()
    expires_at: datetime = _moment(index=True)
    lasting: bool


class OneTimeCodeRow(Base, table=True):
    """A code that lets its holder choose a password once; without account, for the first one."""

    __tablename__ = "one_time_code"

    digest: str = Field(primary_key=True)
    account: int | None = Field(
        default=None, foreign_key="account.id", ondelete="CASCADE", index=True
    )
    expires_at: datetime = _moment()


class KnockRow(Base, table=True):
    """A try at a secret that failed, by whom or at whose door."""

    __tablename__ = "knock"
    __table_args__ = (Index("ix_knock_door_at", "door", "at"), NEVER_REUSED)

    id: int | None = Field(default=None, primary_key=True)
    door: str
    at: datetime = _moment(index=True)


class TokenRow(Base, table=True):
    """What a machine shows to act at one site; its secret is kept only as a digest."""

    __tablename__ = "token"
    __table_args__ = (UniqueConstraint("digest"), NEVER_REUSED)

    id: int | None = Field(default=None, primary_key=True)
    digest: str
    site: str = Field(foreign_key="site.key", ondelete="CASCADE", index=True)
    name: str
    scopes: str = _text()
    made_at: datetime = _moment()
    expires_at: datetime | None = _moment(nullable=True)
    used_at: datetime | None = _moment(nullable=True)


class ReadingRow(Base, table=True):
    """One temperature that a logger in or at a vehicle took."""

    __tablename__ = "reading"

    vehicle: str = Field(primary_key=True, foreign_key="vehicle.key", ondelete="CASCADE")
    sensor: str = Field(primary_key=True)
    at: datetime = Field(primary_key=True, sa_type=UtcDateTime)
    where: str
    temperature_c: float
    received_at: datetime = _moment()
    sent_by: str


class DraftRow(Base, table=True):
    """A place that an account began to enter."""

    __tablename__ = "draft"

    account: int = Field(primary_key=True)
    changed_at: datetime = _moment()
    body: str = _text()


def table_of(row_class: type[Base]) -> Table:
    """The SQLAlchemy table behind a row class; whole-table work skips the object layer."""
    table: Table = Base.metadata.tables[str(row_class.__tablename__)]
    return table
