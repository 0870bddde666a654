"""What somebody says about a whole vehicle, as entries of its record."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum

from frostwatch.advice.marks import vessel_of
from frostwatch.errors import RecordError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.vehicles import Circuit, Layout, Vehicle
from frostwatch.messages.wording.say import MAIN
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.told import told

OLDEST = timedelta(days=400)
"""Nobody enters today what was so before the last winter. Estimate."""


class Said(StrEnum):
    """What is said of the vehicle as a whole."""

    DRAINED = "drained"
    DOSED = "drained, traps dosed"
    WET = "wet"
    FROZEN = "frozen"
    UNKNOWN = "cannot tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class But:
    """What is different in one vessel.

    Attributes:
        state: what it holds.
        litres: water in it [L]; None where the state says it.
        dose_fraction: propylene glycol found in it [volume fraction].
    """

    state: State
    litres: float | None = None
    dose_fraction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """One statement about one vehicle.

    Attributes:
        said: what is so.
        evidence: seen or asserted.
        at: when it was so, UTC.
        dose_fraction: strength of what is in the traps [volume fraction]; only with dosed.
        litres: water in the fresh tank [L]; only with wet.
        but: vessel -> what is different there.
        found: it is said of what was found; nobody changed anything.
        note: free words.
    """

    said: Said
    evidence: Evidence
    at: datetime
    dose_fraction: float | None = None
    litres: float | None = None
    but: Mapping[str, But] = field(default_factory=dict)
    found: bool = False
    note: str = ""


def entries_said(
    vehicle: Vehicle, statement: Statement, *, by: str, now: datetime
) -> tuple[Entry, ...]:
    """What a statement comes to, circuit by circuit.

    Args:
        vehicle: what it is about.
        statement: what was said.
        by: who says it.
        now: moment of arrival, UTC.

    Raises:
        RecordError: it does not hold together.
        FleetError: the vehicle's layout is not known.
    """
    if statement.at > now:
        raise RecordError(told("future"))
    if statement.at < now - OLDEST:
        raise RecordError(told("year_ago"))
    found = []
    for circuit in _circuits(layout_of(vehicle)):
        but = statement.but.get(vessel_of(circuit)) or _whole(statement, circuit)
        if but is not None:
            found.append(_entry(vehicle, circuit, but, statement, by=by, now=now))
    if not found:
        raise RecordError(told("nothing_said"))
    return tuple(found)


def _whole(statement: Statement, circuit: Circuit) -> But | None:
    """What is said of a circuit with all others; None where nothing is."""
    if statement.said is Said.WET:
        if circuit is Circuit.FRESH_TANK and statement.litres is not None:
            return But(state=State.PART_FULL, litres=statement.litres)
        return But(state=State.FULL)
    if statement.said in (Said.FROZEN, Said.UNKNOWN):
        return But(state=State.UNKNOWN)
    if circuit is not Circuit.TRAPS:
        return But(state=State.DRAINED)
    if statement.said is Said.DOSED:
        return But(state=State.DOSED, dose_fraction=statement.dose_fraction)
    return None


def _entry(
    vehicle: Vehicle, circuit: Circuit, but: But, statement: Statement, *, by: str, now: datetime
) -> Entry:
    main = MAIN.get(vessel_of(circuit), circuit) is circuit
    litres = but.litres if main else None
    state = but.state
    if state is State.PART_FULL and litres is None:
        state = State.FULL
    return Entry(
        vehicle=vehicle.key,
        circuit=circuit,
        state=state,
        evidence=statement.evidence,
        by=by,
        at=statement.at,
        received_at=now,
        litres_l=litres,
        dose_fraction=but.dose_fraction if state is State.DOSED else None,
        event=_event(statement, state),
        note=statement.note,
    )


def _event(statement: Statement, state: State) -> str:
    if statement.said is Said.FROZEN:
        return "looked"
    if statement.found:
        return "thaw check"
    return {State.DRAINED: "drain-down", State.DOSED: "dosing"}.get(state, "")


WETTINGS = (
    "demonstration",
    "leak test",
    "part-exchange",
    "factory water",
    "service",
    "hire",
    "wash-down",
    "customer visit",
    "moved",
)
"""What people press when a vehicle is wet again, or nobody knows any more."""
NOBODY_KNOWS = frozenset({"part-exchange", "factory water", "service", "customer visit", "moved"})
"""After these nobody knows what is in it: it counts as full until somebody looks."""


def wet_again(vehicle: Vehicle, *, by: str, now: datetime, event: str) -> tuple[Entry, ...]:
    """Water ran through the vehicle: everything in it counts as full until somebody drains it.

    The happening stands with one circuit alone, since it voids what was said of all others before.
    After one that leaves nobody knowing, it alone is recorded, as unknown.

    Args:
        vehicle: what it is about.
        by: who says so.
        now: moment, UTC.
        event: what happened, e.g. ``"demonstration"``.
    """
    circuits = _circuits(layout_of(vehicle))
    unknown = event in NOBODY_KNOWS
    return tuple(
        Entry(
            vehicle=vehicle.key,
            circuit=circuit,
            state=State.UNKNOWN if unknown else State.FULL,
            evidence=Evidence.ASSERTED if unknown else Evidence.SEEN,
            by=by,
            at=now,
            received_at=now,
            event=event if n == 0 else "filling",
        )
        for n, circuit in enumerate(circuits[:1] if unknown else circuits)
    )


def _circuits(layout: Layout) -> tuple[Circuit, ...]:
    """Everything that may hold water; a glycol circuit never does."""
    found = dict.fromkeys(item.circuit for item in layout.items)
    return tuple(circuit for circuit in found if circuit is not Circuit.HYDRONIC)
