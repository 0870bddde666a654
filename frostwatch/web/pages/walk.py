"""Walk: a gloved hand in the dark knows the bay, the key, the job and the one button."""

from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.advice.walk import NOTE_MOST, Obstacle, PressKind, WalkRound
from frostwatch.errors import FrostwatchError, RecordError
from frostwatch.ports.pages import WalkFile
from frostwatch.service.walking import Pressed, go_on, hand_back, settle
from frostwatch.told import told
from frostwatch.web.pages.room import Room, room_of
from frostwatch.web.pages.walk_parts import (
    Again,
    circuits_of,
    code_page_of,
    take,
    walk_page_of,
    who_page_of,
)
from frostwatch.web.pages.walker import (
    Walker,
    fits,
    is_code,
    keep_name,
    open_walk,
    walker_of,
)
from frostwatch.web.rights import AnyVisitor, CheckedForm, Visitor
from frostwatch.web.rights.names import doubt_about

router = APIRouter()


@router.get("/walk")
def code_page(request: Request, visitor: AnyVisitor) -> HTMLResponse:
    """Where the six figures of a round are typed."""
    return code_page_of(request, visitor)


@router.post("/walk")
def open_by_code(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Open the round whose figures were typed; blanks between them do no harm."""
    code = "".join(str(form.get("code", "")).split())
    if is_code(code):
        return RedirectResponse(f"/walk/{code}", status_code=303)
    return code_page_of(request, visitor, wrong=True)


@router.get("/walk/{code}")
def walk_page(request: Request, visitor: AnyVisitor, code: str) -> Response:
    """A round on its way, or its end."""
    walked = _walked(request, visitor, code)
    if isinstance(walked, Response):
        return walked
    file, walker = walked
    room = room_of(request)
    newer = go_on(room.rounds, file.round, file.board, room.clock())
    if newer is not file.round:
        file = room.pages.walk(code) or file
    return walk_page_of(request, visitor, file, walker)


@router.post("/walk/{code}/who")
def say_who(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Remember who walks on this device."""
    file = open_walk(request, visitor, code)
    if file is None:
        return code_page_of(request, visitor, wrong=True)
    name = str(form.get("name", "")).strip()
    if not fits(name):
        return who_page_of(request, visitor, file, wrong=True)
    answer = RedirectResponse(f"/walk/{code}", status_code=303)
    keep_name(request, answer, name)
    return answer


@router.post("/walk/{code}/press")
def press(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Keep one press; then the next stop is open, or the round is over."""
    walked = _walked(request, visitor, code, afterwards=True)
    if isinstance(walked, Response):
        return walked
    file, walker = walked
    room = room_of(request)
    try:
        pressed = _pressed(form, file.round, room)
        take(room, file, pressed, walker)
    except FrostwatchError as fault:
        again = _again(form)
        return walk_page_of(request, visitor, file, walker, fault=fault, again=again, status=422)
    if file.round.handed_back_at is not None and not walker.crew:
        return walk_page_of(request, visitor, room.pages.walk(code) or file, walker)
    return RedirectResponse(f"/walk/{code}{_next(pressed)}#here", status_code=303)


@router.post("/walk/{code}/settle")
def settle_two(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """Say which of two records is so."""
    walked = _walked(request, visitor, code)
    if isinstance(walked, Response):
        return walked
    file, walker = walked
    room = room_of(request)
    vehicle = file.vehicles.get(str(form.get("vehicle", "")))
    so = str(form.get("so", ""))
    try:
        if vehicle is None or so not in ("emptied", "not"):
            raise RecordError(told("which_so"))
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
        return walk_page_of(request, visitor, file, walker, fault=fault, status=422)
    return RedirectResponse(f"/walk/{code}", status_code=303)


@router.post("/walk/{code}/back")
def back(request: Request, visitor: AnyVisitor, code: str, form: CheckedForm) -> Response:
    """The round is over."""
    walked = _walked(request, visitor, code)
    if isinstance(walked, Response):
        return walked
    file, walker = walked
    room = room_of(request)
    over = hand_back(room.rounds, file.round, room.clock())
    if walker.crew:
        return RedirectResponse(f"/walk/{over.code}", status_code=303)
    return walk_page_of(request, visitor, room.pages.walk(code) or file, walker)


def _walked(
    request: Request, visitor: Visitor, code: str, *, afterwards: bool = False
) -> tuple[WalkFile, Walker] | Response:
    """A round and who walks it; else the page that asks for what is missing."""
    file = open_walk(request, visitor, code, afterwards=afterwards)
    if file is None:
        return code_page_of(request, visitor, wrong=True)
    walker = walker_of(request, visitor, file)
    if not walker.name:
        return who_page_of(request, visitor, file)
    return file, walker


def _pressed(form: FormData, walk: WalkRound, room: Room) -> Pressed:
    """A press as a form without script sends it: it is so now."""
    now = room.clock()
    vehicle, kind = str(form.get("vehicle", "")), str(form.get("kind", ""))
    known = next((one for one in PressKind if one.value == kind), None)
    if known is None:
        raise RecordError(told("no_button"))
    why = str(form.get("obstacle", ""))
    obstacle = next((one for one in Obstacle if one.value == why), None)
    vessels = [str(value) for value in form.getlist("vessel")]
    note = str(form.get("note", "")).strip()
    if note and doubt_about(note, longest=NOTE_MOST, lines=True) is not None:
        raise RecordError(told("note_long", most=NOTE_MOST))
    return Pressed(
        id=str(form.get("id", "")),
        vehicle=vehicle,
        kind=known,
        at=now,
        sent_at=now,
        circuits=circuits_of(walk, vehicle, vessels) if known is PressKind.PART else (),
        obstacle=obstacle if known is PressKind.COULD_NOT else None,
        note=note,
        undoes=str(form.get("undoes", "")),
    )


def _again(form: FormData) -> Again:
    """Where somebody stood and what they typed when a press was refused."""
    asked = {PressKind.PART.value: "part", PressKind.COULD_NOT.value: "why"}
    return Again(
        stop=str(form.get("vehicle", "")),
        ask=asked.get(str(form.get("kind", "")), ""),
        vessels=tuple(str(value) for value in form.getlist("vessel")),
        note=str(form.get("note", "")),
    )


def _next(pressed: Pressed) -> str:
    """Which stop is to be open then: the one taken back, or the next after the one pressed."""
    if pressed.kind is PressKind.UNDO:
        return f"?stop={quote(pressed.vehicle)}"
    return f"?after={quote(pressed.vehicle)}"
