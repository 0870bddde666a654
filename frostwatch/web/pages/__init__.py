"""The pages of crew and office: round, walk, vehicle, roll, leave alone, and what is printed."""

from collections.abc import Callable
from datetime import datetime, timedelta

from fastapi import FastAPI

from frostwatch.service.planner import Planner
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.pages import (
    calendar,
    handbook,
    handover_hour,
    handovers,
    occasion,
    owners,
    photos,
    roll,
    round,
    sheet,
    stands,
    vehicle,
    walk,
    walk_phone,
    walk_photos,
)
from frostwatch.web.pages.room import Room
from frostwatch.web.routing import take_in

ROUTERS = (
    round.router,
    owners.router,
    handover_hour.router,
    handovers.router,
    roll.router,
    occasion.router,
    vehicle.router,
    handbook.router,
    stands.router,
    photos.router,
    walk.router,
    walk_phone.router,
    walk_photos.router,
    sheet.router,
    calendar.router,
)


def install(
    app: FastAPI,
    ledger: SqlLedger,
    clock: Callable[[], datetime],
    *,
    public_url: str = "",
    planner: Planner | None = None,
    ahead: Callable[[], timedelta] = timedelta,
) -> None:
    """Put the pages into an app.

    Args:
        app: the app; its rights are installed already.
        ledger: where everything is kept.
        clock: the present moment, UTC.
        public_url: web address under which people reach this service, "" for none.
        planner: plans and advises at once; None where only passes do.
        ahead: how far that clock runs before the clocks of devices.
    """
    app.state.room = Room(
        pages=ledger.pages,
        rounds=ledger.rounds,
        plans=ledger.plans,
        records=ledger,
        vehicles=ledger,
        photos=ledger.photos,
        letters=ledger,
        outbox=ledger.outbox,
        clock=clock,
        public_url=public_url,
        planner=planner,
        ahead=ahead,
    )
    take_in(app, *ROUTERS)
