"""The pages of the set-up: place, vehicles, people, first look.

What is typed is kept as it was typed, by step, until the place is entered. Nothing stands in the
fleet, and nobody is written to, before the first look is confirmed.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from fastapi import APIRouter, Request
from starlette.datastructures import FormData
from starlette.responses import RedirectResponse, Response

from frostwatch.errors import ForecastError, LedgerError, SettingsError
from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.sites import Caution, Lie, Shelter, SiteKind
from frostwatch.web.rights import CheckedForm
from frostwatch.web.rights.desk import rights_of
from frostwatch.web.set_up.coordinates import coordinates_from, coordinates_text
from frostwatch.web.set_up.draft import Draft, Meant
from frostwatch.web.set_up.entering import enter
from frostwatch.web.set_up.fault import Fault
from frostwatch.web.set_up.list_files import list_of
from frostwatch.web.set_up.people_begun import people_begun
from frostwatch.web.set_up.place_form import DAYS, empty_place, kept_fields
from frostwatch.web.set_up.room import Desk, desk_of

router = APIRouter(include_in_schema=False)
NEXT = {"place": "vehicles", "vehicles": "people", "people": "look"}
CHOICES: Mapping[str, tuple[str, ...]] = {
    "kind": tuple(SiteKind),
    "lie": tuple(Lie),
    "shelter": tuple(Shelter),
    "caution": tuple(Caution),
}


@router.get("/set-up")
def begin(request: Request) -> Response:
    """Go on where somebody left off."""
    desk = desk_of(request)
    step = desk.meant(desk.draft).first_open if desk.draft.place else "place"
    return RedirectResponse(f"/set-up/{step}", 303)


@router.get("/set-up/place")
def place_page(request: Request) -> Response:
    """Where the vehicles stand."""
    return _place(desk_of(request))


@router.post("/set-up/place")
def keep_place(request: Request, form: CheckedForm) -> Response:
    """Keep the step, find a place by its name, or take one that was found."""
    desk = desk_of(request)
    fields = kept_fields(dict(form))
    taken = str(form.get("take", ""))
    if taken:
        latitude, longitude, height, zone = [*taken.split("|"), "", "", "", ""][:4]
        found = coordinates_from(f"{latitude}, {longitude}")
        if found is not None:
            where = coordinates_text(*found, desk.visitor.language)
            fields |= {"where": where, "height": height, "zone": zone or fields["zone"]}
    desk = _with(desk, replace(desk.draft, place=fields))
    if taken:
        return _place(desk)
    if form.get("do") == "find" or _enter_pressed_in_search(form, fields):
        return _found(desk, str(form.get("find", ""))[:100].strip())
    desk = _with(desk, replace(desk.draft, ground_m=_ground_m(desk, fields)))
    return _go_on(desk, form, "place")


def _enter_pressed_in_search(form: FormData, fields: Mapping[str, str]) -> bool:
    """A name to look for and no coordinates yet: whoever sends that pressed Enter there."""
    return bool(str(form.get("find", "")).strip()) and not fields["where"].strip()


def _with(desk: Desk, draft: Draft) -> Desk:
    """The desk with a draft that is kept."""
    desk.keep(draft)
    return replace(desk, draft=draft)


def _ground_m(desk: Desk, fields: Mapping[str, str]) -> float | None:
    where = coordinates_from(fields["where"], desk.visitor.language)
    if where is None:
        return None
    try:
        return desk.room.scout.ground_m(*where, desk.now)
    except SettingsError:
        return None


def _place(
    desk: Desk, *, faults: tuple[Fault, ...] = (), status: int = 200, **found: Any
) -> Response:
    values: dict[str, Any] = {"query": "", "found": (), "why": "", "searched": False} | found
    return desk.page(
        "place",
        faults=faults,
        status=status,
        fields=desk.draft.place or empty_place(desk.visitor.language),
        choices=CHOICES,
        days=DAYS,
        may_find=desk.room.scout.places is not None,
        **values,
    )


def _found(desk: Desk, name: str) -> Response:
    try:
        places = desk.room.scout.find(name, desk.now, desk.visitor.language) if name else ()
    except (ForecastError, SettingsError) as refused:
        return _place(desk, query=name, why=str(refused))
    return _place(desk, query=name, found=places, searched=True)


@router.get("/set-up/vehicles")
def vehicles_page(request: Request) -> Response:
    """Which vehicles stand there."""
    return desk_of(request).page("vehicles")


@router.post("/set-up/vehicles")
def keep_vehicles(request: Request, form: CheckedForm) -> Response:
    """Keep the list of vehicles."""
    desk = desk_of(request)
    text, fault = list_of(form, desk.draft.vehicles)
    desk = _with(desk, replace(desk.draft, vehicles=text))
    return _go_on(desk, form, "vehicles", fault)


@router.get("/set-up/people")
def people_page(request: Request) -> Response:
    """Who looks after them."""
    desk = desk_of(request)
    begun = "" if desk.draft.people.strip() else people_begun(desk, desk.meant(desk.draft))
    return _people(desk, begun=begun)


def _people(
    desk: Desk, *, begun: str = "", faults: tuple[Fault, ...] = (), status: int = 200
) -> Response:
    drive = desk.draft.place.get("kind") == SiteKind.DRIVE
    return desk.page("people", faults=faults, status=status, begun=begun, drive=drive)


@router.post("/set-up/people")
def keep_people(request: Request, form: CheckedForm) -> Response:
    """Keep the list of people."""
    desk = desk_of(request)
    text, fault = list_of(form, desk.draft.people)
    server = str(form.get("mail_server", ""))[:500]
    desk = _with(desk, replace(desk.draft, people=text, mail_server=server))
    return _go_on(desk, form, "people", fault)


def _go_on(desk: Desk, form: FormData, step: str, fault: Fault | None = None) -> Response:
    """The next step, or this one with what must be put right."""
    if form.get("do") == "later":
        return RedirectResponse("/round", 303)
    faults = (fault,) if fault is not None else desk.meant(desk.draft).faults.get(step, ())
    if not faults:
        return RedirectResponse(f"/set-up/{NEXT[step]}", 303)
    if step == "place":
        return _place(desk, faults=faults, status=422)
    if step == "people":
        return _people(desk, faults=faults, status=422)
    return desk.page(step, faults=faults, status=422)


@router.get("/set-up/look")
def look_page(request: Request) -> Response:
    """What a pass over the place would find now."""
    desk = desk_of(request)
    meant = desk.meant(desk.draft)
    if meant.first_open != "look":
        return RedirectResponse(f"/set-up/{meant.first_open}", 303)
    return _look(desk, meant)


@router.post("/set-up/look")
def confirm(request: Request, form: CheckedForm) -> Response:
    """Enter the place."""
    desk = desk_of(request)
    meant = desk.meant(desk.draft)
    if form.get("do") == "later" or meant.site is None:
        return RedirectResponse("/round", 303)
    if meant.first_open != "look":
        return RedirectResponse(f"/set-up/{meant.first_open}", 303)
    try:
        invited = enter(desk, meant, rights_of(request))
    except LedgerError as refused:
        return _look(desk, meant, why=str(refused), status=503)
    first = next(iter(meant.vehicles or ()), None)
    return desk.page(
        "done", site=meant.site, invited=invited, pages_at=desk.room.address, first=first
    )


def _look(desk: Desk, meant: Meant, *, why: str = "", status: int = 200) -> Response:
    site, people = meant.site, meant.people
    assert site is not None
    assert people is not None
    fleet = Fleet(sites=(site,), people=people.people, vehicles=meant.vehicles or ())
    first = desk.room.scout.look(fleet, desk.now)
    names = {one.key: one.name or one.bay or one.key for one in fleet.vehicles}
    rows = first.board.vehicles if first.board is not None else ()
    return desk.page(
        "look",
        status=status,
        zone=site.zone,
        site=site,
        first=first,
        rows=[(names[row.vehicle], row.stop, row.passing) for row in rows],
        all=len(fleet.vehicles),
        wet=sum(row.stop is not None for row in rows),
        told=[person.name for person in people.people if person.channels],
        why=why,
    )
