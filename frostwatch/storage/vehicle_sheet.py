"""Vehicles as a spreadsheet's CSV, in English, German or French headers."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.mismatches import mismatches
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.storage.entry_text import number_text
from frostwatch.storage.file_rows import Problem, Row
from frostwatch.storage.fleet_tables import handover_from, hold_from, under_from, vehicle_from
from frostwatch.storage.heat_text import source_text
from frostwatch.storage.sheets import Sheet, Where, read_sheet, write_sheet
from frostwatch.told import told

FIELDS = (
    "key",
    "name",
    "site",
    "bay",
    "layout",
    "keeper",
    "plate_end",
    "key_place",
    "indoors",
    "hold_source",
    "hold_power_w",
    "hold_setting_c",
    "hold_fuel",
    "hold_store",
    "hold_battery_ah",
    "hold_other_w",
    "heat",
    "post",
    "handover_at",
    "handover_fill_l",
    "handover_heat",
    "handover_indoors_from",
    "handover_who",
    "handover_taker",
    "under_kind",
    "under_heated_to_c",
    "under_by",
    "under_until",
    "under_said_at",
)

OTHER_WORDS = {
    "vehicle": "key",
    "fahrzeug": "key",
    "fahrzeugnummer": "key",
    "véhicule": "key",
    "vehicule": "key",
    "bezeichnung": "name",
    "nom": "name",
    "standort": "site",
    "lieu": "site",
    "stellplatz": "bay",
    "emplacement": "bay",
    "platz": "bay",
    "place": "bay",
    "kind": "layout",
    "art": "layout",
    "genre": "layout",
    "type": "layout",
    "typ": "layout",
    "aufbau": "layout",
    "modèle": "layout",
    "owner": "keeper",
    "halter": "keeper",
    "besitzer": "keeper",
    "propriétaire": "keeper",
    "proprietaire": "keeper",
    "plate": "plate_end",
    "plate ending": "plate_end",
    "kennzeichen": "plate_end",
    "kennzeichenende": "plate_end",
    "fin de plaque": "plate_end",
    "plaque": "plate_end",
    "immatriculation": "plate_end",
    "schlüssel": "key_place",
    "schluessel": "key_place",
    "clé": "key_place",
    "clés": "key_place",
    "halle": "indoors",
    "in halle": "indoors",
    "intérieur": "indoors",
    "interieur": "indoors",
    "heizquelle": "hold_source",
    "source de chauffage": "hold_source",
    "heizleistung w": "hold_power_w",
    "puissance w": "hold_power_w",
    "heiztemperatur c": "hold_setting_c",
    "consigne c": "hold_setting_c",
    "heizung": "heat",
    "chauffage": "heat",
    "säule": "post",
    "borne": "post",
    "übergabe": "handover_at",
    "livraison": "handover_at",
    "steht": "under_kind",
    "abri": "under_kind",
    "halle warm c": "under_heated_to_c",
    "abri chauffé c": "under_heated_to_c",
    "halle laut": "under_by",
    "abri selon": "under_by",
    "halle bis": "under_until",
    "abri jusque": "under_until",
}

HEADERS = {field.replace("_", " "): field for field in FIELDS} | OTHER_WORDS
"""Headers understood, lower case; a dotted one such as ``F1.capacity_l`` is a number of the
vehicle's own."""


def read_vehicle_sheet(text: str, known: Fleet) -> Fleet | list[Problem]:
    """Vehicles of a CSV added to a fleet, or put in place of those of the same key.

    Args:
        text: the file's text, see ``sheets.decoded``.
        known: the fleet as it is, whose sites and people the rows name.

    Returns:
        The whole new fleet, or every problem in order of its line; nothing half imported.
    """
    sheet = read_sheet(text, HEADERS)
    return sheet if isinstance(sheet, list) else fleet_with(sheet, known)


