"""Tokens and readings of machines, on every database."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from frostwatch.errors import LedgerError, RecordError
from frostwatch.ports.accounts import Scope, Token
from frostwatch.storage.ledger import SqlLedger
from frostwatch.storage.reading_rows import Reading
from tests.builders import a_site, a_vehicle

HOUR = timedelta(hours=1)


@pytest.fixture
def yard(ledger: SqlLedger) -> SqlLedger:
    ledger.save_fleet(sites=[a_site()], vehicles=[a_vehicle()])
    return ledger


def a_token(now: datetime, **changed: object) -> Token:
    token = Token(
        digest="d" * 64,
        site="cold-rigg",
        name="gate computer",
        scopes=frozenset({Scope.VEHICLES, Scope.READINGS}),
        made_at=now,
    )
    return replace(token, **changed)  # type: ignore[arg-type]


def a_reading(now: datetime, **changed: object) -> Reading:
    reading = Reading(
        vehicle="Y03",
        sensor="L1",
        where="cabin",
        at=now,
        temperature_c=-1.5,
        received_at=now,
        sent_by="gate computer",
    )
    return replace(reading, **changed)  # type: ignore[arg-type]


def test_a_token_comes_back_until_it_expires(yard: SqlLedger, now: datetime) -> None:
    tokens = yard.access.tokens
    kept = tokens.add(a_token(now, expires_at=now + HOUR))
    assert tokens.find("d" * 64, now) == kept
    assert tokens.find("e" * 64, now) is None
    assert tokens.find("d" * 64, now + HOUR) is None
    assert tokens.listed() == tokens.listed("cold-rigg") == (kept,)
    assert tokens.listed("elsewhere") == ()


def test_a_token_needs_a_site_and_goes_with_it(yard: SqlLedger, now: datetime) -> None:
    tokens = yard.access.tokens
    with pytest.raises(LedgerError, match="There is no site 'nowhere'"):
        tokens.add(a_token(now, site="nowhere"))
    tokens.add(a_token(now))
    yard.save_fleet(remove_others=True)
    assert tokens.listed() == ()


def test_the_use_of_a_token_is_noted_now_and_then(yard: SqlLedger, now: datetime) -> None:
    tokens = yard.access.tokens
    tokens.add(a_token(now))
    for minutes, noted in ((0, 0), (4, 0), (5, 5)):
        found = tokens.find("d" * 64, now)
        assert found is not None
        tokens.note_used(found, now + timedelta(minutes=minutes))
        found = tokens.find("d" * 64, now)
        assert found is not None
        assert found.used_at == now + timedelta(minutes=noted)


def test_a_removed_token_is_void(yard: SqlLedger, now: datetime) -> None:
    kept = yard.access.tokens.add(a_token(now))
    assert yard.access.tokens.remove(kept.id)
    assert not yard.access.tokens.remove(kept.id)
    assert yard.access.tokens.find("d" * 64, now) is None


def test_a_reading_sent_twice_is_kept_once(yard: SqlLedger, now: datetime) -> None:
    readings = [a_reading(now), a_reading(now - HOUR), a_reading(now, sensor="L2")]
    assert yard.readings.add(readings) == 3
    assert yard.readings.add([replace(readings[0], received_at=now + HOUR)]) == 0
    kept = yard.readings.of_vehicle("Y03", since=now - HOUR, until=now + HOUR)
    assert kept == (readings[1], readings[0], readings[2])
    assert yard.readings.of_vehicle("Y03", since=now - HOUR, until=now) == (readings[1],)


def test_readings_of_a_vehicle_nobody_entered_are_refused(yard: SqlLedger, now: datetime) -> None:
    with pytest.raises(RecordError, match="vehicle 'Y99' is not entered"):
        yard.readings.add([a_reading(now), a_reading(now, vehicle="Y99")])
    assert yard.readings.of_vehicle("Y03", since=now - HOUR, until=now + HOUR) == ()


def test_readings_are_dropped_after_their_season(yard: SqlLedger, now: datetime) -> None:
    yard.readings.add([a_reading(now), a_reading(now - timedelta(days=800))])
    yard.prune(now)
    assert yard.readings.of_vehicle("Y03", since=now - timedelta(days=900), until=now + HOUR) == (
        a_reading(now),
    )
