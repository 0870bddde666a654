"""One line about the water, from a fleet file or an entries file, turned into entries."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from frostwatch.errors import FleetError, RecordError
from frostwatch.fleet.vehicles import Circuit, Layout, circuits_named
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
    state = row.choice("state", State)
    evidence = row.choice("evidence", Evidence, Evidence.ASSERTED)
    by = row.text("by")
    at = row.moment("at")
    received_at = row.moment("received_at") if row.has("received_at") else at
    litres_l, dose_fraction = row.number("litres"), _dose(row)
    event, photo, note = (row.text(name, "") for name in ("event", "photo", "note"))
    if at is None or received_at is None or not by:
        return ()
    if len(circuits) > 1 and litres_l:
        row.problem("litres", "litres for several circuits at once.", "Write one row for each.")
        return ()
    made = []
    for circuit in circuits:
        entry = _entry(
            row,
            vehicle=vehicle,
            circuit=circuit,
            state=state,
            evidence=evidence,
            by=by,
            at=at,
            received_at=received_at,
            litres_l=litres_l,
            dose_fraction=dose_fraction,
            event=event,
            photo=photo,
            note=note,
        )
        if entry is not None and _is_sound(row, entry, layout):
            made.append(entry)
    return tuple(made)


def _entry(
    row: Row,
    *,
    vehicle: str,
    circuit: Circuit,
    state: State,
    evidence: Evidence,
    by: str,
    at: datetime,
    received_at: datetime,
    litres_l: float | None,
    dose_fraction: float | None,
    event: str,
    photo: str,
    note: str,
) -> Entry | None:
    try:
        return Entry(
            vehicle=vehicle,
            circuit=circuit,
            state=state,
            evidence=evidence,
            by=by,
            at=at,
            received_at=received_at,
            litres_l=litres_l,
            dose_fraction=dose_fraction,
            event=event,
            photo=photo,
            note=note,
        )
    except RecordError as wrong:
        said = str(wrong)
        fields = {"litres": "litres", "dose": "dose_percent", "expired": "evidence"}
        row.problem(next((f for word, f in fields.items() if word in said), ""), said)
        return None


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
