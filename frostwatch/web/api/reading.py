"""What machines may read of a site: itself, its vehicles, their nights, round and messages."""

import re
from datetime import datetime, timedelta
from typing import Annotated

from fastapi import APIRouter, HTTPException, Path, Query

from frostwatch.ports.accounts import Scope
from frostwatch.web.api.room import NOT_THERE, REFUSALS, Caller, caller
from frostwatch.web.api.shapes import (
    ItemOut,
    MessageOut,
    NightOut,
    RoundOut,
    SiteOut,
    StopOut,
    VehicleOut,
    vehicle_out,
)
from frostwatch.web.pages.yard_now import YardNow, yard_now

router = APIRouter(responses=REFUSALS)
Key = Annotated[str, Path(max_length=100, description="Key of the vehicle.")]
MOST_DAYS = 200
_CODE = re.compile(r"/a/[0-9a-z]{13}")


def _now(asks: Caller) -> YardNow:
    yard = asks.room.ledger.pages.yard(asks.site.key, asks.now)
    if yard is None:
        raise HTTPException(404, "The site is not entered any more.")
    return yard_now(yard, asks.now)


@router.get("/sites", operation_id="sites")
def sites(asks: Annotated[Caller, caller(Scope.SITES)]) -> list[SiteOut]:
    """The site of the token."""
    site = asks.site
    return [
        SiteOut(
            key=site.key,
            name=site.name,
            kind=site.kind,
            latitude_deg=site.latitude_deg,
            longitude_deg=site.longitude_deg,
            height_m=site.height_m,
            time_zone=site.time_zone,
            bays=site.bays,
            crew=site.crew,
        )
    ]


@router.get("/vehicles", operation_id="vehicles")
def vehicles(asks: Annotated[Caller, caller(Scope.VEHICLES)]) -> list[VehicleOut]:
    """Every vehicle of the site in walking order: what it holds, what there is to do, by when."""
    return [vehicle_out(line) for line in _now(asks).lines]


@router.get("/vehicles/{key}", operation_id="vehicle", responses=NOT_THERE)
def vehicle(key: Key, asks: Annotated[Caller, caller(Scope.VEHICLES)]) -> VehicleOut:
    """One vehicle."""
    for line in _now(asks).lines:
        if line.vehicle.key == key:
            return vehicle_out(line)
    raise HTTPException(404, "The site has no vehicle of that key.")


@router.get("/vehicles/{key}/night", operation_id="night", responses=NOT_THERE)
def night(key: Key, asks: Annotated[Caller, caller(Scope.NIGHTS)]) -> NightOut:
    """The coming night of one vehicle, item by item, the first to freeze first."""
    file = asks.room.ledger.pages.vehicle(key, asks.now) if "\0" not in key else None
    if file is None or file.site.key != asks.site.key:
        raise HTTPException(404, "The site has no vehicle of that key.")
    if file.night is None:
        raise HTTPException(404, "It is dry, or there was no forecast at the last pass.")
    shown = file.night
    return NightOut(
        vehicle=shown.vehicle,
        made_at=shown.made_at,
        issued_at=shown.issued_at,
        coldest_at=shown.coldest_at,
        morning_at=shown.morning_at,
        items=[ItemOut.model_validate(item) for item in shown.items],
    )


@router.get("/round", operation_id="round", responses=NOT_THERE)
def walked_round(asks: Annotated[Caller, caller(Scope.ROUNDS)]) -> RoundOut:
    """The round that is walked at the site, with what was pressed at each stop."""
    now = _now(asks)
    walk = now.yard.round
    if walk is None:
        raise HTTPException(404, "No round is walked at the site.")
    pressed = {line.vehicle.key: line.press for line in now.lines}
    stops = []
    for walked in walk.stops:
        stop = walked.stop
        press = pressed.get(stop.vehicle)
        stops.append(
            StopOut(
                vehicle=stop.vehicle,
                bay=stop.bay,
                job=stop.job,
                minutes=stop.minutes,
                act_by=stop.act_by,
                pressed=press.kind.value if press is not None else None,
                pressed_at=press.at if press is not None else None,
                by=press.by if press is not None else None,
            )
        )
    return RoundOut(
        made_at=walk.made_at,
        by=walk.by,
        issued_at=walk.issued_at,
        act_by=walk.act_by,
        minutes=walk.minutes,
        stops=stops,
    )


@router.get("/messages", operation_id="messages")
def messages(
    asks: Annotated[Caller, caller(Scope.MESSAGES)],
    days: Annotated[float, Query(ge=0, le=MOST_DAYS, description="How far back.")] = 14.0,
) -> list[MessageOut]:
    """What was said about the site, oldest first; without addresses, and without links' codes."""
    since: datetime = asks.now - timedelta(days=days)
    return [
        MessageOut(
            to=row.message.recipient,
            channel=row.message.channel,
            kind=row.message.kind,
            text=_CODE.sub("/a/...", row.message.short),
            queued_at=row.queued_at,
            status=row.status,
            sent_at=row.sent_at,
        )
        for row in asks.room.ledger.outbox.listed(since=since, site=asks.site.key)
    ]
