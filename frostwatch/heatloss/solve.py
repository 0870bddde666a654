"""Step many vehicles through the hours at once: arrays over (vehicles, items, members).

Every item exchanges heat only with three hub airs (cabin, locker, outside), never with another
item, so a step is: settle the hubs by elimination, then every item in closed form. Both use the
trapezoidal rule. For pure water the implicit equation of an item, E + k T(E) = r, is piecewise
linear and is solved exactly, whichever phase it ends in:

    T = max(r, 0) / (C_liquid + k) + min(r + m L, 0) / (C_solid + k),   E = r - k T

so no step ever iterates. The hubs are first settled with the items as they were, then get back what
the items really gave: what one loses the other gains, to rounding.

The step is ten minutes. Against the accurate integration of ``integrate`` whole vehicles differ by
less than 5 minutes in the first ice and 0.01 in ice fraction; tests/heatloss holds that.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.network import Network, building_air_c
from frostwatch.heatloss.water import (
    FUSION_J_PER_KG,
    ICE_J_PER_KG_K,
    WATER_J_PER_KG_K,
    make_body,
    round_shell_growth,
    slush_fraction,
)
from frostwatch.weather.site_air import SiteAir

Array = NDArray[np.float64]

STEPS_PER_HOUR = 6
FILL_C = 5.0
"""Water as it comes in winter, 4 to 10 degC. Estimate."""
_COLUMNS = 1600
"""Vehicles times members worked on together: large enough to drown the interpreter, small enough
for the second-level cache."""
_SLUSH_POINTS = 16
_COLDEST_C = -49.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NodeState:
    """Where the nodes of one vehicle stand at one moment; kept between passes.

    Attributes:
        at: the moment, UTC, a whole hour.
        signature: water signature of the network it belongs to.
        enthalpy_j: shape (I, M) [J].
        hubs_c: cabin air, cabin mass, locker, shape (3, M) [degC].
        tripped: dump valve open, shape (M,).
    """

    at: datetime
    signature: str
    enthalpy_j: Array
    hubs_c: Array
    tripped: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Job:
    """One vehicle to step: its network, the air of its site, and a kept state if there is one."""

    network: Network
    air: SiteAir
    state: NodeState | None = None

    @property
    def first(self) -> int:
        """Index of the air at which the stepping starts."""
        if self.state is None or self.state.signature != self.network.water_signature:
            return 0
        if self.state.enthalpy_j.shape[1] != self.air.air_c.shape[0]:
            return 0
        index = (self.state.at - self.air.start) // timedelta(hours=1)
        return index if 0 < index <= self.air.now_index else 0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trajectory:
    """What the water of one vehicle does from now on; I items, M members, H hours.

    Attributes:
        start: now, a whole hour, UTC; index 0.
        item_keys: keys of the I items.
        water_c: shape (I, M, H + 1) [degC]; NaN once the dump valve emptied the item.
        ice_fraction: shape (I, M, H + 1).
        ice_at_h: first ice [h from start], shape (I, M); 0 if there is ice now, inf if never.
        harm_at_h: first time the ice reaches the item's harm fraction, shape (I, M).
        cool_at_h: first time the water falls to the temperature of possible skin ice, (I, M).
        tripped_at_h: dump valve opens, shape (M,); -inf if it stood open before, inf if never.
        cabin_c: shape (M, H + 1) [degC].
        locker_c: shape (M, H + 1) [degC].
        end: the state at ``start``, to be kept for the next pass.
    """

    start: datetime
    item_keys: tuple[str, ...]
    water_c: NDArray[np.float32]
    ice_fraction: NDArray[np.float32]
    ice_at_h: Array
    harm_at_h: Array
    cool_at_h: Array
    tripped_at_h: Array
    cabin_c: NDArray[np.float32]
    locker_c: NDArray[np.float32]
    end: NodeState


def solve(jobs: Sequence[Job]) -> tuple[Trajectory, ...]:
    """Step vehicles through the hours of their sites' airs.

    Vehicles that are alike in layout, water, air and start are stepped once.

    Args:
        jobs: the vehicles, any mix of sites; each air has shape (M, H + 1) and the same M.

    Returns:
        One trajectory for each job, in order, counted from each air's ``now_index``.
    """
    alike: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for n, job in enumerate(jobs):
        start = job.state.enthalpy_j.tobytes() if job.state is not None and job.first else b""
        alike[(id(job.air), job.network.signature, job.first, start)].append(n)
    groups: dict[tuple[int, int, int], list[int]] = defaultdict(list)
    for members in alike.values():
        job = jobs[members[0]]
        hours = job.air.air_c.shape[1]
        groups[(job.first, hours, job.air.now_index)].append(members[0])
    solved: dict[int, Trajectory] = {}
    for group in groups.values():
        group.sort(key=lambda n: len(jobs[n].network.item_keys))
        wide = max(1, _COLUMNS // jobs[group[0]].air.air_c.shape[0])
        for begin in range(0, len(group), wide):
            part = group[begin : begin + wide]
            solved.update(zip(part, _Batch([jobs[n] for n in part]).run(), strict=True))
    for members in alike.values():
        for n in members[1:]:
            solved[n] = solved[members[0]]
    return tuple(solved[n] for n in range(len(jobs)))


def _stack(rows: Sequence[Array], width: int, fill: float) -> Array:
    """Pad rows of shape (I, ...) to ``width`` items and stack them."""
    padded = [
        np.concatenate([row, np.full((width - row.shape[0], *row.shape[1:]), fill)]) for row in rows
    ]
    return np.stack(padded)


class _Slush:
    """Items with antifreeze: their implicit equation, piecewise linear over a few points."""

    def __init__(self, network_of: Sequence[Network], width: int) -> None:
        rows = [
            (v, i)
            for v, network in enumerate(network_of)
            for i in np.flatnonzero(network.glycol_mass_fraction > 0.0).tolist()
        ]
        self.vehicle = np.array([v for v, _ in rows], int)
        self.item = np.array([i for _, i in rows], int)
        self.freezing_c = np.zeros((len(network_of), width, 1))
        self.table_c = np.zeros((_SLUSH_POINTS, len(rows), 1))
        self.table_j = np.zeros((_SLUSH_POINTS, len(rows), 1))
        for n, (v, i) in enumerate(rows):
            network = network_of[v]
            body = make_body(
                float(network.water_kg[i]),
                float(network.dry_j_per_k[i]),
                float(network.glycol_mass_fraction[i]),
            )
            self.freezing_c[v, i, 0] = body.freezing_c
            most = float(slush_fraction(_COLDEST_C, float(network.glycol_mass_fraction[i])))
            ice = np.linspace(0.0, most, _SLUSH_POINTS - 1)
            points = [0.0, *(body.enthalpy_j(0.0, float(f)) for f in ice[1:])]
            points.append(float(body.table_j[-1]))
            self.table_j[:, n, 0] = points
            self.table_c[:, n, 0] = [body.temperature_c(point) for point in points]

    def __len__(self) -> int:
        return len(self.vehicle)

    def settle(self, r: Array, k: Array, water_c: Array) -> None:
        """Put the temperatures of the mixes that are below freezing into ``water_c``."""
        own_r = r[self.vehicle, self.item]
        own_k = k[self.vehicle, self.item]
        below = own_r < own_k * self.table_c[0]
        settled = water_c[self.vehicle, self.item]
        for n in range(1, _SLUSH_POINTS):
            high = self.table_j[n - 1] + own_k * self.table_c[n - 1]
            low = self.table_j[n] + own_k * self.table_c[n]
            share = np.clip((high - own_r) / (high - low), 0.0, 1.0)
            fall = share * (self.table_c[n] - self.table_c[n - 1])
            settled = np.where(below, (self.table_c[0] if n == 1 else settled) + fall, settled)
        water_c[self.vehicle, self.item] = settled

    def ice(self, water_c: Array, networks: Sequence[Network]) -> Array:
        """Ice fraction of the mixes, shape (rows, ...)."""
        own = water_c[self.vehicle, self.item]
        return np.stack(
            [
                slush_fraction(own[n], float(networks[v].glycol_mass_fraction[i]))
                for n, (v, i) in enumerate(zip(self.vehicle, self.item, strict=True))
            ]
        )


class _Batch:
    """Vehicles with as many hours and members, stepped side by side: arrays (V, I, M)."""

    def __init__(self, jobs: Sequence[Job]) -> None:
        self.jobs = jobs
        networks = self.networks = [job.network for job in jobs]
        width = self.width = max(1, max(len(n.item_keys) for n in networks))
        self.first = jobs[0].first
        self.now = jobs[0].air.now_index
        self.hours = jobs[0].air.air_c.shape[1]
        self.members = jobs[0].air.air_c.shape[0]
        self.dt_s = 3600.0 / STEPS_PER_HOUR
        self.half_s = self.dt_s / 2.0

        def column(rows: list[Array], fill: float) -> Array:
            return _stack(rows, width, fill)[:, :, None]

        kg = column([n.water_kg for n in networks], 1.0)
        dry = column([n.dry_j_per_k for n in networks], 0.0)
        self.liquid = kg * WATER_J_PER_KG_K + dry
        self.solid = kg * ICE_J_PER_KG_K + dry
        self.fusion = kg * FUSION_J_PER_KG
        self.cabin_g = _stack([n.cabin_w_per_k for n in networks], width, 0.0)
        self.locker_g = _stack([n.locker_w_per_k for n in networks], width, 0.0)
        self.outside_g = _stack([n.outside_w_per_k for n in networks], width, 0.0)
        self.flat = column([n.flat_shell for n in networks], 0.0)
        self.ring = column([n.round_shell for n in networks], 0.0)
        self.has_ring = bool(np.any(self.ring > 0.0))
        self.harm_fraction = column([n.harm_fraction for n in networks], np.inf)
        self.cool_c = column([n.cool_c for n in networks], -np.inf)
        self.heater_w = column([n.heater_w for n in networks], 0.0)
        self.has_heaters = bool(np.any(self.heater_w > 0.0))
        self.heater_on = column([n.heater_on_c for n in networks], 0.0)
        self.heater_off = column([n.heater_off_c for n in networks], 1.0)
        self.slush = _Slush(networks, width)
        self._set_airs()
        self._set_shell()
        self._set_start()

    def _set_airs(self) -> None:
        airs = [
            building_air_c(job.air.air_c) if job.network.indoors else job.air.air_c
            for job in self.jobs
        ]
        self.outside_c = np.ascontiguousarray(np.stack(airs).transpose(2, 0, 1))
        roof = [
            np.zeros_like(job.air.roof_k) if job.network.indoors else job.air.roof_k
            for job in self.jobs
        ]
        self.roof_k = np.stack(roof).T[:, :, None]

    def _set_shell(self) -> None:
        columns = np.stack([n.shell for n in self.networks]).T[:, :, None]
        (
            self.cabin_ua,
            self.cabin_j,
            self.mass_j,
            self.mass_ua,
            self.locker_j,
            self.locker_cabin,
            self.locker_outside,
        ) = columns
        self.hold_w = np.stack([n.hold_w for n in self.networks]).T[:, :, None]
        self.hold_low = np.array([n.hold_c[0] for n in self.networks])[:, None]
        self.hold_high = np.array([n.hold_c[1] for n in self.networks])[:, None]
        self.has_hold = bool(np.any(self.hold_w > 0.0))
        self.valve_item = np.array([n.valve_item for n in self.networks])
        self.has_valve = self.valve_item >= 0
        self.valve_shares = np.stack([n.valve_shares for n in self.networks]).T[:, :, None]
        self.valve_opens = np.array([n.valve_opens_c for n in self.networks])[:, None]

    def _set_start(self) -> None:
        shape = (len(self.jobs), self.width, self.members)
        self.water_c = np.zeros(shape)
        self.enthalpy = np.zeros(shape)
        self.hubs_c = np.zeros((3, len(self.jobs), self.members))
        self.tripped = np.zeros((len(self.jobs), self.members), bool)
        for v, job in enumerate(self.jobs):
            count = len(job.network.item_keys)
            if self.first and job.state is not None:
                self.enthalpy[v, :count] = job.state.enthalpy_j
                self.hubs_c[:, v] = job.state.hubs_c
                self.tripped[v] = job.state.tripped
                continue
            day_c = self.outside_c[:24, v].mean(axis=0)
            week_c = self.outside_c[: self.now + 1, v].mean(axis=0)
            # never below freezing: what the past hours froze they freeze again on the way to now
            slow = self.liquid[v, :count] / np.maximum(self._sum_g(v, count), 1e-9) > 8 * 3600.0
            mean_c = np.where(slow, week_c, day_c)
            freezing_c = self.slush.freezing_c[v, :count]
            self.enthalpy[v, :count] = np.maximum(mean_c - freezing_c, 0.0) * self.liquid[v, :count]
            self.hubs_c[:, v] = day_c
        self._temperatures_from_enthalpy()

    def _sum_g(self, v: int, count: int) -> Array:
        whole = self.cabin_g[v, :count] + self.locker_g[v, :count]
        return np.asarray(whole + self.outside_g[v, :count, 0])[:, None]

    def _temperatures_from_enthalpy(self) -> None:
        e = self.enthalpy
        self.water_c = np.maximum(e, 0.0) / self.liquid
        self.water_c += np.minimum(e + self.fusion, 0.0) / self.solid
        self.water_c += self.slush.freezing_c
        if len(self.slush):
            self.slush.settle(e, np.zeros_like(e), self.water_c)

    def _fills(self) -> dict[int, list[tuple[int, int]]]:
        """Hour -> items (vehicle, item) that got their water in the hour before it."""
        fills: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for v, job in enumerate(self.jobs):
            for i, filled_at in enumerate(job.network.filled_at):
                if filled_at is not None:
                    hour = -((job.air.start - filled_at) // timedelta(hours=1))
                    fills[hour].append((v, i))
        return fills

    def _refill(self, items: Sequence[tuple[int, int]]) -> None:
        """New water begins liquid, whatever the hours before it did."""
        for v, i in items:
            self.enthalpy[v, i] = (FILL_C - self.slush.freezing_c[v, i]) * self.liquid[v, i]
            if i == self.jobs[v].network.valve_item:
                self.tripped[v] = False
        self._temperatures_from_enthalpy()

    def _ice(self) -> Array:
        ice = np.clip(-self.enthalpy / self.fusion, 0.0, 1.0)
        if len(self.slush):
            ice[self.slush.vehicle, self.slush.item] = self.slush.ice(self.water_c, self.networks)
        return ice

    def _load_hour(self, hour: int) -> None:
        """Conductances of the hour: wind, and the shell of ice as it stands."""
        wind_g = 0.5 * (self.outside_g[:, :, hour] + self.outside_g[:, :, hour + 1])
        self.g = np.stack([self.cabin_g, self.locker_g, wind_g], axis=2)
        whole = self.g.sum(axis=2)[:, :, None]
        ice = self._ice()
        slow = 1.0 + self.flat * ice
        if self.has_ring:
            slow += self.ring * round_shell_growth(ice)
        hubs = np.stack([self.hubs_c[0], self.hubs_c[2], self.outside_c[hour]], axis=1)
        outward = self.g @ hubs < whole * self.water_c
        self.phi = np.where(outward, 1.0 / slow, 1.0)
        gone = np.flatnonzero(self.has_valve)
        self.phi[gone, self.valve_item[gone]] *= ~self.tripped[gone]
        self.whole_phi = whole * self.phi
        self.k = self.half_s * self.whole_phi
        self.by_liquid = 1.0 / (self.liquid + self.k)
        self.by_solid = 1.0 / (self.solid + self.k)
        self.to_hubs = np.ascontiguousarray(self.g[:, :, :2].transpose(0, 2, 1))
        self.hub_phi = self.to_hubs @ self.phi

    def _step(self, hour: int, part: int) -> None:
        share = part / STEPS_PER_HOUR
        after = (part + 1) / STEPS_PER_HOUR
        o0, o1 = self.outside_c[hour], self.outside_c[hour + 1]
        before_o = o0 + (o1 - o0) * share
        after_o = o0 + (o1 - o0) * after
        roof_k = self.roof_k[hour] + (self.roof_k[hour + 1] - self.roof_k[hour]) * (
            share + 0.5 / STEPS_PER_HOUR
        )
        # heat the items take up at the start of the step [W]
        hubs = np.stack([self.hubs_c[0], self.hubs_c[2], before_o], axis=1)
        give = self.g @ hubs
        give *= self.phi
        give -= self.whole_phi * self.water_c
        if self.has_heaters:
            give += 2.0 * self._heaters_w()
        self._settle_hubs(hour, before_o, after_o, roof_k)
        hubs = np.stack([self.hubs_c[0], self.hubs_c[2], after_o], axis=1)
        take = self.g @ hubs
        take *= self.phi
        take += give
        take *= self.half_s
        take += self.enthalpy
        take += self.k * -self.slush.freezing_c if len(self.slush) else 0.0
        new_c = np.maximum(take, 0.0)
        new_c *= self.by_liquid
        low = np.minimum(take + self.fusion, 0.0)
        low *= self.by_solid
        new_c += low
        if len(self.slush):
            take -= self.k * -self.slush.freezing_c
            new_c += self.slush.freezing_c
            self.slush.settle(take, self.k, new_c)
        self._give_back(new_c)
        self.water_c = new_c
        take -= self.k * new_c
        self.enthalpy = take

    def _heaters_w(self) -> Array:
        band = self.heater_off - self.heater_on
        share = np.clip((self.heater_off - self.water_c) / band, 0.0, 1.0)
        return np.asarray(self.heater_w * share * (self.phi > 0.0))

    def _settle_hubs(self, hour: int, before_o: Array, after_o: Array, roof_k: Array) -> None:
        """Trapezoidal step of cabin air, cabin mass and locker with the items held."""
        h = self.half_s
        air, mass, locker = self.hubs_c
        warmth = self.to_hubs @ (self.phi * self.water_c)
        cabin_phi, locker_phi = self.hub_phi[:, 0], self.hub_phi[:, 1]
        mass_c = self.mass_j + h * self.mass_ua
        mass_a = (self.mass_j * mass + h * self.mass_ua * (air - mass)) / mass_c
        mass_b = h * self.mass_ua / mass_c
        locker_c = self.locker_j + h * (self.locker_cabin + self.locker_outside + locker_phi)
        locker_w = self.locker_cabin * (air - locker) + self.locker_outside * (
            before_o + after_o - locker
        )
        locker_w += 2.0 * warmth[:, 1] - locker_phi * locker
        locker_a = (self.locker_j * locker + h * locker_w) / locker_c
        locker_b = h * self.locker_cabin / locker_c
        cabin_w = self.cabin_ua * (before_o + after_o + 0.4 * roof_k - air)
        cabin_w += self.mass_ua * (mass - air + mass_a) + self.locker_cabin * (
            locker - air + locker_a
        )
        cabin_w += 2.0 * warmth[:, 0] - cabin_phi * air
        right = self.cabin_j * air + h * cabin_w
        left = self.cabin_j + h * (
            self.cabin_ua
            + self.mass_ua * (1.0 - mass_b)
            + self.locker_cabin * (1.0 - locker_b)
            + cabin_phi
        )
        new_air = self._with_hold(hour, air, left, right) if self.has_hold else right / left
        self.hubs_c = np.stack([new_air, mass_a + mass_b * new_air, locker_a + locker_b * new_air])

    def _with_hold(self, hour: int, air: Array, left: Array, right: Array) -> Array:
        """Cabin air under a proportional thermostat, solved exactly."""
        band = self.hold_high - self.hold_low
        power = self.half_s * 0.5 * (self.hold_w[hour] + self.hold_w[hour + 1])
        right = right + power * np.clip((self.hold_high - air) / band, 0.0, 1.0)
        full = (right + power) / left
        off = right / left
        between = (right + power * self.hold_high / band) / (left + power / band)
        return np.where(full <= self.hold_low, full, np.where(off >= self.hold_high, off, between))

    def _give_back(self, new_c: Array) -> None:
        """Settle with cabin and locker what the items gave beyond what was reckoned."""
        more = self.to_hubs @ (self.phi * (new_c - self.water_c))
        more *= self.half_s
        self.hubs_c[0] += more[:, 0] / self.cabin_j
        self.hubs_c[2] += more[:, 1] / self.locker_j

    def _trip(self, hour: float, after_o: Array, before_air: Array, tripped_at: Array) -> bool:
        """Open the dump valves whose air fell below their mark in this step."""
        valve_air = (
            self.valve_shares[0] * self.hubs_c[0]
            + self.valve_shares[1] * self.hubs_c[2]
            + self.valve_shares[2] * after_o
        )
        opens = (valve_air < self.valve_opens) & ~self.tripped & self.has_valve[:, None]
        changed = bool(opens.any())
        if changed:
            fall = np.maximum(before_air - valve_air, 1e-9)
            share = np.clip((before_air - self.valve_opens) / fall, 0.0, 1.0)
            at = hour + share / STEPS_PER_HOUR
            tripped_at[opens] = at[opens]
            self.tripped |= opens
            rows = np.flatnonzero(self.has_valve)
            keep = ~self.tripped[rows]
            for array in (self.phi, self.whole_phi, self.k):
                array[rows, self.valve_item[rows]] *= keep
            self.by_liquid = 1.0 / (self.liquid + self.k)
            self.by_solid = 1.0 / (self.solid + self.k)
            self.hub_phi = self.to_hubs @ self.phi
        self.valve_air = valve_air
        return changed

    def run(self) -> list[Trajectory]:
        """Go through all hours; results count from now."""
        record = _Record(self)
        fills = self._fills()
        end: list[NodeState] | None = None
        o = self.outside_c[self.first]
        self.valve_air = (
            self.valve_shares[0] * self.hubs_c[0]
            + self.valve_shares[1] * self.hubs_c[2]
            + self.valve_shares[2] * o
        )
        any_valve = bool(self.has_valve.any())
        for hour in range(self.first, self.hours):
            if hour > self.first and hour in fills:
                self._refill(fills[hour])
            if hour == self.now:
                end = self._states()
            if hour >= self.now:
                record.hour(hour - self.now)
            if hour == self.hours - 1:
                break
            self._load_hour(hour)
            for part in range(STEPS_PER_HOUR):
                before = self.enthalpy
                self._step(hour, part)
                at_h = hour - self.now + part / STEPS_PER_HOUR
                if any_valve:
                    o0, o1 = self.outside_c[hour], self.outside_c[hour + 1]
                    after_o = o0 + (o1 - o0) * ((part + 1) / STEPS_PER_HOUR)
                    self._trip(at_h, after_o, self.valve_air, record.tripped_at)
                if hour >= self.now:
                    record.step(at_h, before)
        assert end is not None, "the air ends before now"
        return record.results(end)

    def _states(self) -> list[NodeState]:
        return [
            NodeState(
                at=job.air.start + timedelta(hours=self.now),
                signature=job.network.water_signature,
                enthalpy_j=self.enthalpy[v, : len(job.network.item_keys)].copy(),
                hubs_c=self.hubs_c[:, v].copy(),
                tripped=self.tripped[v].copy(),
            )
            for v, job in enumerate(self.jobs)
        ]


class _Record:
    """What is kept of a batch: hourly values and first passages, from now on."""

    def __init__(self, batch: _Batch) -> None:
        self.batch = batch
        vehicles, items, members = batch.enthalpy.shape
        length = batch.hours - batch.now
        self.water_c = np.empty((length, vehicles, items, members), np.float32)
        self.ice = np.empty((length, vehicles, items, members), np.float32)
        self.cabin_c = np.empty((length, vehicles, members), np.float32)
        self.locker_c = np.empty((length, vehicles, members), np.float32)
        shape = (vehicles, items, members)
        self.tripped_at = np.where(batch.tripped, -np.inf, np.inf)
        self.levels = self._levels()
        self.passed = [np.full(shape, np.inf) for _ in self.levels]
        self.full_levels = [np.broadcast_to(level, shape).reshape(-1) for level in self.levels]
        self.next_level = np.empty(shape)

    def _levels(self) -> list[Array]:
        """Enthalpies of first ice, harm and possible skin ice [J], each (V, I, 1)."""
        batch = self.batch
        ice = np.zeros_like(batch.fusion)
        harm = np.where(np.isfinite(batch.harm_fraction), -batch.harm_fraction, -1e9)
        harm_j = harm * batch.fusion
        for v, i in zip(batch.slush.vehicle, batch.slush.item, strict=True):
            network = batch.networks[v]
            body = make_body(
                float(network.water_kg[i]),
                float(network.dry_j_per_k[i]),
                float(network.glycol_mass_fraction[i]),
            )
            fraction = float(network.harm_fraction[i])
            harm_j[v, i] = body.enthalpy_j(0.0, fraction) if fraction < 1.0 else -1e15
        cool = (np.maximum(batch.cool_c, -50.0) - batch.slush.freezing_c) * batch.liquid
        cool = np.where(np.isfinite(batch.cool_c) & (cool > 0.0), cool, -1e15)
        return [ice, harm_j, cool]

    def hour(self, index: int) -> None:
        """Keep the values of a whole hour."""
        batch = self.batch
        self.water_c[index] = batch.water_c
        self.ice[index] = batch._ice()
        self.cabin_c[index] = batch.hubs_c[0]
        self.locker_c[index] = batch.hubs_c[2]
        gone = np.flatnonzero(batch.has_valve)
        items = batch.valve_item[gone]
        open_ = batch.tripped[gone]
        self.water_c[index][gone, items] = np.where(open_, np.nan, self.water_c[index][gone, items])
        self.ice[index][gone, items] = np.where(open_, 0.0, self.ice[index][gone, items])
        if index == 0:
            here = ~np.isnan(self.water_c[0])
            for level, passed in zip(self.levels, self.passed, strict=True):
                passed[(batch.enthalpy < level) & here] = 0.0
            self._look_ahead(np.arange(self.next_level.size))

    def step(self, at_h: float, before: Array) -> None:
        """Note what fell below a level during the step that began at ``at_h``."""
        after = self.batch.enthalpy
        fell = np.flatnonzero(after < self.next_level)
        if not fell.size:
            return
        start, stop = before.ravel()[fell], after.ravel()[fell]
        for level, passed in zip(self.full_levels, self.passed, strict=True):
            flat = passed.reshape(-1)
            goal = level[fell]
            crossed = (stop < goal) & (flat[fell] == np.inf)
            share = np.clip((start - goal) / np.maximum(start - stop, 1e-12), 0.0, 1.0)
            where = fell[crossed]
            flat[where] = at_h + share[crossed] / STEPS_PER_HOUR
        self._look_ahead(fell)

    def _look_ahead(self, where: NDArray[np.intp]) -> None:
        """For these nodes, the highest level that has not been passed yet."""
        ahead = [
            np.where(passed.reshape(-1)[where] == np.inf, level[where], -np.inf)
            for level, passed in zip(self.full_levels, self.passed, strict=True)
        ]
        self.next_level.reshape(-1)[where] = np.maximum.reduce(ahead)

    def results(self, end: Sequence[NodeState]) -> list[Trajectory]:
        """One trajectory for each vehicle of the batch."""
        found = []
        for v, job in enumerate(self.batch.jobs):
            count = len(job.network.item_keys)
            ice_at, harm_at, cool_at = (passed[v, :count] for passed in self.passed)
            found.append(
                Trajectory(
                    start=end[v].at,
                    item_keys=job.network.item_keys,
                    water_c=self.water_c[:, v, :count].transpose(1, 2, 0),
                    ice_fraction=self.ice[:, v, :count].transpose(1, 2, 0),
                    ice_at_h=ice_at,
                    harm_at_h=harm_at,
                    cool_at_h=cool_at,
                    tripped_at_h=self.tripped_at[v],
                    cabin_c=self.cabin_c[:, v].T,
                    locker_c=self.locker_c[:, v].T,
                    end=end[v],
                )
            )
        return found
