"""The web app: one factory, and the few routes that belong to no page."""

from collections.abc import Awaitable, Callable
from datetime import datetime, timedelta
from functools import partial

from fastapi import FastAPI
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response

from frostwatch.messages.channels import address_fault
from frostwatch.messages.local_outbox import SCHEME
from frostwatch.ports.accounts import Account
from frostwatch.service.demo_stage import Stage
from frostwatch.service.first_look import Scout
from frostwatch.service.planner import Planner
from frostwatch.service.trips import TripDesk
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web import look, own, pages, places, static_files
from frostwatch.web.answers import photos, replies, routes
from frostwatch.web.answers.room import AnswerRoom
from frostwatch.web.api import install_api
from frostwatch.web.calendars import install_calendars
from frostwatch.web.demo import install_demo
from frostwatch.web.door import install_door
from frostwatch.web.rights import Rights, install
from frostwatch.web.rights.desk import demo_account
from frostwatch.web.routing import take_in
from frostwatch.web.set_up import routes as set_up
from frostwatch.web.set_up.room import SetUpRoom


def build_app(
    ledger: SqlLedger,
    clock: Callable[[], datetime],
    *,
    public_url: str = "",
    replies_token: str = "",
    stand_in: Account | None = None,
    demo: Stage | None = None,
    scout: Scout | None = None,
    allow_private: bool = False,
    planner: Planner | None = None,
) -> FastAPI:
    """The app over a ledger.

    Args:
        ledger: where everything is kept.
        clock: the present moment, UTC.
        public_url: web address under which people reach this service, "" for none.
        replies_token: what a gateway shows that hands over replies; "" takes none.
        stand_in: who everybody counts as that is not signed in; for the demo alone.
        demo: the demo that is shown.
        scout: looks at places before they are entered; None where none can be entered here.
        allow_private: whether people may be reached inside this host's own network.
        planner: plans handovers at once; None where only passes do.
    """
    app = FastAPI(title="frostwatch", docs_url=None, redoc_url=None, openapi_url=None)
    rights = Rights(
        access=ledger.access,
        clock=clock,
        secure=public_url.startswith("https:"),
        stand_in=stand_in if demo is None else demo_account(clock()),
    )
    install(app, rights)
    app.state.answers = AnswerRoom(
        ledger=ledger,
        links=ledger.links,
        photos=ledger.photos,
        record=ledger,
        clock=clock,
        trips=TripDesk(plans=ledger.plans, planner=planner),
        public_url=public_url,
        replies_token=replies_token,
    )
    take_in(app, routes.router, photos.router, replies.router)
    take_in(app, static_files.router, look.router, own.router)

    def ahead() -> timedelta:
        return demo.ahead if demo is not None else timedelta(0)

    pages.install(app, ledger, clock, public_url=public_url, planner=planner, ahead=ahead)
    install_calendars(app, ledger)
    if demo is not None:
        install_demo(app, demo, ledger)
    start = "/round" if demo is None else "/demo/yard"
    app.add_api_route("/", _leads_to(start), methods=["GET", "HEAD"], include_in_schema=False)
    app.add_api_route("/healthz", healthy, methods=["GET", "HEAD"], include_in_schema=False)
    app.add_api_route("/favicon.ico", no_picture, methods=["GET", "HEAD"], include_in_schema=False)
    app.add_api_route("/robots.txt", robots, methods=["GET", "HEAD"], include_in_schema=False)
    if scout is not None:
        app.state.set_up = SetUpRoom(
            ledger=ledger,
            scout=scout,
            clock=clock,
            allow_private=allow_private,
            address=public_url,
        )
        take_in(app, set_up.router)
    places.install(
        app,
        ledger,
        public_url=public_url,
        may_enter=scout is not None,
        address_fault=_nothing_is_sent
        if demo is not None
        else partial(address_fault, allow_private=allow_private),
    )
    install_api(app, ledger, clock)
    install_door(app)
    return app


def _nothing_is_sent(address: str) -> str:
    """The demo writes to nobody, whoever is entered in it."""
    return "" if address.startswith(f"{SCHEME}://") else "the demo sends nothing."


def _leads_to(address: str) -> Callable[[], Awaitable[Response]]:
    async def lead() -> Response:
        return RedirectResponse(address, 303)

    return lead


async def healthy() -> Response:
    """The process answers. Whether it does its work, the heartbeat tells."""
    return JSONResponse({"status": "ok"})


async def robots() -> Response:
    """Nothing here is for a search engine."""
    return PlainTextResponse("User-agent: *\nDisallow: /\n")


async def no_picture() -> Response:
    """Browsers ask for it unasked; there is none."""
    return Response(status_code=204, headers={"cache-control": "public, max-age=604800"})
