"""Accounts, sessions, codes and failed tries, on every database."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from frostwatch.errors import LedgerError
from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Account, Role, Session
from frostwatch.storage.ledger import SqlLedger
from tests.builders import a_forecourt, a_site

DAY = timedelta(days=1)


def an_account(now: datetime, **changed: object) -> Account:
    account = Account(email="ailsa@yard.example", name="Ailsa", roles={}, made_at=now)
    return replace(account, **changed)  # type: ignore[arg-type]


def a_keeper(now: datetime) -> Account:
    return an_account(now, email="first@yard.example", everywhere=Role.OPERATOR)


def a_session(account: Account, now: datetime, **changed: object) -> Session:
    session = Session(
        digest="d" * 64,
        account=account,
        made_at=now,
        seen_at=now,
        expires_at=now + DAY,
        lasting=False,
    )
    return replace(session, **changed)  # type: ignore[arg-type]


@pytest.fixture
def yard(ledger: SqlLedger) -> SqlLedger:
    ledger.save_fleet(sites=[a_site(), a_forecourt()])
    return ledger


def test_an_account_comes_back_as_it_was_entered(yard: SqlLedger, now: datetime) -> None:
    accounts = yard.access.accounts
    assert not accounts.any()
    added = accounts.add(
        an_account(
            now,
            email="Ailsa@Yard.example",
            person="ailsa",
            language=Language.DE,
            roles={"cold-rigg": Role.OPERATOR, "hinterlach": Role.VIEWER},
        )
    )
    assert accounts.any()
    assert accounts.by_email("AILSA@yard.EXAMPLE") == added
    assert accounts.listed() == (added,)
    assert added.email == "ailsa@yard.example"
    assert not added.has_password
    assert accounts.by_email("nobody@yard.example") is None


def test_an_address_has_one_account(yard: SqlLedger, now: datetime) -> None:
    yard.access.accounts.add(an_account(now))
    with pytest.raises(LedgerError, match="There is an account for ailsa"):
        yard.access.accounts.add(an_account(now, email="AILSA@yard.example"))


def test_a_role_at_a_site_nobody_entered_is_refused(yard: SqlLedger, now: datetime) -> None:
    with pytest.raises(LedgerError, match="There is no site 'nowhere'"):
        yard.access.accounts.add(an_account(now, roles={"nowhere": Role.CREW}))
    assert not yard.access.accounts.any()


def test_roles_are_replaced_and_go_with_their_site(yard: SqlLedger, now: datetime) -> None:
    accounts = yard.access.accounts
    accounts.add(a_keeper(now))
    kit = accounts.add(an_account(now, roles={"cold-rigg": Role.CREW, "hinterlach": Role.CREW}))
    accounts.save(replace(kit, roles={"hinterlach": Role.VIEWER}))
    found = accounts.by_email(kit.email)
    assert found is not None
    assert found.roles == {"hinterlach": Role.VIEWER}

    yard.save_fleet(sites=[a_site()], remove_others=True)
    yard.save_fleet(sites=[a_forecourt()])
    found = accounts.by_email(kit.email)
    assert found is not None
    assert found.roles == {}


def test_the_last_who_may_enter_sites_stays(yard: SqlLedger, now: datetime) -> None:
    accounts = yard.access.accounts
    first = accounts.add(a_keeper(now))
    other = accounts.add(an_account(now))
    with pytest.raises(LedgerError, match="Make another account an operator"):
        accounts.remove(first.id)
    with pytest.raises(LedgerError, match="Make another account an operator"):
        accounts.save(replace(first, everywhere=Role.CREW))
    accounts.save(replace(other, everywhere=Role.OPERATOR))
    accounts.remove(first.id)
    assert [one.id for one in accounts.listed()] == [other.id]


def test_a_number_is_never_used_again(yard: SqlLedger, now: datetime) -> None:
    accounts = yard.access.accounts
    accounts.add(a_keeper(now))
    gone = accounts.add(an_account(now))
    accounts.remove(gone.id)
    assert accounts.add(an_account(now)).id > gone.id


def test_a_session_brings_its_account_and_roles(yard: SqlLedger, now: datetime) -> None:
    kit = yard.access.accounts.add(an_account(now, roles={"cold-rigg": Role.CREW}))
    session = a_session(kit, now)
    yard.access.sessions.open(session)
    assert yard.access.sessions.find(session.digest, now) == session
    assert yard.access.sessions.find("e" * 64, now) is None
    assert yard.access.sessions.find(session.digest, now + DAY) is None


def test_a_closed_session_is_gone(yard: SqlLedger, now: datetime) -> None:
    session = a_session(yard.access.accounts.add(an_account(now)), now)
    yard.access.sessions.open(session)
    yard.access.sessions.close(session.digest)
    assert yard.access.sessions.find(session.digest, now) is None


def test_being_seen_is_noted_now_and_then(yard: SqlLedger, now: datetime) -> None:
    session = a_session(yard.access.accounts.add(an_account(now)), now)
    sessions = yard.access.sessions
    sessions.open(session)
    for minutes, noted in ((4, 0), (5, 5), (9, 5)):
        found = sessions.find(session.digest, now)
        assert found is not None
        sessions.note_seen(found, now + timedelta(minutes=minutes))
        found = sessions.find(session.digest, now)
        assert found is not None
        assert found.seen_at == now + timedelta(minutes=noted)


def test_a_new_password_signs_every_device_out(yard: SqlLedger, now: datetime) -> None:
    access = yard.access
    kit = access.accounts.add(an_account(now))
    access.sessions.open(a_session(kit, now))
    access.codes.keep("c", kit.id, expires_at=now + DAY)
    access.accounts.rehash(kit.id, "costlier")
    assert access.sessions.find("d" * 64, now) is not None
    access.accounts.set_password(kit.id, "hash")
    assert access.accounts.password_of(kit.id) == "hash"
    assert access.sessions.find("d" * 64, now) is None
    assert access.codes.find("c", now) is None


def test_pruning_takes_what_ended_and_what_was_quiet(yard: SqlLedger, now: datetime) -> None:
    access = yard.access
    kit = access.accounts.add(an_account(now))
    long = now + 100 * DAY
    for digest, ends, lasting in (("ended", now, True), ("quiet", long, False), ("kept", long, 1)):
        access.sessions.open(
            a_session(kit, now - DAY, digest=digest, expires_at=ends, lasting=bool(lasting))
        )
    access.codes.keep("c", None, expires_at=now)
    access.sessions.prune(now, quiet_since=now - timedelta(hours=12))
    before = now - timedelta(minutes=1)
    left = [d for d in ("ended", "quiet", "kept") if access.sessions.find(d, before)]
    assert left == ["kept"]
    assert access.codes.find("c", before) is None


def test_the_first_code_makes_the_first_account_once(yard: SqlLedger, now: datetime) -> None:
    access = yard.access
    access.codes.keep("c", None, expires_at=now + DAY)
    held = access.codes.find("c", now)
    assert held is not None
    assert held.account is None
    first = access.codes.use("c", now, hashed="hash", first=a_keeper(now))
    assert access.accounts.password_of(first.id) == "hash"
    assert first.may_enter_sites
    with pytest.raises(LedgerError, match="used already"):
        access.codes.use("c", now, hashed="other", first=a_keeper(now))


def test_a_first_code_is_void_once_there_is_an_account(yard: SqlLedger, now: datetime) -> None:
    access = yard.access
    access.codes.keep("c", None, expires_at=now + DAY)
    access.accounts.add(an_account(now))
    assert access.codes.find("c", now) is None
    with pytest.raises(LedgerError, match="Sign in instead"):
        access.codes.use("c", now, hashed="hash", first=a_keeper(now))
    assert [one.email for one in access.accounts.listed()] == ["ailsa@yard.example"]


def test_a_code_is_for_its_own_account_until_it_expires(yard: SqlLedger, now: datetime) -> None:
    access = yard.access
    kit = access.accounts.add(an_account(now))
    access.codes.keep("old", kit.id, expires_at=now + DAY)
    access.codes.keep("c", kit.id, expires_at=now + DAY)
    assert access.codes.find("old", now) is None
    assert access.codes.find("c", now + DAY) is None
    held = access.codes.find("c", now)
    assert held is not None
    assert held.account == kit
    with pytest.raises(LedgerError, match="mistyped"):
        access.codes.use("c", now, hashed="hash", first=a_keeper(now))
    assert access.codes.use("c", now, hashed="hash", first=None) == replace(kit, has_password=True)
    with pytest.raises(LedgerError, match="used already"):
        access.codes.use("c", now, hashed="hash", first=None)


def test_failed_tries_are_counted_by_door_and_forgotten(yard: SqlLedger, now: datetime) -> None:
    knocks = yard.access.knocks
    hour = timedelta(hours=1)
    knocks.note(["a", "b"], now - hour, forget=now - DAY)
    knocks.note(["a"], now, forget=now - DAY)
    assert knocks.counted(["a", "b", "c"], now - 2 * hour) == {"a": 2, "b": 1}
    assert knocks.counted(["a", "b"], now - hour) == {"a": 1}
    knocks.forget(["a"])
    assert knocks.counted(["a", "b"], now - 2 * hour) == {"b": 1}
    knocks.note(["c"], now, forget=now - hour / 2)
    assert knocks.counted(["a", "b", "c"], now - DAY) == {"c": 1}


@pytest.mark.parametrize(
    ("everywhere", "roles", "may"),
    [
        (None, {}, []),
        (None, {"here": Role.VIEWER}, [Role.VIEWER]),
        (None, {"here": Role.CREW}, [Role.VIEWER, Role.CREW]),
        (Role.CREW, {"here": Role.VIEWER}, [Role.VIEWER, Role.CREW]),
        (Role.VIEWER, {"here": Role.OPERATOR}, list(Role)),
        (None, {"elsewhere": Role.OPERATOR}, []),
    ],
)
def test_the_stronger_of_two_roles_counts(
    now: datetime, everywhere: Role | None, roles: dict[str, Role], may: list[Role]
) -> None:
    account = an_account(now, everywhere=everywhere, roles=roles)
    assert [role for role in Role if account.may(role, "here")] == may
