"""Changing the vehicles of a place: one added, one changed, one that leaves."""

from collections.abc import Mapping

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.changes import Entered, FleetChange
from frostwatch.service.fleet_changes import happenings, leaving
from frostwatch.storage.fleet_changes import MisfitError
from frostwatch.web.places.fields import typed_of
from frostwatch.web.places.keeping import (
    ChangedMeanwhileError,
    Effect,
    keep_change,
    mark_of,
    mark_of_effects,
    misfits,
)
from frostwatch.web.places.person_form import people_of
from frostwatch.web.places.room import PlaceDesk, desk_at
from frostwatch.web.places.site import differing
from frostwatch.web.places.vehicle_form import (
    NAMES,
    effects_of,
    my_sites,
    sites_with,
    vehicle_fields,
    vehicle_read,
)
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError
from frostwatch.web.set_up.fault import Fault

router = APIRouter()
UNASKED = ("key", "site")
FIELD_OF = {"bay": "bay", "keeper": "keeper", "layout": "layout", "own": "layout", "post": "post"}


@router.get("/place/{site}/vehicles")
def vehicles_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """The vehicles of the place in walking order."""
    desk = desk_at(request, visitor, site)
    entered = desk.room.ledger.entered()
    order = {bay: place for place, bay in enumerate(desk.site.bays)}
    mine = [one for one in entered.vehicles if one.site == site]
    mine.sort(key=lambda one: (order.get(one.bay, len(order)), one.key))
    names = {one.key: one.name for one in entered.people}
    return desk.page("place_vehicles.html", part="vehicles", vehicles=mine, names=names)


@router.get("/place/{site}/vehicles/new")
def new_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """A vehicle that is not entered yet."""
    desk = desk_at(request, visitor, site)
    return _page(desk, None, vehicle_fields(None, site))


@router.post("/place/{site}/vehicles/new")
def add(request: Request, visitor: AnyVisitor, site: str, form: CheckedForm) -> Response:
    """Enter a vehicle."""
    desk = desk_at(request, visitor, site)
    return _settle(desk, None, typed_of(form, NAMES), was="", seen=str(form.get("seen", "")))


@router.get("/place/{site}/vehicles/{vehicle}")
def vehicle_page(request: Request, visitor: AnyVisitor, site: str, vehicle: str) -> Response:
    """A vehicle as it is entered."""
    desk = desk_at(request, visitor, site)
    found = _found(desk, vehicle)
    return _page(desk, found, vehicle_fields(found, site))


@router.post("/place/{site}/vehicles/{vehicle}")
def change(
    request: Request, visitor: AnyVisitor, site: str, vehicle: str, form: CheckedForm
) -> Response:
    """Change a vehicle, or say what it does to its record, or what must be put right."""
    desk = desk_at(request, visitor, site)
    was, seen = str(form.get("was", "")), str(form.get("seen", ""))
    return _settle(desk, _found(desk, vehicle), typed_of(form, NAMES), was=was, seen=seen)


@router.get("/place/{site}/vehicles/{vehicle}/leave")
def leave_page(request: Request, visitor: AnyVisitor, site: str, vehicle: str) -> Response:
    """What it does when a vehicle leaves."""
    desk = desk_at(request, visitor, site)
    return _leave(desk, _found(desk, vehicle))


@router.post("/place/{site}/vehicles/{vehicle}/leave")
def leave(
    request: Request, visitor: AnyVisitor, site: str, vehicle: str, form: CheckedForm
) -> Response:
    """Take a vehicle out; its record stays."""
    desk = desk_at(request, visitor, site)
    found = _found(desk, vehicle)
    entry = leaving(found, desk.now, by=desk.by)
    try:
        keep_change(
            desk.room.ledger,
            FleetChange(gone_vehicles=(vehicle,), entries=(entry,)),
            seen=str(form.get("was", "")),
            present=lambda now: now.vehicle(vehicle),
        )
    except ChangedMeanwhileError:
        return _leave(desk, _found(desk, vehicle), meanwhile=(), status=409)
    return RedirectResponse(f"{desk.address}/vehicles?kept=1", 303)


