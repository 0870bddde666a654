"""What the pages work with, and how a page of one site is begun."""

import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from gzip import GzipFile
from io import BytesIO
from pathlib import Path
from typing import Any

from fastapi import Request
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.responses import HTMLResponse

from frostwatch.fleet.people import Language
from frostwatch.fleet.sites import Site
from frostwatch.ports.accounts import Role
from frostwatch.ports.outbox import OutboxStore
from frostwatch.ports.pages import Letters, Pages, Records, Rounds, Vehicles
from frostwatch.ports.photos import Photos
from frostwatch.ports.plans import Plans
from frostwatch.service.planner import Planner
from frostwatch.web.answers.words import ANSWER_WORDS
from frostwatch.web.demo_bar import demo_bar
from frostwatch.web.look import Look, look_of
from frostwatch.web.rights import NotForYouError, Visitor, form_token
from frostwatch.web.rights.secret import masked
from frostwatch.web.static_files import static_address
from frostwatch.web.unbroken import unbroken
from frostwatch.web.words import Tongue

WORTH_PACKING = 8 * 1024
"""Shorter pages are sent as they are [byte]."""
PACKING = 3
"""Level of compression: a page of 500 bays in 8 ms, measured."""
MOST_BLUR = 100
KEYS_COOKIE = "frostwatch-keys"
"""Set where somebody switched on keys from stop to stop of the round."""
TEMPLATES = Path(__file__).parents[1] / "templates"


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What the pages work with.

    Attributes:
        pages: what they read.
        rounds: where rounds are kept.
        plans: where handover plans are kept.
        records: where entries are kept.
        vehicles: where vehicles are kept.
        photos: where photographs are kept.
        letters: what is asked by who writes to owners.
        outbox: where messages wait.
        clock: the present moment, UTC.
        public_url: web address under which people reach this service, "" for none.
        planner: plans and advises at once; None where only passes do.
        ahead: how far that clock runs before the clocks of devices; the demo's may be set.
    """

    pages: Pages
    rounds: Rounds
    plans: Plans
    records: Records
    vehicles: Vehicles
    photos: Photos
    letters: Letters
    outbox: OutboxStore
    clock: Callable[[], datetime]
    public_url: str = ""
    planner: Planner | None = None
    ahead: Callable[[], timedelta] = timedelta


def room_of(request: Request) -> Room:
    """What the pages of an app work with."""
    room: Room = request.app.state.room
    return room


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """The site a page is about, among those its visitor may see.

    Attributes:
        key: key of the site.
        names: key -> name of every site the visitor may see.
    """

    key: str
    names: Mapping[str, str]

    @property
    def query(self) -> str:
        """What links of the page carry, so that they stay at the site."""
        return f"?site={self.key}" if len(self.names) > 1 else ""


def place_of(request: Request, visitor: Visitor, key: str | None = None) -> Place | None:
    """The site that is asked for, or else the first that the visitor may see; None for none.

    Args:
        request: the request.
        visitor: who asks.
        key: key of the site, where the page itself says so; else it stands in the query.

    Raises:
        NotSignedInError: nobody is signed in.
        NotForYouError: the site is not there, or not theirs to see.
    """
    visitor.signed_in()
    names = room_of(request).pages.site_names()
    mine = visitor.among(names, Role.VIEWER)
    own = {site: names[site] for site in mine}
    asked = key or request.query_params.get("site", "")
    if asked and asked not in own:
        raise NotForYouError
    if not own:
        return None
    return Place(key=asked or next(iter(own)), names=own)


def tongue_of(visitor: Visitor, site: Site, now: datetime) -> Tongue:
    """The visitor's language at a site."""
    return Tongue(language=visitor.language, zone=site.zone, now=now)


@cache
def environment() -> Environment:
    """Where templates come from; everything put into them is escaped."""
    found = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["unbroken"] = unbroken
    return found


def path_of(request: Request) -> str:
    """Address of the page that is shown, to come back to it; the start where it was a form."""
    if request.method != "GET":
        return "/"
    return request.url.path + (f"?{request.url.query}" if request.url.query else "")


def render(
    request: Request,
    template: str,
    *,
    tongue: Tongue,
    visitor: Visitor,
    place: Place | None,
    status: int = 200,
    **values: Any,
) -> HTMLResponse:
    """A page.

    Args:
        request: the request.
        template: name of the template.
        tongue: language, zone and moment.
        visitor: who asks.
        place: the site it is about, None for none.
        status: HTTP status.
        values: what the template shows.
    """
    page = environment().get_template(f"pages/{template}")
    text = page.render(
        t=tongue,
        visitor=visitor,
        place=place,
        address=static_address,
        form_token=masked(form_token(request)),
        demo=demo_bar(request),
        path=path_of(request),
        look=look_of(request).value,
        looks=[look.value for look in Look],
        stop_keys=request.cookies.get(KEYS_COOKIE) == "on",
        languages=[(tag.value, ANSWER_WORDS[tag].name) for tag in Language],
        role=visitor.role_at(place.key) if place is not None else None,
        Role=Role,
        **values,
    )
    return packed(request, HTMLResponse(without_nul(text), status_code=status))


def without_nul(text: str) -> str:
    """What was typed is shown again; a NUL is no character of HTML, and browsers show this one."""
    return text.replace("\x00", "\ufffd")


def packed(request: Request, answer: HTMLResponse) -> HTMLResponse:
    """A long page compressed, where the browser takes it.

    Nothing secret in it stands there twice in the same form, and its length is blurred: the head of
    a gzip file may name a file of any length (RFC 1952, 2.3).
    """
    answer.headers["vary"] = "accept-encoding"
    if len(answer.body) < WORTH_PACKING or "gzip" not in request.headers.get("accept-encoding", ""):
        return answer
    out = BytesIO()
    blur = secrets.token_hex(1 + secrets.randbelow(MOST_BLUR))
    with GzipFile(filename=blur, mode="wb", fileobj=out, compresslevel=PACKING, mtime=0) as file:
        file.write(answer.body)
    answer.body = out.getvalue()
    answer.headers["content-encoding"] = "gzip"
    answer.headers["content-length"] = str(len(answer.body))
    return answer
