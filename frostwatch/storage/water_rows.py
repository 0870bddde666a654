"""One line about the water, from a fleet file or an entries file, turned into entries."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from frostwatch.errors import FleetError
from frostwatch.fleet.circuit_words import circuits_named
from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.records.checks import doubts_about, name_of
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.holding import holdings
from frostwatch.storage.file_rows import Row

GROUPS = {"all": "", "f": "F", "h": "H", "w": "W", "t": "T", "x": "X"}
"""Words for many circuits at once: all of a vehicle, or all whose code begins with the letter.
The hydronic circuit is in none of them."""

COLUMN_OF = {"litres_l": "litres", "dose_fraction": "dose_percent"}


def entries_from(row: Row, vehicle: str, layout: Layout) -> tuple[Entry, ...]:
    """Entries of one row, one for each circuit it names; none if anything in it is wrong."""
    circuits = _circuits(row, layout)
    at = row.moment("at")
    said = {
        "vehicle": vehicle,
        "state": row.choice("state", State),
        "evidence": row.choice("evidence", Evidence, Evidence.ASSERTED),
        "by": row.text("by"),
        "at": at,
        "received_at": row.moment("received_at") if row.has("received_at") else at,
        "litres_l": row.number("litres"),
        "dose_fraction": _dose(row),
        "event": row.text("event", ""),
        "photo": row.text("photo", ""),
        "note": row.text("note", "", lines=True),
    }
    row.take("received_at")
    if at is None or said["received_at"] is None or not said["by"]:
        return ()
    if len(circuits) > 1 and said["litres_l"]:
        row.problem("litres", "litres for several circuits at once.", "Write one row for each.")
        return ()
    made = [_entry(row, circuit, said) for circuit in circuits]
    return tuple(one for one in made if one is not None and _is_sound(row, one, layout))


def _entry(row: Row, circuit: Circuit, said: dict[str, Any]) -> Entry | None:
    fields = {"litres": "litres", "dose": "dose_percent", "expired": "evidence"}
    return row.make(lambda: Entry(circuit=circuit, **said), fields)


def _is_sound(row: Row, entry: Entry, layout: Layout) -> bool:
    doubts = doubts_about(entry, layout)
    for doubt in doubts:
        row.problem(COLUMN_OF.get(doubt.field, doubt.field), doubt.what, doubt.mend)
    return not doubts


def _dose(row: Row) -> float | None:
    percent = row.number("dose_percent")
    if percent is None:
        return None
    # in decimal, so that 7 % comes back as 7 and not as 7.000000000000001
    return float(Decimal(repr(percent)) / 100)


def _circuits(row: Row, layout: Layout) -> Sequence[Circuit]:
    word = row.text("circuit")
    if not word:
        return ()
    here = list(holdings(layout))
    group = GROUPS.get(word.casefold())
    try:
        named = (
            circuits_named(word)
            if group is None
            else [c for c in here if c.value.startswith(group) and c is not Circuit.HYDRONIC]
        )
    except FleetError as wrong:
        row.problem("circuit", str(wrong), "Or all, F, H, W, T, X for many at once.")
        return ()
    found = [circuit for circuit in named if circuit in here]
    if not found:
        asked = " and ".join(name_of(circuit) for circuit in named) or word
        row.problem(
            "circuit",
            f"layout {layout.key} has no {asked}.",
            f"It has {', '.join(name_of(circuit) for circuit in here)}.",
        )
    return found
