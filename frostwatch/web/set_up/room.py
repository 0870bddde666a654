"""What the set-up works with, and how far somebody has come in it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import Request
from starlette.responses import Response

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.people import Person
from frostwatch.messages.channels import address_fault
from frostwatch.ports.accounts import Account, Role
from frostwatch.service.first_look import Scout
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.pages.room import render
from frostwatch.web.rights import NotForYouError, Visitor, visitor_of
from frostwatch.web.set_up.draft import Draft, Meant, draft_from, meaning_of
from frostwatch.web.set_up.fault import Fault
from frostwatch.web.words import Tongue

UTC = ZoneInfo("UTC")
STEPS = ("place", "vehicles", "people", "look")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpRoom:
    """What the set-up works with.

    Attributes:
        ledger: where places are entered.
        scout: finds places, and looks at one before it is entered.
        clock: the present moment, UTC.
        allow_private: whether people may be reached inside this host's own network.
        address: web address of the pages, as it is told to people.
    """

    ledger: SqlLedger
    scout: Scout
    clock: Callable[[], datetime]
    allow_private: bool
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """Somebody who enters a place, and what they typed so far.

    Attributes:
        request: the request.
        room: what the set-up works with.
        visitor: who they are.
        account: their account.
        now: the moment, UTC.
        draft: what they typed.
    """

    request: Request
    room: SetUpRoom
    visitor: Visitor
    account: Account
    now: datetime
    draft: Draft

    def keep(self, draft: Draft) -> None:
        """Keep what was typed, whatever is wrong with it."""
        self.room.ledger.access.drafts.keep(self.account.id, draft.as_text(), self.now)

    def meant(self, draft: Draft) -> Meant:
        """What a draft means."""
        book = self.room.ledger.load(self.now)
        known = Fleet(sites=book.sites, people=book.people, vehicles=book.vehicles)

        def fault(address: str) -> str:
            return address_fault(address, allow_private=self.room.allow_private)

        def may_change(person: Person) -> bool:
            places = {v.site for v in known.vehicles if v.keeper == person.key} | {*person.sites}
            return all(self.account.may(Role.OPERATOR, place) for place in places)

        return meaning_of(
            draft, known, self.visitor.language, address_fault=fault, may_change=may_change
        )

    def page(
        self,
        step: str,
        *,
        status: int = 200,
        faults: tuple[Fault, ...] = (),
        zone: ZoneInfo = UTC,
        **values: Any,
    ) -> Response:
        """The page of a step; hours on it are those of ``zone``."""
        tongue = Tongue(language=self.visitor.language, zone=zone, now=self.now)
        answer = render(
            self.request,
            f"set_up_{step}.html",
            tongue=tongue,
            visitor=self.visitor,
            place=None,
            here="set-up",
            status=status,
            step=step,
            steps=STEPS,
            faults=faults,
            draft=self.draft,
            **values,
        )
        answer.headers["cache-control"] = "no-store"
        return answer


def desk_of(request: Request) -> Desk:
    """Whoever asks, if they may enter places.

    Raises:
        NotSignedInError: nobody is signed in.
        NotForYouError: they may not.
    """
    room: SetUpRoom = request.app.state.set_up
    visitor = visitor_of(request)
    account = visitor.signed_in()
    if not account.may_enter_sites or account.id == 0:
        raise NotForYouError(knows_of_it=True)
    text = room.ledger.access.drafts.find(account.id)
    return Desk(
        request=request,
        room=room,
        visitor=visitor,
        account=account,
        now=room.clock(),
        draft=draft_from(text) if text else Draft(),
    )
