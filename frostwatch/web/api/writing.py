"""What machines may add to a site: statements about water, and readings of thermometers."""

from datetime import UTC, datetime, timedelta
from typing import Annotated, Any

from fastapi import APIRouter, HTTPException

from frostwatch.errors import FrostwatchError, RecordError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.vehicles import Circuit, Vehicle
from frostwatch.ports.accounts import Scope
from frostwatch.ports.lessons import AirReading
from frostwatch.records.entries import Entry, Evidence
from frostwatch.service.lessons import take_readings
from frostwatch.storage.reading_rows import Reading
from frostwatch.web.api.room import REFUSALS, Caller, caller
from frostwatch.web.api.shapes import EntriesIn, EntryIn, ReadingsIn, TakenOut
from frostwatch.web.rights.names import doubt_about

UNREAD: dict[int | str, dict[str, Any]] = {400: {"description": "The body is no JSON."}}

router = APIRouter(responses=REFUSALS | UNREAD)
EVENT = "api"
CLOCKS_DIFFER = timedelta(minutes=5)
OLDEST = timedelta(days=400)
"""As for a statement on a page. Estimate."""
PLACES = frozenset({"cabin", "locker", "outside"})


def _refuse(why: str) -> HTTPException:
    return HTTPException(422, [{"loc": ["body"], "msg": why, "type": "refused"}])


@router.post("/entries", operation_id="add_entries")
def add_entries(sent: EntriesIn, asks: Annotated[Caller, caller(Scope.ENTRIES)]) -> TakenOut:
    """Add statements to the record of the site's vehicles. The same one twice is kept once."""
    book = asks.room.ledger.load(asks.now, sites=[asks.site.key])
    vehicles = {vehicle.key: vehicle for vehicle in book.vehicles}
    known = {
        (linked.entry.vehicle, linked.entry.circuit, linked.entry.at, linked.entry.by)
        for key in {one.vehicle for one in sent.entries} & set(vehicles)
        for linked in asks.room.ledger.record_of(key)
    }
    try:
        stated = [_entry(one, vehicles, asks.now) for one in sent.entries]
        named = {(one.vehicle, one.circuit, one.at, one.by): one for one in stated}
        new = [one for name, one in named.items() if name not in known]
        if new:
            asks.room.ledger.add_entries(new)
    except RecordError as wrong:
        raise _refuse(str(wrong)) from wrong
    return TakenOut(taken=len(new), known=len(stated) - len(new))


def _entry(one: EntryIn, vehicles: dict[str, Vehicle], now: datetime) -> Entry:
    """The entry that was meant.

    Raises:
        RecordError: it does not hold together.
    """
    vehicle = vehicles.get(one.vehicle)
    if vehicle is None:
        raise RecordError(f"The site has no vehicle {one.vehicle!r}. Correct its key.")
    if one.circuit not in _circuits(vehicle):
        raise RecordError(f"{one.vehicle} has no circuit {one.circuit.value}. Choose another one.")
    if one.evidence not in (Evidence.SEEN, Evidence.ASSERTED):
        raise RecordError("evidence: say seen or asserted; what is predicted is worked out.")
    at = _moment(one.at, now)
    for name, text in (("by", one.by), ("note", one.note)):
        if text and doubt_about(text, longest=500, lines=name == "note") is not None:
            raise RecordError(f"{name}: it has a sign in it that cannot be shown. Write it anew.")
    return Entry(
        vehicle=one.vehicle,
        circuit=one.circuit,
        state=one.state,
        evidence=one.evidence,
        by=one.by,
        at=at,
        received_at=now,
        litres_l=one.litres,
        dose_fraction=one.dose_fraction,
        event=EVENT,
        note=one.note,
    )


def _circuits(vehicle: Vehicle) -> frozenset[Circuit]:
    try:
        return frozenset(item.circuit for item in layout_of(vehicle).items)
    except FrostwatchError as wrong:
        raise RecordError(f"{vehicle.key}: {wrong}") from wrong


def _moment(at: datetime, now: datetime) -> datetime:
    """A moment that can have been, UTC."""
    if not now - OLDEST <= at <= now + CLOCKS_DIFFER:
        raise RecordError("at: it lies in the future, or more than a year ago. Set the clock.")
    return at.astimezone(UTC)


@router.post("/readings", operation_id="add_readings")
def add_readings(sent: ReadingsIn, asks: Annotated[Caller, caller(Scope.READINGS)]) -> TakenOut:
    """Take in what a thermometer showed: of the air at the site, or of a vehicle."""
    try:
        if doubt_about(sent.sensor) is not None:
            raise RecordError("sensor: it has a sign in it that cannot be shown.")
        moments = [_moment(one.at, asks.now) for one in sent.readings]
        if sent.vehicle:
            return _of_vehicle(sent, asks, moments)
        values = [
            AirReading(at=at, air_c=one.temperature_c)
            for at, one in zip(moments, sent.readings, strict=True)
        ]
        store = asks.room.ledger.lessons
        intake, _ = take_readings(store, asks.site, values, name=sent.sensor, now=asks.now)
    except RecordError as wrong:
        raise _refuse(str(wrong)) from wrong
    return TakenOut(taken=intake.count, known=len(values) - intake.count)


def _of_vehicle(sent: ReadingsIn, asks: Caller, moments: list[datetime]) -> TakenOut:
    book = asks.room.ledger.load(asks.now, sites=[asks.site.key])
    vehicle = next((one for one in book.vehicles if one.key == sent.vehicle), None)
    if vehicle is None:
        raise RecordError(f"The site has no vehicle {sent.vehicle!r}. Correct its key.")
    if sent.where not in PLACES | {circuit.value for circuit in _circuits(vehicle)}:
        raise RecordError("where: say cabin, locker, outside, or an item of the vehicle.")
    taken = asks.room.ledger.readings.add(
        [
            Reading(
                vehicle=vehicle.key,
                sensor=sent.sensor,
                where=sent.where,
                at=at,
                temperature_c=one.temperature_c,
                received_at=asks.now,
                sent_by=asks.token.name,
            )
            for at, one in zip(moments, sent.readings, strict=True)
        ]
    )
    return TakenOut(taken=taken, known=len(moments) - taken)
