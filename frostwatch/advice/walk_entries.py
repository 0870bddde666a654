"""What a press says about the water.

What is pressed is kept as it was pressed; what it says becomes entries of the record. Taking a
press back adds entries too: nothing is ever removed.
"""

import re
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from frostwatch.advice.rounds import DOSE_PER_TRAP_L, Stop
from frostwatch.advice.walk import Press, PressKind
from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater

DOSE_FRACTION = 0.5
"""Propylene glycol poured into a trap [volume fraction]."""
CLOCK_MAY_BE_OFF = timedelta(minutes=5)
"""A phone's clock further off than this is noted, and the time of arrival counts."""
CLOCK_NOTE = re.compile(r"phone clock (\d+) min (ahead|behind): time of arrival counts")
"""How that is noted; pages say it in their reader's language."""


def entries_of(press: Press, stop: Stop, layout: Layout) -> tuple[Entry, ...]:
    """What a press says about the water.

    Done means that every circuit named at the stop was emptied, and its traps dosed; emptied too
    where the vehicle's handbook lets no antifreeze in.

    Args:
        press: what was pressed; not an undo.
        stop: what there was to do.
        layout: the vehicle's layout.
    """
    if press.kind in (PressKind.COULD_NOT, PressKind.LOOKED):
        circuit = stop.wet[0].circuit if stop.wet else layout.items[0].circuit
        reason = press.obstacle.value if press.obstacle else ""
        note = "; ".join(part for part in (reason, press.note) if part)
        return (_entry(press, circuit, State.UNKNOWN, event=press.kind.value, note=note),)
    named = {wet.circuit for wet in stop.wet}
    circuits = named if press.kind is PressKind.DONE else named & set(press.circuits)
    return tuple(
        _emptied(press, circuit, layout, dose=stop.dose)
        for circuit in Circuit
        if circuit in circuits
    )


def _emptied(press: Press, circuit: Circuit, layout: Layout, *, dose: bool) -> Entry:
    if circuit is not Circuit.TRAPS or not dose:
        return _entry(press, circuit, State.DRAINED, event="drain-down", note=press.note)
    traps = sum(item.circuit is Circuit.TRAPS for item in layout.items)
    return _entry(
        press,
        circuit,
        State.DOSED,
        event="dosing",
        note=press.note,
        litres_l=DOSE_PER_TRAP_L * traps,
        dose_fraction=DOSE_FRACTION,
    )


def _entry(
    press: Press,
    circuit: Circuit,
    state: State,
    *,
    event: str,
    note: str,
    litres_l: float | None = None,
    dose_fraction: float | None = None,
) -> Entry:
    return Entry(
        vehicle=press.vehicle,
        circuit=circuit,
        state=state,
        evidence=Evidence.SEEN,
        by=press.by,
        at=press.at,
        received_at=press.received_at,
        litres_l=litres_l,
        dose_fraction=dose_fraction,
        event=event,
        note=note,
    )


def taken_back(undo: Press, entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """Entries that take back what an earlier press recorded.

    Args:
        undo: the press that takes back.
        entries: what the earlier press recorded.
    """
    return tuple(
        Entry(
            vehicle=entry.vehicle,
            circuit=entry.circuit,
            state=State.UNKNOWN,
            evidence=entry.evidence,
            by=entry.by,
            at=entry.at,
            received_at=undo.received_at,
            event="taken back",
            note=f"by {undo.by}" if undo.by != entry.by else "",
        )
        for entry in entries
    )


def at_arrival(at: datetime, sent_at: datetime, now: datetime) -> tuple[datetime, str]:
    """The time that counts for a press, and a note where the phone's clock was off.

    Args:
        at: when it was pressed, by the phone, UTC.
        sent_at: when it was sent, by the phone, UTC.
        now: when it arrived, UTC.
    """
    off = now - sent_at
    if abs(off) <= CLOCK_MAY_BE_OFF:
        return min(at, now), ""
    minutes = round(abs(off) / timedelta(minutes=1))
    side = "behind" if off > timedelta() else "ahead"
    return now, f"phone clock {minutes} min {side}: time of arrival counts"


def settled(
    vehicle: str,
    circuits: Mapping[Circuit, CircuitWater | None],
    *,
    emptied: bool,
    by: str,
    now: datetime,
) -> tuple[Entry, ...]:
    """What is so where two people recorded different things: one of them, said by a third.

    Args:
        vehicle: key of the vehicle.
        circuits: circuits in question; what stood in each before both, None if nobody knew.
        emptied: the one who emptied them is right.
        by: who settles it.
        now: moment, UTC.
    """
    found = []
    for circuit, before in circuits.items():
        state = State.DRAINED if emptied else (before.state if before else State.UNKNOWN)
        found.append(
            Entry(
                vehicle=vehicle,
                circuit=circuit,
                state=state,
                evidence=Evidence.ASSERTED,
                by=by,
                at=now,
                received_at=now,
                litres_l=None if emptied or before is None else before.litres_cost_l,
                event="settled",
            )
        )
    return tuple(found)
