"""The page behind a link, and what its buttons send.

Opening changes nothing, however often and by whatever: mail scanners and previews follow links.
Only a press does, and it is a POST. The code in the address is the whole right, so there is no
cookie, and a form needs no further token: whoever could send it for somebody knows the code.
"""

import secrets
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import structlog
from fastapi import APIRouter, Request
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.concurrency import run_in_threadpool
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.errors import LedgerError, RecordError
from frostwatch.fleet.people import Duty, Language
from frostwatch.service.answers import give
from frostwatch.service.open_links import Closed, Due, OpenLink, open_link
from frostwatch.service.trips import HourChangedError
from frostwatch.web.answers.filling_part import filling_lines
from frostwatch.web.answers.forms import Press, given_of, moment_of, press_of
from frostwatch.web.answers.page import languages, page_for
from frostwatch.web.answers.photo_parts import own_photos, why_refused
from frostwatch.web.answers.room import AnswerRoom, room_of
from frostwatch.web.answers.telling import Reading, standing_of
from frostwatch.web.answers.trip import moved_words, trip_part
from frostwatch.web.answers.words import ANSWER_WORDS, Say
from frostwatch.web.bare import preferred_language
from frostwatch.web.calendars import address_for, desk_of
from frostwatch.web.demo_bar import demo_bar
from frostwatch.web.look import Look, look_of
from frostwatch.web.pages.lines_now import UNREAD, sky_of
from frostwatch.web.pages.room import room_of as pages_of
from frostwatch.web.pages.room import without_nul
from frostwatch.web.photo_answers import TAKES
from frostwatch.web.rights import TooManyTriesError
from frostwatch.web.rights.asking import address_of
from frostwatch.web.rights.desk import rights_of
from frostwatch.web.rights.limits import Door, network_of
from frostwatch.web.rights.secret import digest_of, new_secret
from frostwatch.web.static_files import style_address
from frostwatch.web.unbroken import unbroken

log = structlog.get_logger()

TEMPLATES = Path(__file__).parents[1] / "templates"
WRONG_CODES = 20
"""Codes that do not exist, from one address in a quarter of an hour. There is no limit over all
addresses: it would let anybody shut everybody's links, and 65 bits need none. Estimate."""
MOST_FIELDS = 1200
"""Five hundred vehicles and a few fields more."""
SET_OUT, STAY = "trip", "no trip"
"""What the buttons of a trip send."""
HEADERS = {"x-robots-tag": "noindex, nofollow", "cache-control": "no-store"}
STATUS = {Closed.NOT_KNOWN: 404, Closed.EXPIRED: 410}
KEYS = {Closed.NOT_KNOWN: "unknown", Closed.EXPIRED: "expired"}

router = APIRouter(include_in_schema=False)


@router.api_route("/a/{code}", methods=["GET", "HEAD"])
def show(
    request: Request, code: str, ask: str = "", van: str = "", lang: str = "", refused: str = ""
) -> Response:
    """The page as it stands now."""
    room = room_of(request)
    opened = open_or_refuse(request, room, code)
    if isinstance(opened, Response):
        return opened
    asks = ask if ask in ("part", "going", "trip", "photo") else ""
    if ask == "trip" and not _may_travel(opened):
        asks = ""
    return _answer_page(
        request, opened, room.clock(), lang=lang, asks=asks, van=van, refused=refused
    )


@router.post("/a/{code}")
async def press(request: Request, code: str, lang: str = "") -> Response:
    """Take an answer."""
    form = await request.form(max_files=0, max_fields=MOST_FIELDS)
    return await run_in_threadpool(_taken, request, code, lang, press_of(form))


@router.post("/a/{code}/calendar")
def calendar(request: Request, code: str, lang: str = "") -> Response:
    """Make the reader of a link an address for the calendar of its vehicles, and show it.

    It shows no more than the link does: whoever was handed the link learns nothing else by it.
    """
    room = room_of(request)
    opened = open_or_refuse(request, room, code)
    if isinstance(opened, Response):
        return opened
    if opened.person.duty is not Duty.OWNER or not opened.vans:
        return closed(request, KEYS[Closed.NOT_KNOWN], 404)
    secret = new_secret()
    made = desk_of(request).make(
        digest_of(secret),
        room.clock(),
        person=opened.person.key,
        vehicles=[van.vehicle.key for van in opened.vans],
    )
    language = _language(lang, opened.person.language)
    reading = Reading(opened=opened, language=language, now=room.clock())
    values = {
        "say": reading.say,
        "address": address_for(secret, room.public_url, request),
        "until": reading.date(made.expires_at - timedelta(days=1)),
        "back": f"../{opened.link.code}" + (f"?lang={lang}" if lang in set(Language) else ""),
    }
    return _drawn(request, "calendar.html", values, 200)


def _taken(request: Request, code: str, lang: str, sent: Press) -> Response:
    room = room_of(request)
    opened = open_or_refuse(request, room, code)
    if isinstance(opened, Response):
        return opened
    now = room.clock()
    asks = {"part": "part", "going": "going", SET_OUT: "trip"}.get(sent.answer, "")
    van = sent.vans[0] if len(sent.vans) == 1 else ""
    try:
        if sent.answer in (SET_OUT, STAY):
            _travel(room, opened, sent, now)
        else:
            give(room.ledger, opened, given_of(sent, opened.site.zone), now)
    except HourChangedError:
        return _asked_again(request, code, lang, sent, now)
    except RecordError:
        return _answer_page(
            request, opened, now, lang=lang, asks=asks, van=van, wrong=sent, status=422
        )
    except LedgerError as failure:
        log.error("answer not kept", cause=str(failure))
        return closed(request, "failed", 503, language=_language(lang, opened.person.language))
    query = f"?lang={lang}" if lang in set(Language) else ""
    return RedirectResponse(f"{opened.link.code}{query}", 303, headers=HEADERS)


