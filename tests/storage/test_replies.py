"""Providers' replies: the newest is found, evidence stays, the rest goes."""

from datetime import datetime, timedelta

from frostwatch.advice.reminders import Decision, Reason
from frostwatch.messages.wording.draft import Kind, Level
from frostwatch.ports import Reply
from frostwatch.storage.ledger import SqlLedger
from tests.builders import a_site

DAY = timedelta(days=1)


def a_reply(now: datetime, *, point: str = "p1", provider: str = "one", body: str = "x") -> Reply:
    return Reply(
        point=point,
        provider=provider,
        fetched_at=now,
        issued_at=now - timedelta(hours=2),
        expires_at=now + timedelta(hours=3),
        last_modified="Tue, 01 Dec 2026 06:00:00 GMT",
        etag='"e1"',
        status=200,
        payload=body.encode() * 1000,
    )


def test_the_newest_reply_of_each_place_is_found(ledger: SqlLedger, now: datetime) -> None:
    replies = ledger.replies
    replies.keep([a_reply(now, body="old"), a_reply(now, point="p2")])
    (newest,) = replies.keep([a_reply(now + timedelta(hours=1), body="new")])
    replies.keep([a_reply(now + timedelta(hours=2), provider="two")])

    found = replies.newest("one", ["p1", "p2", "p3"])

    assert found["p1"] == newest
    assert set(found) == {"p1", "p2"}
    assert replies.reply(newest.id) == newest
    assert replies.reply(newest.id + 99) is None


def test_a_reply_confirmed_by_the_provider_becomes_fresh_again(
    ledger: SqlLedger, now: datetime
) -> None:
    (reply,) = ledger.replies.keep([a_reply(now)])
    later = now + timedelta(hours=4)
    ledger.replies.still_valid(reply, fetched_at=later, expires_at=None)

    found = ledger.replies.newest("one", ["p1"])["p1"]

    assert (found.fetched_at, found.expires_at) == (later, None)
    assert found.payload == reply.payload


def test_unused_replies_go_after_a_fortnight_and_evidence_after_a_season(
    ledger: SqlLedger, now: datetime
) -> None:
    ledger.save_fleet(sites=[a_site()])
    used, unused, newest = ledger.replies.keep([a_reply(now), a_reply(now), a_reply(now)])
    call = Decision(
        at=now,
        site="cold-rigg",
        vehicle="Y03",
        recipient="ailsa",
        kind=Kind.WORK_ORDER,
        level=Level.ACT,
        reason=Reason.FIRST,
    )
    ledger.commit("cold-rigg", now, decisions=[call], reply_id=used.id)

    def kept() -> set[int]:
        return {r.id for r in (used, unused, newest) if ledger.replies.reply(r.id)}

    ledger.prune(now + 13 * DAY)
    assert kept() == {used.id, unused.id, newest.id}
    ledger.prune(now + 15 * DAY)
    assert kept() == {used.id, newest.id}
    ledger.prune(now + 401 * DAY)
    assert kept() == set()


def test_a_number_is_never_given_twice(ledger: SqlLedger, now: datetime) -> None:
    (first,) = ledger.replies.keep([a_reply(now)])
    ledger.prune(now + 500 * DAY)
    (second,) = ledger.replies.keep([a_reply(now)])

    assert second.id > first.id
