"""What the rights of an app rest on, and how they are put into it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from fastapi import FastAPI
from starlette.requests import HTTPConnection

from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Account, Role, Scope, Session, Token
from frostwatch.storage.access import SqlAccess
from frostwatch.web.rights.headers import MOST_BYTES, Guard
from frostwatch.web.rights.limits import Limits, sign_in_doors
from frostwatch.web.rights.passwords import Passwords
from frostwatch.web.rights.secret import digest_of, new_code, new_secret, plain_code

DAY_LONG = timedelta(hours=12)
"""A device is signed out when it was quiet for so long: estimate, from one morning's round to the
evening."""
WEEK_LONG = timedelta(days=7)
"""... and in any case after so long."""
SEASON_LONG = timedelta(days=240)
"""A device that is kept signed in, October to May."""
CODE_HOLDS = timedelta(days=7)
FIRST_CODE_HOLDS = timedelta(days=1)
TOKEN_BEGINS = "fw_"
"""So that a token that was left lying about is known for what it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rights:
    """Who gets in.

    Attributes:
        access: where accounts, sessions, codes and tokens are kept.
        clock: the present moment, UTC.
        secure: whether people reach this service over HTTPS alone.
        passwords: hashes and checks them.
        stand_in: who everybody counts as that is not signed in. For the demo, which is invented
            throughout and reached from its own computer alone.
    """

    access: SqlAccess
    clock: Callable[[], datetime]
    secure: bool
    passwords: Passwords = field(default_factory=Passwords)
    stand_in: Account | None = None

    @property
    def limits(self) -> Limits:
        """How often a secret may be tried."""
        return Limits(self.access.knocks)

    @property
    def cookie(self) -> str:
        """Name of the cookie that holds a session's secret; with HTTPS no other host can set it."""
        return "__Host-frostwatch" if self.secure else "frostwatch"

    @property
    def form_cookie(self) -> str:
        """Name of the cookie that ties a form to the browser of somebody not signed in."""
        return f"{self.cookie}-form"

    def session_of(self, secret: str) -> Session | None:
        """The session of a device that still holds."""
        now = self.clock()
        session = self.access.sessions.find(digest_of(secret), now)
        if session is None:
            return None
        if not session.lasting and now - session.seen_at > DAY_LONG:
            return None
        self.access.sessions.note_seen(session, now)
        return session

    def sign_in(
        self, email: str, password: str, *, address: str, lasting: bool
    ) -> tuple[Session, str] | None:
        """A session and its secret for whoever knows the password; None for whoever does not.

        Raises:
            TooManyTriesError: too many tries failed, from that address or at that account.
        """
        now = self.clock()
        doors = sign_in_doors(address, email)
        self.limits.refuse_if_shut(doors, now)
        account = self.access.accounts.by_email(email)
        hashed = self.access.accounts.password_of(account.id) if account else ""
        right, better = self.passwords.check(password, hashed)
        if account is None or not right:
            self.limits.failed(doors, now)
            return None
        if better is not None:
            self.access.accounts.rehash(account.id, better)
        self.limits.got_in(doors)
        return self.open_session(account, lasting=lasting)

    def open_session(self, account: Account, *, lasting: bool) -> tuple[Session, str]:
        """Sign a device in; returns its session and the secret it is to hold."""
        now = self.clock()
        self.access.sessions.prune(now, quiet_since=now - DAY_LONG)
        secret = new_secret()
        session = Session(
            digest=digest_of(secret),
            account=account,
            made_at=now,
            seen_at=now,
            expires_at=now + (SEASON_LONG if lasting else WEEK_LONG),
            lasting=lasting,
        )
        self.access.sessions.open(session)
        return session, secret

    def new_code(self, account: int | None) -> str:
        """A one-time code for an account, or for the first one; earlier ones are void."""
        code = new_code()
        holds = CODE_HOLDS if account is not None else FIRST_CODE_HOLDS
        self.access.codes.keep(
            digest_of(plain_code(code)), account, expires_at=self.clock() + holds
        )
        return code

    def new_token(
        self, site: str, name: str, scopes: frozenset[Scope], *, holds: timedelta | None = None
    ) -> str:
        """The secret of a new token for a site; shown once.

        Args:
            site: key of the site.
            name: what it is for.
            scopes: what it may do.
            holds: how long; None for good.

        Raises:
            LedgerError: the site is not entered.
        """
        now = self.clock()
        secret = TOKEN_BEGINS + new_secret()
        self.access.tokens.add(
            Token(
                digest=digest_of(secret),
                site=site,
                name=name,
                scopes=scopes,
                made_at=now,
                expires_at=None if holds is None else now + holds,
            )
        )
        return secret

    def first_code(self) -> str | None:
        """A code for the first account, where there is none yet."""
        return None if self.access.accounts.any() else self.new_code(None)


def demo_account(now: datetime) -> Account:
    """Who everybody counts as in the demo."""
    return Account(
        email="demo@frostwatch.example",
        name="Demo",
        language=Language.EN,
        everywhere=Role.OPERATOR,
        roles={},
        made_at=now,
    )


def install(app: FastAPI, rights: Rights, *, most_bytes: int = MOST_BYTES) -> None:
    """Put the rights into an app: every answer of it carries the headers, every change is checked.

    Args:
        app: the app; routes may be added before or after.
        rights: who gets in.
        most_bytes: largest body that is read [byte].
    """
    app.state.rights = rights
    app.add_middleware(Guard, secure=rights.secure, most_bytes=most_bytes)


def rights_of(connection: HTTPConnection) -> Rights:
    """The rights of the app that serves a request."""
    return rights_of_app(connection.app)


def rights_of_app(app: FastAPI) -> Rights:
    """The rights of an app."""
    found: Rights = app.state.rights
    return found
