"""Handovers for machines: what is entered and planned; entering, moving, taking off."""

from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, HTTPException, Path, Query
from pydantic import AwareDatetime, BaseModel, ConfigDict, Field

from frostwatch.advice.plan_words import words_for
from frostwatch.errors import FleetError
from frostwatch.fleet.heat import Fuel, Handover, HeatSource
from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.accounts import Scope
from frostwatch.ports.plans import PlanFile
from frostwatch.service.handover_entry import enter, refusal_words, refusals
from frostwatch.web.api.room import NOT_THERE, REFUSALS, Caller, caller
from frostwatch.web.api.writing import UNREAD
from frostwatch.web.rights.names import doubt_about

router = APIRouter(responses=REFUSALS)
CHANGED: dict[int | str, dict[str, Any]] = {
    409: {"description": "Somebody else changed the handover; nothing was kept."}
}
Text = Annotated[str, Field(max_length=120)]


class _Shape(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class SourceShape(_Shape):
    """What warms a vehicle."""

    fuel: Fuel
    power_w: Annotated[float, Field(ge=100, le=30000, allow_inf_nan=False)]


class HandoverOut(_Shape):
    """A handover as it is entered, and as it was planned last."""

    vehicle: str
    at: datetime
    fill_l: float
    heat: SourceShape | None = Field(description="The source chosen; null: the one proposed.")
    indoors_from: datetime | None
    post: str
    who: str
    taker: str
    heating_on_by: datetime | None = Field(description="Null: cannot be ready, or not planned.")
    fits: bool | None = Field(description="Null where it is not planned yet.")
    changed_at: datetime | None
    changed_by: str


class HandoverIn(_Shape):
    """A handover as it is wished."""

    at: AwareDatetime
    was_at: AwareDatetime | None = Field(description="The hour entered so far; null for none.")
    by: Annotated[str, Field(min_length=1, max_length=100)]
    fill_l: Annotated[float, Field(ge=1, le=1000, allow_inf_nan=False)] = 40.0
    heat: SourceShape | None = None
    indoors_from: AwareDatetime | None = None
    post: Text | None = Field(default=None, description="Null leaves it; an empty text is any.")
    who: Text = ""
    taker: Text = ""
    meant: bool = Field(default=False, description="An hour at which nobody is at work is meant.")


@router.get("/handovers", operation_id="handovers")
def handovers(asks: Annotated[Caller, caller(Scope.HANDOVERS)]) -> list[HandoverOut]:
    """Every handover of the site that is still to come, by its hour."""
    book = asks.room.ledger.load(asks.now, sites=[asks.site.key])
    file = asks.room.ledger.plans.file(asks.site.key, asks.now)
    found = [
        _out(vehicle, vehicle.handover, file)
        for vehicle in book.vehicles
        if vehicle.handover is not None and vehicle.handover.at > asks.now
    ]
    return sorted(found, key=lambda one: (one.at, one.vehicle))


def _out(vehicle: Vehicle, handover: Handover, file: PlanFile) -> HandoverOut:
    made = next(
        (v for v in (file.board.vans if file.board else ()) if v.vehicle == vehicle.key), None
    )
    plan = made.proposed if made is not None and handover.plans_like(made.handover) else None
    change = file.changes.get(vehicle.key)
    heat = handover.heat
    return HandoverOut(
        vehicle=vehicle.key,
        at=handover.at,
        fill_l=handover.fill_l,
        heat=SourceShape(fuel=heat.fuel, power_w=heat.power_w) if heat is not None else None,
        indoors_from=handover.indoors_from,
        post=vehicle.post,
        who=handover.who,
        taker=handover.taker,
        heating_on_by=plan.on_by if plan is not None and plan.fits else None,
        fits=plan.fits if plan is not None else None,
        changed_at=change.at if change is not None else None,
        changed_by=change.by if change is not None else "",
    )


@router.put(
    "/handovers/{key}", operation_id="enter_handover", responses=NOT_THERE | CHANGED | UNREAD
)
def enter_handover(
    key: Annotated[str, Path(max_length=100)],
    sent: HandoverIn,
    asks: Annotated[Caller, caller(Scope.PLANNING)],
) -> HandoverOut:
    """Enter a handover, or move it. Its plan follows with the next pass."""
    vehicle = _vehicle(key, asks)
    _unchanged(vehicle, sent.was_at)
    for name, text in (("by", sent.by), ("who", sent.who), ("taker", sent.taker)):
        if text and doubt_about(text) is not None:
            raise _refuse(f"{name}: it has a sign in it that cannot be shown. Write it anew.")
    try:
        wished = Handover(
            at=sent.at.astimezone(UTC),
            fill_l=sent.fill_l,
            heat=HeatSource(fuel=sent.heat.fuel, power_w=sent.heat.power_w) if sent.heat else None,
            indoors_from=sent.indoors_from.astimezone(UTC) if sent.indoors_from else None,
            who=sent.who,
            taker=sent.taker,
        )
    except (FleetError, OverflowError) as wrong:
        raise _refuse(str(wrong)) from wrong
    refused = refusals(wished, vehicle, asks.site, asks.now, post=sent.post or "", meant=sent.meant)
    if refused:
        words = words_for(Language.EN, asks.site, asks.now)
        raise _refuse(" ".join(refusal_words(one, words) for one in refused))
    plans = asks.room.ledger.plans
    if not enter(plans, vehicle, wished, by=sent.by, now=asks.now, post=sent.post):
        raise _conflict()
    after = _vehicle(key, asks)
    return _out(after, wished, plans.file(asks.site.key, asks.now))


@router.delete(
    "/handovers/{key}",
    operation_id="take_off_handover",
    responses=NOT_THERE | CHANGED,
    status_code=204,
)
def take_off_handover(
    key: Annotated[str, Path(max_length=100)],
    asks: Annotated[Caller, caller(Scope.PLANNING)],
    was_at: Annotated[AwareDatetime, Query(description="The hour entered so far.")],
    by: Annotated[str, Query(min_length=1, max_length=100)],
) -> None:
    """Take a handover off."""
    vehicle = _vehicle(key, asks)
    _unchanged(vehicle, was_at)
    if doubt_about(by) is not None:
        raise _refuse("by: it has a sign in it that cannot be shown. Write it anew.")
    if not enter(asks.room.ledger.plans, vehicle, None, by=by, now=asks.now):
        raise _conflict()


def _vehicle(key: str, asks: Caller) -> Vehicle:
    book = asks.room.ledger.load(asks.now, sites=[asks.site.key])
    for vehicle in book.vehicles:
        if vehicle.key == key:
            return vehicle
    raise HTTPException(404, "The site has no vehicle of that key.")


def _unchanged(vehicle: Vehicle, was_at: datetime | None) -> None:
    known = vehicle.handover.at if vehicle.handover is not None else None
    if known != was_at:
        raise _conflict()


def _conflict() -> HTTPException:
    return HTTPException(409, "Somebody else changed this handover. Read it again.")


def _refuse(why: str) -> HTTPException:
    return HTTPException(422, [{"loc": ["body"], "msg": why, "type": "refused"}])
