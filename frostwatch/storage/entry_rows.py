"""The record of each vehicle: entries only ever added, each sealed onto the one before.

The seal is SHA-256 over the seal before it and the text as it stands in the table. Changing,
dropping or swapping an entry breaks every seal behind it. Cutting off the end cannot be seen
from inside: whoever must prove completeness notes the last seal elsewhere, for example on the
printed roll.
"""

import hashlib
from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import Connection, bindparam, func, or_, select, text

from frostwatch.ports import ChainBreak, SealedEntry
from frostwatch.records.entries import Entry
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.fleet_rows import vehicles_at
from frostwatch.storage.tables import EntryRow, table_of

FIRST_SEAL = "0" * 64
HORIZON = timedelta(days=400)
"""Older entries matter only where a circuit has no newer one: estimate, a season and a spare."""

_entry = table_of(EntryRow)


def seal(before: str, body: str) -> str:
    """The seal of an entry, hexadecimal SHA-256 (FIPS 180-4)."""
    return hashlib.sha256(f"{before}\n{body}".encode()).hexdigest()


def append(connection: Connection, entries: Sequence[Entry]) -> tuple[SealedEntry, ...]:
    """Add entries in the order given; each vehicle's chain grows from its own end."""
    if connection.dialect.name == "postgresql":
        # two writers would both build on the same end; readers are not held up
        connection.execute(text("LOCK TABLE entry IN SHARE ROW EXCLUSIVE MODE"))
    ends = _ends(connection, sorted({entry.vehicle for entry in entries}))
    rows = []
    sealed = []
    for entry in entries:
        number, before = ends.get(entry.vehicle, (0, FIRST_SEAL))
        body = to_body(Entry, entry)
        own = seal(before, body)
        ends[entry.vehicle] = (number + 1, own)
        rows.append(_row(entry, body, number + 1, before, own))
        sealed.append(SealedEntry(number=number + 1, seal=own, entry=entry))
    if rows:
        connection.execute(_entry.insert(), rows)
    return tuple(sealed)


def _row(entry: Entry, body: str, number: int, before: str, own: str) -> dict[str, object]:
    return {
        "vehicle": entry.vehicle,
        "number": number,
        "circuit": entry.circuit.value,
        "at": entry.at,
        "received_at": entry.received_at,
        "body": body,
        "prev_hash": before,
        "hash": own,
    }


def _ends(connection: Connection, vehicles: Sequence[str]) -> dict[str, tuple[int, str]]:
    """Number and seal of each vehicle's last entry."""
    last = (
        select(func.max(_entry.c.id))
        .where(_entry.c.vehicle.in_(bindparam("vehicles", expanding=True)))
        .group_by(_entry.c.vehicle)
    )
    found = select(_entry.c.vehicle, _entry.c.number, _entry.c.hash).where(_entry.c.id.in_(last))
    ends: dict[str, tuple[int, str]] = {}
    for start in range(0, len(vehicles), 10_000):
        part = {"vehicles": list(vehicles[start : start + 10_000])}
        ends.update({row[0]: (row[1], row[2]) for row in connection.execute(found, part)})
    return ends


def of_vehicle(connection: Connection, vehicle: str) -> tuple[SealedEntry, ...]:
    """A vehicle's whole record in the order it was taken in."""
    rows = connection.execute(
        select(_entry.c.number, _entry.c.hash, _entry.c.body)
        .where(_entry.c.vehicle == vehicle)
        .order_by(_entry.c.number)
    )
    return tuple(
        SealedEntry(number=number, seal=own, entry=_read(body, vehicle, number))
        for number, own, body in rows
    )


def recent(
    connection: Connection, now: datetime, sites: Sequence[str] | None
) -> dict[str, tuple[Entry, ...]]:
    """What may still matter at ``now``: the horizon, and the newest entry of each circuit.

    Args:
        connection: an open connection.
        now: entries taken in later are left out.
        sites: keys of the sites whose vehicles are meant, None for all.
    """
    known = _entry.c.received_at <= now
    newest = select(func.max(_entry.c.id)).where(known).group_by(_entry.c.vehicle, _entry.c.circuit)
    wanted = select(_entry.c.vehicle, _entry.c.number, _entry.c.body).where(known)
    if sites is not None:
        newest = newest.where(_entry.c.vehicle.in_(vehicles_at(sites)))
        wanted = wanted.where(_entry.c.vehicle.in_(vehicles_at(sites)))
    wanted = wanted.where(or_(_entry.c.at >= now - HORIZON, _entry.c.id.in_(newest)))
    found: defaultdict[str, list[Entry]] = defaultdict(list)
    for vehicle, number, body in connection.execute(wanted.order_by(_entry.c.id)):
        found[vehicle].append(_read(body, vehicle, number))
    return {vehicle: tuple(entries) for vehicle, entries in found.items()}


def verify(connection: Connection, vehicle: str) -> tuple[ChainBreak, ...]:
    """Every place at which a vehicle's record does not fit its seals; empty if it is whole."""
    rows = connection.execute(
        select(_entry.c.number, _entry.c.prev_hash, _entry.c.hash, _entry.c.body)
        .where(_entry.c.vehicle == vehicle)
        .order_by(_entry.c.number)
    )
    breaks = []
    before = FIRST_SEAL
    for expected, (number, said_before, own, body) in enumerate(rows, start=1):
        if why := _fault(expected, number, before, said_before, own, body):
            breaks.append(ChainBreak(vehicle=vehicle, number=number, why=why))
        before = own
    return tuple(breaks)


def _fault(expected: int, number: int, before: str, said_before: str, own: str, body: str) -> str:
    if seal(said_before, body) != own:
        return "its text was changed after it was sealed"
    if said_before != before:
        return "it does not follow the entry before it: one was removed, added or swapped"
    if number != expected:
        return f"it stands in place {expected}"
    return ""


def _read(body: str, vehicle: str, number: int) -> Entry:
    return from_body(Entry, body, where=f"entry {number} of vehicle {vehicle}")
