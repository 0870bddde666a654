"""Walk: a gloved hand in the dark knows the bay, the key, the job and the one button."""

import secrets
from collections.abc import Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import quote
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Request
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from frostwatch.advice.marks import vessel_of
from frostwatch.advice.walk import NOTE_MOST, Obstacle, PressKind, WalkRound
from frostwatch.errors import FleetError, FrostwatchError, RecordError
from frostwatch.fleet.vehicles import Circuit
from frostwatch.ports.pages import WalkFile
from frostwatch.service.walking import Pressed, go_on, hand_back, settle, take_press
from frostwatch.web.pages.room import Room, render, room_of
from frostwatch.web.pages.rows import named
from frostwatch.web.pages.walk_sending import pressed_of, presses_in, reason
from frostwatch.web.pages.walk_state import embedded, walk_state
from frostwatch.web.pages.walk_view import WalkView, walk_view
from frostwatch.web.pages.walker import (
    Walker,
    fits,
    is_code,
    keep_name,
    open_walk,
    walker_of,
)
from frostwatch.web.rights import AnyVisitor, CheckedForm, Visitor, form_token
from frostwatch.web.rights.names import doubt_about
from frostwatch.web.rights.secret import masked
from frostwatch.web.words import Tongue

router = APIRouter()
ASKS = ("part", "why")
"""What may be opened at the stop one stands at."""


@router.get("/walk")
def code_page(request: Request, visitor: AnyVisitor) -> HTMLResponse:
    """Where the six figures of a round are typed."""
    return _code_page(request, visitor)


