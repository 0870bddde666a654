"""One vehicle on an occasion: a move, a frost, in use, heated, a trip; and what made it wet."""

from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from starlette.responses import HTMLResponse

from frostwatch.errors import FrostwatchError, NoForecastError
from frostwatch.ports.accounts import Role
from frostwatch.ports.pages import VehicleFile
from frostwatch.service.occasions import Advice
from frostwatch.service.recording import WETTINGS
from frostwatch.web.pages.issue import credit_line, issue_line
from frostwatch.web.pages.room import place_of, render, room_of, tongue_of
from frostwatch.web.pages.vehicle_now import vehicle_now
from frostwatch.web.rights import AnyVisitor, NotForYouError, Visitor

router = APIRouter()
TOPICS = ("transport", "thaw", "in-use", "hold", "going")
ASK_WHEN = frozenset({"transport", "going"})
"""What hangs on an hour that somebody says."""


def _file(request: Request, visitor: Visitor, key: str, role: Role) -> VehicleFile:
    visitor.signed_in()
    room = room_of(request)
    file = room.pages.vehicle(key, room.clock())
    if file is None:
        raise NotForYouError
    visitor.must(role, file.site.key)
    return file


def _page(
    request: Request, visitor: Visitor, file: VehicleFile, template: str, **values: Any
) -> HTMLResponse:
    now = room_of(request).clock()
    yard = vehicle_now(file, now).yard
    tongue = tongue_of(visitor, file.site, now)
    vehicle = file.vehicle
    return render(
        request,
        template,
        tongue=tongue,
        visitor=visitor,
        place=place_of(request, visitor, file.site.key),
        here="vehicle",
        issue=issue_line(yard, tongue),
        credit=credit_line(yard),
        key=vehicle.key,
        bay=vehicle.name or vehicle.bay or vehicle.key,
        may_record=visitor.may(Role.CREW, file.site.key),
        **values,
    )


@router.get("/v/{key}/wet")
def wet_page(request: Request, visitor: AnyVisitor, key: str) -> HTMLResponse:
    """What made it wet: one press each."""
    file = _file(request, visitor, key, Role.CREW)
    return _page(request, visitor, file, "wet.html", wettings=WETTINGS)


@router.get("/v/{key}/advice/{topic}")
def advice_page(
    request: Request,
    visitor: AnyVisitor,
    key: str,
    topic: str,
    at: Annotated[str, Query(max_length=40)] = "",
) -> HTMLResponse:
    """What to do with it on an occasion, with the cautions that belong to it."""
    file = _file(request, visitor, key, Role.VIEWER)
    if topic not in TOPICS or (topic == "hold" and file.vehicle.hold is None):
        raise NotForYouError
    moment = _moment(at, file)
    advice, why = None, ""
    planner, now = room_of(request).planner, room_of(request).clock()
    tongue = tongue_of(visitor, file.site, now)
    try:
        if planner is not None:
            advice = planner.advise(topic, key, now, visitor.language, at=moment)
    except NoForecastError:
        why = str(tongue("occasion.no_forecast"))
    except FrostwatchError as fault:
        why = str(tongue.fault(fault))
    local = (moment or now).astimezone(file.site.zone)
    return _page(
        request,
        visitor,
        file,
        "occasion.html",
        topic=topic,
        topics=[one for one in TOPICS if one != "hold" or file.vehicle.hold is not None],
        advice=advice or Advice(lines=(), hazards=(), foot=""),
        why=why,
        asks=topic in ASK_WHEN,
        at=f"{local:%Y-%m-%dT%H:%M}",
    )


def _moment(text: str, file: VehicleFile) -> datetime | None:
    """The hour that is asked about, UTC; None for now, or where it cannot be read."""
    try:
        said = datetime.fromisoformat(text)
        local = said if said.tzinfo else said.replace(tzinfo=file.site.zone)
        return local.astimezone(file.site.zone).astimezone(UTC)
    except (ValueError, OverflowError):
        return None
