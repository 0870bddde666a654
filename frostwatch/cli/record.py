"""``frostwatch record``: what is known about a vehicle's water, and adding to it."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import AsJson, Config
from frostwatch.errors import RecordError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from frostwatch.records.entries import Entry
    from frostwatch.service.vehicle_record import VehicleRecord
    from frostwatch.storage.ledger import SqlLedger

FORMS = ("csv", "sealed", "json")


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="record")(record)


def record(
    vehicle: Annotated[
        str, typer.Argument(help="Key, bay or name; may be left out with --verify.")
    ] = "",
    words: Annotated[
        list[str] | None,
        typer.Argument(
            help="What to add: drained, or circuit=what such as waste=full fresh=20L traps=35% "
            "traps=0.5L@50%. Circuits by word, code or letter: waste, W3, W, all."
        ),
    ] = None,
    by: Annotated[str, typer.Option("--by", help="Who says so: key, name or initials.")] = "",
    seen: Annotated[
        bool | None,
        typer.Option("--seen/--told", help="Seen with own eyes, or told; told without a photo."),
    ] = None,
    at: Annotated[
        str, typer.Option("--at", help="When it was so: 16:30, 2026-11-30 16:30; now if left out.")
    ] = "",
    event: Annotated[
        str,
        typer.Option("--event", help="Happening: drain-down, moved, keeper change, settled ..."),
    ] = "",
    photo: Annotated[str, typer.Option("--photo", help="Reference of a photograph.")] = "",
    note: Annotated[str, typer.Option("--note", help="Free words.")] = "",
    take_back: Annotated[
        int, typer.Option("--take-back", help="Number of your own entry that was wrong.")
    ] = 0,
    preview: Annotated[
        bool, typer.Option("--preview", help="Show what follows from it; keep nothing.")
    ] = False,
    last: Annotated[
        int, typer.Option("--last", min=0, help="Entries shown, newest first; 0 for all.")
    ] = 20,
    export: Annotated[
        str, typer.Option("--export", help="Write the entries out: csv, sealed (csv) or json.")
    ] = "",
    photos: Annotated[
        Path | None,
        typer.Option("--photos", help="Write its photographs into this folder, with a list."),
    ] = None,
    verify: Annotated[
        bool, typer.Option("--verify", help="Check the chain of entries; status 1 if broken.")
    ] = False,
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Show what is known about a vehicle's water, add to it, export or verify it.

    Photographs are added on the pages and the walk; here they are counted and handed out.
    """
    from dataclasses import replace

    from frostwatch.cli.record_photos import write_photos
    from frostwatch.service.vehicle_record import read_record
    from frostwatch.wiring import utc_now

    adds = bool(words or event or take_back)
    asked = adds + bool(export) + verify + bool(photos)
    _refuse_mixtures(vehicle, export, asked, adds=adds, about=bool(by or photo or note))
    if not vehicle and not verify:
        raise RecordError("name a vehicle: frostwatch record VEHICLE. Its key, bay or name.")
    now = utc_now()
    ledger = _open(config)
    try:
        if verify:
            _verify(ledger, vehicle, now, as_json=as_json)
            return
        known = read_record(ledger, vehicle, now)
        known = replace(known, photos=ledger.photos.of_vehicle(known.vehicle.key))
        if photos:
            write_photos(ledger.photos, known.vehicle.key, photos, as_json=as_json)
            return
        if export:
            _export(known, export)
            return
        if not adds:
            _show(known, now, last, as_json=as_json)
            return
        if take_back:
            more = known.taking_back(take_back, _writer(known, by), now)
        else:
            told = _told(known, by, seen, at, now, event=event, photo=photo, note=note)
            more = known.stating(words or (), told)
        if not preview:
            ledger.add_entries(more)
        _say_what_follows(known, more, now, kept=not preview, as_json=as_json)
    finally:
        ledger.close()


def _refuse_mixtures(vehicle: str, export: str, asked: int, *, adds: bool, about: bool) -> None:
    if asked > 1:
        raise RecordError(
            "adding, --export, --photos and --verify are four things: do one at a time."
        )
    if export and export not in FORMS:
        raise RecordError(f"--export: {export!r} is no form. Give csv, sealed or json.")
    if about and not adds:
        raise RecordError(
            "nothing is said about the water. Write drained, or circuit=state such as waste=full."
        )


