"""Changing the people of a place: who is told, how, when, and who leaves."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.fleet.people import Duty, Person
from frostwatch.messages.channels import shown_address
from frostwatch.ports.accounts import Role
from frostwatch.ports.changes import Entered, FleetChange
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
from frostwatch.web.places.person_form import (
    NAMES,
    effects_of,
    people_of,
    person_fields,
    person_read,
)
from frostwatch.web.places.room import PlaceDesk, desk_at
from frostwatch.web.places.site import differing
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError
from frostwatch.web.set_up.fault import Fault

router = APIRouter()


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to reach somebody, as the page shows it.

    Attributes:
        name: how people speak of it.
        shown: its address without what opens it.
        form: short or long.
    """

    name: str
    shown: str
    form: str


@router.get("/place/{site}/people")
def people_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """Everybody who has to do with the place."""
    desk = desk_at(request, visitor, site)
    entered = desk.room.ledger.entered()
    return desk.page(
        "place_people.html",
        part="people",
        people=people_of(entered, site),
        keeps=_keeps(entered, site),
    )


@router.get("/place/{site}/people/new")
def new_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """Somebody who is not entered yet."""
    desk = desk_at(request, visitor, site)
    return _page(desk, None, person_fields(None, visitor.language))


@router.post("/place/{site}/people/new")
def add(request: Request, visitor: AnyVisitor, site: str, form: CheckedForm) -> Response:
    """Enter somebody."""
    desk = desk_at(request, visitor, site)
    typed = typed_of(form, NAMES)
    entered = desk.room.ledger.entered()
    read = person_read(desk, typed, None, entered, frozenset())
    if not isinstance(read, Person):
        return _page(desk, None, typed, faults=read, status=422)
    if entered.person(read.key) is not None:
        here = any(one.key == read.key for one in people_of(entered, site))
        key = "change.person.there" if here else "set.person_taken"
        fault = Fault(field="name", key=key, values={"name": read.name})
        return _page(desk, None, typed, faults=(fault,), status=422)
    try:
        _keep(desk, read, seen="")
    except ChangedMeanwhileError:
        fault = Fault(field="name", key="change.person.there", values={"name": read.name})
        return _page(desk, None, typed, faults=(fault,), status=409)
    except MisfitError as refused:
        return _page(desk, None, typed, faults=misfits(refused, {}, "name"), status=422)
    return RedirectResponse(f"{desk.address}/people?kept=1", 303)


@router.get("/place/{site}/people/{person}")
def person_page(request: Request, visitor: AnyVisitor, site: str, person: str) -> Response:
    """Somebody as they are entered."""
    desk = desk_at(request, visitor, site)
    found = _found(desk, desk.room.ledger.entered(), person)
    return _page(desk, found, person_fields(found, visitor.language))


@router.post("/place/{site}/people/{person}")
def change(
    request: Request, visitor: AnyVisitor, site: str, person: str, form: CheckedForm
) -> Response:
    """Change somebody, or say what it does, or what must be put right."""
    desk = desk_at(request, visitor, site)
    entered = desk.room.ledger.entered()
    before = _found(desk, entered, person)
    if not _is_whole(desk, entered, before):
        raise NotForYouError(knows_of_it=True)
    typed, was = typed_of(form, NAMES), str(form.get("was", ""))
    gone = frozenset(str(one) for one in form.getlist("gone"))
    if mark_of(before) != was:
        return _meanwhile(desk, before, typed, gone)
    read = person_read(desk, typed, before, entered, gone)
    if not isinstance(read, Person):
        return _page(desk, before, typed, faults=read, gone=gone, status=422)
    effects = tuple(effects_of(before, read, desk.site.key))
    if effects and form.get("seen") != mark_of_effects(effects):
        return _page(desk, before, typed, effects=effects, gone=gone)
    try:
        _keep(desk, read, seen=was)
    except ChangedMeanwhileError:
        return _meanwhile(desk, _found(desk, desk.room.ledger.entered(), person), typed, gone)
    except MisfitError as refused:
        faults = misfits(refused, {}, "name")
        return _page(desk, before, typed, faults=faults, gone=gone, status=422)
    return RedirectResponse(f"{desk.address}/people?kept=1", 303)


@router.post("/place/{site}/people/{person}/leave")
def leave(
    request: Request, visitor: AnyVisitor, site: str, person: str, form: CheckedForm
) -> Response:
    """Somebody has no more to do with the place; what they recorded stays."""
    desk = desk_at(request, visitor, site)
    entered = desk.room.ledger.entered()
    before = _found(desk, entered, person)
    fields = person_fields(before, visitor.language)
    if mark_of(before) != str(form.get("was", "")):
        return _meanwhile(desk, before, fields, frozenset())

    def made(now: Entered) -> FleetChange:
        there = now.person(person)
        if there is None or mark_of(there) != mark_of(before):
            raise ChangedMeanwhileError
        if _holds(now, person, site):
            raise _StillHereError
        left = tuple(key for key in there.sites if key != site)
        elsewhere = left or any(v.keeper == person for v in now.vehicles)
        elsewhere = elsewhere or any(one.operator == person for one in now.sites)
        if elsewhere:
            return FleetChange(people=(replace(there, sites=left),))
        return FleetChange(gone_people=(person,))

    try:
        desk.room.ledger.change_fleet(made)
    except _StillHereError:
        fault = Fault(field="leave", key="change.person.holds", values={"name": before.name})
        return _page(desk, before, fields, faults=(fault,), status=409)
    except ChangedMeanwhileError:
        return _meanwhile(
            desk, _found(desk, desk.room.ledger.entered(), person), fields, frozenset()
        )
    desk.room.ledger.links.withdraw(person, site=site, now=desk.now)
    if desk.room.ledger.entered().person(person) is None:
        desk.room.ledger.calendars.withdraw(f"person/{person}")
    _lock_out(desk, person)
    return RedirectResponse(f"{desk.address}/people?kept=1", 303)


