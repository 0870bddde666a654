"""The pages of the demo: its start, its clock, and the bar by which one gets around in it."""

from datetime import UTC, datetime, timedelta
from typing import Annotated

from fastapi import APIRouter, FastAPI, Query, Request
from starlette.responses import RedirectResponse, Response

from frostwatch.errors import RecordError
from frostwatch.messages.replies import codes_in
from frostwatch.ports import OutboxRow
from frostwatch.service.demo_stage import SCENES, Stage
from frostwatch.service.walking import release_round
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.demo_bar import PLACES, ZONE, DemoRoom
from frostwatch.web.pages.room import render
from frostwatch.web.pages.yard_now import yard_now
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError, visitor_of
from frostwatch.web.routing import take_in
from frostwatch.web.words import Tongue

router = APIRouter(include_in_schema=False)
MOST_SHOWN = 12
"""Messages on the demo's first page."""
BACK = timedelta(days=10)


def install_demo(app: FastAPI, stage: Stage, ledger: SqlLedger) -> None:
    """Put the demo's own pages into an app."""
    app.state.demo = DemoRoom(stage=stage, ledger=ledger)
    take_in(app, router)


def demo_of(request: Request) -> DemoRoom:
    """The demo that is shown."""
    room: DemoRoom = request.app.state.demo
    return room


@router.get("/demo")
def start(
    request: Request,
    visitor: AnyVisitor,
    then: Annotated[str, Query(max_length=20)] = "",
    wrong: Annotated[str, Query(max_length=1)] = "",
) -> Response:
    """What the demo is, and what was said in it so far; while it plays, how far it has come."""
    room = demo_of(request)
    stage = room.stage
    playing = stage.playing
    if playing is None and then:
        return RedirectResponse(_target(room, then), 303)
    tongue = Tongue(language=visitor.language, zone=ZONE, now=stage.now())
    return render(
        request,
        "demo.html",
        tongue=tongue,
        visitor=visitor,
        place=None,
        here="demo",
        playing=playing,
        wrong=bool(wrong),
        said=[] if playing else _said(room, tongue),
    )


def _said(room: DemoRoom, tongue: Tongue) -> list[dict[str, object]]:
    """The newest messages, newest first; several channels of a person are one."""
    now = room.stage.now()
    people = {person.key: person.name for person in room.ledger.load(now).people}
    found: dict[tuple[object, ...], OutboxRow] = {}
    for row in sorted(room.ledger.outbox.listed(since=now - BACK), key=lambda row: -row.id):
        one = row.message
        found.setdefault((one.recipient, one.kind, one.reminder, row.queued_at), row)
    return [
        {
            "at": tongue.hour(row.queued_at),
            "to": people.get(row.message.recipient, row.message.recipient),
            "short": row.message.short,
            "code": next(iter(codes_in(row.message.short)), ""),
        }
        for row in list(found.values())[:MOST_SHOWN]
    ]


@router.get("/demo/{place}")
def go_to(request: Request, place: str) -> Response:
    """One of the three places, as its people see it: the owner by the link of a message."""
    if place not in PLACES:
        raise NotForYouError
    target = _target(demo_of(request), place)
    if target.startswith("/a/"):  # hers is in French; whoever looks reads their own language first
        target += f"?lang={visitor_of(request).language.value}"
    return RedirectResponse(target, 303)


def _target(room: DemoRoom, then: str) -> str:
    """Address of a place or scene."""
    site = room.site_of(then if then in PLACES else "yard")
    if site is None:
        return "/demo"
    if then == "owner":
        now = room.stage.now()
        links = room.ledger.links.made_for(site.operator, since=now - BACK)
        if links:
            return f"/a/{links[0].code}"
    if then == "walk":
        yard = room.ledger.pages.yard(site.key, room.stage.now())
        if yard is not None and yard.round is not None:
            return f"/walk/{yard.round.code}"
    return f"/round?site={site.key}"


@router.post("/demo/clock")
def set_clock(request: Request, visitor: AnyVisitor, form: CheckedForm) -> Response:
    """Set the demo's clock to a scene, or to any hour of the story."""
    visitor.signed_in()
    room, key = demo_of(request), str(form.get("scene", ""))
    scene = next((scene for scene in SCENES if scene.key == key), None)
    try:
        if scene is not None:
            moment, then = room.stage.moment_of(scene), scene.key
        else:
            typed = datetime.fromisoformat(str(form.get("at", "")))
            moment, then = typed.replace(tzinfo=typed.tzinfo or ZONE).astimezone(UTC), "yard"
        room.stage.play(moment, after=(lambda: _release(room)) if then == "walk" else None)
    except (RecordError, ValueError, OverflowError):
        return RedirectResponse("/demo?wrong=1", 303)
    return RedirectResponse(f"/demo?then={then}", 303)


def _release(room: DemoRoom) -> None:
    """Have a round of the yard to walk, as its operator would."""
    now, site = room.stage.now(), room.site_of("yard")
    yard = room.ledger.pages.yard(site.key, now) if site is not None else None
    if yard is None or yard.round is not None or yard.board is None:
        return
    stops = [line.stop for line in yard_now(yard, now).due if line.stop is not None]
    if stops:
        release_round(room.ledger.rounds, yard.board, stops, by=yard.site.operator, now=now)
