"""The hot loop: vehicles stepped side by side through the hours, arrays (V, I, M).

Every item exchanges heat only with three airs (outside, cabin, locker), never with another item, so
a step is: settle the airs by elimination, then every item in closed form. Both use the trapezoidal
rule. With u its conductance, k = u h for half a step h and A the mean air around it, an item obeys
E + k T(E) = r with r = (E - k T) before + k (A before + A after). For pure water that is piecewise
linear and is solved exactly, whichever phase it ends in:

    T = max(r, 0) / (C_liquid + k) + min(r + m L, 0) / (C_solid + k),   E = r - k T

so no step ever iterates. The airs are first settled with the items as they were, then get back what
the items really gave: what one loses the other gains, to rounding. Wind and the shell of ice set
the conductances once an hour.

Single precision: the rounding of one step is below 1e-5 K and 1e-7 in ice fraction.
"""

from collections import defaultdict
from collections.abc import Sequence
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.batch import STEPS_PER_HOUR, Batch
from frostwatch.heatloss.hubs import OUTSIDE, ROOF, ROOF_SHARE, WARM_CABIN
from frostwatch.heatloss.record import Record
from frostwatch.heatloss.trajectory import Job, NodeState, Trajectory
from frostwatch.heatloss.water import round_shell_growth

Single = NDArray[np.float32]

_GAUSS = np.float32(0.5 - 0.5 / 3.0**0.5)
"""Two-point Gauss quadrature: distance of the points from the ends, as a share of the span."""


def run(jobs: Sequence[Job], steps_per_hour: int = STEPS_PER_HOUR) -> list[Trajectory]:
    """Step vehicles with the same first hour, hours, members and past; one trajectory for each."""
    return Stepping(Batch(jobs, steps_per_hour)).run()


