"""Links that owners were sent: whose are open, and taking them back."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.ports import AnswerLink
from frostwatch.web.places.room import PlaceDesk, desk_at
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError

router = APIRouter()
MOST_SHOWN = 12
"""Links shown of one person, the newest; the rest are counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Somebody with links that open.

    Attributes:
        key: their key.
        name: what they are called.
        links: the newest of them.
        more: how many there are beside those.
    """

    key: str
    name: str
    links: tuple[AnswerLink, ...]
    more: int


@router.get("/place/{site}/links")
def links_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """Whose links are open. The links themselves are not shown: each is as good as a key."""
    desk = desk_at(request, visitor, site)
    names = {one.key: one.name or one.bay or one.key for one in desk.room.ledger.vehicles_at(site)}
    return desk.page("place_links.html", part="links", holders=list(_holders(desk)), names=names)


@router.post("/place/{site}/links")
def withdraw(request: Request, visitor: AnyVisitor, site: str, form: CheckedForm) -> Response:
    """Make everything open nothing that one person was sent about this place."""
    desk = desk_at(request, visitor, site)
    person = str(form.get("person", ""))[:200]
    if not desk.room.ledger.links.withdraw(person, site=site, now=desk.now):
        raise NotForYouError
    return RedirectResponse(f"{desk.address}/links", 303, headers={"cache-control": "no-store"})


def _holders(desk: PlaceDesk) -> Iterator[Holder]:
    known = {person.key: person.name for person in desk.room.ledger.people_at(desk.site.key)}
    open_now = desk.room.ledger.links.open_at(desk.site.key, desk.now)
    for key, those in groupby(open_now, key=lambda link: link.recipient):
        mine = tuple(those)
        yield Holder(
            key=key,
            name=known.get(key, key),
            links=mine[:MOST_SHOWN],
            more=max(len(mine) - MOST_SHOWN, 0),
        )
