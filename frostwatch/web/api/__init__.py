"""The same use cases for machines: JSON under ``/api``, told by OpenAPI, opened by a token."""

from collections.abc import Callable
from datetime import datetime
from functools import cache
from typing import Any

from fastapi import APIRouter, FastAPI
from fastapi.openapi.utils import get_openapi
from starlette.responses import JSONResponse

from frostwatch import __version__
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.api import handovers, reading, writing
from frostwatch.web.api.room import ApiRoom
from frostwatch.web.routing import take_in

ABOUT = (
    "What frostwatch knows and says about one site, for machines. Every request shows a token of "
    "that site (`frostwatch accounts token SITE --name ...`); its scopes say what it may do. Times "
    "are UTC. All of it is an estimate from a weather forecast and from what was recorded; no "
    "public warning."
)


def install_api(app: FastAPI, ledger: SqlLedger, clock: Callable[[], datetime]) -> None:
    """Put the API into an app."""
    app.state.api = ApiRoom(ledger=ledger, clock=clock)
    take_in(app, _router())
    app.add_api_route(
        "/api/openapi.json", lambda: JSONResponse(_told()), methods=["GET"], include_in_schema=False
    )


@cache
def _router() -> APIRouter:
    router = APIRouter(prefix="/api")
    for part in (reading.router, writing.router, handovers.router):
        router.include_router(part)
    return router


@cache
def _told() -> dict[str, Any]:
    """The description of the API alone, without the pages; made when first asked for."""
    alone = FastAPI(title="frostwatch", version=__version__)
    alone.include_router(_router())
    return get_openapi(
        title="frostwatch", version=__version__, description=ABOUT, routes=alone.routes
    )
