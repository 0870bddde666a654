"""What the API works with, and whose token opens it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any

from fastapi import Depends, HTTPException, Request
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer

from frostwatch.fleet.sites import Site
from frostwatch.ports.accounts import Scope, Token
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.rights.asking import address_of
from frostwatch.web.rights.desk import rights_of
from frostwatch.web.rights.limits import code_doors
from frostwatch.web.rights.secret import digest_of

bearer = HTTPBearer(auto_error=False, description="A token of one site: fw_...")
Shown = Annotated[HTTPAuthorizationCredentials | None, Depends(bearer)]
LONGEST_TOKEN = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class ApiRoom:
    """What the API works with.

    Attributes:
        ledger: what is known, decided and said.
        clock: the present moment, UTC.
    """

    ledger: SqlLedger
    clock: Callable[[], datetime]


@dataclass(frozen=True, slots=True, kw_only=True)
class Caller:
    """A machine that asks.

    Attributes:
        room: what the API works with.
        token: what it showed.
        site: the site of its token.
        now: the moment, UTC.
    """

    room: ApiRoom
    token: Token
    site: Site
    now: datetime


def caller(scope: Scope) -> Any:
    """A dependency: the machine that asks, if its token has that scope.

    The answer is 401 without a token in force, 403 without the scope, 429 after too many tries.
    """

    def asked(request: Request, shown: Shown) -> Caller:
        room: ApiRoom = request.app.state.api
        rights, now = rights_of(request), room.clock()
        doors = code_doors(address_of(request), "token")
        rights.limits.refuse_if_shut(doors, now)
        secret = shown.credentials[:LONGEST_TOKEN] if shown is not None else ""
        token = room.ledger.access.tokens.find(digest_of(secret), now) if secret else None
        if token is None:
            if secret:
                rights.limits.failed(doors, now)
            raise HTTPException(
                401,
                "Show a token of the site as a bearer token.",
                {"www-authenticate": "Bearer"},
            )
        if scope not in token.scopes:
            raise HTTPException(403, f"This token has not the scope {scope.value}.")
        sites = room.ledger.load(now, sites=[token.site]).sites
        room.ledger.access.tokens.note_used(token, now)
        return Caller(room=room, token=token, site=sites[0], now=now)

    return Depends(asked)


REFUSALS: dict[int | str, dict[str, Any]] = {
    401: {"description": "No token in force was shown."},
    403: {"description": "The token has not the scope."},
    429: {"description": "Too many tokens were tried from there; wait a quarter of an hour."},
}
NOT_THERE: dict[int | str, dict[str, Any]] = {404: {"description": "The site has no such thing."}}
