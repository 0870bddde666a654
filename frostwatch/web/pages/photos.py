"""Photographs of a vehicle: added, shown to those who may see it, handed out as files."""

import secrets
from collections.abc import Sequence
from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.errors import FrostwatchError, PhotoError, RecordError
from frostwatch.ports.accounts import Role
from frostwatch.ports.pages import VehicleFile
from frostwatch.records.entries import Entry
from frostwatch.service.photos import Sent, take_photo
from frostwatch.storage.photo_files import zip_of
from frostwatch.web.pages.room import Room, place_of, render, room_of, tongue_of
from frostwatch.web.photo_answers import TAKES, chosen, photo_in, picture_answer, wants_small
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError, Visitor

router = APIRouter()


@router.get("/v/{key}/photos")
def photo_page(request: Request, visitor: AnyVisitor, key: str, entry: str = "") -> HTMLResponse:
    """Where a photograph is chosen."""
    file = _file(request, visitor, key)
    return photo_form(request, visitor, file, entry=_number(entry, file))


@router.post("/v/{key}/photos")
def add_photo(request: Request, visitor: AnyVisitor, key: str, form: CheckedForm) -> Response:
    """Keep a photograph, or say why not."""
    file = _file(request, visitor, key)
    account = visitor.must(Role.CREW, file.site.key)
    room = room_of(request)
    now = room.clock()
    entry = _number(str(form.get("entry", "")), file)
    try:
        sent = Sent(
            id=str(form.get("id", "")),
            vehicle=key,
            by=account.person or account.name,
            at=now,
            data=chosen(form),
            entry=entry,
        )
        take_photo(room.photos, sent, now)
    except (PhotoError, RecordError) as fault:
        return photo_form(request, visitor, file, entry=entry, fault=fault, status=422)
    return RedirectResponse(f"/v/{quote(key, safe='')}", status_code=303)


@router.get("/v/{key}/photos.zip")
def photo_files(request: Request, visitor: AnyVisitor, key: str) -> Response:
    """All photographs of a vehicle with the list that says what they are."""
    photos = room_of(request).photos
    _may_see(request, visitor, key)
    name = "".join(sign for sign in key if sign.isascii() and (sign.isalnum() or sign in "-_"))
    return Response(
        zip_of(photos, key),
        media_type="application/zip",
        headers={"content-disposition": f'attachment; filename="{name or "vehicle"}-photos.zip"'},
    )


@router.get("/v/{key}/photos/{photo}")
def photo_itself(request: Request, visitor: AnyVisitor, key: str, photo: str) -> Response:
    """One picture."""
    _may_see(request, visitor, key)
    jpeg = room_of(request).photos.jpeg(key, photo, small=wants_small(request))
    if jpeg is None:
        raise NotForYouError
    return picture_answer(jpeg)


def keep_with_entries(
    room: Room, form: FormData, entries: Sequence[Entry]
) -> FrostwatchError | None:
    """Keep the photograph that came along with a statement, which is kept already.

    Returns:
        Why it was not kept; None if it was, or if none came along.
    """
    first, now = entries[0], room.clock()
    try:
        data = photo_in(form)
        if data is None:
            return None
        sent = Sent(
            id=str(form.get("id", "")),
            vehicle=first.vehicle,
            by=first.by,
            at=first.at,
            data=data,
            entry=room.photos.entry_of(first.vehicle, first.at, first.received_at),
        )
        take_photo(room.photos, sent, now)
    except (PhotoError, RecordError) as fault:
        return fault
    return None


def photo_form(
    request: Request,
    visitor: Visitor,
    file: VehicleFile,
    *,
    entry: int = 0,
    fault: FrostwatchError | None = None,
    recorded: bool = False,
    status: int = 200,
) -> HTMLResponse:
    """Where a photograph is chosen.

    Args:
        request: the request.
        visitor: who asks.
        file: the vehicle.
        entry: number of the entry it shall belong to, 0 for none.
        fault: why the last one was not kept; None for none before.
        recorded: what was said along with it is kept.
        status: HTTP status.
    """
    vehicle = file.vehicle
    tongue = tongue_of(visitor, file.site, room_of(request).clock())
    return render(
        request,
        "photo.html",
        tongue=tongue,
        visitor=visitor,
        place=place_of(request, visitor, file.site.key),
        status=status,
        here="vehicle",
        key=vehicle.key,
        bay=vehicle.name or vehicle.bay or vehicle.key,
        entry=entry,
        why=tongue.fault(fault) if fault is not None else "",
        recorded=recorded,
        takes=TAKES,
        new_id=secrets.token_hex(12),
    )


def _file(request: Request, visitor: Visitor, key: str) -> VehicleFile:
    """A vehicle to which the visitor may add something."""
    visitor.signed_in()
    room = room_of(request)
    file = room.pages.vehicle(key, room.clock())
    if file is None:
        raise NotForYouError
    visitor.must(Role.CREW, file.site.key)
    return file


def _may_see(request: Request, visitor: Visitor, key: str) -> None:
    visitor.signed_in()
    site = room_of(request).photos.site_of(key)
    if site is None:
        raise NotForYouError
    visitor.must(Role.VIEWER, site)


def _number(text: str, file: VehicleFile) -> int:
    """Number of an entry of the record; 0 where there is none of that number."""
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 9 else 0
    return number if number <= len(file.record) else 0
