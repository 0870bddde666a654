"""Claim, send, mark, back off."""

import itertools
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest

from frostwatch.messages.outbox import flush
from frostwatch.ports import MessageStatus, Refused
from frostwatch.storage.ledger import SqlLedger, open_ledger
from tests.builders import a_site, an_operator, an_owner
from tests.fakes import CrashError, FakeChannels
from tests.letters import a_message

MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)
BUSY = Refused(permanent=False, reason="busy")


@pytest.fixture
def channels() -> FakeChannels:
    return FakeChannels()


@pytest.fixture
def ledger() -> Iterator[SqlLedger]:
    opened = open_ledger("sqlite://")
    yield opened
    opened.close()


def statuses(ledger: SqlLedger, now: datetime) -> list[MessageStatus]:
    return [row.status for row in ledger.outbox.listed(since=now - 99 * HOUR)]


def test_a_message_is_sent_once_and_closed(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    message = a_message(now)
    ledger.outbox.enqueue([message], now)

    first = flush(ledger.outbox, channels, now)
    second = flush(ledger.outbox, channels, now + HOUR)

    assert channels.sent == [message]
    assert [row.message for row in first.sent] == [message]
    assert second.sent == ()
    (row,) = ledger.outbox.listed(since=now)
    assert (row.status, row.sent_at, row.attempts) == (MessageStatus.SENT, now, 1)


def test_the_same_revision_is_never_queued_twice(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    assert ledger.outbox.enqueue([a_message(now), a_message(now)], now) == 1
    flush(ledger.outbox, channels, now)

    assert ledger.outbox.enqueue([a_message(now)], now + HOUR) == 0
    flush(ledger.outbox, channels, now + HOUR)

    assert len(channels.sent) == 1


def test_each_channel_of_a_person_gets_its_own_message(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    ledger.outbox.enqueue([a_message(now), a_message(now, channel="phone")], now)
    channels.refuse_first(1)

    flush(ledger.outbox, channels, now)
    flush(ledger.outbox, channels, now + HOUR)

    assert sorted(message.channel for message in channels.sent) == ["e-mail", "phone"]


def test_a_newer_revision_replaces_one_that_has_not_gone_out(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    ledger.outbox.enqueue([a_message(now, revision=1)], now)
    channels.refuse_first(1)
    flush(ledger.outbox, channels, now)
    ledger.outbox.enqueue([a_message(now, revision=2)], now + HOUR)

    flush(ledger.outbox, channels, now + HOUR)

    assert [message.revision for message in channels.sent] == [2]
    assert statuses(ledger, now) == [MessageStatus.REPLACED, MessageStatus.SENT]


def test_a_message_waits_for_the_end_of_the_quiet_hours(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    ledger.outbox.enqueue([a_message(now, send_from=now + 8 * HOUR)], now)

    flush(ledger.outbox, channels, now + 8 * HOUR - MINUTE)
    assert channels.sent == []
    flush(ledger.outbox, channels, now + 8 * HOUR)
    assert len(channels.sent) == 1


def test_a_refusal_that_may_pass_is_tried_again_ever_more_slowly_for_a_day(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    channels.refuse("ailsa", BUSY)
    ledger.outbox.enqueue([a_message(now)], now)
    tried = []
    for minute in range(48 * 60):
        moment = now + minute * MINUTE
        before = len(channels.tried)
        flush(ledger.outbox, channels, moment)
        if len(channels.tried) > before:
            tried.append(minute)

    waits = [later - earlier for earlier, later in itertools.pairwise(tried)]
    assert waits == [1, 5, 15, 60, 120, 240, 360, 360, 279]
    assert tried[-1] == 24 * 60
    (row,) = ledger.outbox.listed(since=now)
    assert (row.status, row.result) == (MessageStatus.GIVEN_UP, "busy")


def test_the_targets_own_wish_to_wait_is_kept_within_reason(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    ledger.outbox.enqueue([a_message(now)], now)
    for wish_s, wait in ((1800, 30 * MINUTE), (1, 5 * MINUTE), (1e9, 6 * HOUR)):
        channels.refuse("ailsa", Refused(permanent=False, reason="", retry_after_s=wish_s))
        flush(ledger.outbox, channels, now)
        (row,) = ledger.outbox.listed(since=now - 99 * HOUR)
        assert row.next_try_at - now == wait
        now = row.next_try_at


def test_a_permanent_refusal_is_closed_at_once_and_reported(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    ledger.save_fleet(people=[an_operator()])
    channels.refuse("ailsa", Refused(permanent=True, reason="no such mailbox"))
    ledger.outbox.enqueue([a_message(now)], now)

    done = flush(ledger.outbox, channels, now)
    flush(ledger.outbox, channels, now + HOUR)

    assert [row.message.recipient for row in done.failed] == ["ailsa"]
    assert len(channels.tried) == 1
    (row,) = ledger.outbox.listed(since=now, status=MessageStatus.REFUSED)
    assert row.result == "no such mailbox"


def test_one_persons_dead_channel_does_not_hold_up_the_others(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    channels.refuse("ailsa", BUSY)
    ledger.outbox.enqueue([a_message(now), a_message(now, recipient="kit")], now)

    done = flush(ledger.outbox, channels, now)

    assert [message.recipient for message in channels.sent] == ["kit"]
    assert [row.message.recipient for row in done.put_off] == ["ailsa"]


def test_a_crash_after_sending_costs_one_duplicate_and_no_message(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    ledger.outbox.enqueue([a_message(now)], now)
    channels.crash_after_next()
    with pytest.raises(CrashError):
        flush(ledger.outbox, channels, now)

    flush(ledger.outbox, channels, now + MINUTE)
    assert len(channels.sent) == 1, "the claim still holds"
    flush(ledger.outbox, channels, now + HOUR)

    assert len(channels.sent) == 2
    assert statuses(ledger, now) == [MessageStatus.SENT]


def test_a_round_stops_at_its_limit(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    ledger.outbox.enqueue([a_message(now, reminder=f"r{i}") for i in range(7)], now)

    assert len(flush(ledger.outbox, channels, now, limit=5).sent) == 5
    assert len(flush(ledger.outbox, channels, now, limit=5).sent) == 2


def test_messages_queued_with_a_pass_are_in_the_same_outbox(
    ledger: SqlLedger, channels: FakeChannels, now: datetime
) -> None:
    ledger.save_fleet(sites=[a_site()], people=[an_owner()])
    message = a_message(now, recipient="maelle")

    assert ledger.commit("cold-rigg", now, messages=[message]) == 1
    assert ledger.commit("cold-rigg", now + HOUR, messages=[message]) == 0
    flush(ledger.outbox, channels, now + HOUR)

    assert channels.sent == [message]
