"""The pages of crew and office: round, walk, vehicle, roll, leave alone, and what is printed."""

from collections.abc import Callable
from datetime import datetime

from fastapi import FastAPI

from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.pages import handovers, roll, round, sheet, vehicle, walk, walk_phone
from frostwatch.web.pages.room import Room

ROUTERS = (
    round.router,
    handovers.router,
    roll.router,
    vehicle.router,
    walk.router,
    walk_phone.router,
    sheet.router,
)


def install(
    app: FastAPI, ledger: SqlLedger, clock: Callable[[], datetime], *, public_url: str = ""
) -> None:
    """Put the pages into an app.

    Args:
        app: the app; its rights are installed already.
        ledger: where everything is kept.
        clock: the present moment, UTC.
        public_url: web address under which people reach this service, "" for none.
    """
    app.state.room = Room(
        pages=ledger.pages,
        rounds=ledger.rounds,
        plans=ledger.plans,
        records=ledger,
        outbox=ledger.outbox,
        clock=clock,
        public_url=public_url,
    )
    for router in ROUTERS:
        app.include_router(router, include_in_schema=False)