def _found(desk: PlaceDesk, key: str) -> Vehicle:
    found = desk.room.ledger.vehicle(key)
    if found is None or found.site != desk.site.key:
        raise NotForYouError
    return found


def _settle(
    desk: PlaceDesk, before: Vehicle | None, typed: dict[str, str], *, was: str, seen: str
) -> Response:
    """Keep what was typed, or the page again with what stands in the way."""
    if mark_of(before) != was:
        return _meanwhile(desk, before, typed)
    entered = desk.room.ledger.entered()
    read = vehicle_read(typed, before, entered, desk)
    if not isinstance(read, Vehicle):
        return _page(desk, before, typed, faults=read, status=422)
    moved = typed["moved"] == "moved"
    effects = tuple(effects_of(before, read, entered, moved=moved))
    if effects and seen != mark_of_effects(effects):
        return _page(desk, before, typed, effects=effects)
    old = () if before is None else (before,)
    entries = happenings(old, (read,), desk.now, by=desk.by, moved=(read.key,) if moved else ())
    change = FleetChange(sites=sites_with(read, entered), vehicles=(read,), entries=tuple(entries))
    try:
        keep_change(
            desk.room.ledger,
            change,
            seen=was,
            present=lambda now: now.vehicle(read.key),
        )
    except ChangedMeanwhileError:
        if before is None:
            fault = Fault(field="key", key="change.vehicle.there", values={"vehicle": read.key})
            return _page(desk, None, typed, faults=(fault,), status=409)
        return _meanwhile(desk, _found(desk, before.key), typed)
    except MisfitError as refused:
        return _page(desk, before, typed, faults=misfits(refused, FIELD_OF, "key"), status=422)
    return RedirectResponse(f"{desk.address}/vehicles?kept=1", 303)


def _meanwhile(desk: PlaceDesk, now: Vehicle | None, typed: Mapping[str, str]) -> Response:
    shown = vehicle_fields(now, desk.site.key)
    # what the form does not show where nothing can be chosen is no difference
    asked = [name for name in NAMES if name != "moved" and (typed[name] or name not in UNASKED)]
    compared = {name: typed[name] for name in asked}
    return _page(desk, now, typed, meanwhile=differing(compared, shown), status=409)


def _leave(
    desk: PlaceDesk,
    vehicle: Vehicle,
    *,
    meanwhile: tuple[tuple[str, str], ...] | None = None,
    status: int = 200,
) -> Response:
    return desk.page(
        "place_vehicle_leave.html",
        part="vehicles",
        status=status,
        vehicle=vehicle,
        meanwhile=meanwhile,
        effects=(),
        was=mark_of(vehicle),
        seen="",
    )


def _page(
    desk: PlaceDesk,
    vehicle: Vehicle | None,
    fields: Mapping[str, str],
    *,
    faults: tuple[Fault, ...] = (),
    effects: tuple[Effect, ...] = (),
    meanwhile: tuple[tuple[str, str], ...] | None = None,
    status: int = 200,
) -> Response:
    entered: Entered = desk.room.ledger.entered()
    words = desk.tongue.words
    return desk.page(
        "place_vehicle.html",
        part="vehicles",
        status=status,
        faults=faults,
        effects=effects,
        meanwhile=meanwhile,
        was=mark_of(vehicle),
        seen=mark_of_effects(effects),
        fields=fields,
        vehicle=vehicle,
        layouts=[
            (key, f"{kind}: {words.layout_names[key]}") for key, kind in words.layouts.items()
        ],
        keepers=[(one.key, one.name) for one in people_of(entered, desk.site.key)],
        sites=[(one.key, one.name) for one in my_sites(desk, entered)],
        bays=desk.site.bays,
        posts=[(post.name, post.name) for post in desk.site.posts],
    )
