"""Light, dark, or as the device says: chosen on a phone or desk, kept there and nowhere else.

The choice is a cookie, so that it serves whoever has no account too: an owner behind a link, a
yard hand with the six figures of a round.
"""

from datetime import timedelta
from enum import StrEnum
from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.web.rights.desk import rights_of
from frostwatch.web.way_back import inside

COOKIE = "frostwatch-look"
KEPT_FOR = timedelta(days=365)

router = APIRouter(include_in_schema=False)


class Look(StrEnum):
    """How the pages look on a screen; paper is always light."""

    DEVICE = "device"
    LIGHT = "light"
    DARK = "dark"


def look_of(request: Request) -> Look:
    """What was chosen on this device; as the device says where nothing was."""
    kept = request.cookies.get(COOKIE, "")
    return Look(kept) if kept in set(Look) else Look.DEVICE


def keep_on_device(request: Request, response: Response, cookie: str, value: str) -> None:
    """Keep a choice on this device for a year; "" takes it back."""
    secure = rights_of(request).secure
    if not value:
        response.delete_cookie(cookie, path="/", secure=secure, httponly=True, samesite="lax")
        return
    response.set_cookie(
        cookie,
        value,
        max_age=int(KEPT_FOR.total_seconds()),
        path="/",
        secure=secure,
        httponly=True,
        samesite="lax",
    )


@router.post("/look")
def choose(
    request: Request,
    look: Annotated[str, Form(max_length=20)] = "",
    next: Annotated[str, Form(max_length=500)] = "",
) -> Response:
    """Choose how the pages look here.

    No token is asked: nothing is changed but the sender's own screen, and forms of other sites'
    pages are turned away before.
    """
    answer = RedirectResponse(inside(next), 303, headers={"cache-control": "no-store"})
    keep_on_device(request, answer, COOKIE, look if look in (Look.LIGHT, Look.DARK) else "")
    return answer
