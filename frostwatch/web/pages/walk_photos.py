"""Photographs taken on a walk: by a form, or kept on the phone and sent when all else is."""

from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.datastructures import FormData
from starlette.responses import JSONResponse, RedirectResponse, Response

from frostwatch.advice.walk_entries import at_arrival
from frostwatch.errors import FrostwatchError, PhotoError, RecordError
from frostwatch.ports.pages import WalkFile
from frostwatch.ports.photos import NoPhotoError, WhyNot
from frostwatch.service.photos import Sent, entry_pressed, take_photo
from frostwatch.web.pages.room import room_of
from frostwatch.web.pages.walk_parts import code_page_of, tongue_for, walk_page_of, who_page_of
from frostwatch.web.pages.walk_sending import moment_of
from frostwatch.web.pages.walker import Walker, open_walk, walker_of
from frostwatch.web.photo_answers import chosen
from frostwatch.web.rights import AnyVisitor, CheckedForm

router = APIRouter()


@router.post("/walk/{code}/photo")
def photo(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Keep a photograph that a form without script sent; then the same stop is open."""
    file = open_walk(request, visitor, code)
    if file is None:
        return code_page_of(request, visitor, wrong=True)
    walker = walker_of(request, visitor, file)
    if not walker.name:
        return who_page_of(request, visitor, file)
    fault = _kept(request, form, file, walker)
    if fault is not None:
        return walk_page_of(request, visitor, file, walker, fault=fault, status=422)
    stop = quote(str(form.get("vehicle", "")))
    return RedirectResponse(f"/walk/{code}?stop={stop}#here", status_code=303)


@router.post("/walk/{code}/photos")
def photos(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Keep a photograph that a phone had kept, also after the round was handed back."""
    file = open_walk(request, visitor, code, afterwards=True)
    walker = walker_of(request, visitor, file) if file is not None else None
    if file is None or walker is None or not walker.name:
        return JSONResponse({"closed": file is None}, 404)
    fault = _kept(request, form, file, walker)
    if fault is not None:
        tongue = tongue_for(visitor, file, room_of(request))
        return JSONResponse({"refused": tongue.fault_text(fault)}, 422)
    return JSONResponse({"kept": str(form.get("id", ""))})


def _kept(
    request: Request, form: FormData, file: WalkFile, walker: Walker
) -> FrostwatchError | None:
    """Keep what a form holds; returns why it was not kept, None if it was."""
    room = room_of(request)
    now = room.clock()
    vehicle = str(form.get("vehicle", ""))
    if file.round.stop_of(vehicle) is None or vehicle not in file.vehicles:
        return NoPhotoError(WhyNot.ELSEWHERE)
    taken, sent_at = (str(form.get(name, "")) for name in ("at", "sent_at"))
    at, note = at_arrival(moment_of(taken), moment_of(sent_at), now) if sent_at else (now, "")
    try:
        sent = Sent(
            id=str(form.get("id", "")),
            vehicle=vehicle,
            by=walker.name,
            at=at,
            data=chosen(form),
            entry=entry_pressed(room.photos, file.presses, vehicle, walker.name),
            round=file.round.code,
            note=note,
        )
        take_photo(room.photos, sent, now)
    except (PhotoError, RecordError) as fault:
        return fault
    return None
