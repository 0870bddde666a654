"""The page of a place: what of it can be changed."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from frostwatch.web.places.room import desk_at
from frostwatch.web.rights import AnyVisitor

router = APIRouter()


@router.get("/place/{site}")
def place_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """What of a place can be changed."""
    desk = desk_at(request, visitor, site)
    enters = desk.room.may_enter and visitor.may_enter_sites and visitor.session is not None
    return desk.page("place.html", enters=enters)
