"""Photographs by a link: added to its vehicles, and shown to whoever holds it."""

from urllib.parse import quote, urlencode

import structlog
from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.responses import RedirectResponse, Response

from frostwatch.errors import LedgerError, RecordError
from frostwatch.fleet.people import Language
from frostwatch.ports.photos import NoPhotoError, WhyNot
from frostwatch.service.open_links import OpenLink, OpenVan
from frostwatch.service.photos import Sent, of_owner
from frostwatch.web.answers.room import room_of
from frostwatch.web.answers.routes import HEADERS, closed, open_or_refuse
from frostwatch.web.photo_answers import chosen, picture_answer, wants_small

log = structlog.get_logger()
router = APIRouter(include_in_schema=False)


@router.post("/a/{code}/photo")
async def add_photo(request: Request, code: str, lang: str = "") -> Response:
    """Keep a photograph of one of the link's vehicles, or lead back to the form with the reason."""
    async with request.form(max_files=1, max_fields=10) as form:
        return await run_in_threadpool(_kept, request, code, lang, form)


def _kept(request: Request, code: str, lang: str, form: FormData) -> Response:
    opened = open_or_refuse(request, room_of(request), code)
    if isinstance(opened, Response):
        return opened
    van = _van(opened, str(form.get("van", "")))
    try:
        if van is None:
            raise NoPhotoError(WhyNot.ELSEWHERE)
        _keep(request, opened, van, form)
    except NoPhotoError as fault:
        return _back(opened, lang, van, refused=fault.why)
    except RecordError:
        return _back(opened, lang, van, refused=WhyNot.BROKEN)
    except LedgerError as failure:
        log.error("photograph not kept", cause=str(failure))
        return closed(request, "failed", 503, language=opened.person.language)
    return _back(opened, lang, van)


def _keep(request: Request, opened: OpenLink, van: OpenVan, form: FormData) -> None:
    room = room_of(request)
    now = room.clock()
    sent = Sent(
        id=str(form.get("id", "")),
        vehicle=van.vehicle.key,
        by=opened.person.key,
        at=now,
        data=chosen(form),
    )
    of_owner(room.photos, room.record, van, sent, now)


def _back(
    opened: OpenLink, lang: str, van: OpenVan | None, *, refused: WhyNot | None = None
) -> Response:
    """To the page; to the form again where the photograph was refused."""
    query = {"lang": lang} if lang in set(Language) else {}
    if refused is not None and van is not None:
        query |= {"ask": "photo", "van": van.vehicle.key, "refused": refused.value}
    asked = f"?{urlencode(query)}" if query else ""
    return RedirectResponse(f"../{quote(opened.link.code)}{asked}", 303, headers=HEADERS)


@router.get("/a/{code}/photos/{photo}")
def photo_itself(request: Request, code: str, photo: str) -> Response:
    """One picture of a vehicle of the link."""
    room = room_of(request)
    opened = open_or_refuse(request, room, code)
    if isinstance(opened, Response):
        return opened
    small = wants_small(request)
    found = (room.photos.jpeg(van.vehicle.key, photo, small=small) for van in opened.vans)
    jpeg = next((one for one in found if one is not None), None)
    return closed(request, "unknown", 404) if jpeg is None else picture_answer(jpeg)


def _van(opened: OpenLink, key: str) -> OpenVan | None:
    return next((van for van in opened.vans if van.vehicle.key == key), None)
