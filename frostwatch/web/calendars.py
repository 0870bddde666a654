"""What calendar programs fetch: nobody is signed in, and the secret in the address is the right.

A wrong address, one that was withdrawn and one that ended are answered alike, and tell nothing.
"""

import hashlib

from fastapi import APIRouter, FastAPI, Request
from starlette.responses import PlainTextResponse, Response

from frostwatch.reports.calendar import calendar_of
from frostwatch.service.calendar_addresses import CalendarDesk
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.rights import TooManyTriesError
from frostwatch.web.rights.asking import address_of
from frostwatch.web.rights.desk import rights_of
from frostwatch.web.rights.limits import Door, network_of
from frostwatch.web.rights.secret import digest_of
from frostwatch.web.routing import take_in

router = APIRouter(include_in_schema=False)

WRONG_ADDRESSES = 20
"""Addresses that do not exist, from one network in a quarter of an hour. Estimate."""
FETCHES = 60
"""Fetches of one calendar in a quarter of an hour: a program asks once an hour or so, a few people
share an address, somebody presses again. Estimate."""
LONGEST = 200
HEADERS = {
    # a calendar moves with a pass an hour; what a program kept is asked for again after that
    "cache-control": "private, max-age=900, must-revalidate",
    "x-robots-tag": "noindex, nofollow",
}
TYPE = "text/calendar; charset=utf-8; method=PUBLISH"


def install_calendars(app: FastAPI, ledger: SqlLedger) -> None:
    """Put the feeds into an app; its rights are installed already."""
    app.state.calendars = CalendarDesk(
        ledger=ledger, pages=ledger.pages, plans=ledger.plans, calendars=ledger.calendars
    )
    take_in(app, router)


def desk_of(request: Request) -> CalendarDesk:
    """What addresses of calendars work with."""
    desk: CalendarDesk = request.app.state.calendars
    return desk


def address_for(secret: str, public_url: str, request: Request) -> str:
    """The web address under which a calendar program reaches this service."""
    base = public_url or str(request.base_url)
    return f"{base.rstrip('/')}/calendar/{secret}.ics"


@router.api_route("/calendar/{secret}.ics", methods=["GET", "HEAD"])
def fetch(request: Request, secret: str) -> Response:
    """A calendar as it stands now."""
    rights = rights_of(request)
    now, digest = rights.clock(), digest_of(secret[:LONGEST])
    wrong = (Door(name=f"calendar from {network_of(address_of(request))}", most=WRONG_ADDRESSES),)
    often = (Door(name=f"calendar {digest[:32]}", most=FETCHES),)
    try:
        rights.limits.refuse_if_shut((*wrong, *often), now)
    except TooManyTriesError as many:
        wait = {"retry-after": str(int(many.wait.total_seconds())), "cache-control": "no-store"}
        return PlainTextResponse("Too often. Ask again later.\n", 429, headers=wait)
    publication = desk_of(request).open(digest, now)
    if publication is None:
        rights.limits.failed(wrong, now)
        gone = {**HEADERS, "cache-control": "no-store"}
        return PlainTextResponse("There is no calendar here.\n", 404, headers=gone)
    rights.limits.failed(often, now)
    body = calendar_of(publication)
    mark = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    headers = {**HEADERS, "etag": mark}
    if _is_known(request, mark):
        return Response(status_code=304, headers=headers)
    headers["content-disposition"] = 'inline; filename="frostwatch.ics"'
    return Response(body, media_type=TYPE, headers=headers)


def _is_known(request: Request, mark: str) -> bool:
    """Whether the program has this very calendar (RFC 9110, 13.1.2: weak comparison)."""
    known = request.headers.get("if-none-match", "")[:2000]
    names = {one.strip().removeprefix("W/") for one in known.split(",")}
    return mark in names or names == {"*"}