def fleet_with(sheet: Sheet, known: Fleet) -> Fleet | list[Problem]:
    """The same for a sheet whose columns have been read already."""
    problems: list[Problem] = []
    rows: dict[str, tuple[Vehicle, Where]] = {}
    for where, row in sheet.each(problems):
        vehicle = _vehicle(row, sheet.fields)
        if vehicle.key in rows:
            first = rows[vehicle.key][1].line
            row.problem("key", told("line_too", key=vehicle.key, line=first), told("one_row"))
        rows[vehicle.key] = vehicle, where
    merged = {one.key: one for one in known.vehicles} | {key: one for key, (one, _) in rows.items()}
    if not problems:
        problems += _misfits(known, tuple(merged.values()), rows)
    if problems:
        return sorted(problems, key=lambda problem: problem.line)
    return replace(known, vehicles=tuple(merged.values()))


def _vehicle(row: Row, fields: Sequence[str]) -> Vehicle:
    hold = hold_from(row, "hold_") if row.has("hold_source") or row.has("hold_power_w") else None
    handover = handover_from(row, "handover_") if row.has("handover_at") else None
    under = under_from(row, "under_") if row.has("under_kind") else None
    for field in FIELDS:
        if field.startswith(("hold_", "handover_", "under_")):
            row.take(field)
    own = [(field, row.number(field)) for field in fields if "." in field]
    overrides = tuple((field, number) for field, number in own if number is not None)
    return vehicle_from(row, hold, overrides, handover, under)


def _misfits(
    known: Fleet, vehicles: Sequence[Vehicle], rows: Mapping[str, tuple[Vehicle, Where]]
) -> Iterator[Problem]:
    for found in mismatches(known.sites, known.people, vehicles):
        _, where = rows[found.key]
        field = found.what.split(" ", 1)[0].strip("'") if found.field == "own" else found.field
        line, column = where(field)
        yield Problem(line=line, column=column, what=found.what, mend=found.mend)


def write_vehicle_sheet(vehicles: Sequence[Vehicle]) -> str:
    """Vehicles as a CSV that reads back as the same; numbers of their own in dotted columns."""
    own = tuple(dict.fromkeys(name for one in vehicles for name, _ in one.overrides))
    return write_sheet((*FIELDS, *own), (_cells(vehicle, own) for vehicle in vehicles))


def _cells(vehicle: Vehicle, own: Sequence[str]) -> list[str]:
    hold, handover, under = vehicle.hold, vehicle.handover, vehicle.under
    numbers = dict(vehicle.overrides)
    return [
        vehicle.key,
        vehicle.name,
        vehicle.site,
        vehicle.bay,
        vehicle.layout,
        vehicle.keeper,
        vehicle.plate_end,
        vehicle.key_place,
        "yes" if vehicle.indoors else "",
        hold.source if hold else "",
        number_text(hold.power_w) if hold else "",
        number_text(hold.setting_c) if hold else "",
        hold.fuel.value if hold and hold.fuel else "",
        _number(hold.store) if hold else "",
        _number(hold.battery_ah) if hold else "",
        number_text(hold.other_w) if hold and hold.other_w else "",
        "; ".join(source_text(source) for source in vehicle.heat),
        vehicle.post,
        _moment(handover.at) if handover else "",
        number_text(handover.fill_l) if handover else "",
        source_text(handover.heat) if handover and handover.heat else "",
        _moment(handover.indoors_from) if handover else "",
        handover.who if handover else "",
        handover.taker if handover else "",
        under.kind.value if under else "",
        _number(under.heated_to_c) if under else "",
        under.by if under else "",
        _moment(under.until) if under else "",
        _moment(under.said_at) if under else "",
        *(number_text(numbers[name]) if name in numbers else "" for name in own),
    ]


def _moment(at: datetime | None) -> str:
    return "" if at is None else f"{at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"


def _number(value: float | None) -> str:
    return "" if value is None else number_text(value)
