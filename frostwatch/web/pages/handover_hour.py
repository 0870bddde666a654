"""Entering a handover, moving its hour, choosing its heat, taking it off."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Query, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.advice.heat_sources import sources_of
from frostwatch.advice.plan_words import words_for
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.heat import Handover, HeatSource
from frostwatch.fleet.layouts import layout_of
from frostwatch.ports.accounts import Account, Role
from frostwatch.ports.pages import VehicleFile
from frostwatch.service.handover_entry import Doubt, Refusal, enter, refusals
from frostwatch.web.pages.begin import begin
from frostwatch.web.pages.hour_form import (
    FIELDS,
    HourForm,
    faults_from,
    form_from,
    mark_of,
    read_form,
)
from frostwatch.web.pages.hour_view import HourView, hour_view
from frostwatch.web.pages.issue import credit_line, issue_line
from frostwatch.web.pages.plans_now import heat_key
from frostwatch.web.pages.room import place_of, render, room_of, tongue_of
from frostwatch.web.pages.vehicle_now import vehicle_now
from frostwatch.web.rights import AnyVisitor, CheckedForm, NotForYouError, Visitor

router = APIRouter()
Key = Annotated[str, Query(max_length=100)]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Begun:
    """A form about one vehicle, begun."""

    request: Request
    visitor: Visitor
    account: Account
    file: VehicleFile
    now: datetime

    @property
    def by(self) -> str:
        """Under which name it is kept."""
        return self.account.person or self.account.name

    @property
    def sources(self) -> tuple[HeatSource, ...]:
        """What the vehicle can be warmed with; none where nothing is known."""
        try:
            return sources_of(self.file.vehicle, layout_of(self.file.vehicle))
        except FrostwatchError:
            return ()

    def keep(self, after: Handover | None, *, post: str | None = None) -> bool:
        """Keep it, and plan at once; False if somebody else changed it in between."""
        room = room_of(self.request)
        vehicle = self.file.vehicle
        kept = enter(room.plans, vehicle, after, by=self.by, now=self.now, post=post)
        if kept and room.planner is not None:
            room.planner.plan(vehicle.key, self.now)
        return kept

    def back(self, again: bool = False) -> RedirectResponse:
        """To the plan."""
        vehicle = self.file.vehicle
        address = f"/handovers?site={quote(vehicle.site)}&van={quote(vehicle.key)}"
        return RedirectResponse(f"{address}&again=1" if again else address, status_code=303)

    def page(self, view: HourView, *, status: int = 200) -> HTMLResponse:
        """The form."""
        place = place_of(self.request, self.visitor, self.file.site.key)
        yard = vehicle_now(self.file, self.now).yard
        tongue = tongue_of(self.visitor, self.file.site, self.now)
        return render(
            self.request,
            "handover_hour.html",
            tongue=tongue,
            visitor=self.visitor,
            place=place,
            status=status,
            here="handovers",
            issue=issue_line(yard, tongue),
            credit=credit_line(yard),
            hour=view,
        )


def _begin(request: Request, visitor: Visitor, vehicle: str) -> _Begun:
    visitor.signed_in()
    room = room_of(request)
    now = room.clock()
    file = room.pages.vehicle(vehicle, now)
    if file is None:
        raise NotForYouError
    account = visitor.must(Role.CREW, file.site.key)
    return _Begun(request=request, visitor=visitor, account=account, file=file, now=now)


def _view(
    begun: _Begun,
    form: HourForm,
    *,
    refused: tuple[Refusal, ...] = (),
    changed: bool = False,
) -> HourView:
    room = room_of(begun.request)
    return hour_view(
        begun.file,
        form,
        tongue_of(begun.visitor, begun.file.site, begun.now),
        words=words_for(begun.visitor.language, begun.file.site, begun.now),
        sources=begun.sources,
        changes=room.plans.changes_of(begun.file.vehicle.key),
        refused=faults_from(refused),
        changed=changed,
    )


@router.get("/handovers/enter")
def which_page(request: Request, visitor: AnyVisitor, van: Key = "") -> Response:
    """Which vehicle is handed over."""
    if van:
        return RedirectResponse(f"/handovers/{quote(van, safe='')}/hour", status_code=303)
    begun = begin(request, visitor, here="handovers")
    if isinstance(begun, HTMLResponse):
        return begun
    visitor.must(Role.CREW, begun.place.key)
    return begun.page("handover_which.html", lines=begun.now.lines)


@router.get("/handovers/{vehicle}/hour")
def hour_page(
    request: Request,
    visitor: AnyVisitor,
    vehicle: str,
    at: Annotated[str, Query(max_length=40)] = "",
) -> HTMLResponse:
    """The form; with an hour that the plan proposes, where it does."""
    begun = _begin(request, visitor, vehicle)
    form = form_from(begun.file.vehicle, begun.file.site.zone, _proposed(at))
    return begun.page(_view(begun, form))


def _proposed(text: str) -> datetime | None:
    """The hour that a link proposes, UTC; None where it cannot be one."""
    try:
        said = datetime.fromisoformat(text)
        return said.astimezone(UTC) if said.tzinfo is not None else None
    except (ValueError, OverflowError):
        return None


@router.post("/handovers/{vehicle}/hour")
def keep_hour(request: Request, visitor: AnyVisitor, vehicle: str, form: CheckedForm) -> Response:
    """Keep it, or show what is to be put right with all that was typed."""
    begun = _begin(request, visitor, vehicle)
    typed = {name: str(form.get(name, "")) for name in FIELDS}
    read = read_form(typed, begun.sources, begun.file.site.zone)
    known = begun.file.vehicle.handover
    if typed["was"] != mark_of(known):
        fresh = replace(read, typed=dict(read.typed) | {"was": mark_of(known)})
        return begun.page(_view(begun, fresh, changed=True), status=409)
    if read.wished is None:
        return begun.page(_view(begun, read), status=422)
    refused = refusals(
        read.wished,
        begun.file.vehicle,
        begun.file.site,
        begun.now,
        post=read.post,
        meant=read.meant,
    )
    if refused:
        return begun.page(_view(begun, read, refused=refused), status=422)
    post = read.post if begun.file.site.posts else None
    return begun.back(again=not begun.keep(read.wished, post=post))


@router.post("/handovers/{vehicle}/off")
def take_off(request: Request, visitor: AnyVisitor, vehicle: str, form: CheckedForm) -> Response:
    """Take it off."""
    begun = _begin(request, visitor, vehicle)
    known = begun.file.vehicle.handover
    if known is None or str(form.get("was", "")) != mark_of(known):
        return begun.back(again=True)
    return begun.back(again=not begun.keep(None))


@router.post("/handovers/{vehicle}/heat")
def choose_heat(request: Request, visitor: AnyVisitor, vehicle: str, form: CheckedForm) -> Response:
    """Keep a source, and whether it stands indoors the night before."""
    begun = _begin(request, visitor, vehicle)
    known = begun.file.vehicle.handover
    if known is None or str(form.get("was", "")) != mark_of(known):
        return begun.back(again=True)
    wanted = str(form.get("heat", ""))
    key, _, since = wanted.partition("~")
    heat = next((one for one in begun.sources if heat_key(one) == key), None)
    try:
        indoors_from = datetime.fromisoformat(since) if since else None
        after = replace(known, heat=heat, indoors_from=indoors_from)
    except (ValueError, TypeError, FrostwatchError):
        return begun.back(again=True)
    refused = refusals(after, begun.file.vehicle, begun.file.site, begun.now, meant=True)
    if (wanted and heat is None) or any(one.doubt is not Doubt.PAST for one in refused):
        return begun.back(again=True)
    return begun.back(again=after != known and not begun.keep(after))
