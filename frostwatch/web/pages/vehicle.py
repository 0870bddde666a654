"""Vehicle: why, in one night; what was seen and told; and where it is recorded."""

import secrets
from collections import Counter

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.advice.marks import VESSELS, vessel_of
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.layouts import layout_of
from frostwatch.ports.accounts import Role
from frostwatch.ports.pages import VehicleFile
from frostwatch.service.recording import WETTINGS, entries_said, wet_again
from frostwatch.storage.entry_files import write_entries_csv
from frostwatch.storage.message_files import write_messages_csv
from frostwatch.web.pages.photos import keep_with_entries, photo_form
from frostwatch.web.pages.record_form import BUT_STATES, DOSES, ReadForm, choices, read_form
from frostwatch.web.pages.room import room_of
from frostwatch.web.pages.vehicle_begin import BegunVehicle, begin_vehicle, typed
from frostwatch.web.pages.vehicle_view import vehicle_view
from frostwatch.web.photo_answers import TAKES, was_chosen
from frostwatch.web.rights import AnyVisitor, CheckedForm

router = APIRouter()
DEMONSTRATION = "demonstration"


@router.get("/v/{key}")
def vehicle_page(request: Request, visitor: AnyVisitor, key: str) -> HTMLResponse:
    """One vehicle."""
    begun = begin_vehicle(request, visitor, key, Role.VIEWER)
    return begun.page(
        request,
        "vehicle.html",
        vehicle=vehicle_view(begun.now, begun.tongue, query=begun.place.query),
        may_record=visitor.may(Role.CREW, begun.place.key),
        may_change=visitor.may(Role.OPERATOR, begun.place.key),
    )


@router.get("/v/{key}/record")
def record_page(request: Request, visitor: AnyVisitor, key: str) -> HTMLResponse:
    """The form in which it is said what is in it."""
    return _form(request, begin_vehicle(request, visitor, key, Role.CREW), ReadForm())


@router.post("/v/{key}/record")
def record(request: Request, visitor: AnyVisitor, key: str, form: CheckedForm) -> Response:
    """Keep what was said, or show what is to be put right with all that was typed."""
    begun = begin_vehicle(request, visitor, key, Role.CREW)
    now = room_of(request).clock()
    read = read_form(
        typed(form), zone=begun.now.file.site.zone, now=now, found=begun.now.line.is_late
    )
    again = was_chosen(form)
    if read.statement is None:
        return _form(request, begun, read, status=422, photo_again=again)
    try:
        entries = entries_said(begun.now.file.vehicle, read.statement, by=begun.by, now=now)
    except FrostwatchError as fault:
        why = begun.tongue.fault(fault)
        return _form(request, begun, read, status=422, why=why, photo_again=again)
    room_of(request).records.add_entries(entries)
    refused = keep_with_entries(room_of(request), form, entries)
    if refused is not None:
        return photo_form(
            request,
            visitor,
            begun.now.file,
            entry=room_of(request).photos.entry_of(key, entries[0].at, now),
            fault=refused,
            recorded=True,
            status=422,
        )
    return RedirectResponse(begun.address, status_code=303)


@router.post("/v/{key}/wet-again")
def record_wet(request: Request, visitor: AnyVisitor, key: str, form: CheckedForm) -> Response:
    """Water ran through it, or nobody knows: one press after a demonstration, or for its reason."""
    begun = begin_vehicle(request, visitor, key, Role.CREW)
    now = room_of(request).clock()
    event = str(form.get("event", "")) or DEMONSTRATION
    if event not in WETTINGS:
        return _form(request, begun, ReadForm(), status=422)
    try:
        entries = wet_again(begun.now.file.vehicle, by=begun.by, now=now, event=event)
    except FrostwatchError as fault:
        return _form(request, begun, ReadForm(), status=422, why=begun.tongue.fault(fault))
    room_of(request).records.add_entries(entries)
    return RedirectResponse(begun.address, status_code=303)


@router.get("/v/{key}/record.csv")
def export(request: Request, visitor: AnyVisitor, key: str) -> Response:
    """The whole record with its seal, as a file."""
    begun = begin_vehicle(request, visitor, key, Role.VIEWER)
    entries = [linked.entry for linked in begun.now.file.record]
    photos = Counter(photo.entry for photo in begun.now.file.photos)
    zone = begun.now.file.site.zone
    return _file(key, "record", write_entries_csv(entries, sealed=True, photos=photos, zone=zone))


@router.get("/v/{key}/messages.csv")
def messages(request: Request, visitor: AnyVisitor, key: str) -> Response:
    """What people were told about it and what became of each message, as a file."""
    begun = begin_vehicle(request, visitor, key, Role.VIEWER)
    file = begun.now.file
    sendings = room_of(request).pages.sendings(key)
    return _file(key, "messages", write_messages_csv(sendings, file.people, file.site.zone))


def _file(key: str, what: str, text: str) -> Response:
    name = "".join(sign for sign in key if sign.isascii() and (sign.isalnum() or sign in "-_"))
    whole = f"{name or 'vehicle'}-{what}.csv"
    return Response(
        text,
        media_type="text/csv; charset=utf-8",
        headers={"content-disposition": f'attachment; filename="{whole}"'},
    )


def _form(
    request: Request,
    begun: BegunVehicle,
    read: ReadForm,
    *,
    status: int = 200,
    why: str = "",
    photo_again: bool = False,
) -> HTMLResponse:
    found = begun.now.line.is_late
    return begun.page(
        request,
        "record.html",
        status=status,
        form=read,
        why=why,
        bay=begun.now.line.name,
        found=found,
        choices=choices(begun.tongue, found=found),
        doses=DOSES,
        vessels=_vessels(begun.now.file),
        states=[(state.value, begun.tongue.words.states[state]) for state in BUT_STATES],
        takes=TAKES,
        photo_id=secrets.token_hex(12),
        photo_again=photo_again,
    )


def _vessels(file: VehicleFile) -> tuple[str, ...]:
    """The vessels that the vehicle has, as far as is known."""
    try:
        items = layout_of(file.vehicle).items
    except FrostwatchError:
        return ()
    own = {vessel_of(item.circuit) for item in items}
    return tuple(vessel for vessel in VESSELS if vessel in own)
