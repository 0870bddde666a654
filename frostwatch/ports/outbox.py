"""Messages on their way: what waits, what became of it, and who hands it over."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Protocol


class MessageStatus(StrEnum):
    """What became of a message."""

    QUEUED = "queued"
    CLAIMED = "claimed"
    SENT = "sent"
    REFUSED = "refused"
    GIVEN_UP = "given up"
    REPLACED = "replaced"


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """One finished text for one person over one channel.

    Recipient, channel, reminder and revision together name it: the same four are never queued
    twice, and a newer revision replaces an older one that has not gone out yet.

    Attributes:
        recipient: key of the person.
        channel: name of the person's channel.
        address: where it goes, an Apprise URL or ``outbox://local``.
        form: ``"short"`` or ``"long"``: which of the two texts this channel carries.
        reminder: key of the reminder it speaks for.
        revision: number of the reminder's revision, from 1.
        kind: message class, e.g. ``"work order"``.
        site: key of the site, "" for none.
        subject: headline of the long text; the short one stands alone.
        short: the short text.
        long: the long text.
        send_from: not to be sent before (quiet hours), UTC.
    """

    recipient: str
    channel: str
    address: str
    form: str
    reminder: str
    revision: int
    kind: str
    site: str
    subject: str
    short: str
    long: str
    send_from: datetime

    @property
    def body(self) -> str:
        """The text this channel carries."""
        return self.short if self.form == "short" else self.long


def round_reminder(code: str) -> str:
    """Key under which the messages about a released round are kept."""
    return f"round {code}"


@dataclass(frozen=True, slots=True, kw_only=True)
class OutboxRow:
    """A message and what became of it.

    Attributes:
        id: number in the ledger.
        message: what is said, to whom.
        status: see MessageStatus.
        queued_at: when it was queued, UTC.
        attempts: times its sending was begun.
        first_tried_at: when that was the first time, UTC; None if never.
        next_try_at: not to be tried before, UTC.
        claimed_until: whoever claimed it holds it until then, UTC; None if unclaimed.
        sent_at: when a channel took it, UTC; None if none did.
        result: the channel's own words on the last attempt.
    """

    id: int
    message: Message
    status: MessageStatus
    queued_at: datetime
    attempts: int
    first_tried_at: datetime | None
    next_try_at: datetime
    claimed_until: datetime | None
    sent_at: datetime | None
    result: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """The channel took the message."""

    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """The channel did not take the message.

    Attributes:
        permanent: True where trying again cannot help (unknown address, access denied).
        reason: in words, without secrets.
        retry_after_s: the channel's own wish [s]; None if it named none.
    """

    permanent: bool
    reason: str
    retry_after_s: float | None = None


class Channels(Protocol):
    """Hands one message to one target."""

    def send(self, message: Message, now: datetime) -> Sent | Refused:
        """Try once. Never raises for what a target or the network does."""
        ...


class OutboxStore(Protocol):
    """Where messages wait. Every change is one transaction."""

    def enqueue(self, messages: Sequence[Message], now: datetime) -> int:
        """Queue what is not queued yet; returns how many were new."""
        ...

    def of(self, recipient: str, reminder: str, revision: int) -> Sequence[OutboxRow]:
        """One message over all its channels, oldest first."""
        ...

    def claim(self, now: datetime, *, until: datetime) -> OutboxRow | None:
        """Take the next due message for oneself, its attempt already counted; None if none."""
        ...

    def mark_sent(self, row: OutboxRow, now: datetime, note: str) -> bool:
        """Close a claimed message; False if the claim had run out and another holds it."""
        ...

    def mark_retry(self, row: OutboxRow, *, next_try_at: datetime, reason: str) -> bool:
        """Put a claimed message back; False as above."""
        ...

    def mark_failed(
        self, row: OutboxRow, status: MessageStatus, now: datetime, reason: str
    ) -> bool:
        """Close a claimed message as refused or given up; False as above."""
        ...
