"""Writing to owners by hand: looked over first, sent once, and what became of it."""

from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.advice.owner_letters import Letters
from frostwatch.fleet.sites import Site
from frostwatch.messages.replies import new_code
from frostwatch.ports import AnswerLink, Message
from frostwatch.ports.accounts import Role
from frostwatch.service.letters import link_of, messages_for
from frostwatch.web.pages.begin import Begun, begin
from frostwatch.web.pages.owners_view import LATELY, letters_now, mark_of, owners_view
from frostwatch.web.pages.room import Room, room_of
from frostwatch.web.rights import AnyVisitor, CheckedForm

router = APIRouter()


@router.get("/owners")
def owners_page(request: Request, visitor: AnyVisitor) -> HTMLResponse:
    """To whom what would go, and what went. Looking sends nothing."""
    begun = begin(request, visitor, here="round")
    if isinstance(begun, HTMLResponse):
        return begun
    visitor.must(Role.OPERATOR, begun.place.key)
    return _page(begun)


@router.post("/owners")
def send(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Send exactly what was shown; what changed since is shown again instead."""
    key = str(form.get("site", ""))
    visitor.must(Role.OPERATOR, key)
    begun = begin(request, visitor, here="round", site=key)
    if isinstance(begun, HTMLResponse):
        return begun
    room = room_of(request)
    book = room.letters.load(begun.now.now, sites=[key])
    letters = letters_now(begun.now, book)
    if letters.letters and mark_of(letters) != form.get("mark"):
        return _page(begun, status=409, changed=True)
    if letters.letters:
        _send(room, begun.now.yard.site, letters, begun)
    return RedirectResponse(f"/owners?site={quote(key)}#kept", status_code=303)


def _send(room: Room, site: Site, letters: Letters, begun: Begun) -> None:
    """Everything of all letters in one transaction."""
    now = begun.now.now
    messages: list[Message] = []
    links: list[AnswerLink] = []
    for letter in letters.letters:
        code = new_code()
        messages += messages_for(
            letter.draft, letter.person, letter.send_from, public_url=room.public_url, code=code
        )
        links.append(link_of(letter.draft, site, code, now))
    room.letters.keep_messages(
        site.key,
        now,
        reminders=tuple(matter for letter in letters.letters for matter in letter.matters),
        decisions=tuple(one for letter in letters.letters for one in letter.decisions),
        messages=messages,
        links=links,
    )


def _page(begun: Begun, *, status: int = 200, changed: bool = False) -> HTMLResponse:
    room = room_of(begun.request)
    now, key = begun.now, begun.place.key
    book = room.letters.load(now.now, sites=[key])
    rows = room.letters.told_at(key, now.now - LATELY)
    letters = letters_now(now, book)
    return begun.page(
        "owners.html",
        status=status,
        owners=owners_view(letters, now, rows, book, begun.tongue, public_url=room.public_url),
        changed=changed,
    )
