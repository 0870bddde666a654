"""Sites, people and vehicles in their tables."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, Select, delete, select

from frostwatch.errors import LedgerError
from frostwatch.fleet.people import Channel, Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.records.entries import Entry
from frostwatch.records.events import TAKES_AWAY
from frostwatch.storage.bodies import read_again, to_body
from frostwatch.storage.database import upsert
from frostwatch.storage.tables import ChannelRow, PersonRow, SiteRow, VehicleRow, table_of

_site = table_of(SiteRow)
_person = table_of(PersonRow)
_channel = table_of(ChannelRow)
_vehicle = table_of(VehicleRow)


def save_sites(connection: Connection, sites: Sequence[Site]) -> None:
    """Add sites, or replace those of the same key."""
    rows = [{"key": s.key, "name": s.name, "body": to_body(Site, s)} for s in sites]
    upsert(connection, _site, rows, ["key"])


def save_vehicles(connection: Connection, vehicles: Sequence[Vehicle]) -> None:
    """Add vehicles, or replace those of the same key.

    Raises:
        LedgerError: a vehicle stands at a site nobody entered.
    """
    known = set(connection.scalars(select(_site.c.key)))
    for vehicle in vehicles:
        if vehicle.site not in known:
            raise LedgerError(
                f"vehicle {vehicle.key} stands at site {vehicle.site!r}, which is not entered. "
                "Enter the site first, or in the same file."
            )
    rows = [
        {
            "key": vehicle.key,
            "site": vehicle.site,
            "bay": vehicle.bay,
            "keeper": vehicle.keeper,
            "layout": vehicle.layout,
            "body": to_body(Vehicle, vehicle),
        }
        for vehicle in vehicles
    ]
    upsert(connection, _vehicle, rows, ["key"])


def save_people(connection: Connection, people: Sequence[Person]) -> None:
    """Add people, or replace those of the same key; a channel left as it was keeps its history."""
    rows = [
        {
            "key": person.key,
            "name": person.name,
            "duty": person.duty.value,
            "body": to_body(Person, replace(person, channels=())),
        }
        for person in people
    ]
    upsert(connection, _person, rows, ["key"])
    before = _channel_rows(connection)
    for person in people:
        connection.execute(delete(_channel).where(_channel.c.person == person.key))
    fresh = [
        _channel_row(person.key, position, channel, before.get((person.key, channel.name)))
        for person in people
        for position, channel in enumerate(person.channels)
    ]
    if fresh:
        connection.execute(_channel.insert(), fresh)


def _channel_rows(connection: Connection) -> dict[tuple[str, str], Any]:
    return {(row.person, row.name): row for row in connection.execute(select(_channel))}


def _channel_row(person: str, position: int, channel: Channel, before: Any) -> dict[str, Any]:
    same = before is not None and before.address == channel.address
    return {
        "person": person,
        "name": channel.name,
        "position": position,
        "address": channel.address,
        "form": channel.form,
        "last_sent_at": before.last_sent_at if same else None,
        "refused_at": before.refused_at if same else None,
        "refused_reason": before.refused_reason if same else "",
    }


def keep_only(
    connection: Connection,
    sites: Collection[str],
    people: Collection[str],
    vehicles: Collection[str],
) -> None:
    """Remove every site, person and vehicle whose key is not named; their entries stay."""
    for table, keys in ((_vehicle, vehicles), (_person, people), (_site, sites)):
        gone = set(connection.scalars(select(table.c.key))) - set(keys)
        for key in sorted(gone):
            connection.execute(delete(table).where(table.c.key == key))


def load_sites(connection: Connection, sites: Sequence[str] | None) -> tuple[Site, ...]:
    """Sites by key, or all of them in order of their keys."""
    wanted = select(_site.c.key, _site.c.body).order_by(_site.c.key)
    if sites is not None:
        wanted = wanted.where(_site.c.key.in_(sites))
    return tuple(
        read_again(Site, body, where=f"site {key}") for key, body in connection.execute(wanted)
    )


def site_names(connection: Connection) -> dict[str, str]:
    """Key -> name of every site, in order of their keys."""
    rows = connection.execute(select(_site.c.key, _site.c.name).order_by(_site.c.key))
    return {row.key: row.name for row in rows}


def load_vehicles(connection: Connection, sites: Sequence[str] | None) -> tuple[Vehicle, ...]:
    """Vehicles of these sites, or all of them, in order of their keys."""
    wanted = select(_vehicle.c.key, _vehicle.c.body).order_by(_vehicle.c.key)
    if sites is not None:
        wanted = wanted.where(_vehicle.c.site.in_(sites))
    return tuple(
        read_again(Vehicle, body, where=f"vehicle {key}")
        for key, body in connection.execute(wanted)
    )


def vehicles_named(connection: Connection, keys: Sequence[str]) -> dict[str, Vehicle]:
    """Those of these vehicles that are entered, by key."""
    wanted = select(_vehicle.c.key, _vehicle.c.body).where(_vehicle.c.key.in_(keys))
    return {
        key: read_again(Vehicle, body, where=f"vehicle {key}")
        for key, body in connection.execute(wanted)
    }


def load_vehicle(connection: Connection, key: str) -> Vehicle | None:
    """One vehicle; None if there is none of that key."""
    body = connection.scalar(select(_vehicle.c.body).where(_vehicle.c.key == key))
    return None if body is None else read_again(Vehicle, body, where=f"vehicle {key}")


def end_roofs(connection: Connection, entries: Sequence[Entry]) -> None:
    """What was taken away since stands no longer where somebody said that it stands."""
    for entry in entries:
        if entry.event.strip().casefold() not in TAKES_AWAY:
            continue
        vehicle = load_vehicle(connection, entry.vehicle)
        under = vehicle.under if vehicle is not None else None
        if vehicle is None or under is None or under.said_at is None:
            continue
        if entry.at > under.said_at:
            save_vehicles(connection, [replace(vehicle, under=None)])


def vehicles_at(sites: Sequence[str]) -> Select[tuple[str]]:
    """A subquery: keys of the vehicles that stand at these sites."""
    return select(_vehicle.c.key).where(_vehicle.c.site.in_(sites))


def load_people(connection: Connection) -> tuple[Person, ...]:
    """Everybody, with channels, in order of their keys."""
    channels: dict[str, list[Channel]] = {}
    listed = select(_channel).order_by(_channel.c.person, _channel.c.position)
    for row in connection.execute(listed):
        channel = Channel(name=row.name, address=row.address, form=row.form)
        channels.setdefault(row.person, []).append(channel)
    people = connection.execute(select(_person.c.key, _person.c.body).order_by(_person.c.key))
    return tuple(
        replace(
            read_again(Person, body, where=f"person {key}"), channels=tuple(channels.get(key, ()))
        )
        for key, body in people
    )
