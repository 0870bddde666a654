"""The record of each vehicle: entries only ever added, each linked onto the one before.

The links are those of ``records.chain``, one chain a vehicle. Cutting off the end cannot be seen
from inside: whoever must prove completeness notes the last link elsewhere, for example on the
printed roll.
"""

from collections import defaultdict
from collections.abc import Collection, Sequence
from datetime import datetime, timedelta

from sqlalchemy import Connection, bindparam, func, or_, select, text

from frostwatch.records.chain import FIRST_LINK, Linked, link_after
from frostwatch.records.entries import Entry
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.fleet_rows import vehicles_at
from frostwatch.storage.tables import EntryRow, table_of

HORIZON = timedelta(days=400)
"""Older entries matter only where a circuit has no newer one: estimate, a season and a spare."""

_entry = table_of(EntryRow)


def append(connection: Connection, entries: Sequence[Entry]) -> tuple[Linked, ...]:
    """Add entries in the order given; each vehicle's chain grows from its own end."""
    if connection.dialect.name == "postgresql":
        # two writers would both build on the same end; readers are not held up
        connection.execute(text("LOCK TABLE entry IN SHARE ROW EXCLUSIVE MODE"))
    ends = _ends(connection, sorted({entry.vehicle for entry in entries}))
    rows = []
    linked = []
    for entry in entries:
        number, before = ends.get(entry.vehicle, (0, FIRST_LINK))
        link = link_after(before, entry)
        ends[entry.vehicle] = (number + 1, link)
        rows.append(_row(entry, number + 1, link))
        linked.append(Linked(entry=entry, link=link))
    if rows:
        connection.execute(_entry.insert(), rows)
    return tuple(linked)


def _row(entry: Entry, number: int, link: str) -> dict[str, object]:
    return {
        "vehicle": entry.vehicle,
        "number": number,
        "circuit": entry.circuit.value,
        "at": entry.at,
        "received_at": entry.received_at,
        "body": to_body(Entry, entry),
        "link": link,
    }


def _ends(connection: Connection, vehicles: Sequence[str]) -> dict[str, tuple[int, str]]:
    """Number and link of each vehicle's last entry."""
    last = (
        select(func.max(_entry.c.id))
        .where(_entry.c.vehicle.in_(bindparam("vehicles", expanding=True)))
        .group_by(_entry.c.vehicle)
    )
    found = select(_entry.c.vehicle, _entry.c.number, _entry.c.link).where(_entry.c.id.in_(last))
    ends: dict[str, tuple[int, str]] = {}
    for start in range(0, len(vehicles), 10_000):
        part = {"vehicles": list(vehicles[start : start + 10_000])}
        ends.update({row[0]: (row[1], row[2]) for row in connection.execute(found, part)})
    return ends


def of_vehicle(connection: Connection, vehicle: str) -> tuple[Linked, ...]:
    """A vehicle's whole record in the order it was taken in."""
    rows = connection.execute(
        select(_entry.c.number, _entry.c.link, _entry.c.body)
        .where(_entry.c.vehicle == vehicle)
        .order_by(_entry.c.number)
    )
    return tuple(
        Linked(entry=_read(body, vehicle, number), link=link) for number, link, body in rows
    )


def of_those_recorded_since(
    connection: Connection, site: str, since: datetime, now: datetime
) -> dict[str, tuple[Entry, ...]]:
    """Entries of the vehicles of a site about which something arrived at ``since`` or later."""
    touched = (
        select(_entry.c.vehicle)
        .where(
            _entry.c.received_at >= since,
            _entry.c.received_at <= now,
            _entry.c.vehicle.in_(vehicles_at([site])),
        )
        .distinct()
    )
    wanted = (
        select(_entry.c.vehicle, _entry.c.number, _entry.c.body)
        .where(_entry.c.received_at <= now, _entry.c.vehicle.in_(touched))
        .order_by(_entry.c.id)
    )
    found: defaultdict[str, list[Entry]] = defaultdict(list)
    for vehicle, number, body in connection.execute(wanted):
        found[vehicle].append(_read(body, vehicle, number))
    return {vehicle: tuple(entries) for vehicle, entries in found.items()}


def recent(
    connection: Connection,
    now: datetime,
    sites: Sequence[str] | None,
    *,
    vehicles: Collection[str] | None = None,
) -> dict[str, tuple[Entry, ...]]:
    """What may still matter at ``now``: the horizon, and the newest entry of each circuit.

    Args:
        connection: an open connection.
        now: entries taken in later are left out.
        sites: keys of the sites whose vehicles are meant, None for all.
        vehicles: keys of those that are meant among them, None for all.
    """
    known = _entry.c.received_at <= now
    newest = select(func.max(_entry.c.id)).where(known).group_by(_entry.c.vehicle, _entry.c.circuit)
    wanted = select(_entry.c.vehicle, _entry.c.number, _entry.c.body).where(known)
    if sites is not None:
        newest = newest.where(_entry.c.vehicle.in_(vehicles_at(sites)))
        wanted = wanted.where(_entry.c.vehicle.in_(vehicles_at(sites)))
    if vehicles is not None:
        newest = newest.where(_entry.c.vehicle.in_(vehicles))
        wanted = wanted.where(_entry.c.vehicle.in_(vehicles))
    wanted = wanted.where(or_(_entry.c.at >= now - HORIZON, _entry.c.id.in_(newest)))
    found: defaultdict[str, list[Entry]] = defaultdict(list)
    for vehicle, number, body in connection.execute(wanted.order_by(_entry.c.id)):
        found[vehicle].append(_read(body, vehicle, number))
    return {vehicle: tuple(entries) for vehicle, entries in found.items()}


def _read(body: str, vehicle: str, number: int) -> Entry:
    return from_body(Entry, body, where=f"entry {number} of vehicle {vehicle}")
