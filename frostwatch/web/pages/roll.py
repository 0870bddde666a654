"""Roll: the whole site as recorded."""

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from frostwatch.web.pages.begin import begin
from frostwatch.web.pages.late import late_page
from frostwatch.web.pages.roll_view import roll_view
from frostwatch.web.rights import AnyVisitor

router = APIRouter()


@router.get("/roll")
def roll_page(request: Request, visitor: AnyVisitor) -> HTMLResponse:
    """Every vehicle of a site, and whether anybody needs to walk."""
    begun = begin(request, visitor, here="roll")
    if isinstance(begun, HTMLResponse):
        return begun
    return begun.page("roll.html", roll=roll_view(begun.now, begun.tongue))


@router.get("/leave-alone")
def leave_alone_page(request: Request, visitor: AnyVisitor) -> HTMLResponse:
    """What froze, what not to do to it, and what is still worth doing."""
    begun = begin(request, visitor, here="round")
    if isinstance(begun, HTMLResponse):
        return begun
    return late_page(begun, visitor)
