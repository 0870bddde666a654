"""Sending what waits: claim, send, mark, back off.

A crash between sending and marking leaves a claim that runs out; the message is then sent once
more. So a crash costs at most one message too many and never one too few.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.ports import Channels, Message, MessageStatus, OutboxRow, OutboxStore, Refused, Sent

BACK_OFF = tuple(timedelta(minutes=minutes) for minutes in (1, 5, 15, 60, 120, 240, 360))
"""Wait after the first, second ... refusal that may pass; the last one repeats. Estimates."""

GIVE_UP_AFTER = timedelta(hours=24)
"""From the first try: estimate; what is a day late is said anew or no longer worth saying."""

SEND_AT_MOST = timedelta(seconds=60)
"""Longest time one hand-over may take; channels cut theirs off well below it."""

HELD = "waits for the end of quiet hours"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flushed:
    """What one round of sending did.

    Attributes:
        sent: messages taken by a channel.
        put_off: refused for now, to be tried again.
        failed: refused for good or given up: somebody has to be told.
    """

    sent: tuple[OutboxRow, ...]
    put_off: tuple[OutboxRow, ...]
    failed: tuple[OutboxRow, ...]


def flush(
    store: OutboxStore,
    channels: Channels,
    now: datetime,
    *,
    limit: int = 20,
    may_go: Callable[[Message, datetime], datetime] | None = None,
) -> Flushed:
    """Send up to ``limit`` messages that are due.

    Args:
        store: where messages wait.
        channels: hands a message to its target.
        now: time of this round, UTC.
        limit: most messages in one round; a claim lasts as long as a whole slow round.
        may_go: when a message may go out, ``now`` or later; None for always now.
    """
    sent, put_off, failed = [], [], []
    for _ in range(limit):
        row = store.claim(now, until=now + SEND_AT_MOST * (limit + 1))
        if row is None:
            break
        waits_until = may_go(row.message, now) if may_go is not None else now
        if waits_until > now:
            store.mark_retry(row, next_try_at=waits_until, reason=HELD)
            continue
        outcome = channels.send(row.message, now)
        if isinstance(outcome, Sent):
            store.mark_sent(row, now, outcome.note)
            sent.append(row)
        elif status := _end_of(row, outcome, now):
            store.mark_failed(row, status, now, outcome.reason)
            failed.append(row)
        else:
            store.mark_retry(row, next_try_at=_next_try(row, outcome, now), reason=outcome.reason)
            put_off.append(row)
    return Flushed(sent=tuple(sent), put_off=tuple(put_off), failed=tuple(failed))


def _last_try(row: OutboxRow, now: datetime) -> datetime:
    return (row.first_tried_at or now) + GIVE_UP_AFTER


def _end_of(row: OutboxRow, outcome: Refused, now: datetime) -> MessageStatus | None:
    if outcome.permanent:
        return MessageStatus.REFUSED
    return MessageStatus.GIVEN_UP if now >= _last_try(row, now) else None


def _next_try(row: OutboxRow, outcome: Refused, now: datetime) -> datetime:
    wait = BACK_OFF[min(row.attempts, len(BACK_OFF)) - 1]
    if outcome.retry_after_s is not None:
        wait = max(wait, min(timedelta(seconds=outcome.retry_after_s), BACK_OFF[-1]))
    return min(now + wait, _last_try(row, now))
