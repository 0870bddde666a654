"""What goes into the fleet solver and what comes out of it: jobs, kept states, trajectories."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.kept import NodeState, Single, carried
from frostwatch.heatloss.network import Network
from frostwatch.weather.site_air import SiteAir

Array = NDArray[np.float64]

__all__ = ["Array", "Job", "NodeState", "Single", "Trajectory"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Job:
    """One vehicle to step: its network, the air around it, and a kept state if there is one."""

    network: Network
    air: SiteAir
    state: NodeState | None = None

    @property
    def kept(self) -> NodeState | None:
        """The kept state if it fits: as many members, a moment within the past, and water that
        was there or came since."""
        state = self.state
        if state is None or state.enthalpy_j.shape[1] != self.air.air_c.shape[0]:
            return None
        if not 0 <= self._index(state) <= self.air.now_index:
            return None
        return carried(state, self.network)

    @property
    def first(self) -> int:
        """Index of the air at which the stepping starts."""
        state = self.kept
        return 0 if state is None else self._index(state)

    def _index(self, state: NodeState) -> int:
        return (state.at - self.air.start) // timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trajectory:
    """What the water of one vehicle does from now on; I items, M members, H hours.

    Attributes:
        start: now, a whole hour, UTC; index 0.
        item_keys: keys of the I items.
        water_c: shape (I, M, H + 1) [degC]; NaN while the dump valve stands open over the item.
        ice_fraction: shape (I, M, H + 1); 0 while the dump valve stands open over the item.
        ice_at_h: first ice from now on [h from start], shape (I, M); 0 if there is ice now, inf if
            never.
        harm_at_h: first time the ice reaches the item's harm fraction, shape (I, M).
        cool_at_h: first time the water falls to the temperature of possible skin ice, (I, M).
        tripped_at_h: when the dump valve that stands open opened, shape (M,) [h from start].
            At 0 or later: it opens from now on. Below 0: it opened in the past hours that were
            stepped here. -inf: it stood open already in the kept state. inf: it stands shut to the
            end, or there is none. New water recorded after an opening means that somebody shut it.
        cabin_c: shape (M, H + 1) [degC].
        locker_c: shape (M, H + 1) [degC].
        end: the state at ``start``, to be kept for the next pass.
    """

    start: datetime
    item_keys: tuple[str, ...]
    water_c: Single
    ice_fraction: Single
    ice_at_h: Array
    harm_at_h: Array
    cool_at_h: Array
    tripped_at_h: Array
    cabin_c: Single
    locker_c: Single
    end: NodeState
