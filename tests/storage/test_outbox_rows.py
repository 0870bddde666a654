"""Claims on the outbox, on every database."""

import threading
from datetime import datetime, timedelta

from frostwatch.fleet.people import Channel
from frostwatch.ports import MessageStatus
from frostwatch.storage.ledger import SqlLedger, open_ledger
from frostwatch.storage.tables import ChannelRow, table_of
from tests.builders import an_operator
from tests.letters import a_message

HOUR = timedelta(hours=1)


def test_a_claimed_message_is_nobody_elses_until_the_claim_runs_out(
    ledger: SqlLedger, now: datetime
) -> None:
    outbox = ledger.outbox
    outbox.enqueue([a_message(now)], now)

    first = outbox.claim(now, until=now + HOUR)
    assert first is not None
    assert (first.status, first.attempts, first.first_tried_at) == (MessageStatus.CLAIMED, 1, now)
    assert outbox.claim(now, until=now + HOUR) is None

    second = outbox.claim(now + HOUR, until=now + 2 * HOUR)
    assert second is not None
    assert (second.id, second.attempts, second.first_tried_at) == (first.id, 2, now)


def test_whoever_lost_a_claim_can_no_longer_close_it(ledger: SqlLedger, now: datetime) -> None:
    outbox = ledger.outbox
    outbox.enqueue([a_message(now)], now)
    late = outbox.claim(now, until=now + HOUR)
    current = outbox.claim(now + HOUR, until=now + 2 * HOUR)
    assert late is not None
    assert current is not None

    assert not outbox.mark_retry(late, next_try_at=now, reason="late")
    assert not outbox.mark_failed(late, MessageStatus.REFUSED, now, "late")
    assert outbox.mark_sent(current, now + HOUR, "in time")
    assert not outbox.mark_sent(late, now + HOUR, "late")

    (row,) = outbox.listed(since=now)
    assert (row.status, row.result, row.claimed_until) == (MessageStatus.SENT, "in time", None)


def test_what_is_due_longest_goes_first(ledger: SqlLedger, now: datetime) -> None:
    outbox = ledger.outbox
    outbox.enqueue([a_message(now, reminder="b"), a_message(now, reminder="c")], now)
    outbox.enqueue([a_message(now, reminder="a", send_from=now - HOUR)], now)

    claimed = [outbox.claim(now, until=now + HOUR) for _ in range(4)]

    assert [row and row.message.reminder for row in claimed] == ["a", "b", "c", None]


def test_many_senders_never_claim_the_same_message(ledger_url: str, now: datetime) -> None:
    ledger = open_ledger(ledger_url)
    ledger.outbox.enqueue([a_message(now, reminder=f"r{i}") for i in range(40)], now)
    others = [ledger if ledger_url == "sqlite://" else open_ledger(ledger_url) for _ in range(3)]
    taken: list[int] = []

    def claim_all(own: SqlLedger) -> None:
        while row := own.outbox.claim(now, until=now + HOUR):
            taken.append(row.id)

    threads = [threading.Thread(target=claim_all, args=[own]) for own in [ledger, *others]]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(taken) == 40
    assert len(set(taken)) == 40
    for own in [ledger, *others]:
        own.close()


def test_messages_are_listed_by_status_person_and_site(ledger: SqlLedger, now: datetime) -> None:
    outbox = ledger.outbox
    outbox.enqueue([a_message(now), a_message(now, recipient="kit", site="aunt-drive")], now)
    claimed = outbox.claim(now, until=now + HOUR)
    assert claimed is not None
    outbox.mark_sent(claimed, now, "")

    assert [row.message.recipient for row in outbox.listed(since=now)] == ["ailsa", "kit"]
    assert [row.id for row in outbox.listed(since=now, status=MessageStatus.SENT)] == [claimed.id]
    assert len(outbox.listed(since=now, recipient="kit")) == 1
    assert len(outbox.listed(since=now, site="cold-rigg")) == 1
    assert outbox.listed(since=now + HOUR) == ()


def test_a_channel_remembers_what_it_did_until_its_address_changes(
    ledger: SqlLedger, now: datetime
) -> None:
    channel = Channel(name="e-mail", address="json://old.example.org")
    ledger.save_fleet(people=[an_operator(channels=(channel,))])
    ledger.outbox.enqueue([a_message(now, address=channel.address)], now)
    claimed = ledger.outbox.claim(now, until=now + HOUR)
    assert claimed is not None
    ledger.outbox.mark_failed(claimed, MessageStatus.REFUSED, now, "no such mailbox")

    def refusals() -> list[tuple[str, datetime | None]]:
        table = table_of(ChannelRow)
        with ledger._database.reading() as connection:
            rows = connection.execute(table.select())
            return [(row.refused_reason, row.refused_at) for row in rows]

    ledger.save_fleet(people=[an_operator(name="Ailsa T.", channels=(channel,))])
    assert refusals() == [("no such mailbox", now)]
    moved = Channel(name="e-mail", address="json://new.example.org")
    ledger.save_fleet(people=[an_operator(channels=(moved,))])
    assert refusals() == [("", None)]


def test_what_is_answered_while_it_is_handed_over_is_not_tried_again(
    ledger: SqlLedger, now: datetime
) -> None:
    outbox = ledger.outbox
    asked, other = a_message(now), a_message(now, reminder="cold-rigg/ailsa/work order/2")
    outbox.enqueue([asked, other], now)
    claimed = [outbox.claim(now, until=now + HOUR) for _ in range(2)]

    ledger.take_answers([], withdraw=[asked.reminder])
    for row in claimed:
        assert row is not None
        assert outbox.mark_retry(row, next_try_at=now + HOUR, reason="busy")

    found = {row.message.reminder: (row.status, row.result) for row in outbox.listed(since=now)}
    assert found[asked.reminder] == (MessageStatus.REPLACED, "answered before it went out")
    assert found[other.reminder] == (MessageStatus.QUEUED, "busy")
