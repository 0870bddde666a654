"""What a page asks for: its visitor, a right, a form that was checked."""

from collections.abc import AsyncIterator, Callable
from typing import Annotated, Any

from fastapi import Depends, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData
from starlette.responses import Response

from frostwatch.ports.accounts import Role, Session
from frostwatch.web.bare import preferred_language
from frostwatch.web.rights.desk import SEASON_LONG, Rights, rights_of
from frostwatch.web.rights.secret import new_secret, same, token_of, unmasked
from frostwatch.web.rights.visitor import Visitor, WrongFormError

FORM_FIELD = "form_token"
MOST_FIELDS = 2000
MOST_FIELD_BYTES = 2 * 1024 * 1024
"""A pasted list of ten thousand vehicles has 1 MB."""
LONGEST_SECRET = 200


def visitor_of(request: Request) -> Visitor:
    """Whoever asks; looked up once a request."""
    known = getattr(request.state, "visitor", None)
    if known is None:
        known = request.state.visitor = _look_up(request, rights_of(request))
    found: Visitor = known
    return found


AnyVisitor = Annotated[Visitor, Depends(visitor_of)]
"""A visitor who may be nobody."""


def require(role: Role, site: str | Callable[[Request], str] = "site") -> Any:
    """A dependency: the visitor, who may do at a site what ``role`` may.

    Args:
        role: least role.
        site: name of the part of the path that holds the site's key, or a function of the request
            that finds it.

    The dependency raises NotSignedInError or NotForYouError, which the app answers.
    """

    def asked(request: Request) -> Visitor:
        visitor = visitor_of(request)
        visitor.signed_in()
        key = site(request) if callable(site) else str(request.path_params[site])
        visitor.must(role, key)
        return visitor

    return Depends(asked)


def form_token(request: Request) -> str:
    """What a form of this page carries in its field ``form_token``.

    It is worked out from the session's secret, or from that of a cookie which a browser without
    a session is given now.
    """
    rights = rights_of(request)
    if visitor_of(request).session is not None:
        return token_of(_held(request, rights.cookie))
    secret = _held(request, rights.form_cookie) or getattr(request.state, "form_secret", "")
    if not secret:
        secret = request.state.form_secret = new_secret()  # several forms of a page share it
        response = Response()
        response.set_cookie(
            rights.form_cookie,
            secret,
            path="/",
            secure=rights.secure,
            httponly=True,
            samesite="lax",
        )
        request.scope["state"]["cookies"].append(response.headers["set-cookie"])
    return token_of(secret)


async def checked_form(request: Request) -> FormData:
    """The form that was sent, if it came from a page shown to whoever sends it.

    Raises:
        WrongFormError: it did not.
    """
    visitor = await run_in_threadpool(visitor_of, request)
    rights = rights_of(request)
    secret = _held(request, rights.cookie if visitor.session else rights.form_cookie)
    form = await request.form(max_fields=MOST_FIELDS, max_part_size=MOST_FIELD_BYTES)
    sent = form.get(FORM_FIELD)
    if not secret or not isinstance(sent, str) or not same(unmasked(sent), token_of(secret)):
        raise WrongFormError("Load the page again and send it once more.")
    return form


async def _checked_and_closed(request: Request) -> AsyncIterator[FormData]:
    """The same; its files are closed behind it."""
    form = await checked_form(request)
    try:
        yield form
    finally:
        await form.close()


CheckedForm = Annotated[FormData, Depends(_checked_and_closed)]


def sign_device_in(response: Response, rights: Rights, session: Session, secret: str) -> None:
    """Give a device the secret of its session."""
    response.set_cookie(
        rights.cookie,
        secret,
        max_age=int(SEASON_LONG.total_seconds()) if session.lasting else None,
        path="/",
        secure=rights.secure,
        httponly=True,
        samesite="lax",
    )


def sign_device_out(response: Response, rights: Rights) -> None:
    """Take the secret of its session from a device."""
    response.delete_cookie(
        rights.cookie, path="/", secure=rights.secure, httponly=True, samesite="lax"
    )


def address_of(request: Request) -> str:
    """Where a request comes from; behind a proxy, what the server was told to believe of it."""
    return request.client.host if request.client is not None else ""


def _look_up(request: Request, rights: Rights) -> Visitor:
    secret = _held(request, rights.cookie)
    session = rights.session_of(secret) if secret else None
    account = session.account if session is not None else rights.stand_in
    return Visitor(
        account=account,
        session=session,
        language=account.language if account is not None else preferred_language(request.headers),
    )


def _held(request: Request, cookie: str) -> str:
    return request.cookies.get(cookie, "")[:LONGEST_SECRET]
