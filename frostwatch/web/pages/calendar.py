"""The page on which people get, renew and withdraw the addresses of their calendars."""

from dataclasses import dataclass
from datetime import timedelta
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Request
from markupsafe import Markup
from starlette.responses import Response

from frostwatch.errors import FleetError
from frostwatch.ports.accounts import Role
from frostwatch.ports.calendars import CalendarAddress
from frostwatch.web.calendars import address_for, desk_of
from frostwatch.web.pages.room import place_of, render, room_of, tongue_of
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError, Visitor
from frostwatch.web.rights.secret import digest_of, new_secret
from frostwatch.web.words import Tongue

router = APIRouter()


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """One calendar that the visitor may hand out.

    Attributes:
        site: key of the site whose it is, "" for the visitor's own.
        head: what it is called.
        ended: it opens nothing any more.
        made: when its address was made, in words; "" if none was.
        until: to when it holds, in words.
        fetched: when it was last fetched, in words; "" if never.
        shown: the address itself, right after it was made.
    """

    site: str
    head: Markup
    ended: bool
    made: str
    until: str
    fetched: str
    shown: str


@router.get("/calendar")
def calendar_page(request: Request, visitor: AnyVisitor) -> Response:
    """The visitor's calendars, and whether an address was made for each."""
    return _page(request, visitor)


@router.post("/calendar/make")
def make(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Make an address, which ends the one before, and show it."""
    person, site = _whose(visitor, str(form.get("site", "")))
    room, secret = room_of(request), new_secret()
    try:
        desk_of(request).make(digest_of(secret), room.clock(), person=person, site=site)
    except FleetError as unknown:
        raise NotForYouError from unknown
    shown = address_for(secret, room.public_url, request)
    return _page(request, visitor, site=site, shown=shown)


@router.post("/calendar/withdraw")
def withdraw(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Make an address open nothing."""
    person, site = _whose(visitor, str(form.get("site", "")))
    whose = f"site/{site}" if site else f"person/{person}"
    desk_of(request).calendars.withdraw(whose)
    return _page(request, visitor, site=site, withdrawn=True)


def _whose(visitor: Visitor, site: str) -> tuple[str, str]:
    """Person and site of a form, one of them ""; a site's is for those who run it.

    Raises:
        NotSignedInError: nobody is signed in.
        NotForYouError: it is not theirs.
    """
    account = visitor.signed_in()
    if site:
        visitor.must(Role.OPERATOR, site)
        return "", site
    if not account.person:
        raise NotForYouError
    return account.person, ""


def _page(
    request: Request,
    visitor: Visitor,
    *,
    site: str = "",
    shown: str = "",
    withdrawn: bool = False,
) -> Response:
    account = visitor.signed_in()
    place = place_of(request, visitor)
    room = room_of(request)
    now = room.clock()
    yard = room.pages.yard(place.key, now) if place is not None else None
    tongue = Tongue(language=visitor.language, zone=ZoneInfo("UTC"), now=now)
    if yard is not None:
        tongue = tongue_of(visitor, yard.site, now)
    names = place.names if place is not None else {}
    wanted = [("", tongue("cal.own"), f"person/{account.person}")] if account.person else []
    wanted += [
        (key, tongue("cal.site", place=names[key]), f"site/{key}")
        for key in visitor.among(names, Role.OPERATOR)
    ]
    calendars = [
        _own(desk_of(request).calendars.of(whose), tongue, key, head, shown if key == site else "")
        for key, head, whose in wanted
    ]
    answer = render(
        request,
        "calendar.html",
        tongue=tongue,
        visitor=visitor,
        place=place,
        here="calendar",
        calendars=calendars,
        mine=bool(account.person),
        withdrawn=withdrawn,
    )
    answer.headers["cache-control"] = "no-store"
    return answer


def _own(
    address: CalendarAddress | None, tongue: Tongue, site: str, head: Markup, shown: str
) -> Own:
    if address is None:
        return Own(site=site, head=head, made="", until="", fetched="", ended=False, shown=shown)
    fetched = address.fetched_at
    return Own(
        site=site,
        head=head,
        made=str(tongue.date(address.made_at)),
        until=str(tongue.date(address.expires_at - timedelta(days=1))),
        fetched=str(tongue.hour(fetched)) if fetched is not None else "",
        ended=address.expires_at <= tongue.now,
        shown=shown,
    )
