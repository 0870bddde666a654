"""Machines that may ask about a place: tokens, shown once."""

import re
from datetime import timedelta

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.ports.accounts import Scope
from frostwatch.web.places.room import PlaceDesk, desk_at
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError
from frostwatch.web.rights.names import doubt_about
from frostwatch.web.set_up.fault import Fault

router = APIRouter()
MOST_DAYS = 3650


@router.get("/place/{site}/tokens")
def tokens_page(request: Request, visitor: AnyVisitor, site: str) -> Response:
    """Which machines may ask about the place."""
    return _page(desk_at(request, visitor, site))


@router.post("/place/{site}/tokens")
def make(request: Request, visitor: AnyVisitor, site: str, form: CheckedForm) -> Response:
    """Make a token; its secret is on this answer and never again."""
    desk = desk_at(request, visitor, site)
    name, days = (str(form.get(field, ""))[:254].strip() for field in ("name", "days"))
    scopes = [str(one) for one in form.getlist("scope")]
    faults = []
    doubt = doubt_about(name)
    if doubt is not None:
        faults.append(Fault(field="name", key=f"set.text_{doubt.value}"))
    if not scopes or not set(scopes) <= set(Scope):
        faults.append(Fault(field="scope", key="tokens.no_scope"))
    if days and not (re.fullmatch("[0-9]{1,4}", days) and 1 <= int(days) <= MOST_DAYS):
        faults.append(Fault(field="days", key="tokens.days_range", values={"most": MOST_DAYS}))
    if faults:
        return _page(desk, typed=(name, scopes, days), faults=tuple(faults), status=422)
    secret = desk.rights.new_token(
        desk.site.key,
        name,
        frozenset(Scope(one) for one in scopes),
        holds=timedelta(days=int(days)) if days else None,
    )
    return _page(desk, made=(name, secret))


@router.post("/place/{site}/tokens/{number}/withdraw")
def withdraw(
    request: Request, visitor: AnyVisitor, site: str, number: int, form: CheckedForm
) -> Response:
    """Make a token void."""
    desk = desk_at(request, visitor, site)
    tokens = desk.rights.access.tokens
    if number not in {token.id for token in tokens.listed(desk.site.key)}:
        raise NotForYouError
    tokens.remove(number)
    return RedirectResponse(f"{desk.address}/tokens", 303, headers={"cache-control": "no-store"})


def _page(
    desk: PlaceDesk,
    *,
    typed: tuple[str, list[str], str] | None = None,
    faults: tuple[Fault, ...] = (),
    made: tuple[str, str] | None = None,
    status: int = 200,
) -> Response:
    reading = [scope.value for scope in Scope if scope.value.startswith("read:")]
    name, scopes, days = typed or ("", reading, "")
    return desk.page(
        "place_tokens.html",
        part="tokens",
        status=status,
        faults=faults,
        tokens=desk.rights.access.tokens.listed(desk.site.key),
        all_scopes=[scope.value for scope in Scope],
        name=name,
        scopes=scopes,
        days=days,
        made=made,
    )
