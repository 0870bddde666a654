"""Where a vehicle stands: said by whoever put it there, for as long as they vouch for it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from frostwatch.errors import FrostwatchError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.roofs import Roof, Under
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.accounts import Role
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.web.pages.hour_form import moment_at
from frostwatch.web.pages.room import room_of
from frostwatch.web.pages.vehicle_begin import BegunVehicle, begin_vehicle, typed
from frostwatch.web.rights import AnyVisitor, CheckedForm

router = APIRouter()
FIELDS = ("kind", "warm", "until")
AS_BAY = ""
"""Nothing is said of the vehicle itself: it stands as its bay does."""
EVENT = "stands"
FARTHEST = timedelta(days=400)


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsForm:
    """What was typed, and what is to be put right.

    Attributes:
        typed: field -> text.
        faults: field -> key of the sentence.
        under: what was said; None for as its bay does, or where it cannot be read.
    """

    typed: Mapping[str, str] = field(default_factory=dict)
    faults: Mapping[str, str] = field(default_factory=dict)
    under: Under | None = None


@router.get("/v/{key}/stands")
def stands_page(request: Request, visitor: AnyVisitor, key: str) -> HTMLResponse:
    """The form, as it is entered."""
    begun = begin_vehicle(request, visitor, key, Role.CREW)
    return _form(request, begun, _as_entered(begun))


@router.post("/v/{key}/stands")
def say_where(request: Request, visitor: AnyVisitor, key: str, form: CheckedForm) -> Response:
    """Keep it with who said so, or show what is to be put right with all that was typed."""
    begun = begin_vehicle(request, visitor, key, Role.CREW)
    read = _read(typed(form), begun)
    if read.faults:
        return _form(request, begun, read, status=422)

    def change(one: Vehicle) -> Vehicle:
        return replace(one, under=read.under, indoors=False)

    room_of(request).vehicles.change_vehicle(key, change, _entries(begun, read.under))
    return RedirectResponse(begun.address, status_code=303)


def _as_entered(begun: BegunVehicle) -> StandsForm:
    vehicle, zone = begun.now.file.vehicle, begun.now.file.site.zone
    under = vehicle.under or (Under(kind=Roof.UNHEATED) if vehicle.indoors else None)
    if under is None:
        return StandsForm(typed=dict.fromkeys(FIELDS, ""))
    until = under.until.astimezone(zone) if under.until is not None else None
    warm_c = under.heated_to_c
    return StandsForm(
        typed={
            "kind": under.kind.value,
            "warm": "" if warm_c is None else f"{warm_c:g}",
            "until": "" if until is None else f"{until:%Y-%m-%dT%H:%M}",
        }
    )


def _read(sent: Mapping[str, str], begun: BegunVehicle) -> StandsForm:
    kept = {name: sent.get(name, "").strip() for name in FIELDS}
    zone, now = begun.now.file.site.zone, begun.tongue.now
    faults: dict[str, str] = {}
    kind = next((one for one in Roof if one.value == kept["kind"]), None)
    if kept["kind"] != AS_BAY and kind is None:
        faults["kind"] = "stands.fault.kind"
    until = moment_at(kept["until"], zone) if kept["until"] else None
    if kept["until"] and (until is None or not now < until < now + FARTHEST):
        faults["until"] = "stands.fault.until"
    warm_c = None
    if kind is Roof.HEATED:
        warm_c = _number(kept["warm"])
        if warm_c is None or not 0.0 <= warm_c <= 30.0:
            faults["warm"] = "stands.fault.warm"
        if not kept["until"]:
            faults["until"] = "stands.fault.until"
    if faults or kind is None:
        return StandsForm(typed=kept, faults=faults)
    under = Under(kind=kind, heated_to_c=warm_c, by=begun.by, until=until, said_at=now)
    return StandsForm(typed=kept, under=under)


def _number(text: str) -> float | None:
    try:
        number = float(text.replace(",", ".").replace("\u2212", "-"))
    except ValueError:
        return None
    return number if math.isfinite(number) else None


def _entries(begun: BegunVehicle, under: Under | None) -> list[Entry]:
    """What goes on record; of a vehicle that cannot be reckoned with nothing can."""
    vehicle, now = begun.now.file.vehicle, begun.tongue.now
    try:
        circuit = layout_of(vehicle).items[0].circuit
    except FrostwatchError:
        return []
    note = _note(begun, under, begun.now.file.site.zone)
    return [
        Entry(
            vehicle=vehicle.key,
            circuit=circuit,
            state=State.UNKNOWN,
            evidence=Evidence.ASSERTED,
            by=begun.by,
            at=now,
            received_at=now,
            event=EVENT,
            note=note,
        )
    ]


def _note(begun: BegunVehicle, under: Under | None, zone: ZoneInfo) -> str:
    """The same in the words of whoever said it."""
    t = begun.tongue
    kind = under.kind.value if under is not None else AS_BAY
    parts = [str(t(f"stands.{kind or 'bay'}").unescape())]
    if under is not None and under.heated_to_c is not None:
        parts.append(t.degrees(under.heated_to_c))
    if under is not None and under.until is not None:
        parts.append(f"→ {under.until.astimezone(zone):%Y-%m-%d %H:%M}")
    return ", ".join(parts)


def _form(
    request: Request, begun: BegunVehicle, form: StandsForm, *, status: int = 200
) -> HTMLResponse:
    t = begun.tongue
    kinds = [(AS_BAY, t("stands.bay")), *((one.value, t(f"stands.{one.value}")) for one in Roof)]
    return begun.page(
        request,
        "stands.html",
        status=status,
        bay=begun.now.line.name,
        form=form,
        kinds=kinds,
        faults={name: t(sentence) for name, sentence in form.faults.items()},
    )
