"""Signing in and out, choosing a password by a one-time code, and every refusal as a page."""

from typing import Any
from urllib.parse import quote
from zoneinfo import ZoneInfo

import structlog
from fastapi import APIRouter, FastAPI, Request
from fastapi.encoders import jsonable_encoder
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, RedirectResponse, Response

from frostwatch.errors import LedgerError
from frostwatch.fleet.people import Language
from frostwatch.web.bare import bare, for_machines
from frostwatch.web.pages.room import render, room_of
from frostwatch.web.rights import (
    AnyVisitor,
    CheckedForm,
    NotForYouError,
    NotSignedInError,
    TooManyTriesError,
    WrongFormError,
    visitor_of,
)
from frostwatch.web.rights.asking import address_of, sign_device_in, sign_device_out
from frostwatch.web.rights.codes import choose_password
from frostwatch.web.rights.desk import rights_of
from frostwatch.web.rights.headers import HEADERS
from frostwatch.web.rights.passwords import LONGEST
from frostwatch.web.routing import take_in
from frostwatch.web.way_back import inside
from frostwatch.web.words import Tongue

log = structlog.get_logger()
router = APIRouter(include_in_schema=False)
NO_STORE = {"cache-control": "no-store"}
MOST_TYPED = 254


def install_door(app: FastAPI) -> None:
    """Put signing in, and the pages of refusals, into an app."""
    take_in(app, router)
    app.add_exception_handler(NotSignedInError, _not_signed_in)
    app.add_exception_handler(NotForYouError, _not_for_you)
    app.add_exception_handler(WrongFormError, _wrong_form)
    app.add_exception_handler(TooManyTriesError, _too_many)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(RequestValidationError, _unread)
    app.add_exception_handler(LedgerError, _failed)
    app.add_exception_handler(Exception, _failed)


@router.get("/sign-in")
def sign_in_page(request: Request, visitor: AnyVisitor, next: str = "") -> Response:
    """The page on which people sign in."""
    if visitor.session is not None:
        return RedirectResponse(inside(next), 303)
    return _sign_in(request, next=inside(next))


