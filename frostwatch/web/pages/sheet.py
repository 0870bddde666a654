"""On paper: the round sheet, and tags for steering wheel and pump switch."""

from collections.abc import Sequence

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.accounts import Role
from frostwatch.ports.pages import WalkFile
from frostwatch.web.pages.begin import Begun, begin
from frostwatch.web.pages.room import room_of
from frostwatch.web.pages.rows import about
from frostwatch.web.pages.scan import base_of, square, vehicle_link, walk_link
from frostwatch.web.pages.sheet_view import LINES_TO_WRITE, TagSheet, drained_by, sheet_view
from frostwatch.web.pages.walker import is_code
from frostwatch.web.rights import AnyVisitor, NotForYouError, Visitor
from frostwatch.web.words import Tongue

router = APIRouter()
MOST_TAGS = 24
"""Tags of one page, eight sheets of paper."""


@router.get("/sheet/{code}")
def sheet_page(request: Request, visitor: AnyVisitor, code: str) -> HTMLResponse:
    """A released round for printing."""
    file = _round(request, visitor, code)
    begun = begin(request, visitor, here="round", site=file.site.key)
    if isinstance(begun, HTMLResponse):
        return begun
    return begun.page(
        "sheet.html",
        sheet=sheet_view(file, begun.now, begun.tongue),
        code=code,
        scan=square(walk_link(base_of(request), code)),
        lines=LINES_TO_WRITE,
        tags=bool(drained_by(file)),
    )


@router.get("/sheet/{code}/tags")
def round_tags(request: Request, visitor: AnyVisitor, code: str, page: int = 1) -> HTMLResponse:
    """Tags of the vehicles that a round drains."""
    file = _round(request, visitor, code)
    begun = begin(request, visitor, here="round", site=file.site.key)
    if isinstance(begun, HTMLResponse):
        return begun
    vehicles = [file.vehicles[key] for key in drained_by(file) if key in file.vehicles]
    return _tags(request, begun, vehicles, page, back=f"/sheet/{code}")


@router.get("/tags")
def all_tags(request: Request, visitor: AnyVisitor, page: int = 1) -> HTMLResponse:
    """Tags of every vehicle of a site."""
    begun = begin(request, visitor, here="roll")
    if isinstance(begun, HTMLResponse):
        return begun
    vehicles = [line.vehicle for line in begun.now.lines]
    return _tags(request, begun, vehicles, page, back=f"/roll{begun.place.query}")


def _round(request: Request, visitor: Visitor, code: str) -> WalkFile:
    visitor.signed_in()
    file = room_of(request).pages.walk(code) if is_code(code) else None
    if file is None:
        raise NotForYouError
    visitor.must(Role.CREW, file.round.site)
    return file


def _tags(
    request: Request, begun: Begun, vehicles: Sequence[Vehicle], page: int, *, back: str
) -> HTMLResponse:
    pages = max(1, -(-len(vehicles) // MOST_TAGS))
    page = min(max(1, page), pages)
    own = vehicles[(page - 1) * MOST_TAGS : page * MOST_TAGS]
    base = base_of(request)
    return begun.page(
        "tags.html",
        tags=[_tag(vehicle, base, begun.tongue) for vehicle in own],
        page=page,
        pages=pages,
        back=back,
    )


def _tag(vehicle: Vehicle, base: str, tongue: Tongue) -> TagSheet:
    bay = vehicle.name or vehicle.bay or vehicle.key
    shut = bool(vehicle.handbook) and not vehicle.practice.waste_open
    vessels = ("fresh", "heater", "pipes") if shut else ("waste", "fresh", "heater", "pipes")
    what = [tongue.inside(tongue.words.vessels[v]) for v in vessels]
    return TagSheet(
        head=f"{bay} · {about(vehicle, tongue)}",
        open=tongue("tags.open_but" if shut else "tags.open", what=", ".join(what)),
        square=square(vehicle_link(base, vehicle.key)),
    )
