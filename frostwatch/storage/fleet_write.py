"""A fleet written back as the file it could have come from."""

from collections.abc import Iterable, Sequence
from typing import Any

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.people import Person
from frostwatch.fleet.roofs import Under
from frostwatch.fleet.sites import COST_RATIO, Site
from frostwatch.fleet.vehicles import HeatedHold, Vehicle
from frostwatch.records.entries import Entry
from frostwatch.storage.bay_ranges import bays_text
from frostwatch.storage.entry_text import entry_fields
from frostwatch.storage.handbook_text import handbook_tables, own_source_tables
from frostwatch.storage.heat_text import posts_text, source_text
from frostwatch.storage.hours_text import spans_text

Table = dict[str, Any]


def write_fleet_toml(fleet: Fleet, entries: Sequence[Entry] = ()) -> str:
    """The fleet as TOML in the one documented form; reading it gives the same fleet.

    Args:
        fleet: what to write.
        entries: written under their vehicles as ``[[vehicle.water]]``.
    """
    import tomli_w

    by_vehicle: dict[str, list[Table]] = {}
    for entry in entries:
        by_vehicle.setdefault(entry.vehicle, []).append(_water(entry))
    tables: Table = {
        "site": [_site(site) for site in fleet.sites],
        "person": [_person(person) for person in fleet.people],
        "vehicle": [_vehicle(one, by_vehicle.get(one.key, ())) for one in fleet.vehicles],
    }
    return tomli_w.dumps({name: those for name, those in tables.items() if those})


def _filled(table: Table) -> Table:
    """Without what is empty: reading puts the same default there."""
    return {
        name: value
        for name, value in table.items()
        if value is not None and value is not False and value != "" and value != []
    }


def _site(site: Site) -> Table:
    caution = _caution(site.cost_ratio)
    spans = [(shift.weekday, shift.opens, shift.closes) for shift in site.shifts]
    return _filled(
        {
            "key": site.key,
            "name": site.name,
            "kind": site.kind.value,
            "latitude": site.latitude_deg,
            "longitude": site.longitude_deg,
            "height_m": site.height_m,
            "time_zone": site.time_zone,
            "lie": site.lie.value,
            "shelter": site.shelter.value,
            "hours": spans_text(spans),
            "bays": bays_text(site.bays),
            "crew": site.crew,
            "operator": site.operator,
            "caution": caution,
            "cost_ratio": None if caution else site.cost_ratio,
            "gas_allowed": site.gas_allowed,
            "posts": posts_text(site.posts),
            "supply_w": site.supply_w,
            "roof": [{"bays": bays_text(roof.bays)} | _under(roof.under) for roof in site.roofs],
        }
    )


def _caution(cost_ratio: float | None) -> str | None:
    """The word for a ratio; None where no word says it."""
    return next((word.value for word, ratio in COST_RATIO.items() if ratio == cost_ratio), None)


def _person(person: Person) -> Table:
    caution = _caution(person.cost_ratio)
    spans = [(slot.weekday, slot.starts, slot.ends) for slot in person.slots]
    return _filled(
        {
            "key": person.key,
            "name": person.name,
            "duty": person.duty.value,
            "language": person.language.value,
            "sites": list(person.sites),
            "travel_min": person.travel_min or None,
            "reading": [f"{clock:%H:%M}" for clock in person.reading],
            "slots": spans_text(spans),
            "quiet": f"{person.quiet_from:%H:%M}-{person.quiet_to:%H:%M}",
            "caution": caution,
            "cost_ratio": None if caution else person.cost_ratio,
            "channel": [
                {"name": channel.name, "address": channel.address, "form": channel.form}
                for channel in person.channels
            ],
        }
    )


def _vehicle(vehicle: Vehicle, water: Iterable[Table]) -> Table:
    hold = vehicle.hold
    return _filled(
        {
            "key": vehicle.key,
            "name": vehicle.name,
            "site": vehicle.site,
            "bay": vehicle.bay,
            "layout": vehicle.layout,
            "keeper": vehicle.keeper,
            "plate_end": vehicle.plate_end,
            "key_place": vehicle.key_place,
            "indoors": vehicle.indoors,
            "hold": None if hold is None else _hold(hold),
            "heat": [source_text(source) for source in vehicle.heat],
            "post": vehicle.post,
            "handover": None if vehicle.handover is None else _handover(vehicle.handover),
            "under": None if vehicle.under is None else _under(vehicle.under),
            "own": dict(vehicle.overrides) or None,
            "own_from": own_source_tables(vehicle.own_from),
            "handbook": handbook_tables(vehicle.handbook),
            "water": list(water),
        }
    )


def _handover(handover: Handover) -> Table:
    return _filled(
        {
            "at": handover.at,
            "fill_l": handover.fill_l,
            "heat": source_text(handover.heat) if handover.heat else None,
            "indoors_from": handover.indoors_from,
            "who": handover.who,
            "taker": handover.taker,
        }
    )


def _hold(hold: HeatedHold) -> Table:
    return _filled(
        {
            "source": hold.source,
            "power_w": hold.power_w,
            "setting_c": hold.setting_c,
            "fuel": hold.fuel.value if hold.fuel else None,
            "store": hold.store,
            "battery_ah": hold.battery_ah,
            "other_w": hold.other_w or None,
        }
    )


def _under(under: Under) -> Table:
    return _filled(
        {
            "kind": under.kind.value,
            "heated_to_c": under.heated_to_c,
            "by": under.by,
            "until": under.until,
            "said_at": under.said_at,
        }
    )


def _water(entry: Entry) -> Table:
    arrived = None if entry.received_at == entry.at else entry.received_at
    return _filled(entry_fields(entry) | {"at": entry.at, "received_at": arrived})