@router.post("/sign-in")
def sign_in(request: Request, form: CheckedForm) -> Response:
    """Sign a device in."""
    rights = rights_of(request)
    email = str(form.get("email", ""))[:MOST_TYPED].replace("\0", "").strip()
    target = inside(_text(form, "next"))
    lasting = bool(form.get("lasting"))
    try:
        opened = rights.sign_in(
            email,
            str(form.get("password", ""))[: LONGEST + 1],
            address=address_of(request),
            lasting=lasting,
        )
    except TooManyTriesError as many:
        minutes = int(many.wait.total_seconds() // 60)
        return _sign_in(
            request, next=target, email=email, shut=minutes, lasting=lasting, status=429
        )
    if opened is None:
        return _sign_in(request, next=target, email=email, wrong=True, lasting=lasting, status=422)
    answer = RedirectResponse(target, 303, headers=NO_STORE)
    sign_device_in(answer, rights, *opened)
    return answer


@router.get("/sign-in/code")
def code_page(request: Request, code: str = "", email: str = "") -> Response:
    """The page on which a password is chosen; a link fills it in, and uses nothing up."""
    return _code(request, code=code[:MOST_TYPED], email=email[:MOST_TYPED])


@router.post("/sign-in/code")
def choose(request: Request, form: CheckedForm) -> Response:
    """Choose a password by a one-time code, and sign in with it."""
    rights = rights_of(request)
    typed = {name: _text(form, name)[:MOST_TYPED] for name in ("code", "email")}
    opened = choose_password(
        rights,
        **typed,
        password=str(form.get("password", ""))[: LONGEST + 1],
        address=address_of(request),
        language=visitor_of(request).language,
    )
    if isinstance(opened, str):
        return _code(request, fault=opened, status=422, **typed)
    answer = RedirectResponse("/", 303, headers=NO_STORE)
    sign_device_in(answer, rights, *opened)
    return answer


@router.post("/sign-out")
def sign_out(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Sign this device out."""
    rights = rights_of(request)
    if visitor.session is not None:
        rights.access.sessions.close(visitor.session.digest)
    answer = RedirectResponse("/sign-in", 303, headers=NO_STORE)
    sign_device_out(answer, rights)
    return answer


@router.post("/language")
def speak(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Change the language of one's pages."""
    account = visitor.signed_in()
    word, target = _text(form, "language"), inside(_text(form, "next"))
    if word in set(Language) and account.id:
        rights_of(request).access.accounts.set_language(account.id, Language(word))
    return RedirectResponse(target, 303, headers=NO_STORE)


def _text(form: Any, name: str) -> str:
    value = form.get(name, "")
    return value if isinstance(value, str) else ""


def _tongue(request: Request) -> Tongue:
    now = room_of(request).clock()
    return Tongue(language=visitor_of(request).language, zone=ZoneInfo("UTC"), now=now)


def _page(request: Request, template: str, status: int, **values: Any) -> Response:
    answer = render(
        request,
        template,
        tongue=_tongue(request),
        visitor=visitor_of(request),
        place=None,
        here="",
        status=status,
        **values,
    )
    answer.headers.update(NO_STORE)
    return answer


def _sign_in(
    request: Request,
    *,
    next: str,
    email: str = "",
    wrong: bool = False,
    shut: int = 0,
    lasting: bool = False,
    expired: bool = False,
    status: int = 200,
) -> Response:
    values = {"wrong": wrong, "shut": shut, "lasting": lasting, "expired": expired}
    values["first"] = _is_first(request)
    return _page(request, "sign_in.html", status, next=next, email=email, **values)


def _code(
    request: Request, *, fault: str = "", code: str = "", email: str = "", status: int = 200
) -> Response:
    field = {"void": "code", "other": "email", "no_email": "email"}.get(fault, "password")
    values = {"fault": fault, "field": field, "code": code, "email": email}
    return _page(request, "code.html", status, first=_is_first(request), **values)


def _is_first(request: Request) -> bool:
    """Nobody can sign in yet: whoever comes makes the first account."""
    return not rights_of(request).access.accounts.any()


def refused(request: Request, key: str, status: int, *, title: str = "", **values: Any) -> Response:
    """A refusal: a page for people, JSON for machines."""
    t = _tongue(request)
    if for_machines(request.url.path):
        return JSONResponse({"detail": str(t(f"refused.{key}", **values))}, status)
    head = t(f"refused.{title}_title") if title else t("refused.title")
    return _page(request, "refused.html", status, head=head, says=t(f"refused.{key}", **values))


async def _not_signed_in(request: Request, _: Exception) -> Response:
    if request.method not in ("GET", "HEAD"):
        return _sign_in(request, next="/", expired=True, status=401)
    if _is_first(request):
        return _code(request, status=401)
    query = f"?{request.url.query}" if request.url.query else ""
    target = quote(request.url.path) + query
    had_one = rights_of(request).cookie in request.cookies
    return _sign_in(request, next=inside(target), expired=had_one, status=401)


async def _not_for_you(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, NotForYouError)
    if fault.knows_of_it:
        return refused(request, "role", 403)
    return refused(request, "nothing", 404)


async def _wrong_form(request: Request, _: Exception) -> Response:
    return refused(request, "form", 403, title="form")


async def _too_many(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, TooManyTriesError)
    minutes = int(fault.wait.total_seconds() // 60)
    answer = refused(request, "try", 429, title="try", minutes=minutes)
    answer.headers["retry-after"] = str(int(fault.wait.total_seconds()))
    return answer


async def _http(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    headers = dict(fault.headers or {})
    if for_machines(request.url.path):
        return JSONResponse({"detail": fault.detail}, fault.status_code, headers=headers)
    if fault.status_code in (404, 405):
        answer = refused(request, "nothing", fault.status_code)
    else:
        answer = refused(request, "unread", fault.status_code, title="unread")
    answer.headers.update(headers)
    return answer


async def _unread(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, RequestValidationError)
    if for_machines(request.url.path):
        # what was sent is not sent back: it may hold what no JSON can
        wrong = [{name: one[name] for name in ("loc", "msg", "type")} for one in fault.errors()]
        return JSONResponse({"detail": jsonable_encoder(wrong)}, 422)
    return refused(request, "unread", 422, title="unread")


async def _failed(request: Request, fault: Exception) -> Response:
    """Nothing is looked up for this page: what it would be looked up in may be what failed."""
    known = isinstance(fault, LedgerError)
    log.error("page failed", path=request.url.path, cause=str(fault), exc_info=not known)
    answer = bare(request.headers, request.url.path, "fault", 503 if known else 500)
    answer.headers.update({**HEADERS, **NO_STORE})
    return answer
