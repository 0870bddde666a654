"""Whoever asks for a page."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Account, Role, Session


class NotSignedInError(Exception):
    """Nobody is signed in where somebody must be."""


class NotForYouError(Exception):
    """Whoever is signed in may not.

    Attributes:
        knows_of_it: they may at least see that it is there; otherwise it is as if it were not.
    """

    def __init__(self, *, knows_of_it: bool = False) -> None:
        super().__init__("not for you")
        self.knows_of_it = knows_of_it


class WrongFormError(Exception):
    """A form did not come from a page that was shown to whoever sends it."""


class TooManyTriesError(Exception):
    """A secret was tried too often.

    Attributes:
        wait: after which time the tries no longer count.
    """

    def __init__(self, *, wait: timedelta) -> None:
        super().__init__("too many tries")
        self.wait = wait


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Whoever asks.

    Attributes:
        account: who they are; None if not signed in.
        session: the device they are signed in on; None if not signed in.
        language: of their pages: the account's, else the browser's.
    """

    account: Account | None
    session: Session | None
    language: Language

    def role_at(self, site: str) -> Role | None:
        """Their role there."""
        return self.account.role_at(site) if self.account is not None else None

    def may(self, role: Role, site: str) -> bool:
        """Whether they may do at that site what ``role`` may."""
        return self.account is not None and self.account.may(role, site)

    @property
    def may_enter_sites(self) -> bool:
        """Whether they may enter places that are not there yet."""
        return self.account is not None and self.account.may_enter_sites

    def must(self, role: Role, site: str) -> Account:
        """Who they are, if they may do at that site what ``role`` may.

        Raises:
            NotSignedInError: nobody is signed in.
            NotForYouError: they may not.
        """
        account = self.signed_in()
        if not account.may(role, site):
            raise NotForYouError(knows_of_it=account.role_at(site) is not None)
        return account

    def signed_in(self) -> Account:
        """Who they are.

        Raises:
            NotSignedInError: nobody is signed in.
        """
        if self.account is None:
            raise NotSignedInError
        return self.account

    def among(self, sites: Iterable[str], role: Role = Role.VIEWER) -> tuple[str, ...]:
        """Those of the sites at which they may do what ``role`` may, in the order given."""
        return tuple(site for site in sites if self.may(role, site))
