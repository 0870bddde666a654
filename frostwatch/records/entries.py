"""Entries: what somebody saw, told or the model predicted about a circuit. Only ever added."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from frostwatch.fleet.vehicles import Circuit


class State(StrEnum):
    """What a circuit holds. One of two facts; the other is how it is known."""

    FULL = "full"
    PART_FULL = "part-full"
    TRAVEL_LEVEL = "travel level"
    DRAINED = "drained"
    RESIDUAL = "residual"
    DOSED = "dosed"
    OPEN_RUNNING = "open-running"
    HEATED_HOLD = "heated hold"
    TRIPPED = "tripped"
    DRY_NEW = "dry-new"
    UNKNOWN = "unknown"


class Evidence(StrEnum):
    """How the state is known."""

    SEEN = "seen"
    ASSERTED = "asserted"
    PREDICTED = "predicted"
    EXPIRED = "expired"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One statement about one circuit of one vehicle.

    Attributes:
        vehicle: key of the vehicle.
        circuit: the circuit spoken of.
        state: what it holds.
        evidence: seen, asserted or predicted (never expired: that follows from time).
        by: who says so: a person's key or initials, or ``"frostwatch"`` for a prediction.
        at: when it was so, by the device that wrote it, UTC.
        received_at: when the ledger took it in, UTC.
        litres_l: water in it [L]; None where the state says it.
        dose_fraction: propylene glycol, volume share of what was put in [fraction]; None if not
            dosed.
        event: a happening that re-wets or moves the vehicle (``"demonstration"``, ``"moved"``,
            ``"keeper change"`` ...), "" for a plain statement.
        photo: reference of a photograph, "".
        note: free words.
    """

    vehicle: str
    circuit: Circuit
    state: State
    evidence: Evidence
    by: str
    at: datetime
    received_at: datetime
    litres_l: float | None = None
    dose_fraction: float | None = None
    event: str = ""
    photo: str = ""
    note: str = ""
