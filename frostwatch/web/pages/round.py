"""Round: how many bays, by when, who, in which order. And its release."""

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Query, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.advice.walk import WalkRound
from frostwatch.ports.accounts import Role
from frostwatch.ports.pages import Yard
from frostwatch.service.walking import release_round
from frostwatch.web.pages.begin import begin
from frostwatch.web.pages.crew_call import calls_for, reachable
from frostwatch.web.pages.late import late_page, owners_to_write
from frostwatch.web.pages.lines_now import UNREAD, sky_of
from frostwatch.web.pages.roll_view import roll_view
from frostwatch.web.pages.room import Room, room_of
from frostwatch.web.pages.round_view import MOST_CREW, round_view
from frostwatch.web.pages.yard_now import Sky, YardNow, yard_now
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError

router = APIRouter()


@router.get("/round")
def round_page(
    request: Request,
    visitor: AnyVisitor,
    crew: Annotated[int | None, Query(ge=1, le=MOST_CREW)] = None,
) -> HTMLResponse:
    """The work order of a site; where frost came first, what to leave alone; or a quiet day."""
    begun = begin(request, visitor, here="round")
    if isinstance(begun, HTMLResponse):
        return begun
    now, tongue = begun.now, begun.tongue
    if _is_late(now):
        return late_page(begun, visitor)
    if _is_quiet(now):
        return begun.page("roll.html", roll=roll_view(now, tongue))
    return begun.page(
        "round.html",
        round=round_view(now, tongue, crew=crew),
        owners=owners_to_write(begun, visitor),
        may_walk=visitor.may(Role.CREW, begun.place.key),
        may_send=visitor.may(Role.OPERATOR, begun.place.key),
    )


def _is_late(now: YardNow) -> bool:
    """Frost came first, and nobody is on a round: what to leave alone goes before the work."""
    return bool(now.late) and now.sky is not Sky.NONE and now.yard.round is None


def _is_quiet(now: YardNow) -> bool:
    return not now.due and now.sky in (Sky.FRESH, Sky.OLDER) and now.yard.round is None


@router.post("/round/release")
def release(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Release the round as it stands, or go on with the one that is walked; send it on request."""
    key = str(form.get("site", ""))
    then = str(form.get("then", ""))
    account = visitor.must(Role.OPERATOR if then == "send" else Role.CREW, key)
    room = room_of(request)
    now = room.clock()
    yard = room.pages.yard(key, now)
    if yard is None:
        raise NotForYouError
    crew = _crew(str(form.get("crew", "")))
    walk = yard.round or _released(room, yard, by=account.person or account.name, crew=crew)
    if walk is None:
        return _to_round(key)
    if then == "send":
        revision = 1 + max((row.message.revision for row in yard.told), default=0)
        calls = calls_for(
            walk,
            yard.site,
            reachable(yard),
            revision=revision,
            public_url=room.public_url,
            now=now,
            blind=sky_of(yard.board, now) in UNREAD,
        )
        room.outbox.enqueue(calls, now)
        return _to_round(key)
    target = "sheet" if then == "sheet" else "walk"
    return RedirectResponse(f"/{target}/{walk.code}", status_code=303)


def _to_round(key: str) -> Response:
    return RedirectResponse(f"/round?site={quote(key)}", status_code=303)


def _released(room: Room, yard: Yard, *, by: str, crew: int | None) -> WalkRound | None:
    """A new round of all there is to do; None where there is nothing, or no pass yet."""
    now = room.clock()
    stops = [line.stop for line in yard_now(yard, now).lines if line.stop is not None]
    if yard.board is None or not stops:
        return None
    return release_round(room.rounds, yard.board, stops, by=by, now=now, crew=crew)


def _crew(text: str) -> int | None:
    return min(max(1, int(text)), MOST_CREW) if text.isdecimal() and len(text) < 3 else None
