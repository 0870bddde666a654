"""A vehicle's record as text for people and as JSON for machines."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from frostwatch.cli.app import rows_of
from frostwatch.records.antifreeze import freezing_c
from frostwatch.records.chain import BrokenLink, Linked
from frostwatch.records.checks import name_of
from frostwatch.records.consequences import changes, holds_until, remarks
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater
from frostwatch.service.vehicle_record import VehicleRecord
from frostwatch.storage.entry_text import entry_fields, utc_text


def record_in_words(known: VehicleRecord, now: datetime, last: int) -> str:
    """State of every circuit, what to know of it, then the entries, newest first."""
    zone = known.site.zone
    lines = [_head(known), "", _circuits(known.water, zone, now), ""]
    lines += remarks(known.water, known.layout)
    newest = list(enumerate(known.links, start=1))[::-1]
    shown = newest[:last] if last else newest
    if shown:
        lines += ["", f"Entries, newest first, times in {zone.key}:", _entries(shown, zone)]
    if len(newest) > len(shown):
        lines.append(f"... and {len(newest) - len(shown)} older ones: --last 0 shows all.")
    lines += ["", _chain(known), *_photos(known, zone)]
    return "\n".join(lines)


def _photos(known: VehicleRecord, zone: ZoneInfo) -> list[str]:
    """How many photographs there are, and how to get at them."""
    if not known.photos:
        return []
    last, count = known.photos[-1], len(known.photos)
    counted = "1 photograph" if count == 1 else f"{count} photographs"
    at = f"{last.at.astimezone(zone):%Y-%m-%d %H:%M}"
    return [f"{counted}, the last by {last.by}, {at}: --photos FOLDER writes them out."]


def _head(known: VehicleRecord) -> str:
    vehicle = known.vehicle
    place = f"bay {vehicle.bay} at {known.site.name}" if vehicle.bay else f"at {known.site.name}"
    name = f" ({vehicle.name})" if vehicle.name else ""
    kept_by = f", kept by {vehicle.keeper}" if vehicle.keeper else ""
    return f"{vehicle.key}{name}, {place}{kept_by}. Layout {known.layout.key}."


def _chain(known: VehicleRecord) -> str:
    if known.broken is not None:
        return f"The chain is broken at {known.broken}"
    if not known.links:
        return "Nothing was ever recorded. Add what you see: frostwatch record VEHICLE drained ..."
    return f"{len(known.links)} entries, chain whole, last link {known.links[-1].link[:12]}."


def _circuits(water: Sequence[CircuitWater], zone: ZoneInfo, now: datetime) -> str:
    table = [["circuit", "holds", "known", "since", "by", "holds until"]]
    for one in water:
        until = holds_until(one)
        table.append(
            [
                name_of(one.circuit),
                holds(one),
                known_how(one),
                "-" if one.since is None else f"{one.since.astimezone(zone):%Y-%m-%d %H:%M}",
                one.by or "-",
                "-" if until is None else f"{until.astimezone(zone):%Y-%m-%d}",
            ]
        )
    return rows_of(table)


def holds(one: CircuitWater) -> str:
    """What a circuit holds, in words."""
    if one.state is State.UNKNOWN:
        if not one.is_wet:
            return "unknown"
        return f"unknown: {one.litres_cost_l:.3g} L could break, {one.litres_soon_l:.3g} L for soon"
    if one.state is State.DOSED:
        share = one.glycol_volume_fraction
        good_to = f"{100 * share:.0f} % after dilution, to {freezing_c(share):.1f} degC"
        return f"dosed, {one.litres_cost_l:.3g} L, {good_to}"
    return f"{one.state.value}, {one.litres_cost_l:.3g} L" if one.is_wet else one.state.value


def known_how(one: CircuitWater) -> str:
    """Evidence, or why nobody knows."""
    if one.unsure is not None:
        return one.unsure.value
    return "told" if one.evidence is Evidence.ASSERTED else one.evidence.value


def _entries(shown: Sequence[tuple[int, Linked]], zone: ZoneInfo) -> str:
    table = [["no.", "at", "circuit", "state", "how", "by", "L", "dose", "event", "note, photo"]]
    for number, linked in shown:
        entry = linked.entry
        told = "told" if entry.evidence is Evidence.ASSERTED else entry.evidence.value
        photo = f"photo {entry.photo}" if entry.photo else ""
        late = entry.received_at - entry.at
        arrived = f"arrived {entry.received_at.astimezone(zone):%d %b %H:%M}"
        table.append(
            [
                str(number),
                f"{entry.at.astimezone(zone):%Y-%m-%d %H:%M}",
                name_of(entry.circuit),
                entry.state.value,
                told,
                entry.by,
                "-" if entry.litres_l is None else f"{entry.litres_l:g}",
                "-" if entry.dose_fraction is None else f"{100 * entry.dose_fraction:.0f} %",
                entry.event or "-",
                "; ".join(
                    part
                    for part in (
                        " ".join(entry.note.split()),
                        photo,
                        arrived if abs(late.total_seconds()) > 300 else "",
                    )
                    if part
                ),
            ]
        )
    return rows_of(table)


def follows_in_words(
    known: VehicleRecord, more: Sequence[Entry], now: datetime, *, kept: bool
) -> str:
    """What changes by some entries, and what it means."""
    after = known.water_with(more, now)
    found = changes(known.water, after)
    lines = [_count(known, more, kept=kept)]
    table = [["circuit", "was", "is now", "known", "holds until"]]
    zone = known.site.zone
    for change in found:
        until = holds_until(change.after)
        table.append(
            [
                name_of(change.after.circuit),
                holds(change.before),
                holds(change.after),
                known_how(change.after),
                "-" if until is None else f"{until.astimezone(zone):%Y-%m-%d}",
            ]
        )
    lines += ["", rows_of(table)] if found else ["Nothing changes by it."]
    concerned = [change.after for change in found]
    lines += ["", *remarks(concerned, known.layout)] if concerned else []
    lines += ["", _sum(after)]
    return "\n".join(line for n, line in enumerate(lines) if line or (n and lines[n - 1]))


def _count(known: VehicleRecord, more: Sequence[Entry], *, kept: bool) -> str:
    words = "1 entry" if len(more) == 1 else f"{len(more)} entries"
    if kept:
        return f"{known.vehicle.key}: {words} added to the record."
    return f"{known.vehicle.key}: {words} would be added. Nothing was kept."


def _sum(water: Sequence[CircuitWater]) -> str:
    wet = [one for one in water if one.is_wet and one.state is not State.DOSED]
    if not wet:
        return "As recorded nothing in it holds water that frost could harm."
    litres = sum(one.litres_cost_l for one in wet)
    unknown = sum(one.state is State.UNKNOWN for one in wet)
    words = f"Still reckoned with: {litres:.3g} L in {', '.join(one.circuit.value for one in wet)}"
    return f"{words}; {unknown} of these unknown." if unknown else f"{words}."


def record_as_json(known: VehicleRecord, last: int) -> dict[str, Any]:
    """Everything for machines."""
    numbered = list(enumerate(known.links, start=1))[::-1]
    return {
        "vehicle": known.vehicle.key,
        "site": known.site.key,
        "layout": known.layout.key,
        "circuits": [circuit_as_json(one) for one in known.water],
        "remarks": list(remarks(known.water, known.layout)),
        "entries": [entry_as_json(n, one) for n, one in (numbered[:last] if last else numbered)],
        "entries_in_all": len(known.links),
        "photos": len(known.photos),
        "last_link": known.links[-1].link if known.links else None,
        "broken": broken_as_json(known.broken),
    }


def circuit_as_json(one: CircuitWater) -> dict[str, Any]:
    """One circuit as it stands."""
    until = holds_until(one)
    return {
        "circuit": one.circuit.value,
        "state": one.state.value,
        "evidence": one.evidence.value,
        "since": utc_text(one.since) if one.since else None,
        "by": one.by,
        "litres_soon": round(one.litres_soon_l, 3),
        "litres_cost": round(one.litres_cost_l, 3),
        "glycol_percent": round(100.0 * one.glycol_volume_fraction, 2),
        "open_end": one.open_end,
        "holds_until": utc_text(until) if until else None,
        "unsure": one.unsure.value if one.unsure else None,
        "filled_at": utc_text(one.filled_at) if one.filled_at else None,
    }


def entry_as_json(number: int, linked: Linked) -> dict[str, Any]:
    """One entry with its place in the chain."""
    return {"number": number, **_bare_entry(linked.entry), "link": linked.link}


def _bare_entry(entry: Entry) -> dict[str, Any]:
    return {
        "at": utc_text(entry.at),
        "received_at": utc_text(entry.received_at),
        "vehicle": entry.vehicle,
        **entry_fields(entry),
    }


def follows_as_json(
    known: VehicleRecord, more: Sequence[Entry], now: datetime, *, kept: bool
) -> dict[str, Any]:
    """What changes by some entries, for machines."""
    found = changes(known.water, known.water_with(more, now))
    return {
        "vehicle": known.vehicle.key,
        "kept": kept,
        "entries": [_bare_entry(entry) for entry in more],
        "changes": [
            {"before": circuit_as_json(one.before), "after": circuit_as_json(one.after)}
            for one in found
        ],
        "remarks": list(remarks([one.after for one in found], known.layout)),
    }


def broken_as_json(broken: BrokenLink | None) -> dict[str, Any] | None:
    """The place of a break."""
    if broken is None:
        return None
    return {
        "number": broken.position + 1,
        "expected": broken.expected,
        "found": broken.found,
        "what": str(broken),
    }
