"""Which statement about a vehicle its lists name."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from frostwatch.advice.marks import WEAKEST
from frostwatch.records.entries import Evidence
from frostwatch.records.standing_water import CircuitWater, Unsure


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """The newest statement about a vehicle.

    Attributes:
        at: when it was so, UTC.
        by: who said so.
        evidence: how it is known; expired where it no longer holds.
        unsure: why it no longer tells what is in it; None where it does.
    """

    at: datetime
    by: str
    evidence: Evidence
    unsure: Unsure | None = None


def newest_record(water: Sequence[CircuitWater]) -> Record | None:
    """The newest statement about a vehicle; None where nobody ever recorded it."""
    told = [(entry.since, entry) for entry in water if entry.since is not None]
    if not told:
        return None
    at, entry = max(told, key=lambda pair: pair[0])
    return Record(at=at, by=entry.by, evidence=entry.evidence, unsure=entry.unsure)


def weakest_record(water: Sequence[CircuitWater]) -> Record | None:
    """Of what was said of each circuit that which is known least well, the newest of several."""
    told = [(WEAKEST[e.evidence], e.since, e) for e in water if e.since is not None]
    if not told:
        return None
    least = min(rank for rank, _, _ in told)
    at, entry = max(((at, e) for rank, at, e in told if rank == least), key=lambda pair: pair[0])
    return Record(at=at, by=entry.by, evidence=entry.evidence, unsure=entry.unsure)
