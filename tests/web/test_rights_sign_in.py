"""Signing in, staying signed in, being kept out: without any page."""

from collections.abc import Iterator
from datetime import datetime

import pytest

from frostwatch.ports.accounts import Role
from frostwatch.storage.ledger import open_ledger
from frostwatch.web.rights import Rights, TooManyTriesError
from frostwatch.web.rights.limits import (
    BY_ACCOUNT,
    BY_ADDRESS,
    CODES_BY_ADDRESS,
    CODES_BY_ALL,
    code_doors,
    network_of,
)
from frostwatch.web.rights.secret import digest_of, plain_code
from tests.builders import a_site
from tests.web.guests import PASSWORD, Clock, an_account_of, rights_over

HERE = "192.0.2.7"
EMAIL = "ailsa@yard.example"


@pytest.fixture
def clock(now: datetime) -> Clock:
    return Clock(now)


@pytest.fixture
def rights(clock: Clock) -> Iterator[Rights]:
    ledger = open_ledger("sqlite://")
    ledger.save_fleet(sites=[a_site()])
    made = rights_over(ledger, clock)
    an_account_of(made, cold_rigg=Role.OPERATOR)
    yield made
    ledger.close()


def try_in(
    rights: Rights, email: str = EMAIL, password: str = PASSWORD, address: str = HERE
) -> bool:
    return rights.sign_in(email, password, address=address, lasting=False) is not None


def test_the_right_password_opens_a_session_whose_secret_is_kept_nowhere(rights: Rights) -> None:
    opened = rights.sign_in("Ailsa@Yard.Example", PASSWORD, address=HERE, lasting=False)
    assert opened is not None
    session, secret = opened
    assert session.digest == digest_of(secret)
    found = rights.session_of(secret)
    assert found is not None
    assert found.account.email == EMAIL
    assert rights.session_of(session.digest) is None
    assert rights.session_of("") is None


@pytest.mark.parametrize(
    ("email", "password"),
    [(EMAIL, "wrong"), (EMAIL, ""), ("nobody@yard.example", PASSWORD), ("", ""), ("'--", PASSWORD)],
)
def test_anything_else_opens_nothing(rights: Rights, email: str, password: str) -> None:
    assert not try_in(rights, email, password)


def test_an_account_without_a_password_cannot_be_entered(rights: Rights, now: datetime) -> None:
    account = an_account_of(rights, "kit")
    rights.access.accounts.set_password(account.id, "")
    assert not try_in(rights, "kit@yard.example", "")


@pytest.mark.parametrize(
    ("lasting", "hours", "holds"),
    [
        (False, 11.9, True),
        (False, 12.1, False),
        (True, 12.1, True),
        (True, 239 * 24, True),
        (True, 241 * 24, False),
    ],
)
def test_a_session_ends_by_itself(
    rights: Rights, clock: Clock, lasting: bool, hours: float, holds: bool
) -> None:
    opened = rights.sign_in(EMAIL, PASSWORD, address=HERE, lasting=lasting)
    assert opened is not None
    clock.pass_by(hours=hours)
    assert (rights.session_of(opened[1]) is not None) is holds


def test_a_busy_day_long_session_ends_after_a_week(rights: Rights, clock: Clock) -> None:
    opened = rights.sign_in(EMAIL, PASSWORD, address=HERE, lasting=False)
    assert opened is not None
    for _ in range(16):
        clock.pass_by(hours=10)
        assert rights.session_of(opened[1]) is not None
    clock.pass_by(hours=10)
    assert rights.session_of(opened[1]) is None


def test_an_account_can_be_tried_so_often_from_anywhere(rights: Rights, clock: Clock) -> None:
    for number in range(BY_ACCOUNT):
        assert not try_in(rights, password="wrong", address=f"192.0.2.{number}")
    with pytest.raises(TooManyTriesError):
        try_in(rights, address="198.51.100.1")
    assert not try_in(rights, "kit@yard.example", address="198.51.100.1")
    clock.pass_by(minutes=15)
    assert try_in(rights)


def test_an_address_can_try_so_often_whatever_account(rights: Rights, clock: Clock) -> None:
    for number in range(BY_ADDRESS):
        assert not try_in(rights, f"{number}@yard.example")
    with pytest.raises(TooManyTriesError):
        try_in(rights)
    assert try_in(rights, address="198.51.100.1")


def test_getting_in_forgets_the_mistypes(rights: Rights) -> None:
    for day in range(2):
        for number in range(BY_ACCOUNT - 1):
            assert not try_in(rights, password="wrong", address=f"198.51.{day}.{number}")
        assert try_in(rights)


def test_codes_can_be_tried_so_often(rights: Rights, clock: Clock) -> None:
    limits = rights.limits
    long, short = code_doors(HERE, "one-time"), code_doors(HERE, "round", short=True)
    for _ in range(CODES_BY_ADDRESS):
        limits.refuse_if_shut(long, clock())
        limits.failed(long, clock())
    with pytest.raises(TooManyTriesError):
        limits.refuse_if_shut(long, clock())
    limits.refuse_if_shut(short, clock())
    for number in range(CODES_BY_ALL):
        limits.failed(code_doors(f"10.0.{number}.1", "round", short=True), clock())
    with pytest.raises(TooManyTriesError):
        limits.refuse_if_shut(short, clock())
    clock.pass_by(minutes=15)
    limits.refuse_if_shut((*long, *short), clock())


@pytest.mark.parametrize(
    ("address", "network"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("fe80::1%eth0", "fe80::/64"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("testclient", "unknown"),
        ("", "unknown"),
    ],
)
def test_one_subscriber_is_one_address(address: str, network: str) -> None:
    """Addresses of RFC 5737 and RFC 3849; a subscriber of IPv6 holds a /64 (RFC 6177)."""
    assert network_of(address) == network


def test_a_first_code_is_made_only_while_nobody_has_an_account(clock: Clock) -> None:
    ledger = open_ledger("sqlite://")
    rights = rights_over(ledger, clock)
    old, code = rights.first_code(), rights.first_code()
    assert old is not None
    assert code is not None
    assert rights.access.codes.find(digest_of(plain_code(old)), clock()) is None
    assert rights.access.codes.find(digest_of(plain_code(code)), clock()) is not None
    an_account_of(rights)
    assert rights.first_code() is None
    ledger.close()