def _open(config: Path | None) -> "SqlLedger":
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from

    settings, _ = settings_from(config)
    return open_ledger(settings.database_url)


def _writer(known: "VehicleRecord", by: str) -> str:
    """A person's key where their name or key was typed; initials stay as they are."""
    from frostwatch.cli.say import complain

    if not by.strip():
        raise RecordError("who says so? Add --by with a name or initials.")
    asked = by.strip().casefold()
    found = [p.key for p in known.people if asked in (p.key.casefold(), p.name.casefold())]
    if len(found) == 1:
        return found[0]
    if known.people and not found:
        complain(f"{by.strip()} is not among the people entered: kept as it was typed.")
    return by.strip()


def _told(
    known: "VehicleRecord",
    by: str,
    seen: bool | None,
    at: str,
    now: "datetime",
    *,
    event: str,
    photo: str,
    note: str,
) -> "Entry":
    """Everything of an entry but what it says about the water."""
    from frostwatch.cli.moments import local_moment
    from frostwatch.records.entries import Entry, Evidence, State

    is_seen = bool(photo) if seen is None else seen
    return Entry(
        vehicle=known.vehicle.key,
        circuit=known.layout.items[0].circuit,
        state=State.UNKNOWN,
        evidence=Evidence.SEEN if is_seen else Evidence.ASSERTED,
        by=_writer(known, by),
        at=local_moment(at, "--at", known.site.zone, now) if at else now,
        received_at=now,
        event=event.strip().casefold(),
        photo=photo.strip(),
        note=note.strip(),
    )


def _verify(ledger: "SqlLedger", vehicle: str, now: "datetime", *, as_json: bool) -> None:
    from frostwatch.cli.record_words import broken_as_json
    from frostwatch.cli.say import say, say_json
    from frostwatch.fleet.finding import vehicle_meant
    from frostwatch.records import chain

    entered = ledger.load(now).vehicles
    meant = [vehicle_meant(vehicle, entered)] if vehicle else entered
    records = {one.key: ledger.record_of(one.key) for one in meant}
    found = {key: chain.verify(links) for key, links in records.items()}
    broken = {key: fault for key, fault in found.items() if fault is not None}
    if as_json:
        say_json(
            [
                {
                    "vehicle": key,
                    "entries": len(links),
                    "last_link": links[-1].link if links else None,
                    "broken": broken_as_json(broken.get(key)),
                }
                for key, links in records.items()
            ]
        )
    else:
        for key, fault in broken.items():
            say(f"{key}: broken at {fault}")
        count = sum(len(links) for links in records.values())
        whole = len(records) - len(broken)
        say(f"{whole} of {len(records)} records hold together, {count} entries.")
        if vehicle and not broken and count:
            say(f"Last link {records[meant[0].key][-1].link}")
            say("Entries cut off at the end cannot be seen from here: compare with a noted link.")
    if broken:
        raise typer.Exit(1)


def _export(known: "VehicleRecord", form: str) -> None:
    from collections import Counter

    from frostwatch.cli.record_words import entry_as_json
    from frostwatch.cli.say import say, say_json
    from frostwatch.storage.entry_files import write_entries_csv

    if form == "json":
        say_json([entry_as_json(n, linked) for n, linked in enumerate(known.links, start=1)])
    else:
        counted = Counter(photo.entry for photo in known.photos)
        sealed = form == "sealed"
        say(write_entries_csv(known.entries, sealed=sealed, photos=counted).rstrip("\n"))


def _show(known: "VehicleRecord", now: "datetime", last: int, *, as_json: bool) -> None:
    from frostwatch.cli.record_words import record_as_json, record_in_words
    from frostwatch.cli.say import say, say_json

    if as_json:
        say_json(record_as_json(known, last))
    else:
        say(record_in_words(known, now, last))
    if known.broken is not None:
        raise typer.Exit(1)


def _say_what_follows(
    known: "VehicleRecord",
    more: "Sequence[Entry]",
    now: "datetime",
    *,
    kept: bool,
    as_json: bool,
) -> None:
    from frostwatch.cli.record_words import follows_as_json, follows_in_words
    from frostwatch.cli.say import say, say_json

    if as_json:
        say_json(follows_as_json(known, more, now, kept=kept))
    else:
        say(follows_in_words(known, more, now, kept=kept))
