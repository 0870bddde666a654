"""Who may see and do what: accounts with roles, sessions, and tokens for machines."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from frostwatch.fleet.people import Language


class Role(StrEnum):
    """What somebody may do at a site. Each may do what those before it may."""

    VIEWER = "viewer"
    CREW = "crew"
    OPERATOR = "operator"

    def covers(self, other: "Role") -> bool:
        """Whether whoever has this role may do what ``other`` may."""
        order = list(Role)
        return order.index(self) >= order.index(other)


class Scope(StrEnum):
    """What a machine may do at the site of its token."""

    SITES = "read:sites"
    VEHICLES = "read:vehicles"
    NIGHTS = "read:nights"
    ROUNDS = "read:rounds"
    MESSAGES = "read:messages"
    HANDOVERS = "read:handovers"
    ENTRIES = "write:entries"
    READINGS = "write:readings"
    PLANNING = "write:handovers"


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Somebody who can sign in.

    Attributes:
        id: number in the ledger, never used twice; 0 before it is kept.
        email: what they sign in with, lower case.
        name: how they are addressed.
        person: key of the same human among those who are told, "" if not among them.
        language: language of their pages.
        everywhere: role at every site, present and future; None for none. An operator of
            everywhere may enter new sites and accounts.
        roles: site key -> role there.
        has_password: False until its owner chose one.
        made_at: when it was entered, UTC.
    """

    id: int = 0
    email: str
    name: str
    person: str = ""
    language: Language = Language.EN
    everywhere: Role | None = None
    roles: Mapping[str, Role]
    has_password: bool = False
    made_at: datetime

    def role_at(self, site: str) -> Role | None:
        """The stronger of the role at that site and the one everywhere."""
        found = [role for role in (self.everywhere, self.roles.get(site)) if role is not None]
        return max(found, key=list(Role).index, default=None)

    def may(self, role: Role, site: str) -> bool:
        """Whether they may do at that site what ``role`` may."""
        own = self.role_at(site)
        return own is not None and own.covers(role)

    @property
    def may_enter_sites(self) -> bool:
        """Whether they may enter places that are not there yet."""
        return self.everywhere is Role.OPERATOR


class RoleChange(StrEnum):
    """What became of a change to what somebody may do.

    ``LAST``: nobody who can sign in could enter sites and accounts any more, so nothing changed.
    """

    DONE = "done"
    MEANWHILE = "meanwhile"
    LAST = "last"


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One device that is signed in.

    Attributes:
        digest: SHA-256 of the secret that the device holds, hexadecimal.
        account: whose it is.
        made_at: when they signed in, UTC.
        seen_at: when the device last asked for something, UTC, kept to a few minutes.
        expires_at: when it ends whatever happens, UTC.
        lasting: kept when the browser is closed, and not ended by a quiet day.
    """

    digest: str
    account: Account
    made_at: datetime
    seen_at: datetime
    expires_at: datetime
    lasting: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """What a machine shows to act at one site.

    Attributes:
        id: number in the ledger, never used twice; 0 before it is kept.
        digest: SHA-256 of its secret, hexadecimal.
        site: key of the site.
        name: what it is for, e.g. ``"gate computer"``.
        scopes: what it may do.
        made_at: when it was made, UTC.
        expires_at: when it ends, UTC; None for never.
        used_at: when it was last used, UTC, kept to a few minutes; None if never.
    """

    id: int = 0
    digest: str
    site: str
    name: str
    scopes: frozenset[Scope]
    made_at: datetime
    expires_at: datetime | None = None
    used_at: datetime | None = None
