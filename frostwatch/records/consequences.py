"""What follows from what is recorded: how long it holds, how sure it is, what is odd about it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.records.antifreeze import freezing_c
from frostwatch.records.checks import name_of
from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater, Unsure


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A circuit that stands otherwise than before.

    Attributes:
        before: how it stood.
        after: how it stands.
    """

    before: CircuitWater
    after: CircuitWater


def changes(before: Sequence[CircuitWater], after: Sequence[CircuitWater]) -> tuple[Change, ...]:
    """Circuits that stand otherwise, in the order of the record."""
    was = {one.circuit: one for one in before}
    return tuple(
        Change(before=was[one.circuit], after=one) for one in after if was[one.circuit] != one
    )


def holds_until(water: CircuitWater) -> datetime | None:
    """When the word on a circuit runs out by itself, UTC; None where nothing holds any more."""
    return water.until


def remarks(water: Sequence[CircuitWater], layout: Layout) -> tuple[str, ...]:
    """What somebody who reads the record should know of it, in whole sentences."""
    found = (line for one in water for line in _about(one, layout))
    return tuple(dict.fromkeys((*_doubts(water), *found)))


def _doubts(water: Sequence[CircuitWater]) -> Iterator[str]:
    for why, mend in _MENDS.items():
        circuits = [one for one in water if one.unsure is why]
        if circuits:
            names = ", ".join(one.circuit.value for one in circuits)
            who = circuits[0].by if why is Unsure.DIFFER else ""
            yield f"{names}: {why.value}{f' ({who})' if who else ''}. {mend}"


_MENDS = {
    Unsure.DIFFER: "Both words are kept and nobody is believed: look, then record it with the "
    "event settled.",
    Unsure.MOVED: "What is left in baffles and sags comes down on the way: let it drip a second "
    "time, then record drained.",
    Unsure.REWETTED: "Every earlier word ended then: look, and record what is in it.",
    Unsure.RAN_OUT: "A word that nobody saw holds 90 days, every word until the "
    "next season, from 1 September (south of the equator 1 March): look again.",
    Unsure.NEVER: "Until somebody looks it counts as full for what could break and as nearly empty "
    "for how soon.",
    Unsure.SAID: "Until somebody looks it counts as full for what could break and as nearly empty "
    "for how soon.",
}


def _about(one: CircuitWater, layout: Layout) -> Iterator[str]:
    name = name_of(one.circuit)
    if one.state is State.DOSED:
        point_c = freezing_c(one.glycol_volume_fraction)
        yield (
            f"{name}: {100 * one.glycol_volume_fraction:.0f} % after dilution, good to about "
            f"{point_c:.1f} degC; below that slush first, later a block."
        )
    if one.open_end and one.circuit is Circuit.WASTE_TANK:
        yield (
            f"{name}: open over a container. Empty the container before it runs over or freezes "
            "to the ground; it makes ice underfoot."
        )
    if one.state is State.TRIPPED and one.is_wet:
        yield f"{name}: the valve opened, but with taps shut the water may not have run out."
    if one.state is State.HEATED_HOLD:
        yield f"{name}: held by heat. It counts as full; somebody has to look every day."
    for item in layout.items:
        needs_l = item.heater_needs_l
        if item.circuit is one.circuit and item.heater_w > 0.0 and 0 < one.litres_soon_l < needs_l:
            yield (
                f"{name}: its heater needs {needs_l:g} L to work and does not run with "
                f"{one.litres_soon_l:.3g} L. Empty it, or keep more in it."
            )
    if one.circuit is Circuit.CONTAINERS and one.is_wet:
        yield f"{name}: stands outdoors on the ground. Empty it and take it in."
    if one.circuit is Circuit.HYDRONIC:
        yield f"{name}: filled for good and never drained; have its strength checked."
