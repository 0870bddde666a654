"""``frostwatch import``, ``export`` and ``layouts``: what stands where, as files."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import FleetError

if TYPE_CHECKING:
    from frostwatch.fleet.fleet import Fleet
    from frostwatch.fleet.vehicles import Vehicle
    from frostwatch.records.entries import Entry
    from frostwatch.storage.ledger import SqlLedger


def add_to(app: typer.Typer) -> None:
    """Register the commands."""
    app.command(name="import")(import_)
    app.command(name="export")(export)
    app.command(name="layouts")(layouts)


def import_(
    files: Annotated[
        list[Path],
        typer.Argument(
            help="Fleet files (.toml), vehicle sheets or entries (.csv), in this order."
        ),
    ],
    config: Config = None,
    replace: Annotated[
        bool, typer.Option("--replace", help="Take out whatever the fleet file does not name.")
    ] = False,
) -> None:
    """Read sites, people, vehicles and entries. All of a file is taken, or nothing of it."""
    from frostwatch.cli.say import say
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    try:
        for file in files:
            say(f"{file}: {_import_one(ledger, file, replace=replace)}")
    finally:
        ledger.close()


def _import_one(ledger: "SqlLedger", file: Path, *, replace: bool) -> str:
    from frostwatch.service.fleet_changes import as_entered
    from frostwatch.storage.entry_files import read_entries_csv
    from frostwatch.storage.fleet_files import read_fleet_toml
    from frostwatch.storage.sheets import decoded
    from frostwatch.storage.vehicle_sheet import read_vehicle_sheet

    try:
        text = decoded(file.read_bytes())
    except OSError as unreadable:
        raise FleetError(f"{file} cannot be read: {unreadable.strerror}.") from unreadable
    if isinstance(text, list):
        raise _refused(file, text)
    if file.suffix.lower() == ".toml":
        read = read_fleet_toml(text)
        if isinstance(read, list):
            raise _refused(file, read)
        fleet = read.fleet
        before = _vehicles(ledger)
        if replace:
            _note_leaving(ledger, before, fleet.vehicles)
        ledger.save_fleet(
            sites=fleet.sites,
            people=fleet.people,
            vehicles=fleet.vehicles if replace else as_entered(before, fleet.vehicles),
            remove_others=replace,
        )
        added = _add_new(ledger, read.entries) + _note_changes(ledger, before, fleet.vehicles)
        return (
            f"{len(fleet.sites)} sites, {len(fleet.people)} people, "
            f"{len(fleet.vehicles)} vehicles, {added}"
        )
    known = _known(ledger)
    if "circuit" in text.split("\n", 1)[0].lower():
        entries = read_entries_csv(text, known)
        if isinstance(entries, list):
            raise _refused(file, entries)
        return _add_new(ledger, entries)
    sheet = read_vehicle_sheet(text, known)
    if isinstance(sheet, list):
        raise _refused(file, sheet)
    before = _vehicles(ledger)
    ledger.save_fleet(vehicles=as_entered(before, sheet.vehicles))
    return f"{len(sheet.vehicles)} vehicles{_note_changes(ledger, before, sheet.vehicles)}"


def _vehicles(ledger: "SqlLedger") -> Sequence["Vehicle"]:
    from frostwatch.wiring import utc_now

    return ledger.load(utc_now()).vehicles


def _note_leaving(
    ledger: "SqlLedger", before: Sequence["Vehicle"], after: Sequence["Vehicle"]
) -> None:
    """Record which vehicles leave: where one comes back, nobody knows what is in it."""
    from frostwatch.service.fleet_changes import BY, leaving
    from frostwatch.wiring import utc_now

    stay = {vehicle.key for vehicle in after}
    now = utc_now()
    ledger.add_entries([leaving(one, now, by=BY) for one in before if one.key not in stay])


def _note_changes(
    ledger: "SqlLedger", before: Sequence["Vehicle"], after: Sequence["Vehicle"]
) -> str:
    """Record who changed hands or place, and say what follows from it."""
    from frostwatch.service.fleet_changes import happenings
    from frostwatch.wiring import utc_now

    entries = happenings(before, after, utc_now())
    ledger.add_entries(entries)
    lines = [
        f"{entry.vehicle}: {entry.event}, {entry.note}: look at its water and record it anew, or "
        f"frostwatch record {entry.vehicle} --take-back NUMBER --by {entry.by}"
        for entry in entries
    ]
    return "".join(f"\n  {line}" for line in lines)


def _add_new(ledger: "SqlLedger", entries: Sequence["Entry"]) -> str:
    """Add to the record what does not stand there yet: a file may be read twice."""
    from dataclasses import replace

    def said(entry: "Entry") -> "Entry":
        return replace(entry, received_at=entry.at)

    vehicles = {entry.vehicle for entry in entries}
    known = {said(one.entry) for vehicle in vehicles for one in ledger.record_of(vehicle)}
    new = [entry for entry in entries if said(entry) not in known]
    ledger.add_entries(new)
    old = len(entries) - len(new)
    return f"{len(new)} entries" + (f", {old} more were there already" if old else "")


def _refused(file: Path, problems: Sequence[object]) -> FleetError:
    lines = [f"{file}: nothing was imported, {len(problems)} to mend:"]
    return FleetError("\n".join([*lines, *(f"{file}: {problem}" for problem in problems)]))


def _known(ledger: "SqlLedger") -> "Fleet":
    from frostwatch.fleet.fleet import Fleet
    from frostwatch.wiring import utc_now

    book = ledger.load(utc_now())
    return Fleet(sites=book.sites, people=book.people, vehicles=book.vehicles)


def export(
    form: Annotated[
        str, typer.Argument(help="fleet (TOML), vehicles (CSV) or entries (CSV).")
    ] = "fleet",
    config: Config = None,
) -> None:
    """Write what is entered to standard output, in the form that import reads."""
    from frostwatch.cli.say import say
    from frostwatch.storage.entry_files import write_entries_csv
    from frostwatch.storage.fleet_write import write_fleet_toml
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.storage.vehicle_sheet import write_vehicle_sheet
    from frostwatch.wiring import settings_from

    settings, _ = settings_from(config)
    ledger = open_ledger(settings.database_url)
    try:
        fleet = _known(ledger)
        if form == "fleet":
            say(write_fleet_toml(fleet).rstrip("\n"))
        elif form == "vehicles":
            say(write_vehicle_sheet(fleet.vehicles).rstrip("\n"))
        elif form == "entries":
            records = [ledger.record_of(vehicle.key) for vehicle in fleet.vehicles]
            entries = [linked.entry for record in records for linked in record]
            say(write_entries_csv(entries).rstrip("\n"))
        else:
            raise FleetError(f"{form!r} is no form. Give fleet, vehicles or entries.")
    finally:
        ledger.close()


def layouts(
    key: Annotated[str, typer.Argument(help="One layout in full; without it, all.")] = "",
    as_json: AsJson = False,
) -> None:
    """The catalogue of typical vehicles: what holds water, where, how much, and the sources."""
    from dataclasses import asdict
    from difflib import get_close_matches

    from frostwatch.cli.say import say, say_json
    from frostwatch.fleet.layouts import CATALOGUE

    if key and key not in CATALOGUE:
        close = get_close_matches(key, CATALOGUE, n=1)
        hint = f"Did you mean {close[0]}?" if close else "See: frostwatch layouts"
        raise FleetError(f"layout {key!r} is not known. {hint}")
    chosen = [CATALOGUE[key]] if key else list(CATALOGUE.values())
    if as_json:
        say_json([asdict(layout) for layout in chosen])
        return
    if not key:
        say(rows_of([["layout", "is"], *([layout.key, layout.name] for layout in chosen)]))
        return
    table = [["item", "place", "holds L", "range", "left drained L", "source"]]
    for item in chosen[0].items:
        holds = item.capacity_l
        table.append(
            [
                item.key,
                item.place.value,
                f"{holds.value:g}",
                f"{holds.low:g}-{holds.high:g}",
                f"{item.left_drained_l.value:g}",
                holds.source,
            ]
        )
    say(f"{chosen[0].name}\n\n{rows_of(table)}")
