"""What is kept of a batch of vehicles: hourly values and first passages, from now on."""

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.batch import Batch
from frostwatch.heatloss.mixes import harm_enthalpy_j
from frostwatch.heatloss.trajectory import NodeState, Trajectory

Single = NDArray[np.float32]

_NEVER_J = -1e15


class Record:
    """Hourly values, and when the enthalpies first fell below each level."""

    def __init__(self, batch: Batch) -> None:
        self.batch = batch
        vehicles, items, members = batch.shape
        length = batch.hours - batch.now
        self.water_c = np.empty((length, vehicles, items, members), np.float32)
        self.ice = np.empty((length, vehicles, items, members), np.float32)
        self.cabin_c = np.empty((length, vehicles, members), np.float32)
        self.locker_c = np.empty((length, vehicles, members), np.float32)
        self.is_open = np.empty((length, vehicles, members), bool)
        self.tripped_at = np.where(batch.shut, np.inf, -np.inf)
        self.levels = [np.ascontiguousarray(level).reshape(-1) for level in _levels(batch)]
        self.passed = [np.full(level.size, np.inf) for level in self.levels]
        self.next_level = np.empty(batch.shape, np.float32)
        self.is_below = np.empty(batch.shape, bool)
        self.end: list[NodeState] = []

    def forget_opening(self, vehicle: int, item: int) -> None:
        """New water means that somebody shut the valve over it."""
        if self.batch.networks[vehicle].valve_item == item:
            self.tripped_at[vehicle] = np.inf

    def begin(self) -> None:
        """Now: keep the state, and note what lies below a level already."""
        self.end = self.batch.states()
        enthalpy = self.batch.enthalpy.reshape(-1)
        for level, passed in zip(self.levels, self.passed, strict=True):
            passed[enthalpy < level] = 0.0
        self._look_ahead(np.arange(enthalpy.size))

    def hour(self, index: int) -> None:
        """Keep the values of a whole hour."""
        batch = self.batch
        self.water_c[index] = batch.water_c
        self.ice[index] = batch.ice
        self.cabin_c[index], self.locker_c[index] = batch.hubs.x[:2]
        self.is_open[index] = ~batch.shut

    def step(self, at_h: float, before: Single) -> None:
        """Note what fell below a level during the step that began at ``at_h``."""
        after = self.batch.enthalpy
        np.less(after, self.next_level, out=self.is_below)
        if not np.count_nonzero(self.is_below):
            return
        fell = np.flatnonzero(self.is_below)
        start, stop = before.reshape(-1)[fell], after.reshape(-1)[fell]
        for level, passed in zip(self.levels, self.passed, strict=True):
            goal = level[fell]
            crossed = (stop < goal) & (passed[fell] == np.inf)
            share = np.clip((start - goal) / np.maximum(start - stop, 1e-12), 0.0, 1.0)
            passed[fell[crossed]] = at_h + share[crossed] / self.batch.steps
        self._look_ahead(fell)

    def _look_ahead(self, where: NDArray[np.intp]) -> None:
        """For these nodes, the highest level that has not been passed yet."""
        ahead = [
            np.where(passed[where] == np.inf, level[where], np.float32(-np.inf))
            for level, passed in zip(self.levels, self.passed, strict=True)
        ]
        self.next_level.reshape(-1)[where] = np.maximum.reduce(ahead)

    def results(self) -> list[Trajectory]:
        """One trajectory for each vehicle of the batch."""
        found = []
        passed = [times.reshape(self.batch.shape) for times in self.passed]
        for v in self.batch.valved.tolist():
            i = self.batch.valve_items[v]
            self.water_c[:, v, i][self.is_open[:, v]] = np.nan
            self.ice[:, v, i][self.is_open[:, v]] = 0.0
        for v, job in enumerate(self.batch.jobs):
            count = len(job.network.item_keys)
            ice_at, harm_at, cool_at = (times[v, :count] for times in passed)
            found.append(
                Trajectory(
                    start=self.end[v].at,
                    item_keys=job.network.item_keys,
                    water_c=self.water_c[:, v, :count].transpose(1, 2, 0),
                    ice_fraction=self.ice[:, v, :count].transpose(1, 2, 0),
                    ice_at_h=ice_at,
                    harm_at_h=harm_at,
                    cool_at_h=cool_at,
                    tripped_at_h=self.tripped_at[v],
                    cabin_c=self.cabin_c[:, v].T,
                    locker_c=self.locker_c[:, v].T,
                    end=self.end[v],
                )
            )
        return found


def _levels(batch: Batch) -> tuple[Single, Single, Single]:
    """Enthalpies of first ice, harm and possible skin ice [J], each of the batch's shape."""
    harm: Single = np.maximum(-batch.harm_fraction * batch.fusion, _NEVER_J).astype(np.float32)
    for v, i in zip(*batch.mixes.where, strict=True):
        harm[v, i] = max(harm_enthalpy_j(batch.networks[v], i), _NEVER_J)
    cool: Single = batch.cool_k * batch.liquid
    there = batch.is_there
    ice = np.where(there, np.float32(0.0), np.float32(_NEVER_J))
    return ice, harm, np.where(there, cool, np.float32(_NEVER_J))
