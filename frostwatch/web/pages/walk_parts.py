"""What the walk shows: its page, the figures that open it, who walks; and how a press is taken."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import Request
from starlette.responses import HTMLResponse

from frostwatch.advice.marks import vessel_of
from frostwatch.advice.walk import Obstacle, PressKind, WalkRound
from frostwatch.advice.walk_entries import at_arrival
from frostwatch.errors import FrostwatchError, RecordError
from frostwatch.fleet.vehicles import Circuit
from frostwatch.ports.pages import WalkFile
from frostwatch.service.walking import Pressed, take_press
from frostwatch.told import told
from frostwatch.web.pages.room import Room, render, room_of
from frostwatch.web.pages.rows import named
from frostwatch.web.pages.walk_state import embedded, walk_state
from frostwatch.web.pages.walk_view import WalkView, walk_view
from frostwatch.web.pages.walker import Walker
from frostwatch.web.photo_answers import TAKES
from frostwatch.web.rights import Visitor, form_token
from frostwatch.web.rights.secret import masked
from frostwatch.web.words import Tongue

ASKS = ("part", "why")
"""What may be opened at the stop one stands at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """A press that was refused, as it was entered: nothing typed is lost.

    Attributes:
        stop: key of the vehicle.
        ask: what was open at the stop, "" for neither.
        vessels: what was ticked.
        note: free words.
    """

    stop: str = ""
    ask: str = ""
    vessels: tuple[str, ...] = ()
    note: str = ""


def circuits_of(walk: WalkRound, vehicle: str, vessels: list[str]) -> tuple[Circuit, ...]:
    """Circuits of a stop that belong to these vessels."""
    stop = walk.stop_of(vehicle)
    named = [wet.circuit for wet in stop.stop.wet] if stop is not None else []
    return tuple(circuit for circuit in named if vessel_of(circuit) in vessels)


def take(room: Room, file: WalkFile, pressed: Pressed, walker: Walker) -> bool:
    """Keep a press; returns whether it was new.

    Raises:
        RecordError: it does not hold together, or the vehicle is not entered or on this round.
        FleetError: the vehicle's layout does not hold together.
    """
    vehicle = file.vehicles.get(pressed.vehicle)
    if vehicle is None:
        raise RecordError(told("not_entered", vehicle=pressed.vehicle[:40]))
    now = room.clock()
    new = take_press(room.rounds, file.round, pressed, vehicle, by=walker.name, now=now)
    if new and pressed.kind is not PressKind.UNDO:
        at, _ = at_arrival(pressed.at, pressed.sent_at, now)
        entry = room.photos.entry_of(vehicle.key, at, now)
        room.photos.belong(vehicle.key, round=file.round.code, by=walker.name, entry=entry)
    return new


def tongue_for(visitor: Visitor, file: WalkFile, room: Room) -> Tongue:
    """The walker's language at the site of a round."""
    return Tongue(language=visitor.language, zone=file.site.zone, now=room.clock())


def walk_page_of(
    request: Request,
    visitor: Visitor,
    file: WalkFile,
    walker: Walker,
    *,
    fault: FrostwatchError | None = None,
    again: Again | None = None,
    status: int = 200,
) -> HTMLResponse:
    """A round on its way, its end, or that it was handed back.

    Args:
        request: the request; its query names the stop one wants to stand at.
        visitor: who asks.
        file: the round.
        walker: who walks.
        fault: why the last press was not kept, None if it was.
        again: that press as it was entered; None where nothing is to be put right.
        status: HTTP status.
    """
    room = room_of(request)
    tongue = tongue_for(visitor, file, room)
    again = again or Again(
        stop=request.query_params.get("stop", "") or _after(request, file),
        ask=request.query_params.get("do", ""),
    )
    view = walk_view(file, tongue, stop=again.stop)
    template = "walk_closed.html" if view.closed else "walk.html"
    return render(
        request,
        template,
        tongue=tongue,
        visitor=visitor,
        place=None,
        status=status,
        here="walk",
        walk=view,
        walker=walker,
        state=embedded(state_of(request, file, walker, view, tongue)),
        site=file.site,
        ask=again.ask if again.ask in ASKS else "",
        again=again,
        why=tongue.fault(fault) if fault is not None else "",
        takes=TAKES,
        obstacles=[(one.value, tongue.words.obstacles[one]) for one in Obstacle],
        new_id=lambda: secrets.token_hex(12),
    )


def fresh_state(
    request: Request, visitor: Visitor, file: WalkFile, walker: Walker
) -> Mapping[str, Any]:
    """The round as a phone keeps it, worked out for this minute."""
    tongue = tongue_for(visitor, file, room_of(request))
    return state_of(request, file, walker, walk_view(file, tongue), tongue)


def state_of(
    request: Request, file: WalkFile, walker: Walker, view: WalkView, tongue: Tongue
) -> Mapping[str, Any]:
    """The round as a phone keeps it, from a view of it."""
    return walk_state(
        view,
        tongue,
        walker=named(walker.name, file.people),
        ahead=room_of(request).ahead(),
        token=masked(form_token(request)),
    )


def _after(request: Request, file: WalkFile) -> str:
    """The first open stop behind the one that was pressed last."""
    here = file.round.stop_of(request.query_params.get("after", ""))
    if here is None:
        return ""
    gone = {press.undoes for press in file.presses if press.kind is PressKind.UNDO}
    done = {
        press.vehicle
        for press in file.presses
        if press.kind is not PressKind.UNDO and press.id not in gone
    }
    behind = (stop.stop.vehicle for stop in file.round.stops if stop.number > here.number)
    return next((vehicle for vehicle in behind if vehicle not in done), "")


def code_page_of(request: Request, visitor: Visitor, *, wrong: bool = False) -> HTMLResponse:
    """Where the six figures of a round are typed."""
    return _small(request, visitor, "walk_code.html", wrong=wrong)


def who_page_of(
    request: Request, visitor: Visitor, file: WalkFile, *, wrong: bool = False
) -> HTMLResponse:
    """Where somebody without an account says who walks."""
    return _small(request, visitor, "walk_who.html", wrong=wrong, code=file.round.code)


def _small(
    request: Request, visitor: Visitor, template: str, *, wrong: bool, **values: object
) -> HTMLResponse:
    tongue = Tongue(language=visitor.language, zone=ZoneInfo("UTC"), now=room_of(request).clock())
    return render(
        request,
        template,
        tongue=tongue,
        visitor=visitor,
        place=None,
        status=404 if wrong else 200,
        here="walk",
        wrong=wrong,
        **values,
    )
