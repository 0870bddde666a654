"""Which of the kept warmth still stands when somebody recorded something in between.

A record says what is in a vehicle, not how cold it is. So what stood in an item goes on standing
there: a word that it is still full thaws nothing, and draining one tank thaws no other. Only water
that really is new begins warm.
"""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.network import Network
from frostwatch.heatloss.water import FUSION_J_PER_KG

Single = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NodeState:
    """Where the nodes of one vehicle stand at one moment; kept between passes.

    Single precision is what the solver works in: a state that was kept goes on exactly as if
    nothing had been interrupted.

    Attributes:
        at: the moment, UTC, a whole hour.
        signature: water signature of the network it belongs to.
        enthalpy_j: shape (I, M) [J].
        hubs_c: cabin air, locker, cabin mass, shape (3, M) [degC].
        tripped: dump valve open, shape (M,).
        fresh: items that hold other water than when this was kept, filled in since.
        found_shut: water was recorded over the dump valve since, so somebody shut it.
    """

    at: datetime
    signature: str
    enthalpy_j: Single
    hubs_c: Single
    tripped: NDArray[np.bool_]
    fresh: tuple[int, ...] = ()
    found_shut: bool = False


def carried(state: NodeState, network: Network) -> NodeState | None:
    """A kept state as the start of a network whose water may differ from then.

    Args:
        state: what was kept.
        network: the vehicle as it is recorded now.

    Returns:
        The state in the order of the network's items, with those that hold new water named in
        ``fresh``. None where the past hours have to be stepped again: something was filled before
        the state was kept and recorded only after, or only now it is known how much there is.
    """
    if state.signature == network.water_signature:
        return state
    *words, valve = state.signature.split("|")
    kept = {word.split(";")[0]: (n, word.split(";")) for n, word in enumerate(words)}
    *words_now, valve_now = network.water_signature.split("|")
    if any(len(parts) != 5 for _, parts in kept.values()) or len(kept) != len(state.enthalpy_j):
        return None
    rows: list[Single] = []
    fresh: list[int] = []
    for i, word in enumerate(words_now):
        key, kg, filled, *rest = word.split(";")
        row, before = kept.get(key, (-1, ["", "", "", "", ""]))
        filled_at = network.filled_at[i]
        if filled_at is not None and (row < 0 or before[2] != filled):
            if filled_at < state.at:
                return None
            fresh.append(i)
            rows.append(np.zeros_like(state.enthalpy_j[:1]))
        elif row < 0 or before[3:] != rest:
            return None
        else:
            rows.append(_less(state.enthalpy_j[row : row + 1], float(before[1]), float(kg)))
    width = (0, state.enthalpy_j.shape[1])
    return replace(
        state,
        signature=network.water_signature,
        enthalpy_j=np.concatenate(rows) if rows else np.empty(width, np.float32),
        fresh=tuple(fresh),
        found_shut=valve != valve_now,
    )


def _less(enthalpy_j: Single, kg_then: float, kg_now: float) -> Single:
    """Some of the water ran out: what is left is as cold, and all of the ice stays behind."""
    if kg_now >= kg_then:
        return enthalpy_j
    left_j = np.where(
        enthalpy_j > 0.0,
        enthalpy_j * (kg_now / kg_then),
        np.maximum(enthalpy_j, -kg_now * FUSION_J_PER_KG),
    )
    return left_j.astype(np.float32)
