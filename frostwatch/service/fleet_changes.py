"""What a changed fleet file says about the water: another keeper, another place."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime

from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.records.entries import Entry, Evidence, State

BY = "import"


def happenings(before: Sequence[Vehicle], after: Sequence[Vehicle], now: datetime) -> list[Entry]:
    """Entries for vehicles that changed hands or stand at another site than before.

    A bay of the same site, and a keeper where none was entered, are corrections of the list.

    Args:
        before: vehicles as they were entered.
        after: vehicles as they are entered now.
        now: aware UTC time.
    """
    was = {vehicle.key: vehicle for vehicle in before}
    return [
        entry
        for vehicle in after
        if vehicle.key in was
        for entry in _between(was[vehicle.key], vehicle, now)
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


def _between(old: Vehicle, new: Vehicle, now: datetime) -> Iterator[Entry]:
    if old.keeper and new.keeper and old.keeper != new.keeper:
        yield _entry(new, "keeper change", f"from {old.keeper} to {new.keeper}", now)
    if old.site != new.site:
        yield _entry(new, "moved", f"from {old.site} to {new.site}", now)


def _entry(vehicle: Vehicle, event: str, note: str, now: datetime) -> Entry:
    return Entry(
        vehicle=vehicle.key,
        circuit=layout_of(vehicle).items[0].circuit,
        state=State.UNKNOWN,
        evidence=Evidence.ASSERTED,
        by=BY,
        at=now,
        received_at=now,
        event=event,
        note=note,
    )
