"""Many vehicles of a place at once, as a list that is typed, pasted or sent as a file."""

from collections.abc import Iterator, Sequence
from dataclasses import fields, replace

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.errors import FleetError
from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.changes import Entered, FleetChange
from frostwatch.service.fleet_changes import happenings
from frostwatch.storage.fleet_changes import MisfitError
from frostwatch.storage.vehicle_list import VehicleList, key_from, read_vehicle_list
from frostwatch.told import told
from frostwatch.web.places.keeping import Effect, mark_of, mark_of_effects, misfits
from frostwatch.web.places.person_form import people_of
from frostwatch.web.places.room import PlaceDesk, desk_at
from frostwatch.web.places.vehicle_form import effects_of
from frostwatch.web.rights import AnyVisitor, CheckedForm
from frostwatch.web.set_up.draft import faults_of
from frostwatch.web.set_up.fault import Fault
from frostwatch.web.set_up.list_files import list_of

router = APIRouter()
OF_ITS_KIND = frozenset({"overrides", "handbook", "own_from"})
MOST_EFFECTS = 60


@router.get("/place/{site}/vehicle-list")
def list_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """Where a list is typed, pasted or sent."""
    return _page(desk_at(request, visitor, site), "")


@router.post("/place/{site}/vehicle-list")
def keep(request: Request, visitor: AnyVisitor, site: str, form: CheckedForm) -> Response:
    """Enter or change what the list names; what it does not name stays as it is."""
    desk = desk_at(request, visitor, site)
    text, fault = list_of(form, "")
    if fault is not None:
        return _page(desk, text or str(form.get("list", "")), faults=(fault,), status=422)
    if not text.strip():
        empty = Fault(field="list", key="set.list_empty")
        return _page(desk, text, faults=(empty,), status=422)
    entered = desk.room.ledger.entered()
    read = _read(desk, text, entered)
    if not isinstance(read, VehicleList):
        return _page(desk, text, faults=read, status=422)
    effects = tuple(_effects(desk, read, entered))
    if form.get("seen") != mark_of_effects(effects):
        return _page(desk, text, effects=effects)
    touched = {vehicle.key for vehicle in read.vehicles}
    marks = {one.key: mark_of(one) for one in entered.vehicles if one.key in touched}
    bays = desk.site.bays

    def made(now: Entered) -> FleetChange:
        there = {one.key: mark_of(one) for one in now.vehicles if one.key in touched}
        present = now.site(site)
        if there != marks or present is None or present.bays != bays:
            raise _MeanwhileError
        old = [one for one in now.vehicles if one.key in touched]
        return FleetChange(
            sites=(replace(present, bays=read.bays),),
            vehicles=read.vehicles,
            entries=tuple(happenings(old, read.vehicles, desk.now, by=desk.by)),
        )

    try:
        desk.room.ledger.change_fleet(made)
    except _MeanwhileError:
        return _page(desk, text, effects=effects, meanwhile=(), status=409)
    except MisfitError as refused:
        return _page(desk, text, faults=misfits(refused, {}, "list"), status=422)
    return RedirectResponse(f"{desk.address}/vehicles?kept=1", 303)


class _MeanwhileError(Exception):
    """Somebody else changed one of the vehicles, or the bays."""


def _read(desk: PlaceDesk, text: str, entered: Entered) -> VehicleList | tuple[Fault, ...]:
    try:
        # an operator who is missing elsewhere does not stand in the way of a list here
        sites = tuple(replace(one, operator="") for one in entered.sites)
        known = Fleet(sites=sites, people=entered.people, vehicles=entered.vehicles)
    except FleetError as wrong:
        fault = told("verbatim", what=str(wrong))
        return (Fault(field="list", key="set.problem_whole", values={"what": fault, "mend": ""}),)
    read = read_vehicle_list(text, desk.site, known)
    if not isinstance(read, VehicleList):
        return faults_of(read)
    before = {one.key: one for one in entered.vehicles}
    mine = people_of(entered, desk.site.key)
    meant = {key_from(one.name): one.key for one in mine} | {one.key: one.key for one in mine}
    strangers = [name for key, name in read.keepers.items() if key not in meant]
    if strangers:
        return tuple(
            Fault(field="list", key="change.list.keeper", values={"name": name})
            for name in strangers[:20]
        )
    named = [replace(one, keeper=meant.get(one.keeper, "")) for one in read.vehicles]
    vehicles = tuple(_filled(one, before.get(one.key)) for one in named)
    return replace(read, vehicles=vehicles)


def _filled(vehicle: Vehicle, before: Vehicle | None) -> Vehicle:
    """An empty cell leaves what is entered; numbers of another kind of vehicle go with the kind."""
    if before is None:
        return vehicle
    kept = {one.name for one in fields(Vehicle)} - {"key", "site", "layout"}
    if vehicle.layout != before.layout:
        kept -= OF_ITS_KIND
    if vehicle.bay not in ("", before.bay):
        kept -= {"under"}
        vehicle = replace(vehicle, under=None if vehicle.under == before.under else vehicle.under)
    return replace(
        vehicle, **{name: getattr(before, name) for name in kept if not getattr(vehicle, name)}
    )


def _effects(desk: PlaceDesk, read: VehicleList, entered: Entered) -> Iterator[Effect]:
    before = {one.key: one for one in entered.vehicles}
    new = [one for one in read.vehicles if one.key not in before]
    changed = [one for one in read.vehicles if before.get(one.key, one) != one]
    yield Effect(
        key="change.list.counts",
        values={
            "new": len(new),
            "changed": len(changed),
            "same": len(read.vehicles) - len(new) - len(changed),
        },
    )
    yield from _shortened(
        [
            effect
            for one in changed
            for effect in effects_of(before[one.key], one, entered, moved=False)
            if effect.key not in ("change.vehicle.new_bay", "change.vehicle.shared_bay")
        ]
    )
    bays = [bay for bay in read.bays if bay not in desk.site.bays]
    if bays:
        yield Effect(key="change.list.new_bays", values={"bays": ", ".join(bays[:20])})


def _shortened(effects: Sequence[Effect]) -> Iterator[Effect]:
    yield from effects[:MOST_EFFECTS]
    if len(effects) > MOST_EFFECTS:
        yield Effect(key="set.more", values={"n": len(effects) - MOST_EFFECTS})


def _page(
    desk: PlaceDesk,
    text: str,
    *,
    faults: tuple[Fault, ...] = (),
    effects: tuple[Effect, ...] = (),
    meanwhile: tuple[tuple[str, str], ...] | None = None,
    status: int = 200,
) -> Response:
    return desk.page(
        "place_vehicle_list.html",
        part="vehicles",
        status=status,
        faults=faults,
        effects=effects,
        meanwhile=meanwhile,
        was="",
        seen=mark_of_effects(effects),
        fields={"list": text},
    )
