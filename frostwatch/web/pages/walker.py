"""Who walks a round: somebody signed in, or whoever holds its six figures and says a name."""

from dataclasses import dataclass
from urllib.parse import quote, unquote

from fastapi import Request
from starlette.responses import Response

from frostwatch.ports.accounts import Role
from frostwatch.ports.pages import WalkFile
from frostwatch.storage.round_rows import WALKED_FOR
from frostwatch.web.pages.room import room_of
from frostwatch.web.rights import Visitor
from frostwatch.web.rights.asking import address_of
from frostwatch.web.rights.desk import rights_of
from frostwatch.web.rights.limits import code_doors
from frostwatch.web.rights.names import doubt_about

COOKIE = "frostwatch-walker"
LONGEST_NAME = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Walker:
    """Whoever walks.

    Attributes:
        name: under which the record is written, "" where nobody said it yet.
        crew: they are signed in and may walk rounds at the site.
    """

    name: str
    crew: bool


def open_walk(
    request: Request, visitor: Visitor, code: str, *, afterwards: bool = False
) -> WalkFile | None:
    """The round of that code, to those who walk at its site and to whoever knows its figures.

    Figures that belong to no round count as a failed try, as do those of a round that is over.

    Args:
        request: the request.
        visitor: who asks.
        code: the figures.
        afterwards: also where it was handed back meanwhile; for what a phone brings later and what
            shows nothing.

    Raises:
        TooManyTriesError: too many figures were tried.
    """
    room, rights = room_of(request), rights_of(request)
    now = room.clock()
    doors = code_doors(address_of(request), "round", short=True)
    known = is_code(code)
    file = room.pages.walk(code) if known else None
    if file is not None and visitor.may(Role.CREW, file.round.site):
        return file
    rights.limits.refuse_if_shut(doors, now)
    over = file is not None and (
        now - file.round.made_at > WALKED_FOR
        or (file.round.handed_back_at is not None and not afterwards)
    )
    if file is None or over:
        rights.limits.failed(doors, now)
        return None
    return file


def is_code(text: str) -> bool:
    """Whether a text can be the code of a round."""
    return len(text) == 6 and text.isascii() and text.isdigit()


def walker_of(request: Request, visitor: Visitor, file: WalkFile) -> Walker:
    """Who walks."""
    account = visitor.account
    if account is not None and visitor.may(Role.CREW, file.round.site):
        return Walker(name=account.person or account.name, crew=True)
    name = unquote(request.cookies.get(COOKIE, ""))
    return Walker(name=name if fits(name) else "", crew=False)


def fits(name: str) -> bool:
    """Whether a name can stand in the record."""
    return doubt_about(name, longest=LONGEST_NAME) is None


def keep_name(request: Request, response: Response, name: str) -> None:
    """Remember on this device who walks, for a day and a half."""
    response.set_cookie(
        COOKIE,
        quote(name),
        max_age=int(WALKED_FOR.total_seconds()),
        path="/walk",
        secure=rights_of(request).secure,
        httponly=True,
        samesite="lax",
    )
