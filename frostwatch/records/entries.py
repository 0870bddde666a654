"""Entries: what somebody saw, told or the model predicted about a circuit. Only ever added."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from frostwatch.errors import RecordError
from frostwatch.fleet.vehicles import Circuit
from frostwatch.units import within

NOBODY_SAID = "frostwatch"
"""Stands as the writer where nobody said anything: of a prediction, of an hour that came."""


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
        by: who says so: a person's key or initials, or ``NOBODY_SAID`` for a prediction.
        at: when it was so, by the device that wrote it, UTC.
        received_at: when the ledger took it in, UTC.
        litres_l: water in it [L]; None where the state says it. For a dosed circuit: litres of
            antifreeze poured in.
        dose_fraction: propylene glycol [volume fraction]; None if not dosed. With ``litres_l`` it
            is the strength of what was poured and what was left dilutes it; without, it is the
            strength found in the circuit.
        event: a happening that re-wets or moves the vehicle (``"demonstration"``, ``"moved"``,
            ``"keeper change"`` ...; see ``records.events``), "" for a plain statement.
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

    def __post_init__(self) -> None:
        where = f"entry for {self.vehicle} {self.circuit.value}"
        for name, moment in (("at", self.at), ("received_at", self.received_at)):
            if moment.tzinfo is None:
                raise RecordError(f"{where}: {name} has no time zone. Give it in UTC.")
        if self.litres_l is not None:
            within(self.litres_l, 0, 5000, what=f"{where}: litres", unit="L", error=RecordError)
        if self.dose_fraction is not None:
            within(self.dose_fraction, 0, 1, what=f"{where}: dose", unit="", error=RecordError)
        if self.evidence is Evidence.EXPIRED:
            raise RecordError(
                f"{where}: nobody can record 'expired'; it follows from time. "
                "Say seen, asserted or predicted."
            )
