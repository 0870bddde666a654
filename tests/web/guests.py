"""People at the door: a clock that stands still, cheap passwords, accounts, a small app."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from pwdlib.hashers.argon2 import Argon2Hasher

from frostwatch.ports.accounts import Account, Role
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.rights import Rights
from frostwatch.web.rights.passwords import Passwords

CHEAP = Argon2Hasher(time_cost=1, memory_cost=8, parallelism=1)
PASSWORDS = Passwords(CHEAP)
PASSWORD = "seven cold mornings"


@dataclass
class Clock:
    """A clock that is moved by hand."""

    now: datetime

    def __call__(self) -> datetime:
        return self.now

    def pass_by(self, **span: float) -> None:
        """Let time pass."""
        self.now += timedelta(**span)


def rights_over(ledger: SqlLedger, clock: Clock, *, secure: bool = False) -> Rights:
    """The rights of a ledger, with passwords that take no time."""
    return Rights(access=ledger.access, clock=clock, secure=secure, passwords=PASSWORDS)


def an_account_of(
    rights: Rights,
    name: str = "ailsa",
    *,
    everywhere: Role | None = None,
    password: str = PASSWORD,
    **roles: Role,
) -> Account:
    """Somebody at yard.example who has a password; roles by site with ``_`` for ``-``."""
    account = rights.access.accounts.add(
        Account(
            email=f"{name}@yard.example",
            name=name.capitalize(),
            person=name,
            everywhere=everywhere,
            roles={site.replace("_", "-"): role for site, role in roles.items()},
            made_at=rights.clock(),
        )
    )
    rights.access.accounts.set_password(account.id, rights.passwords.hash(password))
    return account
