"""The walk without signal: what a phone keeps of a round, and what it sends when signal is back."""

from dataclasses import replace

from fastapi import APIRouter, Request
from starlette.responses import JSONResponse, Response

from frostwatch.advice.walk import PressKind
from frostwatch.errors import FleetError, RecordError
from frostwatch.service.walking import go_on
from frostwatch.web.pages.room import room_of
from frostwatch.web.pages.walk_parts import circuits_of, fresh_state, take, tongue_for
from frostwatch.web.pages.walk_sending import pressed_of, presses_in
from frostwatch.web.pages.walker import open_walk, walker_of
from frostwatch.web.rights import AnyVisitor, CheckedForm

router = APIRouter()


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
    return JSONResponse(fresh_state(request, visitor, file, walker))


@router.post("/walk/{code}/presses")
def presses(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Keep what a phone had kept; whatever is known already is not kept again.

    What somebody saw at a vehicle is an entry also where the round was handed back meanwhile, as
    long as its figures count. Whoever has only them is shown nothing more of a round that is over.
    """
    file = open_walk(request, visitor, code, afterwards=True)
    walker = walker_of(request, visitor, file) if file is not None else None
    if file is None or walker is None or not walker.name:
        return JSONResponse({"closed": file is None}, 404)
    room = room_of(request)
    tongue = tongue_for(visitor, file, room)
    kept, refused = [], {}
    try:
        sent = presses_in(str(form.get("presses", "")))
    except RecordError as fault:
        return JSONResponse({"refused": {"": tongue.fault_text(fault)}}, 422)
    for one in sent:
        try:
            pressed, vessels = pressed_of(one, str(form.get("sent_at", "")))
            if pressed.kind is PressKind.PART:
                circuits = circuits_of(file.round, pressed.vehicle, list(vessels))
                pressed = replace(pressed, circuits=circuits)
            take(room, file, pressed, walker)
            kept.append(pressed.id)
        except (RecordError, FleetError) as fault:
            refused[str(one["id"])] = tongue.fault_text(fault)
    file = room.pages.walk(code) or file
    told: dict[str, object] = {"kept": kept, "refused": refused}
    if walker.crew or file.round.handed_back_at is None:
        told["state"] = fresh_state(request, visitor, file, walker)
    return JSONResponse(told)