@router.post("/walk")
def open_by_code(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Open the round whose figures were typed; blanks between them do no harm."""
    code = "".join(str(form.get("code", "")).split())
    if is_code(code):
        return RedirectResponse(f"/walk/{code}", status_code=303)
    return _code_page(request, visitor, wrong=True)


@router.get("/walk/{code}")
def walk_page(request: Request, visitor: AnyVisitor, code: str) -> HTMLResponse:
    """A round on its way, or its end."""
    file = open_walk(request, visitor, code)
    if file is None:
        return _code_page(request, visitor, wrong=True)
    walker = walker_of(request, visitor, file)
    if not walker.name:
        return _who_page(request, visitor, file)
    room = room_of(request)
    newer = go_on(room.rounds, file.round, file.board, room.clock())
    if newer is not file.round:
        file = room.pages.walk(code) or file
    return _page(request, visitor, file, walker)


@router.post("/walk/{code}/who")
def say_who(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Remember who walks on this device."""
    file = open_walk(request, visitor, code)
    if file is None:
        return _code_page(request, visitor, wrong=True)
    name = str(form.get("name", "")).strip()
    if not fits(name):
        return _who_page(request, visitor, file, wrong=True)
    answer = RedirectResponse(f"/walk/{code}", status_code=303)
    keep_name(request, answer, name)
    return answer


@router.post("/walk/{code}/press")
def press(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Keep one press; then the next stop is open."""
    file = open_walk(request, visitor, code)
    if file is None:
        return _code_page(request, visitor, wrong=True)
    walker = walker_of(request, visitor, file)
    if not walker.name:
        return _who_page(request, visitor, file)
    room = room_of(request)
    try:
        pressed = _pressed(form, file.round, room)
        _take(room, file, pressed, walker)
    except FrostwatchError as fault:
        return _page(request, visitor, file, walker, why=str(fault), status=422)
    return RedirectResponse(f"/walk/{code}{_next(file.round, pressed)}#here", status_code=303)


@router.get("/walk/{code}/state")
def state(request: Request, visitor: AnyVisitor, code: str) -> Response:
    """The round as a phone keeps it, with what its next sending shows."""
    file = open_walk(request, visitor, code)
    walker = walker_of(request, visitor, file) if file is not None else None
    if file is None or walker is None or not walker.name:
        return JSONResponse({"closed": file is None}, 404)
    room = room_of(request)
    newer = go_on(room.rounds, file.round, file.board, room.clock())
    if newer is not file.round:
        file = room.pages.walk(code) or file
    return JSONResponse(_fresh_state(request, visitor, file, walker))


@router.post("/walk/{code}/presses")
def presses(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Keep what a phone had kept; whatever is known already is not kept again."""
    file = open_walk(request, visitor, code)
    walker = walker_of(request, visitor, file) if file is not None else None
    if file is None or walker is None or not walker.name:
        return JSONResponse({"closed": file is None}, 404)
    room = room_of(request)
    kept, refused = [], {}
    try:
        sent = presses_in(str(form.get("presses", "")))
    except RecordError as fault:
        return JSONResponse({"refused": {"": reason(fault)}}, 422)
    for one in sent:
        try:
            pressed, vessels = pressed_of(one, str(form.get("sent_at", "")))
            if pressed.kind is PressKind.PART:
                circuits = _circuits(file.round, pressed.vehicle, list(vessels))
                pressed = replace(pressed, circuits=circuits)
            _take(room, file, pressed, walker)
            kept.append(pressed.id)
        except (RecordError, FleetError) as fault:
            refused[str(one["id"])] = reason(fault)
    file = room.pages.walk(code) or file
    return JSONResponse(
        {"kept": kept, "refused": refused, "state": _fresh_state(request, visitor, file, walker)}
    )


@router.post("/walk/{code}/settle")
def settle_two(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Say which of two records is so."""
    file = open_walk(request, visitor, code)
    if file is None:
        return _code_page(request, visitor, wrong=True)
    walker = walker_of(request, visitor, file)
    if not walker.name:
        return _who_page(request, visitor, file)
    room = room_of(request)
    vehicle = file.vehicles.get(str(form.get("vehicle", "")))
    so = str(form.get("so", ""))
    try:
        if vehicle is None or so not in ("emptied", "not"):
            raise RecordError("Say of which vehicle what is so.")
        settle(
            room.rounds,
            file.round,
            file.presses,
            vehicle,
            emptied=so == "emptied",
            by=walker.name,
            now=room.clock(),
        )
    except FrostwatchError as fault:
        return _page(request, visitor, file, walker, why=str(fault), status=422)
    return RedirectResponse(f"/walk/{code}", status_code=303)


@router.post("/walk/{code}/back")
def back(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """The round is over."""
    file = open_walk(request, visitor, code)
    if file is None:
        return _code_page(request, visitor, wrong=True)
    walker = walker_of(request, visitor, file)
    if not walker.name:
        return _who_page(request, visitor, file)
    room = room_of(request)
    over = hand_back(room.rounds, file.round, room.clock())
    if walker.crew:
        return RedirectResponse(f"/walk/{over.code}", status_code=303)
    return _page(request, visitor, room.pages.walk(code) or file, walker)


def _pressed(form: FormData, walk: WalkRound, room: Room) -> Pressed:
    """A press as a form without script sends it: it is so now."""
    now = room.clock()
    vehicle, kind = str(form.get("vehicle", "")), str(form.get("kind", ""))
    known = next((one for one in PressKind if one.value == kind), None)
    if known is None:
        raise RecordError("Press one of the buttons of the stop.")
    why = str(form.get("obstacle", ""))
    obstacle = next((one for one in Obstacle if one.value == why), None)
    vessels = [str(value) for value in form.getlist("vessel")]
    note = str(form.get("note", "")).strip()
    if note and doubt_about(note, longest=NOTE_MOST, lines=True) is not None:
        raise RecordError(f"A note has at most {NOTE_MOST} characters that can be shown.")
    return Pressed(
        id=str(form.get("id", "")),
        vehicle=vehicle,
        kind=known,
        at=now,
        sent_at=now,
        circuits=_circuits(walk, vehicle, vessels) if known is PressKind.PART else (),
        obstacle=obstacle if known is PressKind.COULD_NOT else None,
        note=note,
        undoes=str(form.get("undoes", "")),
    )


def _circuits(walk: WalkRound, vehicle: str, vessels: list[str]) -> tuple[Circuit, ...]:
    """Circuits of a stop that belong to these vessels."""
    stop = walk.stop_of(vehicle)
    named = [wet.circuit for wet in stop.stop.wet] if stop is not None else []
    return tuple(circuit for circuit in named if vessel_of(circuit) in vessels)


def _take(room: Room, file: WalkFile, pressed: Pressed, walker: Walker) -> bool:
    vehicle = file.vehicles.get(pressed.vehicle)
    if vehicle is None:
        raise RecordError(
            f"{pressed.vehicle[:40]} is not entered any more. Note on paper what you saw, and tell "
            "whoever runs the place."
        )
    return take_press(room.rounds, file.round, pressed, vehicle, by=walker.name, now=room.clock())


def _next(walk: WalkRound, pressed: Pressed) -> str:
    """Which stop is to be open then: the one taken back, or the next after the one pressed."""
    if pressed.kind is PressKind.UNDO:
        return f"?stop={quote(pressed.vehicle)}"
    here = walk.stop_of(pressed.vehicle)
    after = [stop.stop.vehicle for stop in walk.stops if here and stop.number > here.number]
    return f"?after={quote(pressed.vehicle)}" if after else ""


def _tongue(visitor: Visitor, file: WalkFile, room: Room) -> Tongue:
    return Tongue(language=visitor.language, zone=file.site.zone, now=room.clock())


def _page(
    request: Request,
    visitor: Visitor,
    file: WalkFile,
    walker: Walker,
    *,
    why: str = "",
    status: int = 200,
) -> HTMLResponse:
    room = room_of(request)
    tongue = _tongue(visitor, file, room)
    stop = request.query_params.get("stop", "") or _after(request, file)
    view = walk_view(file, tongue, stop=stop)
    ask = request.query_params.get("do", "")
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
        state=embedded(_state(request, file, walker, view, tongue)),
        site=file.site,
        ask=ask if ask in ASKS else "",
        why=why,
        obstacles=[(one.value, tongue.words.obstacles[one]) for one in Obstacle],
        new_id=lambda: secrets.token_hex(12),
    )


def _fresh_state(
    request: Request, visitor: Visitor, file: WalkFile, walker: Walker
) -> Mapping[str, Any]:
    tongue = _tongue(visitor, file, room_of(request))
    return _state(request, file, walker, walk_view(file, tongue), tongue)


def _state(
    request: Request, file: WalkFile, walker: Walker, view: WalkView, tongue: Tongue
) -> Mapping[str, Any]:
    return walk_state(
        view,
        tongue,
        walker=named(walker.name, file.people),
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


def _code_page(request: Request, visitor: Visitor, *, wrong: bool = False) -> HTMLResponse:
    return _small(request, visitor, "walk_code.html", wrong=wrong)


def _who_page(
    request: Request, visitor: Visitor, file: WalkFile, *, wrong: bool = False
) -> HTMLResponse:
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
