"""Requests to forecast servers are remembered for a day, by host."""

from datetime import datetime, timedelta

from frostwatch.storage.ledger import SqlLedger
from frostwatch.weather.forecast import FailureKind, FetchFailure
from frostwatch.weather.manners import Attempt, AttemptLog

HOUR = timedelta(hours=1)


def test_attempts_come_back_by_host_in_order_of_time(ledger: SqlLedger, now: datetime) -> None:
    log: AttemptLog = ledger.attempts
    trouble = FetchFailure(kind=FailureKind.THROTTLED, message="too many", retry_at=now + HOUR)
    attempts = [
        Attempt(host="a.example", at=now - HOUR, weight=12.0, places=10, failure=None),
        Attempt(host="b.example", at=now - HOUR, weight=1.0, places=1, failure=None),
        Attempt(host="a.example", at=now, weight=3.0, places=1, failure=trouble),
    ]
    for attempt in attempts:
        log.note(attempt)

    assert log.since("a.example", now - 2 * HOUR) == [attempts[0], attempts[2]]
    assert log.since("a.example", now) == [attempts[2]]
    assert log.since("c.example", now - 2 * HOUR) == []


def test_attempts_are_forgotten_after_a_day(ledger: SqlLedger, now: datetime) -> None:
    for hours in (0, 25):
        ledger.attempts.note(
            Attempt(host="a.example", at=now + hours * HOUR, weight=1.0, places=1, failure=None)
        )

    kept = ledger.attempts.since("a.example", now - HOUR)

    assert [attempt.at for attempt in kept] == [now + 25 * HOUR]