class Stepping:
    """A batch on its way through the hours.

    Attributes:
        after: where in the hour the steps end, shape (steps, 1, 1) [h].
        both_ends: the sum of where each begins and ends.
    """

    def __init__(self, batch: Batch) -> None:
        self.batch = batch
        ends = np.arange(1.0, batch.steps + 1.0, dtype=np.float32) / batch.steps
        self.after = ends[:, None, None]
        self.both_ends = 2.0 * self.after - np.float32(1.0 / batch.steps)
        self.kept = [job.kept for job in batch.jobs]
        self.fills = _fills(batch.jobs)
        self.found_shut = _found_shut(batch.jobs, self.kept, batch.first)
        self.record = Record(batch)
        self.before = np.empty_like(batch.enthalpy)
        self.r, self.rest, self.scratch = (np.empty_like(batch.enthalpy) for _ in range(3))
        self.k, self.by_liquid, self.by_solid = (np.empty_like(batch.enthalpy) for _ in range(3))
        self.zero = np.zeros_like(batch.enthalpy)
        vehicles, _, members = batch.shape
        self.air_sums = np.empty((3, vehicles, members), np.float32)
        self.warm = np.empty((vehicles, 2, members), np.float32)
        self.valve_parts = np.empty_like(self.air_sums)
        self.is_icy = False
        self.valve_c = self._valve_air()

    def run(self) -> list[Trajectory]:
        """Go through all hours; results count from now."""
        batch, record = self.batch, self.record
        for hour in range(batch.first, batch.hours):
            for v, i in self.fills.get(hour, ()):
                kept = self.kept[v]
                if hour > batch.first or kept is None or i in kept.fresh:
                    batch.refill(v, i)
                    record.forget_opening(v, i)
            for v in self.found_shut.get(hour, ()):
                record.tripped_at[v, batch.shut_again(v)] = np.inf
            self.is_icy = batch.freshen_ice()
            if hour == batch.now:
                record.begin()
            if hour >= batch.now:
                record.hour(hour - batch.now)
            if hour < batch.hours - 1:
                self._through_hour(hour)
        return record.results()

    def _through_hour(self, hour: int) -> None:
        batch, hubs = self.batch, self.batch.hubs
        self._load_hour(hour)
        if batch.valved.size and (
            hour == batch.first or hour in self.fills or hour in self.found_shut
        ):
            self._open_valves(float(hour - batch.now))
        begin_c, rise_k = batch.outside_c[hour], batch.outside_c[hour + 1] - batch.outside_c[hour]
        roof_k = batch.roof_k[hour]
        roof_rise_k = batch.roof_k[hour + 1] - roof_k
        sums_c = 2.0 * begin_c + self.both_ends * rise_k
        ends_c = begin_c + self.after * rise_k
        roof_sums_k = ROOF_SHARE * (2.0 * roof_k + self.both_ends * roof_rise_k)
        for part in range(batch.steps):
            hubs.x[OUTSIDE] = sums_c[part]
            hubs.x[ROOF] = roof_sums_k[part]
            self._step(hour)
            hubs.airs_c[0] = ends_c[part]
            at_h = hour - batch.now + part / batch.steps
            if batch.valved.size:
                self._open_valves(at_h)
            if hour >= batch.now:
                self.record.step(at_h, self.before)

    def _load_hour(self, hour: int) -> None:
        """Conductances of the hour: wind, and the shell of ice as it will stand half-way."""
        batch = self.batch
        batch.conductance[:, :, 0] = batch.outside_w_per_k[hour]
        whole = batch.conductance.sum(axis=2)
        shares = batch.conductance / np.maximum(whole, 1e-12)[:, :, None]
        self.shares = shares
        self.to_hubs = np.ascontiguousarray(shares[:, :, 1:].transpose(0, 2, 1))
        self.k[...] = (whole * batch.half_s)[:, :, None]
        self._grow_shell(hour)
        self._settle_conductances()

    def _grow_shell(self, hour: int) -> None:
        """Divide ``k`` by what the shell of ice slows the heat, on average over the hour.

        The shell resists outward heat only. How far the ice will grow is reckoned with the rate at
        which it begins.
        """
        batch, ahead = self.batch, self.scratch
        batch.hubs.airs_c[0] = 0.5 * (batch.outside_c[hour] + batch.outside_c[hour + 1])
        np.matmul(self.shares, batch.hubs.airs_c.transpose(1, 0, 2), out=ahead)
        batch.hubs.airs_c[0] = batch.outside_c[hour]
        ahead -= batch.water_c
        is_outward = ahead < 0.0
        ahead *= self.k
        if self.is_icy:
            ahead /= self._slowing(batch.ice, batch.ice, is_outward)
        ahead *= 2.0 * batch.steps
        ahead += batch.enthalpy
        if self.is_icy or ahead.min() < 0.0:
            self.k /= self._slowing(batch.ice, batch.ice_of(ahead), is_outward)

    def _slowing(self, before: Single, after: Single, is_outward: NDArray[np.bool_]) -> Single:
        """Factor by which ice that grows evenly slows the heat, averaged over its growth."""
        batch = self.batch
        slowing: Single = before + after
        slowing *= batch.half_flat
        low, high = before[batch.round], after[batch.round]
        inset = _GAUSS * (high - low)
        growth = round_shell_growth(low + inset) + round_shell_growth(high - inset)
        slowing[batch.round] = batch.half_ring * growth
        slowing *= is_outward
        slowing += 1.0
        return slowing

    def _settle_conductances(self) -> None:
        """Everything that follows from ``k``; emptied items exchange nothing."""
        batch = self.batch
        self.k[batch.valved, batch.valve_items[batch.valved]] *= batch.shut[batch.valved]
        np.add(batch.liquid, self.k, out=self.by_liquid)
        np.reciprocal(self.by_liquid, out=self.by_liquid)
        np.add(batch.solid, self.k, out=self.by_solid)
        np.reciprocal(self.by_solid, out=self.by_solid)
        if len(batch.mixes):
            batch.mixes.load(self.k[batch.mixes.where])
        np.multiply(self.k, batch.water_c, out=self.scratch)
        np.subtract(batch.enthalpy, self.scratch, out=self.rest)
        np.matmul(self.to_hubs, self.scratch, out=self.warm)
        batch.hubs.x[WARM_CABIN : WARM_CABIN + 2] = self.warm.transpose(1, 0, 2)
        phi = self.to_hubs @ self.k
        batch.hubs.load_hour(phi[:, 0], phi[:, 1])

    def _step(self, hour: int) -> None:
        batch, hubs = self.batch, self.batch.hubs
        r, water_c, scratch = self.r, batch.water_c, self.scratch
        new = hubs.step(hour)
        self.air_sums[0] = hubs.x[OUTSIDE]
        np.add(hubs.x[:2], new[:2], out=self.air_sums[1:])
        np.matmul(self.shares, self.air_sums.transpose(1, 0, 2), out=r)
        r *= self.k
        r += self.rest
        if batch.heater_most_j.size:
            r[batch.heated] += batch.heaters_j()
        if not self.is_icy and r.min() < 0.0:
            self.is_icy = True
        np.maximum(r, self.zero, out=water_c)
        water_c *= self.by_liquid
        if self.is_icy:
            np.add(r, batch.fusion, out=scratch)
            np.minimum(scratch, self.zero, out=scratch)
            scratch *= self.by_solid
            water_c += scratch
        if len(batch.mixes):
            water_c[batch.mixes.where] = batch.mixes.settle(r[batch.mixes.where])
        np.multiply(self.k, water_c, out=scratch)
        np.matmul(self.to_hubs, scratch, out=self.warm)
        self.before, batch.enthalpy = batch.enthalpy, self.before
        np.subtract(r, scratch, out=batch.enthalpy)
        np.subtract(batch.enthalpy, scratch, out=self.rest)
        warm = self.warm.transpose(1, 0, 2)
        hubs.give_back(new, warm - hubs.x[WARM_CABIN : WARM_CABIN + 2])
        hubs.x[WARM_CABIN : WARM_CABIN + 2] = warm

    def _valve_air(self) -> Single:
        np.multiply(self.batch.valve_shares, self.batch.hubs.airs_c, out=self.valve_parts)
        air_c: Single = np.add.reduce(self.valve_parts, axis=0)
        return air_c

    def _open_valves(self, at_h: float) -> None:
        """Open the dump valves whose air fell below their mark in the step since ``at_h``."""
        batch = self.batch
        before_c, self.valve_c = self.valve_c, self._valve_air()
        opens = self.valve_c < batch.valve_opens_c
        opens &= batch.shut
        if not np.count_nonzero(opens):
            return
        fall_k = np.maximum(before_c - self.valve_c, 1e-6)
        share = np.clip((before_c - batch.valve_opens_c) / fall_k, 0.0, 1.0)
        self.record.tripped_at[opens] = (at_h + share / batch.steps)[opens]
        batch.shut &= ~opens
        v, m = np.nonzero(opens)
        batch.park(v, batch.valve_items[v], m)
        self._settle_conductances()


def _fills(jobs: Sequence[Job]) -> dict[int, list[tuple[int, int]]]:
    """Hour -> items (vehicle, item) that got their water in the hour that begins then."""
    fills: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for v, job in enumerate(jobs):
        for i, filled_at in enumerate(job.network.filled_at):
            if filled_at is not None:
                fills[(filled_at - job.air.start) // timedelta(hours=1)].append((v, i))
    return fills


def _found_shut(
    jobs: Sequence[Job], kept: Sequence[NodeState | None], first: int
) -> dict[int, list[int]]:
    """Hour -> vehicles over whose dump valve somebody recorded water then, not known when kept."""
    found: dict[int, list[int]] = defaultdict(list)
    for v, (job, state) in enumerate(zip(jobs, kept, strict=True)):
        at = job.network.shut_at
        if at is not None and (state is None or state.found_shut):
            hour = (at - job.air.start) // timedelta(hours=1)
            found[hour if state is None else max(first, hour)].append(v)
    return found
