"""What a person may not have meant: an entry against the vehicle it speaks of."""

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches

from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.records.entries import Entry, State
from frostwatch.records.events import EFFECTS
from frostwatch.records.holding import holdings


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """One thing in an entry that cannot be right.

    Attributes:
        field: name of the field to mend, as in ``Entry``.
        what: what is wrong.
        mend: how to mend it, one sentence.
    """

    field: str
    what: str
    mend: str


def doubts_about(entry: Entry, layout: Layout) -> tuple[Doubt, ...]:
    """Everything in an entry that does not fit the vehicle's layout or itself.

    Used before an entry is kept; what is kept already is always read, cautiously.
    """
    return tuple(_doubts(entry, layout))


def name_of(circuit: Circuit) -> str:
    """Code and plain English name, e.g. ``"W3 waste tank"``."""
    return f"{circuit.value} {circuit.name.lower().replace('_', ' ')}"


def _doubts(entry: Entry, layout: Layout) -> Iterator[Doubt]:
    held = holdings(layout)
    holding = held.get(entry.circuit)
    if holding is None:
        yield Doubt(
            field="circuit",
            what=f"layout {layout.key} has no {name_of(entry.circuit)}.",
            mend=f"It has {', '.join(name_of(circuit) for circuit in held)}.",
        )
        return
    is_dosed = entry.state is State.DOSED
    if entry.litres_l is not None and not is_dosed and entry.litres_l > holding.full_l + 0.5:
        yield Doubt(
            field="litres_l",
            what=f"{entry.litres_l:g} L is more than {name_of(entry.circuit)} holds "
            f"({holding.full_l:g} L).",
            mend="Correct the litres, or give the vehicle a capacity of its own.",
        )
    if is_dosed and entry.dose_fraction is None:
        yield Doubt(
            field="dose_fraction",
            what="dosed needs the strength of the antifreeze.",
            mend="Give the percentage of propylene glycol from the label, e.g. 35.",
        )
    if entry.dose_fraction is not None and not is_dosed:
        yield Doubt(
            field="dose_fraction",
            what=f"a dose belongs to the state dosed, not to {entry.state.value}.",
            mend="Write dosed, or leave the percentage out.",
        )
    if entry.circuit is Circuit.HYDRONIC and entry.state in (State.DRAINED, State.RESIDUAL):
        yield Doubt(
            field="state",
            what="the hydronic heating circuit is never drained for winter.",
            mend="If a workshop emptied it, record unknown with a note.",
        )
    event = entry.event.strip().casefold()
    if event and event not in EFFECTS:
        near = get_close_matches(event, EFFECTS, n=1, cutoff=0.5)
        yield Doubt(
            field="event",
            what=f"the happening {entry.event!r} is not known.",
            mend=f"Did you mean {near[0]!r}?" if near else f"Give one of {', '.join(EFFECTS)}.",
        )
