"""The outbox on a database: queue once, claim alone, close once."""

from collections.abc import Sequence
from dataclasses import fields
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, and_, case, func, or_, select

from frostwatch.ports import Message, MessageStatus, OutboxRow
from frostwatch.storage.database import Database, insert_new
from frostwatch.storage.tables import ChannelRow, MessageRow, table_of

_message = table_of(MessageRow)
_channel = table_of(ChannelRow)
_PARTS = tuple(field.name for field in fields(Message))
ANSWERED = "answered before it went out"
_KEY = ["recipient", "channel", "reminder", "revision"]


def queue(connection: Connection, messages: Sequence[Message], now: datetime) -> int:
    """Queue what is not queued yet; older revisions that have not gone out are replaced."""
    rows = [
        {
            **{name: getattr(message, name) for name in _PARTS},
            "status": MessageStatus.QUEUED.value,
            "queued_at": now,
            "attempts": 0,
            "next_try_at": message.send_from,
            "result": "",
        }
        for message in messages
    ]
    new = insert_new(connection, _message, rows, _KEY)
    for message in messages:
        connection.execute(
            _message.update()
            .where(
                _message.c.recipient == message.recipient,
                _message.c.channel == message.channel,
                _message.c.reminder == message.reminder,
                _message.c.revision < message.revision,
                _message.c.status == MessageStatus.QUEUED.value,
            )
            .values(
                status=MessageStatus.REPLACED.value,
                result=f"revision {message.revision} says it anew",
            )
        )
    return new


def withdraw(connection: Connection, reminders: Sequence[str]) -> None:
    """Let messages that have not gone out yet stay here: what they ask for is answered."""
    if reminders:
        _keep_back(connection, _message.c.reminder.in_(reminders), ANSWERED)
        # one that is being handed over now is not tried again if it is refused
        connection.execute(
            _message.update()
            .where(
                _message.c.reminder.in_(reminders),
                _message.c.status == MessageStatus.CLAIMED.value,
            )
            .values(result=ANSWERED)
        )


def let_go(connection: Connection, people: Sequence[str]) -> None:
    """Let messages stay here that have not gone out to people who are taken out."""
    if people:
        _keep_back(connection, _message.c.recipient.in_(people), "taken out before it went out")


def _keep_back(connection: Connection, which: ColumnElement[bool], why: str) -> None:
    connection.execute(
        _message.update()
        .where(which, _message.c.status == MessageStatus.QUEUED.value)
        .values(status=MessageStatus.REPLACED.value, result=why)
    )


def about(connection: Connection, reminder: str) -> tuple[OutboxRow, ...]:
    """Every message of one reminder, oldest first."""
    wanted = select(_message).where(_message.c.reminder == reminder).order_by(_message.c.id)
    return tuple(_read(row) for row in connection.execute(wanted))


def queued_at(connection: Connection, moments: Sequence[datetime]) -> tuple[OutboxRow, ...]:
    """Messages that were queued at one of these moments, oldest first."""
    wanted = select(_message).where(_message.c.queued_at.in_(moments)).order_by(_message.c.id)
    return tuple(_read(row) for row in connection.execute(wanted)) if moments else ()


