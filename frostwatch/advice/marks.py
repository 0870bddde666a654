"""What each vessel of a vehicle holds and how that is known, as people speak of vessels."""

from collections.abc import Sequence
from dataclasses import dataclass

from frostwatch.advice.jobs import is_dry
from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.messages.wording.say import GROUPS, MAIN
from frostwatch.records.entries import Evidence, State
from frostwatch.records.holding import holdings
from frostwatch.records.standing_water import CircuitWater

VESSELS = ("fresh", "heater", "pipes", "flush", "traps", "waste")
"""The six vessels of a list, in its order. Loose containers are told in words."""

WEAKEST = {Evidence.EXPIRED: 0, Evidence.PREDICTED: 1, Evidence.ASSERTED: 2, Evidence.SEEN: 3}
"""The lower, the less well something is known."""
_VESSEL_OF = {circuit: name for name, circuits in GROUPS.items() for circuit in circuits}
_LEAST_SHOWN = 0.05
"""A vessel that holds water is never drawn emptier than this share."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One vessel: its fill and its edge, which stay two facts.

    Attributes:
        vessel: one of ``VESSELS``, or ``"carried"``.
        state: what it holds; of several circuits the one that counts most.
        evidence: how that is known; the weakest of what it rests on.
        wet: holds water that frost could harm, or may.
        share: water over capacity [fraction].
        litres: water in it [L]; None where only "wet" is meant, or nobody knows.
        dose_fraction: propylene glycol [volume fraction]; None if not dosed.
    """

    vessel: str
    state: State
    evidence: Evidence
    wet: bool
    share: float = 0.0
    litres: float | None = None
    dose_fraction: float | None = None


def vessel_of(circuit: Circuit) -> str:
    """The vessel that a circuit belongs to; what is in no group is "pipes"."""
    return _VESSEL_OF.get(circuit, "pipes")


def marks_of(water: Sequence[CircuitWater], layout: Layout) -> tuple[Mark, ...]:
    """The vessels of a vehicle, in the order of a list; those it does not have are missing.

    Args:
        water: what its circuits hold.
        layout: its layout with its overrides applied.
    """
    found: dict[str, list[CircuitWater]] = {}
    for entry in water:
        if entry.circuit is not Circuit.HYDRONIC:
            found.setdefault(vessel_of(entry.circuit), []).append(entry)
    order = (*VESSELS, "carried")
    return tuple(_mark(vessel, found[vessel], layout) for vessel in order if vessel in found)


def _mark(vessel: str, entries: Sequence[CircuitWater], layout: Layout) -> Mark:
    unknown = [e for e in entries if e.state is State.UNKNOWN and not is_dry(e)]
    if unknown:
        return Mark(vessel=vessel, state=State.UNKNOWN, evidence=Evidence.EXPIRED, wet=True)
    wet = [e for e in entries if not is_dry(e) and e.state is not State.DOSED]
    if wet:
        return _wet(vessel, wet, layout)
    lead = max(entries, key=_most_telling)
    dosed = [e.glycol_volume_fraction for e in entries if e.state is State.DOSED]
    return Mark(
        vessel=vessel,
        state=lead.state,
        evidence=_weakest(entries),
        wet=False,
        dose_fraction=round(min(dosed), 2) if dosed else None,
    )


def _wet(vessel: str, wet: Sequence[CircuitWater], layout: Layout) -> Mark:
    main = MAIN.get(vessel)
    lead = next((e for e in wet if e.circuit is main), None)
    chief = lead or max(wet, key=lambda e: e.litres_cost_l)
    full_l = holdings(layout)[chief.circuit].full_l
    share = min(1.0, chief.litres_cost_l / full_l) if full_l else 1.0
    # the tank itself is empty, something small about it is not
    rest = main is not None and lead is None
    return Mark(
        vessel=vessel,
        state=State.RESIDUAL if rest else chief.state,
        evidence=_weakest(wet),
        wet=True,
        share=round(max(share, _LEAST_SHOWN), 2),
        litres=round(lead.litres_cost_l, 1) if lead is not None else None,
    )


def _weakest(entries: Sequence[CircuitWater]) -> Evidence:
    return min((e.evidence for e in entries), key=WEAKEST.__getitem__)


def _most_telling(entry: CircuitWater) -> int:
    """Of circuits that hold nothing, the one that says most."""
    order = (State.DRY_NEW, State.DRAINED, State.TRIPPED, State.OPEN_RUNNING, State.DOSED)
    return order.index(entry.state) if entry.state in order else 0
