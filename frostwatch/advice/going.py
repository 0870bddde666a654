"""A trip or the spring: everything that was opened, removed or dosed, and how it is put back."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from frostwatch.fleet.handbook import Practice
from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater

STOOD_LONG = timedelta(days=30)
"""After standing dry for so long the drinking water is disinfected first. Estimate; the handbook
and local guidance decide."""


class Undo(StrEnum):
    """What is put back before water goes in."""

    LOOK = "look what is in it"
    SHUT_FRESH = "drain plug and travel-level knob shut, filler cap on"
    REFIT_PUMP = "strainer bowl back, pump fuse in"
    SHUT_LOW_POINTS = "low points and taps shut"
    SHUT_OUTSIDE = "outside point shut"
    REFIT_FILTER = "filter cartridge back, a new one in spring"
    SHUT_VALVE = "dump valve shut, in warm air"
    SHUT_HEATER_DRAIN = "heater drain shut"
    REFIT_SHOWER = "shower head back"
    RINSE_DOSE = "antifreeze rinsed out"
    WASTE = "waste valve shut in mild weather, open over a container in frost"
    WASTE_EMPTY = "waste valve shut, the tank kept empty in frost"
    FLUSH_DRAIN = "drain tube of the flush tank shut"
    CASSETTE = "cassette back, blade shut"


OF_CIRCUITS: dict[Circuit, Undo] = {
    Circuit.FRESH_TANK: Undo.SHUT_FRESH,
    Circuit.PUMP: Undo.REFIT_PUMP,
    Circuit.COLD_PIPES: Undo.SHUT_LOW_POINTS,
    Circuit.OUTSIDE_POINT: Undo.SHUT_OUTSIDE,
    Circuit.FILTER: Undo.REFIT_FILTER,
    Circuit.HOT_PIPES: Undo.SHUT_LOW_POINTS,
    Circuit.SHOWER: Undo.REFIT_SHOWER,
    Circuit.WASTE_TANK: Undo.WASTE,
    Circuit.OUTLET_STUB: Undo.WASTE,
    Circuit.FLUSH_TANK: Undo.FLUSH_DRAIN,
    Circuit.CASSETTE: Undo.CASSETTE,
}
BY_DEFAULT = Practice()
OPENED = frozenset({State.DRAINED, State.RESIDUAL, State.TRIPPED, State.TRAVEL_LEVEL})
"""States in which something stands open or was taken out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PutBack:
    """One thing to put back.

    Attributes:
        undo: what.
        circuits: circuits it concerns.
        since: when it was recorded, UTC; None where nobody did.
        by: who recorded it, "".
    """

    undo: Undo
    circuits: tuple[Circuit, ...]
    since: datetime | None
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Going:
    """What a trip asks of a vehicle before any water goes in.

    Attributes:
        put_back: in the order of the record, each once.
        disinfect: it stood dry for long.
        unknown: circuits of which nobody knows anything.
    """

    put_back: tuple[PutBack, ...]
    disinfect: bool
    unknown: tuple[Circuit, ...]


def going(
    layout: Layout,
    water: Sequence[CircuitWater],
    at: datetime,
    practice: Practice = BY_DEFAULT,
) -> Going:
    """The list of a trip that begins at an hour.

    Args:
        layout: the vehicle's layout.
        water: what is recorded.
        at: hour of the trip, UTC.
        practice: what its handbook says otherwise than the trade.
    """
    found: dict[Undo, list[CircuitWater]] = {}
    for entry in water:
        undo = _undo(layout, entry)
        if undo is Undo.WASTE and not practice.container:
            undo = Undo.WASTE_EMPTY
        if undo is not None:
            found.setdefault(undo, []).append(entry)
    fresh = next((e for e in water if e.circuit is Circuit.FRESH_TANK), None)
    stood = fresh is not None and fresh.since is not None and at - fresh.since > STOOD_LONG
    return Going(
        put_back=tuple(
            PutBack(
                undo=undo,
                circuits=tuple(entry.circuit for entry in those),
                since=max((e.since for e in those if e.since is not None), default=None),
                by=next((e.by for e in those if e.by), ""),
            )
            for undo, those in found.items()
        ),
        disinfect=stood or fresh is None or fresh.since is None,
        unknown=tuple(e.circuit for e in water if e.state is State.UNKNOWN),
    )


def _undo(layout: Layout, entry: CircuitWater) -> Undo | None:
    if entry.state is State.UNKNOWN:
        return Undo.LOOK
    if entry.state is State.DOSED:
        return Undo.RINSE_DOSE
    if entry.state not in OPENED:
        return None
    if entry.circuit is Circuit.HEATER_TANK:
        return Undo.SHUT_VALVE if layout.valve is not None else Undo.SHUT_HEATER_DRAIN
    return OF_CIRCUITS.get(entry.circuit)
