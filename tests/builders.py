"""Builders of invented sites, people and vehicles, so that a test names only what it is about."""

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import Any

from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.people import Channel, Duty, Person, Slot
from frostwatch.fleet.sites import Lie, Shelter, Shift, Site, SiteKind
from frostwatch.fleet.vehicles import Circuit, Layout, Vehicle
from frostwatch.records.entries import Entry, Evidence, State

NOW = datetime(2026, 12, 1, 7, 40, tzinfo=UTC)
"""A Tuesday morning before the first hard nights."""

WEEKDAYS = tuple(Shift(weekday=day, opens=time(8), closes=time(16, 30)) for day in range(5))

STAFF_OUTBOX = Channel(name="outbox", address="outbox://local", form="long")


def a_site(key: str = "cold-rigg", **changed: Any) -> Site:
    """An upland storage yard with three rows of bays."""
    site = Site(
        key=key,
        name="Cold Rigg Yard",
        kind=SiteKind.YARD,
        latitude_deg=54.74,
        longitude_deg=-2.31,
        height_m=410.0,
        time_zone="Europe/London",
        lie=Lie.OPEN,
        shelter=Shelter.OPEN,
        shifts=WEEKDAYS,
        bays=bay_names(24),
        crew=2,
        operator="ailsa",
    )
    return replace(site, **changed)


def bay_names(count: int) -> tuple[str, ...]:
    """Bays A-01 .. A-12, B-01 .. in walking order, twelve to a row."""
    return tuple(f"{chr(65 + i // 12)}-{i % 12 + 1:02d}" for i in range(count))


def a_drive(key: str = "aunt-drive", **changed: Any) -> Site:
    """The drive of an aunt's house near the coast: nobody works there."""
    site = Site(
        key=key,
        name="Aunt's drive",
        kind=SiteKind.DRIVE,
        latitude_deg=48.71,
        longitude_deg=-4.05,
        height_m=20.0,
        time_zone="Europe/Paris",
        shelter=Shelter.HEDGED,
        bays=(),
        operator="maelle",
    )
    return replace(site, **changed)


def a_forecourt(key: str = "hinterlach", **changed: Any) -> Site:
    """A dealer's forecourt, open Monday to Saturday."""
    site = Site(
        key=key,
        name="Reisemobilhof Hinterlach",
        kind=SiteKind.FORECOURT,
        latitude_deg=47.70,
        longitude_deg=10.29,
        height_m=720.0,
        time_zone="Europe/Berlin",
        shifts=tuple(Shift(weekday=day, opens=time(7, 30), closes=time(18)) for day in range(6)),
        bays=bay_names(16),
        crew=3,
        operator="resi",
        gas_allowed=True,
    )
    return replace(site, **changed)


def an_operator(key: str = "ailsa", **changed: Any) -> Person:
    """Runs the yard and reads at 07:40."""
    person = Person(
        key=key,
        name="Ailsa Thornber",
        duty=Duty.OPERATOR,
        channels=(STAFF_OUTBOX,),
        sites=("cold-rigg",),
        reading=(time(7, 40),),
    )
    return replace(person, **changed)


def a_crew(key: str = "kit", **changed: Any) -> Person:
    """Walks the round."""
    person = Person(
        key=key,
        name="Kit",
        duty=Duty.CREW,
        channels=(Channel(name="chat", address="outbox://local", form="short"),),
        sites=("cold-rigg",),
        reading=(time(7, 40),),
    )
    return replace(person, **changed)


def an_owner(key: str = "maelle", **changed: Any) -> Person:
    """Lives 25 km away, reads after work, can go on Friday afternoon and on Saturday."""
    person = Person(
        key=key,
        name="Maëlle Kerdoncuff",
        duty=Duty.OWNER,
        channels=(Channel(name="phone", address="outbox://local", form="short"),),
        travel_min=30.0,
        reading=(time(18, 15),),
        slots=(
            Slot(weekday=4, starts=time(15, 30), ends=time(17, 30)),
            Slot(weekday=5, starts=time(10), ends=time(16)),
        ),
    )
    return replace(person, **changed)


def a_vehicle(key: str = "Y03", **changed: Any) -> Vehicle:
    """A coachbuilt motorhome in the yard's first bay."""
    vehicle = Vehicle(
        key=key, site="cold-rigg", bay="A-01", layout="coachbuilt-seat-tank", plate_end="K47"
    )
    return replace(vehicle, **changed)


def a_layout(key: str = "coachbuilt-seat-tank", **changed: Any) -> Layout:
    """A layout of the catalogue."""
    return layout_of(a_vehicle(layout=key, **changed))


def a_yard(bays: int = 40, **changed: Any) -> tuple[Site, tuple[Vehicle, ...]]:
    """A yard with one coachbuilt in every bay, Y01 onwards."""
    names = bay_names(bays)
    site = a_site(bays=names, **changed)
    vehicles = tuple(
        a_vehicle(f"Y{i + 1:02d}", site=site.key, bay=bay) for i, bay in enumerate(names)
    )
    return site, vehicles


def an_entry(
    circuit: Circuit = Circuit.FRESH_TANK,
    state: State = State.DRAINED,
    *,
    hours_ago: float = 24.0,
    now: datetime = NOW,
    **changed: Any,
) -> Entry:
    """One thing Kit saw at Y03, a day before ``NOW`` unless said otherwise."""
    at = changed.pop("at", now - timedelta(hours=hours_ago))
    entry = Entry(
        vehicle="Y03",
        circuit=circuit,
        state=state,
        evidence=Evidence.SEEN,
        by="kit",
        at=at,
        received_at=at + timedelta(minutes=1),
    )
    return replace(entry, **changed)


def entries_for(
    layout: Layout, state: State = State.DRAINED, *, vehicle: str = "Y03", **changed: Any
) -> tuple[Entry, ...]:
    """The same statement about every circuit of a layout."""
    circuits = dict.fromkeys(item.circuit for item in layout.items)
    return tuple(an_entry(circuit, state, vehicle=vehicle, **changed) for circuit in circuits)


FLEET_TOML = """\
[[site]]
key = "cold-rigg"
kind = "yard"
latitude = 54.74
longitude = -2.31
time_zone = "Europe/London"
hours = ["mon-fri 08:00-16:30"]
bays = ["A-01..A-12"]
operator = "ailsa"

[[person]]
key = "ailsa"
duty = "operator"
sites = ["cold-rigg"]
reading = ["07:40"]

[[person.channel]]
name = "e-mail"
address = "outbox://local"

[[vehicle]]
key = "Y02"
site = "cold-rigg"
bay = "A-02"
layout = "alcove-family"

[vehicle.own]
"F1.capacity_l" = 110

[[vehicle.water]]
circuit = "fresh"
state = "travel level"
litres = 20
by = "owner"
at = 2026-10-24T16:30:00+01:00

[[vehicle]]
key = "Y03"
site = "cold-rigg"
layout = "panel-van"
"""
"""A small yard as a fleet file."""
