"""What changing a place works with, and how each of its pages begins."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from urllib.parse import quote

from fastapi import Request
from starlette.responses import Response

from frostwatch.fleet.sites import Site
from frostwatch.ports.accounts import Account, Role
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.pages.room import Place, place_of, render, room_of, tongue_of
from frostwatch.web.rights import NotForYouError, Visitor
from frostwatch.web.rights.desk import Rights, rights_of
from frostwatch.web.set_up.fault import Fault
from frostwatch.web.words import Tongue

LABELS = {
    **{field: f"set.{field}" for field in ("name", "kind", "where", "height", "zone", "lie")},
    **{field: f"set.{field}" for field in ("shelter", "crew", "caution", "gas_off")},
    **{field: f"change.{field}" for field in ("hours", "operator", "bays", "posts", "supply")},
    "cost_ratio": "change.ratio",
    **{
        field: f"change.person.{field}"
        for field in ("duty", "language", "reading", "travel", "slots", "quiet")
    },
    "bay": "change.vehicle.bay_label",
    "site": "change.vehicle.site_label",
    "key": "change.vehicle.key_label",
    "layout": "change.vehicle.kind",
    "keeper": "change.vehicle.keeper_label",
    "plate_end": "change.vehicle.plate",
    **{field: f"change.vehicle.{field}" for field in ("key_place", "indoors", "post", "heat")},
    **{field: f"change.vehicle.{field}" for field in ("hold", "hold_power", "hold_setting")},
}
"""Field of a form -> key of its label."""
PARTS = ("place", "vehicles", "people", "accounts", "tokens", "links")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesRoom:
    """What the pages work with.

    Attributes:
        ledger: where everything is kept.
        address: web address of the pages, as it is told to people, "" for none.
        may_enter: whether further places can be entered here.
        address_fault: why nothing could be sent to an address, "" if it looks right.
    """

    ledger: SqlLedger
    address: str
    may_enter: bool
    address_fault: Callable[[str], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceDesk:
    """Somebody at work on a place of theirs.

    Attributes:
        request: the request.
        room: what the pages work with.
        rights: who gets in.
        visitor: who they are.
        account: their account.
        place: the place, among those they may see.
        site: the same as it is entered now.
        now: the moment, UTC.
    """

    request: Request
    room: PlacesRoom
    rights: Rights
    visitor: Visitor
    account: Account
    place: Place
    site: Site
    now: datetime

    @property
    def by(self) -> str:
        """Under which name the record is written."""
        return self.account.person or self.account.name

    @property
    def address(self) -> str:
        """Where the place's own page is."""
        return f"/place/{quote(self.site.key, safe='')}"

    @property
    def tongue(self) -> Tongue:
        """Language, zone and moment of the pages."""
        return tongue_of(self.visitor, self.site, self.now)

    def page(
        self,
        template: str,
        *,
        part: str = "",
        status: int = 200,
        faults: tuple[Fault, ...] = (),
        **values: Any,
    ) -> Response:
        """One of the pages."""
        answer = render(
            self.request,
            template,
            tongue=self.tongue,
            visitor=self.visitor,
            place=self.place,
            here="set-up",
            status=status,
            parts=PARTS,
            part=part,
            base=self.address,
            faults=faults,
            labels=LABELS,
            site=self.site,
            kept=bool(self.request.query_params.get("kept")),
            **values,
        )
        answer.headers["cache-control"] = "no-store"
        return answer


def desk_at(request: Request, visitor: Visitor, site: str) -> PlaceDesk:
    """Whoever asks, if they are an operator of that place.

    Raises:
        NotSignedInError: nobody is signed in.
        NotForYouError: there is no such place, or it is not theirs to change.
    """
    account = visitor.must(Role.OPERATOR, site)
    room: PlacesRoom = request.app.state.places
    now = room_of(request).clock()
    found = room.ledger.site(site)
    place = place_of(request, visitor, site)
    if found is None or place is None:
        raise NotForYouError
    return PlaceDesk(
        request=request,
        room=room,
        rights=rights_of(request),
        visitor=visitor,
        account=account,
        place=place,
        site=found,
        now=now,
    )
