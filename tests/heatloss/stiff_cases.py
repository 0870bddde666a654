"""Estimate cases integrated by scipy: a second implementation that shares nothing with the first.

Written from the description of a case alone: temperatures and ice are functions of enthalpy, a mix
follows f = 1 - w0 / w_liquid(T) with the liquidus of CoolProp, ice resists outward heat.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from tests.heatloss.properties import of_coolprop

Array = NDArray[np.float64]

WATER, ICE, FUSION, K_ICE = 4200.0, 2050.0, 333_500.0, 2.2
LEVELS = (0.0, 0.1, 0.5)


@cache
def _liquidus() -> tuple[Array, Array]:
    shares = np.concatenate([[0.0], np.linspace(0.01, 0.6, 119)])
    points = [
        of_coolprop("T_freeze", "T", 300, "P", 101_325, f"INCOMP::MPG[{w}]") - 273.15
        for w in shares[1:]
    ]
    return shares, np.array([0.0, *points])


@dataclass
class Node:
    """One body as it stands: enthalpy above liquid at the freezing point over its dry capacity."""

    spec: dict[str, Any]
    litres: float
    is_open: bool = False
    heater: Array = field(default_factory=lambda: np.zeros(1))

    def __post_init__(self) -> None:
        self.dry = float(self.spec.get("dry_capacity_j_per_k", 0.0))
        self.mix = float(self.spec.get("propylene_glycol_mass_fraction", 0.0))
        self.freezing = float(np.interp(self.mix, *_liquidus())) if self.mix else 0.0
        self.fill(self.litres)

    def fill(self, litres: float) -> None:
        self.litres = litres
        self.liquid = litres * WATER + self.dry
        self.solid = litres * ICE + self.dry
        self.fusion = litres * FUSION
        self.is_there = self.liquid > 0.0
        if self.mix and litres:
            falls = self.freezing - np.geomspace(1e-6, self.freezing + 49.9, 4000)
            shares, points_c = _liquidus()
            liquid = np.interp(-falls, -points_c, shares)
            self.depth_ice = 1.0 - self.mix / np.maximum(liquid, self.mix)
            self.depth_c = falls
            self.depth = self.liquid * (self.freezing - falls) + self.fusion * self.depth_ice

    def state(self, e: float) -> tuple[float, float]:
        """Temperature [degC] and ice fraction."""
        if e >= 0.0 or not self.litres:
            return self.freezing * bool(self.litres) + e / (self.liquid or 1.0), 0.0
        if self.mix:
            return (
                float(np.interp(-e, self.depth, self.depth_c)),
                float(np.interp(-e, self.depth, self.depth_ice)),
            )
        return min(e + self.fusion, 0.0) / self.solid, min(1.0, -e / self.fusion)

    def enthalpy(self, celsius: float, ice: float) -> float:
        if not self.litres or ice <= 0.0:
            return (celsius - self.freezing * bool(self.litres)) * self.liquid
        if self.mix:
            return -float(np.interp(ice, self.depth_ice, self.depth))
        return -self.fusion + celsius * self.solid if ice >= 1.0 else -ice * self.fusion


class StiffCase:
    """A case on its way; ``run`` gives hourly values and passage times."""

    def __init__(self, case: dict[str, Any], method: str = "Radau") -> None:
        self.case, self.method = case, method
        self.airs = {n: np.array(a["temperature_c"], float) for n, a in case["airs"].items()}
        self.hours = len(next(iter(self.airs.values()))) - 1
        self.nodes = [Node(body, float(body["water_l"])) for body in case["bodies"]]
        self.names = [body["name"] for body in case["bodies"]]
        for node in self.nodes:
            heat = node.spec.get("heater_w", 0.0)
            node.heater = np.array(heat if isinstance(heat, list) else [heat] * (self.hours + 1))
        self.e = np.array(
            [
                n.enthalpy(n.spec["start_c"], n.spec.get("start_ice_fraction", 0.0))
                for n in self.nodes
            ]
        )
        self.sensors = case.get("sensors", [])
        self.is_open = [False] * len(self.sensors)
        self.opened: list[float | None] = [None] * len(self.sensors)
        self.passed: list[list[float | None]] = [[None] * 3 for _ in self.nodes]

    def sensed(self, name: str, h: float, e: Array) -> float:
        if name in self.airs:
            return float(np.interp(h, np.arange(self.hours + 1), self.airs[name]))
        n = self.names.index(name)
        return self.nodes[n].state(float(e[n]))[0]

    def rates(self, h: float, e: Array) -> Array:
        """Heat into every body [J/h]."""
        states = [node.state(float(value)) for node, value in zip(self.nodes, e, strict=True)]
        flow = np.zeros(len(e))
        for n, node in enumerate(self.nodes):
            if not node.is_there:
                continue
            for loss in node.spec["losses"]:
                self._loss(n, loss, h, states, flow)
            power = float(np.interp(h, np.arange(self.hours + 1), node.heater))
            thermostat = node.spec.get("thermostat")
            if thermostat:
                low, high = thermostat["full_below_c"], thermostat["off_above_c"]
                sensed = self.sensed(thermostat["senses"], h, e)
                power *= min(max((high - sensed) / (high - low), 0.0), 1.0)
            flow[n] += power
        return 3600.0 * flow

    def _loss(
        self, n: int, loss: dict[str, Any], h: float, states: list[tuple[float, float]], flow: Array
    ) -> None:
        node, (celsius, ice) = self.nodes[n], states[n]
        other = self.names.index(loss["to"]) if loss["to"] in self.names else -1
        if other >= 0 and not self.nodes[other].is_there:
            return
        far = states[other][0] if other >= 0 else self.sensed(loss["to"], h, np.zeros(0))
        resistance = self._resistance(node, loss, ice if celsius > far else 0.0)
        given = (celsius - far) / resistance
        flow[n] -= given
        if other >= 0:
            flow[other] += given

    @staticmethod
    def _resistance(node: Node, loss: dict[str, Any], ice: float) -> float:
        shape = loss.get("shape")
        if shape == "flat":
            area, u = loss["area_m2"], loss["u_w_per_m2_k"]
            faces = [x for x in node.spec["losses"] if x.get("shape") == "flat"]
            whole = sum(x["area_m2"] * x["u_w_per_m2_k"] for x in faces)
            thick = ice * node.litres / 1000.0 * u / whole
            return float(1.0 / (area * u) + thick / (K_ICE * area))
        if shape == "round":
            long, radius = loss["length_m"], loss["radius_m"]
            wall = 1.0 / (2 * np.pi * radius * long * loss["u_w_per_m2_k"])
            growth = np.log(1.0 / np.sqrt(1.0 - min(ice, 0.99)))
            return float(wall + growth / (2 * np.pi * K_ICE * long))
        return 1.0 / float(loss["ua_w_per_k"])

    def run(self) -> "StiffCase":
        count = len(self.nodes)
        self.temperature_c = np.full((count, self.hours + 1), np.nan)
        self.ice = np.zeros((count, self.hours + 1))
        self._pass_now(0.0)
        self._open_cold(0.0)
        for hour in range(self.hours + 1):
            for event in self.case.get("events", []):
                if event["at_h"] == hour:
                    self._event(event, hour)
            self._pass_now(float(hour))
            for n, node in enumerate(self.nodes):
                if node.is_there:
                    self.temperature_c[n, hour], self.ice[n, hour] = node.state(float(self.e[n]))
            if hour < self.hours:
                self._hour(float(hour))
        return self

    def _event(self, event: dict[str, Any], hour: int) -> None:
        if event.get("close"):
            number = [s["name"] for s in self.sensors].index(event["sensor"])
            sensor = self.sensors[number]
            if self.sensed(sensor["senses"], hour, self.e) > sensor["closable_above_c"]:
                self.is_open[number] = False
                self.nodes[self.names.index(sensor["drains"])].is_open = False
        else:
            n = self.names.index(event["body"])
            node = self.nodes[n]
            if "set_water_l" in event:
                celsius, ice = node.state(float(self.e[n]))
                if "set_temperature_c" in event:
                    celsius, ice = event["set_temperature_c"], 0.0
                node.fill(0.0 if node.is_open else event["set_water_l"])
                self.e[n] = node.enthalpy(celsius, ice)
            if "set_heater_w" in event:
                node.heater = node.heater.copy()
                node.heater[hour:] = event["set_heater_w"]
        self._open_cold(float(hour))

    def _open_cold(self, h: float) -> None:
        for number, sensor in enumerate(self.sensors):
            if self.sensed(sensor["senses"], h, self.e) < sensor["opens_below_c"]:
                self._open(number, h)

    def _open(self, number: int, h: float) -> None:
        if self.is_open[number]:
            return
        self.is_open[number] = True
        self.opened[number] = h if self.opened[number] is None else self.opened[number]
        n = self.names.index(self.sensors[number]["drains"])
        node = self.nodes[n]
        celsius, _ = node.state(float(self.e[n]))
        node.is_open = True
        node.fill(0.0)
        self.e[n] = node.enthalpy(celsius, 0.0)

    def _pass_now(self, h: float) -> None:
        for n, node in enumerate(self.nodes):
            ice = node.state(float(self.e[n]))[1]
            for k, level in enumerate(LEVELS):
                if self.passed[n][k] is None and ice > 0.0 and ice >= level:
                    self.passed[n][k] = h

    def _watch(self, number: int) -> Callable[[float, Array], float]:
        sensor, capacity = self.sensors[number], self.capacity

        def margin(h: float, y: Array) -> float:
            sensed = self.sensed(sensor["senses"], h, y * capacity)
            return float(sensed - sensor["opens_below_c"])

        margin.terminal, margin.direction = True, -1  # type: ignore[attr-defined]
        return margin

    def _hour(self, hour: float) -> None:
        at = hour
        while at < hour + 1.0:
            self.capacity = np.array([node.liquid or 1.0 for node in self.nodes])
            closed = [k for k in range(len(self.sensors)) if not self.is_open[k]]
            done = solve_ivp(
                lambda h, y: self.rates(h, y * self.capacity) / self.capacity,
                (at, hour + 1.0),
                self.e / self.capacity,
                method=self.method,
                rtol=1e-7,
                atol=1e-6,
                max_step=0.1,
                dense_output=True,
                events=[self._watch(k) for k in closed] or None,
            )
            self._note(done)
            at, self.e = float(done.t[-1]), done.y[:, -1] * self.capacity
            if done.status == 1:
                fired = next(
                    k for k, times in zip(closed, done.t_events, strict=True) if len(times)
                )
                self._open(fired, at)

    def _note(self, done: Any) -> None:
        for n, node in enumerate(self.nodes):
            for k, level in enumerate(LEVELS):
                if self.passed[n][k] is not None or not node.litres:
                    continue
                goal = node.enthalpy(0.0, level) / self.capacity[n] if level else 0.0
                below = np.flatnonzero(done.y[n] < goal)
                if below.size:
                    self.passed[n][k] = _crossing(done, n, int(below[0]), goal)


def _crossing(done: Any, n: int, step: int, goal: float) -> float:
    low, high = float(done.t[max(step - 1, 0)]), float(done.t[step])
    while high - low > 1e-6:
        middle = 0.5 * (low + high)
        if done.sol(middle)[n] < goal:
            high = middle
        else:
            low = middle
    return high
