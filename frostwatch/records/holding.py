"""What one statement means in litres, given what the circuit can hold."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from frostwatch.fleet.vehicles import Circuit, Layout, Shape
from frostwatch.records.antifreeze import diluted
from frostwatch.records.entries import Entry, State

NEARLY_EMPTY_L = 5.0
"""What an unknown tank is taken to hold when asked how soon ice comes. Estimate."""

DRY_STATES = frozenset({State.DRAINED, State.DRY_NEW})

TAPS_OPEN_WORDS = ("taps open", "hähne offen", "robinets ouverts")
"""Words in a note that say an opened dump valve could really empty the heater tank."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """What a circuit can hold, summed over its items.

    Attributes:
        full_l: when full [L].
        travel_l: after the quick drain [L].
        drained_l: residue of a full gravity drain [L].
        soon_l: what to reckon with for how soon if nobody knows [L].
    """

    full_l: float
    travel_l: float
    drained_l: float
    soon_l: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """Litres and strength that a statement comes to.

    Attributes:
        soon_l: litres for how soon ice comes [L].
        cost_l: litres for what could break [L].
        glycol_volume_fraction: antifreeze share [fraction].
    """

    soon_l: float
    cost_l: float
    glycol_volume_fraction: float = 0.0


NOTHING = Amount(soon_l=0.0, cost_l=0.0)


@lru_cache(maxsize=4096)
def holdings(layout: Layout) -> Mapping[Circuit, Holding]:
    """Every circuit of a layout in the order of the record.

    The hydronic heating circuit stands among them with nothing to freeze: it is filled with glycol
    for good and is never drained for winter.
    """
    held: dict[Circuit, Holding] = {}
    for item in layout.items:
        is_tank = item.shape in (Shape.TANK, Shape.DRUM)
        full_l = item.capacity_l.value
        before = held.get(
            item.circuit, Holding(full_l=0.0, travel_l=0.0, drained_l=0.0, soon_l=0.0)
        )
        held[item.circuit] = Holding(
            full_l=before.full_l + full_l,
            travel_l=before.travel_l + item.left_travel_l.value,
            drained_l=before.drained_l + item.left_drained_l.value,
            soon_l=before.soon_l + (min(NEARLY_EMPTY_L, full_l) if is_tank else full_l),
        )
    if layout.hydronic_l > 0.0:
        held[Circuit.HYDRONIC] = Holding(full_l=0.0, travel_l=0.0, drained_l=0.0, soon_l=0.0)
    order = list(Circuit)
    return MappingProxyType({circuit: held[circuit] for circuit in sorted(held, key=order.index)})


def unknown(holding: Holding) -> Amount:
    """Nobody knows: full for what could break, nearly empty for how soon. Both at once."""
    return Amount(soon_l=holding.soon_l, cost_l=holding.full_l)


def stated(entry: Entry, holding: Holding) -> Amount:
    """Litres that an entry comes to; for a dose see ``dosed``.

    A circuit stated as drained counts as 0 L: its residue is a film that runs out with everything
    left open, and a drained vehicle gives nobody work. Whoever knows of water that stayed behind
    says "residual".

    Args:
        entry: the statement.
        holding: what the circuit can hold.
    """
    if entry.state in DRY_STATES:
        return NOTHING
    if entry.state is State.TRIPPED and entry.litres_l is None and _taps_open(entry):
        return NOTHING
    if entry.state is State.UNKNOWN:
        return unknown(holding)
    litres_l = entry.litres_l if entry.litres_l is not None else _told_by(entry.state, holding)
    if litres_l is None:
        return unknown(holding)
    litres_l = min(litres_l, holding.full_l)
    return Amount(soon_l=litres_l, cost_l=litres_l)


def dosed(entry: Entry, holding: Holding, before: Amount, before_dry: bool) -> Amount:
    """Litres and strength after a dose, diluted by what was left.

    Args:
        entry: the dose; without litres its strength is that found in the circuit.
        holding: what the circuit can hold.
        before: what was in it until then.
        before_dry: it had been drained, so that only its residue was left.
    """
    strength = entry.dose_fraction or 0.0
    left_l = holding.drained_l if before_dry else before.cost_l
    if entry.litres_l is None:
        return Amount(soon_l=left_l, cost_l=left_l, glycol_volume_fraction=strength)
    whole_l = min(holding.full_l, left_l + entry.litres_l)
    share = diluted(strength, entry.litres_l, left_l, before.glycol_volume_fraction)
    return Amount(soon_l=whole_l, cost_l=whole_l, glycol_volume_fraction=share)


def _told_by(state: State, holding: Holding) -> float | None:
    """Litres that a state comes to by itself, None where it leaves them open."""
    match state:
        case State.FULL | State.HEATED_HOLD:
            return holding.full_l
        case State.TRAVEL_LEVEL:
            return holding.travel_l
        case State.RESIDUAL | State.OPEN_RUNNING:
            return holding.drained_l
        case _:
            return None


def _taps_open(entry: Entry) -> bool:
    note = entry.note.casefold()
    return any(words in note for words in TAPS_OPEN_WORDS)
