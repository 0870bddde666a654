"""One vehicle integrated by scipy's stiff solvers: an independent answer for the fleet solver.

Everything is written down again from the description of the model: enthalpies, cabin, mass and
locker, the ice that slows outward heat, heaters, the heated hold, the dump valve. Only the numbers
of the vehicle (conductances, capacities) come from the ``Network``.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from frostwatch.heatloss.network import Network

Array = NDArray[np.float64]

WATER, ICE, FUSION = 4200.0, 2050.0, 333_500.0
ROOF_SHARE = 0.2


@dataclass
class Course:
    """Values at whole hours and first passages [h] of one vehicle in one air."""

    water_c: Array
    ice_fraction: Array
    cabin_c: Array
    locker_c: Array
    ice_at_h: Array
    harm_at_h: Array
    tripped_at_h: float = np.inf


@dataclass
class Vehicle:
    """Right-hand side of one vehicle; the state is cabin, mass, locker [degC], enthalpies [J]."""

    net: Network
    air_c: Array
    roof_k: Array
    is_open: bool = False
    scale: Array = field(init=False)

    def __post_init__(self) -> None:
        net = self.net
        self.liquid = net.water_kg * WATER + net.dry_j_per_k
        self.solid = net.water_kg * ICE + net.dry_j_per_k
        self.fusion = net.water_kg * FUSION
        self.scale = np.concatenate([np.ones(3), self.liquid])

    def water(self, e: Array) -> tuple[Array, Array]:
        temperature = np.where(e > 0, e / self.liquid, np.minimum(e + self.fusion, 0) / self.solid)
        return temperature, np.clip(-e / self.fusion, 0.0, 1.0)

    def rates(self, hour: int, h: float, y: Array) -> Array:
        """Change per second at ``h`` hours, within the hour that begins at ``hour``."""
        net, part = self.net, h - hour
        cabin, mass, locker = y[:3]
        temperature, ice = self.water(y[3:] * self.liquid)

        def now(series: Array) -> Array:
            low, high = series[..., hour], series[..., hour + 1]
            return np.asarray(low + (high - low) * part)

        outside, roof = now(self.air_c), now(self.roof_k)
        # wind counts as its mean over each hour
        windy = 0.5 * (net.outside_w_per_k[:, hour] + net.outside_w_per_k[:, hour + 1])
        ways = np.stack([net.cabin_w_per_k, net.locker_w_per_k, windy])
        airs = np.array([cabin, locker, float(outside)])
        around = airs @ ways / np.maximum(ways.sum(axis=0), 1e-12)
        ring = -0.5 * np.log1p(-np.minimum(ice, 0.99))
        slow = 1 + net.flat_shell * ice + net.round_shell * ring
        ways = ways / np.where(around < temperature, slow, 1.0)
        if self.is_open:
            ways[:, net.valve_item] = 0.0
        flow = ways * (airs[:, None] - temperature)
        heat = net.heater_w * np.clip(
            (net.heater_off_c - temperature) / (net.heater_off_c - net.heater_on_c), 0, 1
        )
        ua, air_j, mass_j, to_mass, locker_j, locker_cabin, locker_outside = net.shell
        low, high = net.hold_c
        # as does the heat of a hold
        held = 0.5 * float(net.hold_w[hour] + net.hold_w[hour + 1])
        held *= min(max((high - cabin) / (high - low), 0.0), 1.0)
        out = np.empty_like(y)
        out[0] = ua * (outside + ROOF_SHARE * roof - cabin) + to_mass * (mass - cabin)
        out[0] += locker_cabin * (locker - cabin) - flow[0].sum() + held
        out[0] /= air_j
        out[1] = to_mass * (cabin - mass) / mass_j
        out[2] = locker_cabin * (cabin - locker) + locker_outside * (outside - locker)
        out[2] = (out[2] - flow[1].sum()) / locker_j
        out[3:] = (flow.sum(axis=0) + heat) / self.liquid
        return out

    def valve_margin(self, h: float, y: Array) -> float:
        outside = np.interp(h, np.arange(len(self.air_c)), self.air_c)
        felt = np.array([y[0], y[2], outside]) @ self.net.valve_shares
        return float(felt - self.net.valve_opens_c)


def integrate(
    net: Network,
    air_c: Array,
    roof_k: Array,
    start_c: Array,
    enthalpy_j: Array,
    *,
    method: str = "LSODA",
    is_open: bool = False,
) -> Course:
    """Follow one vehicle through ``air_c``, shape (H + 1,), from the hubs and enthalpies given."""
    car = Vehicle(net, air_c, roof_k, is_open)
    hours, count = len(air_c) - 1, len(net.item_keys)
    y = np.concatenate([start_c, enthalpy_j / car.liquid])
    rows = np.empty((hours + 1, y.size))
    rows[0] = y
    ice_at, harm_at = np.full(count, np.inf), np.full(count, np.inf)
    course_gone = np.zeros(hours + 1, bool)
    course_gone[0] = is_open
    tripped_at = np.inf

    def valve_opens(h: float, y: Array) -> float:
        return car.valve_margin(h, y)

    valve_opens.terminal, valve_opens.direction = True, -1  # type: ignore[attr-defined]
    for hour in range(hours):
        at = float(hour)
        while at < hour + 1:
            armed = net.valve_item >= 0 and not car.is_open
            if armed and car.valve_margin(at, y) < 0.0:
                car.is_open, tripped_at, armed = True, at, False
            done = solve_ivp(
                lambda h, y, hour=hour: 3600.0 * car.rates(hour, h, y),
                (at, hour + 1.0),
                y,
                method=method,
                rtol=1e-8,
                atol=1e-7,
                dense_output=True,
                max_step=0.1,
                events=valve_opens if armed else None,
            )
            y, at = done.y[:, -1], float(done.t[-1])
            for level, found in ((np.zeros(count), ice_at), (net.harm_fraction, harm_at)):
                _passages(car, done, level, found)
            if done.status == 1:
                car.is_open, tripped_at = True, at
        rows[hour + 1], course_gone[hour + 1] = y, car.is_open
    water = [car.water(row[3:] * car.liquid) for row in rows]
    water_c, ice = np.array([w for w, _ in water]).T, np.array([f for _, f in water]).T
    if net.valve_item >= 0:
        water_c[net.valve_item, course_gone], ice[net.valve_item, course_gone] = np.nan, 0.0
    return Course(water_c, ice, rows[:, 0], rows[:, 2], ice_at, harm_at, tripped_at)


def _passages(car: Vehicle, done: object, level: Array, found: Array) -> None:
    """First times at which the ice reaches ``level``, by bisection in the dense output."""
    times, values, dense = done.t, done.y, done.sol  # type: ignore[attr-defined]
    goal = np.where(level < 1.0, -level * car.fusion / car.liquid, -np.inf)
    for item in np.flatnonzero(np.isinf(found)):
        if car.is_open and item == car.net.valve_item:
            continue
        below = np.flatnonzero(values[3 + item] < goal[item])
        if not below.size:
            continue
        n = int(below[0])
        low, high = (times[n - 1], times[n]) if n else (times[0], times[0])
        while high - low > 1e-6:
            middle = 0.5 * (low + high)
            if dense(middle)[3 + item] < goal[item]:
                high = middle
            else:
                low = middle
        found[item] = high
