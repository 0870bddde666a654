"""Handovers: heating on by when, what it is worked on now, and the plan with its card on paper."""

from dataclasses import replace
from datetime import datetime
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Query, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.advice.handover_steps import Step
from frostwatch.advice.plan_board import UnderWay
from frostwatch.ports.accounts import Role
from frostwatch.records.entries import Entry
from frostwatch.service.recording import wet_again
from frostwatch.web.pages.begin import begin
from frostwatch.web.pages.card_view import card_view
from frostwatch.web.pages.plans_now import PlansNow, VanNow, alone, is_asked, plans_now
from frostwatch.web.pages.plans_view import plans_view
from frostwatch.web.pages.room import room_of
from frostwatch.web.pages.yard_now import yard_now
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError

router = APIRouter()
Key = Annotated[str, Query(max_length=100)]
FILLED, HANDED = "warm-up", "handover"
"""What the record calls it when water goes in, and when the vehicle is given away."""


@router.get("/handovers")
def handovers_page(
    request: Request,
    visitor: AnyVisitor,
    van: Key = "",
    heat: Key = "",
    again: Annotated[str, Query(max_length=1)] = "",
) -> HTMLResponse:
    """The handovers of a site, opened at one of them."""
    begun = begin(request, visitor, here="handovers")
    if isinstance(begun, HTMLResponse):
        return begun
    asked = [line.vehicle.key for line in begun.now.lines if is_asked(line)]
    file = room_of(request).plans.file(begun.place.key, begun.now.now, asked)
    now = plans_now(begun.now, file)
    return begun.page(
        "handovers.html",
        plans=plans_view(now, begun.tongue, van=van, heat=heat),
        may_press=visitor.may(Role.CREW, begun.place.key),
        again=bool(again),
    )


@router.get("/handovers/{vehicle}/card")
def card_page(request: Request, visitor: AnyVisitor, vehicle: str, heat: Key = "") -> HTMLResponse:
    """One plan for printing, and the card that is handed over with the vehicle."""
    site = _site_of(request, visitor, vehicle)
    begun = begin(request, visitor, here="handovers", site=site)
    if isinstance(begun, HTMLResponse):
        return begun
    file = room_of(request).plans.file(site, begun.now.now, [vehicle])
    now = plans_now(alone(begun.now, vehicle), file)
    van = now.van(vehicle)
    if van is None or van.vehicle.key != vehicle:
        raise NotForYouError
    return begun.page("card.html", card=card_view(now, van, begun.tongue, heat=heat))


@router.post("/handovers/{vehicle}")
def press(request: Request, visitor: AnyVisitor, vehicle: str, form: CheckedForm) -> Response:
    """Heating is on, a gate is passed, the last press undone, handed over, or stopped."""
    site = _site_of(request, visitor, vehicle)
    account = visitor.must(Role.CREW, site)
    room = room_of(request)
    at = room.clock()
    yard = room.pages.yard(site, at)
    if yard is None:
        raise NotForYouError
    file = room.plans.file(site, at, [vehicle])
    now = plans_now(alone(yard_now(yard, at), vehicle), file)
    van = now.van(vehicle)
    back = f"/handovers?site={quote(site)}&van={quote(vehicle)}"
    if van is None or van.vehicle.key != vehicle:
        return RedirectResponse(back, status_code=303)
    by = account.person or account.name
    what = {name: str(form.get(name, "")) for name in ("press", "step", "heat")}
    moved = _moved(now, van, what, by=by, at=at)
    if moved is None:
        return RedirectResponse(f"{back}&again=1", status_code=303)
    after, entries = moved
    kept = room.plans.press(vehicle, file.under_way.get(vehicle), after, entries)
    return RedirectResponse(back if kept else f"{back}&again=1", status_code=303)


def _site_of(request: Request, visitor: AnyVisitor, vehicle: str) -> str:
    visitor.signed_in()
    room = room_of(request)
    file = room.pages.vehicle(vehicle, room.clock())
    if file is None:
        raise NotForYouError
    visitor.must(Role.VIEWER, file.site.key)
    return file.site.key


def _moved(
    now: PlansNow, van: VanNow, what: dict[str, str], *, by: str, at: datetime
) -> tuple[UnderWay | None, tuple[Entry, ...]] | None:
    """What a press comes to; None where things stand otherwise than on the page it was made on."""
    way = van.under_way
    if way is None:
        plan = van.plan(what["heat"])
        if what["press"] != "on" or plan is None or not plan.steps:
            return None
        begun = UnderWay(
            vehicle=van.vehicle.key,
            site=van.site.key,
            handover=van.handover,
            plan=plan,
            done={Step.LOOK: at},
            by=by,
        )
        return begun, ()
    waits = way.progress(at).waits_for
    if what["step"] != (waits.name.lower() if waits is not None else ""):
        return None
    if what["press"] == "passed" and waits is not None:
        after = replace(way, done={**way.done, waits: at}, by=by)
        return after, wet_again(van.vehicle, by=by, now=at, event=FILLED) if fills(waits) else ()
    if what["press"] == "undo":
        done = dict(list(way.done.items())[:-1])
        return replace(way, done=done, by=by) if done else None, ()
    if what["press"] == "handed" and waits is None:
        entries = wet_again(van.vehicle, by=by, now=at, event=HANDED)
        return replace(way, ended_at=at, by=by), entries
    return (None, ()) if what["press"] == "stop" else None


def fills(step: Step) -> bool:
    """Water went in when it was over."""
    return step is Step.FILL