@router.post("/place/{site}/people/{person}/calendar")
def withdraw_calendar(
    request: Request, visitor: AnyVisitor, site: str, person: str, form: CheckedForm
) -> Response:
    """Make the address of somebody's calendar open nothing."""
    desk = desk_at(request, visitor, site)
    entered = desk.room.ledger.entered()
    if not _is_whole(desk, entered, _found(desk, entered, person)):
        raise NotForYouError(knows_of_it=True)
    desk.room.ledger.calendars.withdraw(f"person/{person}")
    return RedirectResponse(f"{desk.address}/people/{quote(person, safe='')}?kept=1", 303)


class _StillHereError(Exception):
    """Somebody keeps a vehicle at the place, or is written to about it."""


def _keeps(entered: Entered, site: str) -> dict[str, list[tuple[str, str]]]:
    """Person -> key and name of the vehicles they keep at a place."""
    found: dict[str, list[tuple[str, str]]] = {}
    for one in entered.vehicles:
        if one.site == site and one.keeper:
            found.setdefault(one.keeper, []).append((one.key, one.name or one.bay or one.key))
    return found


def _holds(entered: Entered, person: str, site: str) -> bool:
    there = entered.site(site)
    return (there is not None and there.operator == person) or any(
        one.site == site and one.keeper == person for one in entered.vehicles
    )


def _found(desk: PlaceDesk, entered: Entered, key: str) -> Person:
    for one in people_of(entered, desk.site.key):
        if one.key == key:
            return one
    raise NotForYouError


def _is_whole(desk: PlaceDesk, entered: Entered, person: Person) -> bool:
    """Whether everything about somebody is in the hands of whoever asks."""
    places = {v.site for v in entered.vehicles if v.keeper == person.key} | {*person.sites}
    places |= {one.key for one in entered.sites if one.operator == person.key}
    return all(desk.account.may(Role.OPERATOR, place) for place in places)


def _keep(desk: PlaceDesk, person: Person, *, seen: str) -> None:
    keep_change(
        desk.room.ledger,
        FleetChange(people=(person,)),
        seen=seen,
        present=lambda now: now.person(person.key),
    )


def _lock_out(desk: PlaceDesk, person: str) -> None:
    """Whoever leaves a place may do nothing there any more."""
    accounts = desk.rights.access.accounts
    for account in accounts.listed():
        held = account.roles.get(desk.site.key)
        if account.person == person and held is not None and account.id != desk.account.id:
            accounts.set_role(account.id, desk.site.key, None, was=held)


def _meanwhile(
    desk: PlaceDesk, now: Person, typed: Mapping[str, str], gone: frozenset[str]
) -> Response:
    shown = person_fields(now, desk.visitor.language)
    same = {
        name: shown[name] for name in NAMES if name not in ("address", "channel", "mail_server")
    }
    compared = {name: typed[name] for name in same}
    return _page(desk, now, typed, meanwhile=differing(compared, same), gone=gone, status=409)


def _page(
    desk: PlaceDesk,
    person: Person | None,
    fields: Mapping[str, str],
    *,
    faults: tuple[Fault, ...] = (),
    effects: tuple[Effect, ...] = (),
    meanwhile: tuple[tuple[str, str], ...] | None = None,
    gone: frozenset[str] = frozenset(),
    status: int = 200,
) -> Response:
    entered = desk.room.ledger.entered()
    t = desk.tongue
    ways = [
        Way(name=one.name, shown=shown_address(one.address), form=one.form)
        for one in (person.channels if person is not None else ())
    ]
    return desk.page(
        "place_person.html",
        part="people",
        status=status,
        faults=faults,
        effects=effects,
        meanwhile=meanwhile,
        was=mark_of(person),
        seen=mark_of_effects(effects),
        fields=fields,
        person=person,
        ways=ways,
        gone=gone,
        calendar=None if person is None else desk.room.ledger.calendars.of(f"person/{person.key}"),
        keeps=_keeps(entered, desk.site.key).get(person.key, ()) if person is not None else (),
        is_operator=person is not None and desk.site.operator == person.key,
        whole=person is None or _is_whole(desk, entered, person),
        duties=[(one.value, str(t(f"change.duty.{one.value}"))) for one in Duty],
    )
