"""What a change to what is entered says about the water: another keeper, another place."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from datetime import datetime

from frostwatch.errors import FrostwatchError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.vehicles import Circuit, Vehicle
from frostwatch.records.entries import Entry, Evidence, State

BY = "import"


def happenings(
    before: Sequence[Vehicle],
    after: Sequence[Vehicle],
    now: datetime,
    *,
    by: str = BY,
    moved: Collection[str] = (),
) -> list[Entry]:
    """Entries for vehicles that changed hands or stand at another site than before.

    A bay of the same site, and a keeper where none was entered, are corrections of the list, unless
    somebody says that the vehicle was moved there.

    Args:
        before: vehicles as they were entered.
        after: vehicles as they are entered now.
        now: aware UTC time.
        by: who says so.
        moved: keys of the vehicles that were moved to their new bay.
    """
    was = {vehicle.key: vehicle for vehicle in before}
    return [
        entry
        for vehicle in after
        if vehicle.key in was
        for entry in _between(was[vehicle.key], vehicle, now, by, vehicle.key in moved)
    ]


def as_entered(before: Sequence[Vehicle], after: Sequence[Vehicle]) -> list[Vehicle]:
    """Vehicles of a file with what was entered about their handbooks beside it.

    A file that says nothing of a vehicle's handbook leaves what is known of it, and a sheet has no
    column for where a number comes from: it stays with the number as long as that is the same.

    Args:
        before: vehicles as they were entered.
        after: vehicles as the file has them.
    """
    was = {vehicle.key: vehicle for vehicle in before}
    return [_kept(was[one.key], one) if one.key in was else one for one in after]


def _kept(old: Vehicle, new: Vehicle) -> Vehicle:
    if old.layout != new.layout:
        return new
    named = {source.number for source in new.own_from}
    same = {name for name, _ in set(old.overrides) & set(new.overrides)} - named
    return replace(
        new,
        handbook=new.handbook or old.handbook,
        own_from=(*new.own_from, *(s for s in old.own_from if s.number in same)),
    )


def leaving(vehicle: Vehicle, now: datetime, *, by: str) -> Entry:
    """The last entry of a vehicle that leaves: what is known of its water ends with it."""
    return noted(vehicle, "left", f"from {vehicle.site}", now, by=by)


def _between(old: Vehicle, new: Vehicle, now: datetime, by: str, moved: bool) -> Iterator[Entry]:
    if old.keeper and new.keeper and old.keeper != new.keeper:
        yield noted(new, "keeper change", f"from {old.keeper} to {new.keeper}", now, by=by)
    if old.site != new.site:
        yield noted(new, "moved", f"from {old.site} to {new.site}", now, by=by)
    elif moved and old.bay != new.bay:
        yield noted(new, "moved", f"from {old.bay or '-'} to {new.bay or '-'}", now, by=by)


def noted(vehicle: Vehicle, event: str, note: str, now: datetime, *, by: str) -> Entry:
    """A happening in a vehicle's record that says nothing about any one vessel."""
    return Entry(
        vehicle=vehicle.key,
        circuit=_stands_for_all(vehicle),
        state=State.UNKNOWN,
        evidence=Evidence.ASSERTED,
        by=by,
        at=now,
        received_at=now,
        event=event,
        note=note,
    )


def _stands_for_all(vehicle: Vehicle) -> Circuit:
    """The circuit under which a happening stands, also where the layout does not hold together."""
    try:
        return layout_of(vehicle).items[0].circuit
    except FrostwatchError:
        return Circuit.FRESH_TANK