def _asked_again(request: Request, code: str, lang: str, sent: Press, now: datetime) -> Response:
    """What was typed, beside the hour that somebody else entered in between."""
    opened = open_or_refuse(request, room_of(request), code)
    if isinstance(opened, Response):
        return opened
    asks = "trip" if sent.answer == SET_OUT and _may_travel(opened) else ""
    return _answer_page(
        request, opened, now, lang=lang, asks=asks, van="", wrong=sent, moved=True, status=409
    )


def _may_travel(opened: OpenLink) -> bool:
    """The link is an owner's, and of one vehicle that is not to be left alone."""
    vans = opened.vans
    owner = opened.person.duty is Duty.OWNER
    return owner and len(vans) == 1 and vans[0].due is not Due.TOO_LATE


def _travel(room: AnswerRoom, opened: OpenLink, sent: Press, now: datetime) -> None:
    """Keep the hour of a trip, or that there is none.

    Raises:
        RecordError: the hour makes no sense, or the link is for no trips.
    """
    if not _may_travel(opened):
        raise RecordError("This link is for no trips.")
    at = moment_of(sent.other, opened.site.zone) if sent.answer == SET_OUT else None
    room.trips.set_out(opened.vans[0].vehicle, at, by=opened.person.key, now=now)


def open_or_refuse(request: Request, room: AnswerRoom, code: str) -> OpenLink | Response:
    """What a code opens, or the page that says that it opens nothing."""
    now, limits = room.clock(), rights_of(request).limits
    doors = (Door(name=f"answer from {network_of(address_of(request))}", most=WRONG_CODES),)
    try:
        limits.refuse_if_shut(doors, now)
    except TooManyTriesError as many:
        wait = {"retry-after": str(int(many.wait.total_seconds()))}
        return closed(request, "too_many", 429, headers=wait)
    opened = open_link(room.ledger, room.links, code, now)
    if isinstance(opened, OpenLink):
        return opened
    if opened is Closed.NOT_KNOWN:
        limits.failed(doors, now)
    return closed(request, KEYS[opened], STATUS[opened])


def _language(asked: str, otherwise: Language) -> Language:
    return Language(asked) if asked in set(Language) else otherwise


def _answer_page(
    request: Request,
    opened: OpenLink,
    now: datetime,
    *,
    lang: str,
    asks: str,
    van: str,
    wrong: Press | None = None,
    moved: bool = False,
    refused: str = "",
    status: int = 200,
) -> Response:
    language = _language(lang, opened.person.language)
    taken = own_photos(room_of(request).photos, opened, language, now)
    board = pages_of(request).pages.board(opened.site.key)
    blind = sky_of(board, now) in UNREAD
    standing = standing_of(board, opened)
    page = page_for(
        opened,
        language,
        now,
        asks=asks,
        van=van,
        photos=taken,
        blind=blind,
        standing=standing,
    )
    travels = _may_travel(opened) and not page.asks
    trip = room_of(request).trips.trip_of(opened.vans[0], opened.site, now) if travels else None
    reading = Reading(opened=opened, language=language, now=now)
    values = {
        "page": page,
        "code": opened.link.code,
        "lang": lang if lang in set(Language) else "",
        "van": van,
        "say": Say(language=language, voice=page.voice),
        "languages": list(languages(page)),
        "wrong": wrong,
        "moved": moved_words(reading) if moved else "",
        "refused": why_refused(refused, opened, language, now),
        "takes": TAKES,
        "new_id": secrets.token_hex(12),
        "travels": travels,
        "trip": trip_part(trip, reading, now) if trip is not None else None,
        "leads": trip is not None and not trip.over and not page.answerable,
        "filling": () if page.asks else tuple(filling_lines(reading, standing, blind=blind)),
        "how": ANSWER_WORDS[language].steps,
    }
    return _drawn(request, "van.html", values, status)


def closed(
    request: Request,
    key: str,
    status: int,
    *,
    language: Language | None = None,
    headers: dict[str, str] | None = None,
) -> Response:
    """A page that shows nothing of anybody."""
    say = Say(language=language or preferred_language(request.headers))
    return _drawn(request, "closed.html", {"say": say, "key": key}, status, headers)


def _drawn(
    request: Request,
    template: str,
    values: dict[str, Any],
    status: int,
    headers: dict[str, str] | None = None,
) -> HTMLResponse:
    _, _, below = request.url.path.rpartition("/a/")
    up = "../" * below.count("/")
    text = (
        _templates()
        .get_template(template)
        .render(
            style=up + style_address(),
            pages_style=up + style_address("pages.css"),
            demo=demo_bar(request),
            look=look_of(request).value,
            looks=[look.value for look in Look],
            path=request.url.path,
            **values,
        )
    )
    return HTMLResponse(without_nul(text), status, headers={**HEADERS, **(headers or {})})


@cache
def _templates() -> Environment:
    found = Environment(
        loader=FileSystemLoader([TEMPLATES / "answers", TEMPLATES]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["unbroken"] = unbroken
    return found
