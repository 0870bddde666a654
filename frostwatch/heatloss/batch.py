"""Vehicles laid side by side for the hot loop: their numbers as arrays, and where they stand."""

from collections.abc import Sequence
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.hubs import AIRS, Hubs
from frostwatch.heatloss.mixes import Mixes
from frostwatch.heatloss.trajectory import Job, NodeState
from frostwatch.heatloss.water import (
    FUSION_J_PER_KG,
    ICE_J_PER_KG_K,
    WATER_J_PER_KG_K,
)

Single = NDArray[np.float32]

STEPS_PER_HOUR = 6
FILL_C = 5.0
"""Water as it comes in winter, 4 to 10 degC. Estimate."""
SLOW_S = 8 * 3600.0
"""Items that take longer than this start from the mean of all past hours, not of one day."""
PARKED_C = 90.0
"""What an emptied item is set to: far from every level that is looked for."""


def stacked(rows: Sequence[NDArray[np.float64]], width: int, fill: float) -> Single:
    """Pad rows of shape (I, ...) to ``width`` items and stack them."""
    whole = np.full((len(rows), width, *rows[0].shape[1:]), fill, np.float32)
    for place, row in zip(whole, rows, strict=True):
        place[: len(row)] = row
    return whole


class Batch:
    """V vehicles whose airs have as many hours, members and past hours, and the same first hour."""

    def __init__(self, jobs: Sequence[Job], steps_per_hour: int = STEPS_PER_HOUR) -> None:
        self.jobs = jobs
        networks = self.networks = [job.network for job in jobs]
        self.first, self.now = jobs[0].first, jobs[0].air.now_index
        self.members, self.hours = jobs[0].air.air_c.shape
        self.steps = steps_per_hour
        self.half_s = 1800.0 / steps_per_hour
        width = max(1, max(len(n.item_keys) for n in networks))
        self.shape = (len(jobs), width, self.members)

        def full(rows: list[NDArray[np.float64]], fill: float) -> Single:
            columns = stacked(rows, width, fill)[:, :, None]
            return np.ascontiguousarray(np.broadcast_to(columns, self.shape))

        self._set_conductances(width)
        most = self.half_s * (self.conductance.sum(axis=2) + self.outside_w_per_k.max(axis=0))
        kg = stacked([n.water_kg for n in networks], width, 1.0)
        dry = stacked([n.dry_j_per_k for n in networks], width, 0.0)
        # no item reacts faster than half a step, else the trapezoidal rule rings
        self.liquid = full(list(np.maximum(kg * WATER_J_PER_KG_K + dry, most)), 1.0)
        self.solid = full(list(np.maximum(kg * ICE_J_PER_KG_K + dry, most)), 1.0)
        self.fusion = full(list(kg * FUSION_J_PER_KG), 1.0)
        self.half_flat = full([0.5 * n.flat_shell for n in networks], 0.0)
        ring = stacked([n.round_shell for n in networks], width, 0.0)
        self.round = np.nonzero(ring)
        self.half_ring = np.float32(0.5) * ring[self.round][:, None]
        self.harm_fraction = full([n.harm_fraction for n in networks], np.inf)
        self.cool_k = full([n.cool_c for n in networks], 0.0)
        self.is_there = full([np.ones(len(n.item_keys)) for n in networks], 0.0) > 0.0
        self.mixes = Mixes(networks)
        self.hubs = Hubs(networks, self.members, self.half_s)
        self._set_heaters()
        self._set_valves()
        self._set_airs()
        self._set_start()

    def _set_conductances(self, width: int) -> None:
        self.conductance = np.zeros((*self.shape[:2], AIRS), np.float32)
        self.conductance[:, :, 1] = stacked([n.cabin_w_per_k for n in self.networks], width, 0.0)
        self.conductance[:, :, 2] = stacked([n.locker_w_per_k for n in self.networks], width, 0.0)
        windy = stacked([n.outside_w_per_k for n in self.networks], width, 0.0).transpose(2, 0, 1)
        self.outside_w_per_k = 0.5 * (windy[:-1] + windy[1:])

    def _set_heaters(self) -> None:
        rows = [
            (v, i, n.heater_w[i], n.heater_on_c[i], n.heater_off_c[i])
            for v, n in enumerate(self.networks)
            for i in np.flatnonzero(n.heater_w > 0.0).tolist()
        ]
        self.heated = tuple(np.array([row[part] for row in rows], int) for part in (0, 1))
        watt, on_c, off_c = (
            np.array([row[part] for row in rows], np.float32)[:, None] for part in (2, 3, 4)
        )
        self.heater_off_c = off_c
        self.heater_j_per_k = 2.0 * self.half_s * watt / (off_c - on_c)
        self.heater_most_j = 2.0 * self.half_s * watt

    def heaters_j(self) -> Single:
        """Heat of the heaters in the items over a step, by their water before it [J]."""
        pull_j = (self.heater_off_c - self.water_c[self.heated]) * self.heater_j_per_k
        heat_j: Single = np.clip(pull_j, 0.0, self.heater_most_j)
        return heat_j

    def _set_valves(self) -> None:
        items = np.array([n.valve_item for n in self.networks])
        self.valved = np.flatnonzero(items >= 0)
        self.valve_items = items
        shares = np.array([n.valve_shares for n in self.networks], np.float32)
        self.valve_shares = np.roll(shares, 1, axis=1).T[:, :, None]
        self.valve_opens_c = np.array([n.valve_opens_c for n in self.networks], np.float32)[:, None]
        self.shut = np.ones((len(self.jobs), self.members), bool)

    def _set_airs(self) -> None:
        airs = [job.air.air_c for job in self.jobs]
        self.outside_c = np.ascontiguousarray(np.stack(airs).transpose(2, 0, 1), np.float32)
        roof = [job.air.roof_k for job in self.jobs]
        self.roof_k = np.stack(roof).astype(np.float32).T[:, :, None]

    def _set_start(self) -> None:
        day_c = self.outside_c[:24].mean(axis=0)
        past_c = self.outside_c[: self.now + 1].mean(axis=0)
        self.hubs.x[:3] = day_c
        whole = self.conductance.sum(axis=2) + self.outside_w_per_k[:1].sum(axis=0)
        slow = self.liquid > SLOW_S * whole[:, :, None]
        mean_c = np.where(slow, past_c[:, None], day_c[:, None])
        # never below freezing: what the past hours froze they freeze again on the way to now
        freezing_c = np.zeros(self.shape, np.float32)
        freezing_c[self.mixes.where] = self.mixes.freezing_c
        self.enthalpy = np.maximum(mean_c - freezing_c, np.float32(0.0)) * self.liquid
        for v, job in enumerate(self.jobs):
            kept = job.kept
            if kept is not None:
                self.enthalpy[v, : len(job.network.item_keys)] = kept.enthalpy_j
                self.hubs.x[:3, v] = kept.hubs_c
                self.shut[v] = ~kept.tripped
        self.hubs.airs_c[0] = self.outside_c[self.first]
        self.water_c = self._temperatures()
        self.ice: Single = np.zeros_like(self.enthalpy)

    def _temperatures(self) -> Single:
        """Temperatures that belong to the enthalpies [degC]."""
        e = self.enthalpy
        water_c: Single = np.maximum(e, 0.0) / self.liquid
        water_c += np.minimum(e + self.fusion, 0.0) / self.solid
        if len(self.mixes):
            self.mixes.load(np.zeros((1, 1), np.float32))
            water_c[self.mixes.where] = self.mixes.settle(e[self.mixes.where])
        return water_c

    def freshen_ice(self) -> bool:
        """Bring ``ice`` up to the enthalpies; whether there is any."""
        if not self.enthalpy.min() < 0.0:
            self.ice[...] = 0.0
            return False
        self.ice = self.ice_of(self.enthalpy)
        return True

    def ice_of(self, enthalpy_j: Single) -> Single:
        """Ice fractions that belong to enthalpies."""
        ice: Single = enthalpy_j / -self.fusion
        np.maximum(ice, 0.0, out=ice)
        np.minimum(ice, 1.0, out=ice)
        if len(self.mixes):
            ice[self.mixes.where] = self.mixes.ice(enthalpy_j[self.mixes.where])
        return ice

    def refill(self, v: int, i: int) -> None:
        """New water begins liquid, whatever the hours before it did; a valve over it is shut."""
        freezing_c = self.mixes.freezing_of(v, i)
        self.enthalpy[v, i] = (FILL_C - freezing_c) * self.liquid[v, i]
        self.water_c[v, i] = FILL_C
        if i == self.networks[v].valve_item:
            self.shut[v] = True

    def shut_again(self, v: int) -> NDArray[np.intp]:
        """Water was found over a dump valve that stood open: new water, behind a shut valve.

        Returns:
            The members it stood open in; in the others the water is what it was.
        """
        opened = np.flatnonzero(~self.shut[v])
        i = self.networks[v].valve_item
        self.enthalpy[v, i, opened] = (FILL_C - self.mixes.freezing_of(v, i)) * self.liquid[
            v, i, opened
        ]
        self.water_c[v, i, opened] = FILL_C
        self.shut[v, opened] = True
        return opened

    def park(self, v: NDArray[np.intp], i: NDArray[np.intp], m: NDArray[np.intp]) -> None:
        """Set emptied items to a warmth from which no level is ever passed."""
        self.enthalpy[v, i, m] = PARKED_C * self.liquid[v, i, m]
        self.water_c[v, i, m] = PARKED_C

    def states(self) -> list[NodeState]:
        """The state of every vehicle now, to be kept."""
        return [
            NodeState(
                at=job.air.start + timedelta(hours=self.now),
                signature=job.network.water_signature,
                enthalpy_j=self.enthalpy[v, : len(job.network.item_keys)].copy(),
                hubs_c=self.hubs.x[:3, v].copy(),
                tripped=~self.shut[v],
            )
            for v, job in enumerate(self.jobs)
        ]