class SqlOutbox:
    """The outbox store on a database. Implements ``ports.OutboxStore``."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def enqueue(self, messages: Sequence[Message], now: datetime) -> int:
        """Queue what is not queued yet; returns how many were new."""
        with self._database.writing() as connection:
            return queue(connection, messages, now)

    def claim(self, now: datetime, *, until: datetime) -> OutboxRow | None:
        """Take the next due message for oneself, its attempt already counted; None if none.

        One statement: on PostgreSQL rows others hold are skipped, on SQLite the writer is alone.
        """
        free = or_(
            and_(
                _message.c.status == MessageStatus.QUEUED.value,
                _message.c.next_try_at <= now,
            ),
            and_(
                _message.c.status == MessageStatus.CLAIMED.value,
                _message.c.claimed_until <= now,
            ),
        )
        next_one = (
            select(_message.c.id)
            .where(free)
            .order_by(_message.c.next_try_at, _message.c.id)
            .limit(1)
            .with_for_update(skip_locked=True)
        )
        take = (
            _message.update()
            .where(_message.c.id == next_one.scalar_subquery(), free)
            .values(
                status=MessageStatus.CLAIMED.value,
                claimed_until=until,
                attempts=_message.c.attempts + 1,
                first_tried_at=func.coalesce(_message.c.first_tried_at, now),
            )
            .returning(*_message.c)
        )
        with self._database.writing() as connection:
            row = connection.execute(take).first()
        return None if row is None else _read(row)

    def mark_sent(self, row: OutboxRow, now: datetime, note: str) -> bool:
        """Close a claimed message; False if the claim had run out and another holds it."""
        with self._database.writing() as connection:
            _note_channel(
                connection, row.message, last_sent_at=now, refused_at=None, refused_reason=""
            )
            return _close(
                connection, row, status=MessageStatus.SENT.value, sent_at=now, result=note
            )

    def mark_retry(self, row: OutboxRow, *, next_try_at: datetime, reason: str) -> bool:
        """Put a claimed message back, unless it was answered meanwhile; False as above."""
        answered = _message.c.result == ANSWERED
        with self._database.writing() as connection:
            return _close(
                connection,
                row,
                status=case(
                    (answered, MessageStatus.REPLACED.value), else_=MessageStatus.QUEUED.value
                ),
                next_try_at=next_try_at,
                result=case((answered, ANSWERED), else_=reason),
            )

    def mark_failed(
        self, row: OutboxRow, status: MessageStatus, now: datetime, reason: str
    ) -> bool:
        """Close a claimed message as refused or given up; False as above."""
        with self._database.writing() as connection:
            _note_channel(connection, row.message, refused_at=now, refused_reason=reason)
            return _close(connection, row, status=status.value, result=reason)

    def listed(
        self,
        *,
        since: datetime,
        status: MessageStatus | None = None,
        recipient: str | None = None,
        site: str | None = None,
    ) -> tuple[OutboxRow, ...]:
        """Messages queued at or after ``since``, oldest first."""
        wanted = select(_message).where(_message.c.queued_at >= since).order_by(_message.c.id)
        for column, value in (
            (_message.c.status, status and status.value),
            (_message.c.recipient, recipient),
            (_message.c.site, site),
        ):
            if value is not None:
                wanted = wanted.where(column == value)
        with self._database.reading() as connection:
            return tuple(_read(row) for row in connection.execute(wanted))

    def of(self, recipient: str, reminder: str, revision: int) -> tuple[OutboxRow, ...]:
        """One message over all its channels, oldest first."""
        wanted = (
            select(_message)
            .where(
                _message.c.recipient == recipient,
                _message.c.reminder == reminder,
                _message.c.revision == revision,
            )
            .order_by(_message.c.id)
        )
        with self._database.reading() as connection:
            return tuple(_read(row) for row in connection.execute(wanted))

    def note_trial(self, message: Message, now: datetime, *, refused: str = "") -> None:
        """Note what a channel made of a trial: one that took it is mended."""
        with self._database.writing() as connection:
            if refused:
                _note_channel(connection, message, refused_at=now, refused_reason=refused)
            else:
                _note_channel(
                    connection, message, last_sent_at=now, refused_at=None, refused_reason=""
                )

    def refusing_channels(self) -> dict[tuple[str, str], str]:
        """(person, channel) -> why it refused the last message, where it did."""
        refused = select(_channel).where(_channel.c.refused_at.is_not(None))
        with self._database.reading() as connection:
            return {
                (row.person, row.name): row.refused_reason for row in connection.execute(refused)
            }


def _close(connection: Connection, row: OutboxRow, **values: Any) -> bool:
    still_ours: ColumnElement[bool] = and_(
        _message.c.id == row.id,
        _message.c.status == MessageStatus.CLAIMED.value,
        _message.c.attempts == row.attempts,
    )
    closed = connection.execute(
        _message.update().where(still_ours).values(claimed_until=None, **values)
    )
    return closed.rowcount == 1


def _note_channel(connection: Connection, message: Message, **values: Any) -> None:
    connection.execute(
        _channel.update()
        .where(
            _channel.c.person == message.recipient,
            _channel.c.name == message.channel,
            _channel.c.address == message.address,
        )
        .values(**values)
    )


def _read(row: Any) -> OutboxRow:
    return OutboxRow(
        id=row.id,
        message=Message(**{name: getattr(row, name) for name in _PARTS}),
        status=MessageStatus(row.status),
        queued_at=row.queued_at,
        attempts=row.attempts,
        first_tried_at=row.first_tried_at,
        next_try_at=row.next_try_at,
        claimed_until=row.claimed_until,
        sent_at=row.sent_at,
        result=row.result,
    )
