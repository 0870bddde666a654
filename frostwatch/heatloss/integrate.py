"""Step one case through its hours with error control: the accurate, not the fast, way.

A Rosenbrock method of order three with an embedded second-order result (RODAS3, Sandu, Verwer,
Blom, Spee, Carmichael & Potra 1997, Atmospheric Environment 31, 3459): L-stable, so that a light
body costs no small steps once it has settled, and without Newton iterations, which would stumble
over the corners of the enthalpy curve. Steps end at every hour, at every event and at the moment a
valve opens. Passage times are roots of the cubic that fits both ends of a step.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.case import Case, CaseBody, Event, Sensor, Thermostat
from frostwatch.heatloss.water import (
    FUSION_J_PER_KG,
    ICE_W_PER_M_K,
    Body,
    make_body,
    round_shell_growth,
    round_shell_slope,
)

Array = NDArray[np.float64]

_HOUR_S = 3600.0
_LONGEST_STEP_S = 900.0
_SHORTEST_STEP_S = 1e-3
_TOLERANCE_K = 2e-5
_TOLERANCE_ICE = 2e-7
_GAMMA = 0.5
_LEVELS = {"onset_h": 0.0, "ice_10_percent_h": 0.1, "ice_50_percent_h": 0.5}


@dataclass(frozen=True, slots=True, eq=False)
class CaseRun:
    """The answer to a case.

    Attributes:
        temperature_c: shape (N, H + 1) [degC]; NaN while a body is removed.
        ice_fraction: shape (N, H + 1).
        passages_h: for each level name, N first times [h], None if never.
        opened_at_h: for each sensor, its first opening [h], None if never.
    """

    temperature_c: Array
    ice_fraction: Array
    passages_h: dict[str, list[float | None]]
    opened_at_h: list[float | None]


@dataclass(slots=True)
class _Live:
    """A body as it stands now: its mass may change by events and valves."""

    spec: CaseBody
    body: Body
    enthalpy_j: float
    last_c: float
    last_ice: float
    heater_w: Array
    removed: bool = False
    open_valves: set[str] = field(default_factory=set)


class _Network:
    """Bodies, links and heaters of one case, and the heat flows between them."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.live = [_start(body) for body in case.bodies]
        self.index = {body.name: n for n, body in enumerate(case.bodies)}
        links = [(n, loss) for n, body in enumerate(case.bodies) for loss in body.losses]
        self.source = np.array([n for n, _ in links], int)
        self.target = np.array([self.index.get(loss.to, -1) for _, loss in links], int)
        self.air_names = [loss.to if loss.to in case.airs else "" for _, loss in links]
        self.losses = [loss for _, loss in links]
        self.hour = 0
        self.refresh()

    def refresh(self) -> None:
        """Take over what changed: masses, removed bodies, heaters."""
        live = self.live
        count = len(live)
        self.enthalpy_j = np.array([item.enthalpy_j for item in live])
        self.present = np.array([not item.removed for item in live])
        there = self.present[self.source] if self.source.size else np.zeros(0, bool)
        other = np.where(self.target >= 0, self.present[self.target], True)
        ua = np.array([loss.ua_w_per_k for loss in self.losses], float).reshape(-1)
        self.ua = np.where(there & other, ua, 0.0)
        self.resistance = 1.0 / np.maximum(self.ua, 1e-12)
        self.shell = np.array([self._shell(n) for n in range(len(self.losses))]).reshape(-1)
        self.is_round = np.array([loss.length_m > 0.0 for loss in self.losses], bool).reshape(-1)
        self.gain = np.zeros((count, len(self.losses)))
        links = np.arange(len(self.losses))
        self.gain[self.source, links] = 1.0
        inner = self.target >= 0
        self.gain[self.target[inner], links[inner]] -= 1.0
        self.scale_j = np.array([_tolerance_j(item) for item in live])
        self.load_hour(self.hour)

    def _shell(self, link: int) -> float:
        """Ice resistance of a link per unit of growth [K/W]."""
        loss = self.losses[link]
        item = self.live[self.source[link]]
        if loss.length_m > 0.0:
            return 1.0 / (2.0 * np.pi * ICE_W_PER_M_K * loss.length_m)
        if loss.area_m2 <= 0.0:
            return 0.0
        whole = sum(other.area_m2 * other.u_w_per_m2_k for other in item.spec.losses)
        depth_m = item.body.water_kg / 1000.0 * loss.u_w_per_m2_k / whole if whole > 0.0 else 0.0
        return depth_m / (ICE_W_PER_M_K * loss.area_m2)

    def load_hour(self, hour: int) -> None:
        """Straight lines of airs and heaters for the hour that begins at ``hour``."""
        self.hour = hour
        after = min(hour + 1, self.case.hours)
        airs = self.case.airs
        self.link_c = np.array([airs[a][hour] if a else 0.0 for a in self.air_names])
        rise = [airs[a][after] - airs[a][hour] if a else 0.0 for a in self.air_names]
        self.link_k_per_s = np.array(rise) / _HOUR_S
        heat = [(item.heater_w[hour], item.heater_w[after]) for item in self.live]
        on = self.present
        self.heat_w = np.array([first for first, _ in heat]) * on
        self.heat_w_per_s = np.array([last - first for first, last in heat]) * on / _HOUR_S

    def sensed_c(self, name: str, temperature_c: Array, second: float) -> float | None:
        """Temperature of an air or a body [degC]; None if the body is removed."""
        if name in self.case.airs:
            series = self.case.airs[name]
            after = min(self.hour + 1, self.case.hours)
            step = (series[after] - series[self.hour]) * second / _HOUR_S
            return float(series[self.hour] + step)
        n = self.index[name]
        return float(temperature_c[n]) if self.present[n] else None

    def temperatures_c(self, enthalpy_j: Array) -> Array:
        """Temperature of every body [degC]."""
        pairs = zip(self.live, enthalpy_j.tolist(), strict=True)
        return np.array([item.body.temperature_c(e) for item, e in pairs])

    def _parts(self, enthalpy_j: Array, second: float) -> tuple[Array, Array, Array, Array]:
        """Temperatures, ice, link differences [K] and link conductances [W/K] at one moment."""
        temperature_c = self.temperatures_c(enthalpy_j)
        ice = np.array(
            [i.body.ice_fraction(e) for i, e in zip(self.live, enthalpy_j.tolist(), strict=True)]
        )
        air_c = self.link_c + self.link_k_per_s * second
        far_c = np.where(self.target >= 0, temperature_c[self.target], air_c)
        difference_k = far_c - temperature_c[self.source]
        own_ice = ice[self.source]
        growth = np.where(self.is_round, round_shell_growth(own_ice), own_ice)
        outward = difference_k < 0.0
        conductance = 1.0 / (self.resistance + np.where(outward, self.shell * growth, 0.0))
        return temperature_c, ice, difference_k, np.where(self.ua > 0.0, conductance, 0.0)

    def flow_w(self, enthalpy_j: Array, second: float) -> Array:
        """Net heat into every body [W]."""
        temperature_c, _, difference_k, conductance = self._parts(enthalpy_j, second)
        flow = self.gain @ (conductance * difference_k) if self.source.size else 0.0
        heat_w = self.heat_w + self.heat_w_per_s * second
        return np.asarray(flow + heat_w * self._shares(temperature_c, second))

    def _shares(self, temperature_c: Array, second: float) -> Array:
        return np.array(
            [self._share(item.spec.thermostat, temperature_c, second) for item in self.live]
        )

    def _share(self, thermostat: Thermostat | None, temperature_c: Array, second: float) -> float:
        if thermostat is None:
            return 1.0
        sensed_c = self.sensed_c(thermostat.senses, temperature_c, second)
        if sensed_c is None:
            return 0.0
        band_k = thermostat.off_above_c - thermostat.full_below_c
        return min(max((thermostat.off_above_c - sensed_c) / band_k, 0.0), 1.0)

    def linearise(self, enthalpy_j: Array, second: float) -> tuple[Array, Array]:
        """Jacobian of the flows [1/s] and their own change with time [W/s]."""
        temperature_c, ice, difference_k, conductance = self._parts(enthalpy_j, second)
        values = enthalpy_j.tolist()
        slope = np.array([i.body.slope_k_per_j(e) for i, e in zip(self.live, values, strict=True)])
        melt = np.array([i.body.ice_slope_per_j(e) for i, e in zip(self.live, values, strict=True)])
        count = len(values)
        jacobian = np.zeros((count, count))
        drift = np.zeros(count)
        if self.source.size:
            own_ice = ice[self.source]
            growth_slope = np.where(self.is_round, round_shell_slope(own_ice), 1.0)
            outward = np.where(difference_k < 0.0, self.shell * growth_slope, 0.0)
            by_own = -conductance * slope[self.source]
            by_own -= difference_k * conductance**2 * outward * melt[self.source]
            flows = np.zeros((len(self.source), count))
            links = np.arange(len(self.source))
            flows[links, self.source] = by_own
            inner = self.target >= 0
            flows[links[inner], self.target[inner]] += (
                conductance[inner] * slope[self.target[inner]]
            )
            jacobian = self.gain @ flows
            drift = self.gain @ (conductance * self.link_k_per_s * ~inner)
        self._add_heaters(jacobian, drift, temperature_c, slope, second)
        return jacobian, drift

    def _add_heaters(
        self, jacobian: Array, drift: Array, temperature_c: Array, slope: Array, second: float
    ) -> None:
        shares = self._shares(temperature_c, second)
        drift += self.heat_w_per_s * shares
        for n, item in enumerate(self.live):
            thermostat = item.spec.thermostat
            if thermostat is None or not 0.0 < shares[n] < 1.0:
                continue
            power_w = self.heat_w[n] + self.heat_w_per_s[n] * second
            per_k = power_w / (thermostat.off_above_c - thermostat.full_below_c)
            sensed = self.index.get(thermostat.senses)
            if sensed is not None:
                jacobian[n, sensed] -= per_k * slope[sensed]
            else:
                air = self.case.airs[thermostat.senses]
                after = min(self.hour + 1, self.case.hours)
                drift[n] -= per_k * (air[after] - air[self.hour]) / _HOUR_S


def _start(spec: CaseBody) -> _Live:
    body = make_body(spec.water_l, spec.dry_j_per_k, spec.glycol_mass_fraction)
    enthalpy_j = body.enthalpy_j(spec.start_c, spec.start_ice_fraction)
    live = _Live(
        spec=spec,
        body=body,
        enthalpy_j=enthalpy_j,
        last_c=spec.start_c,
        last_ice=spec.start_ice_fraction,
        heater_w=spec.heater_w,
    )
    live.removed = body.liquid_j_per_k <= 0.0
    return live


def _tolerance_j(item: _Live) -> float:
    """Error allowed in one step [J]: a temperature and an ice fraction too small to matter."""
    body = item.body
    if item.removed:
        return 1.0
    return max(min(body.liquid_j_per_k, body.solid_j_per_k) * _TOLERANCE_K, 1e-9) + (
        body.water_kg * FUSION_J_PER_KG * _TOLERANCE_ICE
    )


def _refill(item: _Live, water_l: float, water_c: float | None) -> None:
    """Change the water of a body; its temperature and ice stay unless a temperature is given."""
    if not item.removed:
        item.last_c = item.body.temperature_c(item.enthalpy_j)
        item.last_ice = item.body.ice_fraction(item.enthalpy_j)
    held_l = 0.0 if item.open_valves else water_l
    item.body = make_body(held_l, item.spec.dry_j_per_k, item.spec.glycol_mass_fraction)
    item.removed = item.body.liquid_j_per_k <= 0.0
    if water_c is not None:
        item.last_c, item.last_ice = water_c, 0.0
    if item.removed:
        item.enthalpy_j = 0.0
        return
    ice = item.last_ice if held_l > 0.0 else 0.0
    item.enthalpy_j = item.body.enthalpy_j(item.last_c, ice)


class _Run:
    """One integration in progress."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.net = _Network(case)
        count, length = len(case.bodies), case.hours + 1
        self.temperature_c = np.full((count, length), np.nan)
        self.ice_fraction = np.zeros((count, length))
        self.passages: dict[str, list[float | None]] = {name: [None] * count for name in _LEVELS}
        self.opened: list[float | None] = [None] * len(case.sensors)
        self.is_open = [False] * len(case.sensors)
        self.step_s = 60.0

    def run(self) -> CaseRun:
        """Go through all hours."""
        self._open_what_is_cold(0.0)
        for hour in range(self.case.hours + 1):
            self.net.load_hour(hour)
            self._apply_events(hour)
            self._record(hour)
            if hour < self.case.hours:
                self._through_hour(hour)
        return CaseRun(self.temperature_c, self.ice_fraction, self.passages, self.opened)

    def _apply_events(self, hour: int) -> None:
        due = [event for event in self.case.events if event.at_h == hour]
        for event in due:
            self._apply(event, hour)
        if due:
            self.net.refresh()
            self._open_what_is_cold(float(hour))
            self.step_s = min(self.step_s, 10.0)
        self._mark_levels(float(hour))

    def _apply(self, event: Event, hour: int) -> None:
        if event.close:
            self._try_to_close(event.close)
            return
        item = self.net.live[self.net.index[event.body]]
        if event.set_water_l is not None:
            _refill(item, event.set_water_l, event.set_temperature_c)
        if event.set_heater_w is not None:
            item.heater_w = item.heater_w.copy()
            item.heater_w[hour:] = event.set_heater_w
        self.net.refresh()

    def _try_to_close(self, name: str) -> None:
        number = [sensor.name for sensor in self.case.sensors].index(name)
        sensor = self.case.sensors[number]
        sensed_c = self._sensed_c(sensor, self.net.enthalpy_j, 0.0)
        if self.is_open[number] and sensed_c is not None and sensed_c > sensor.closable_above_c:
            self.is_open[number] = False
            self.net.live[self.net.index[sensor.drains]].open_valves.discard(name)

    def _sensed_c(self, sensor: Sensor, enthalpy_j: Array, second: float) -> float | None:
        return self.net.sensed_c(sensor.senses, self.net.temperatures_c(enthalpy_j), second)

    def _open_what_is_cold(self, hour: float) -> None:
        second = (hour - self.net.hour) * _HOUR_S
        for number, sensor in enumerate(self.case.sensors):
            sensed_c = self._sensed_c(sensor, self.net.enthalpy_j, second)
            if sensed_c is not None and sensed_c < sensor.opens_below_c:
                self._open(number, hour)

    def _open(self, number: int, hour: float) -> None:
        if self.is_open[number]:
            return
        sensor = self.case.sensors[number]
        self.is_open[number] = True
        if self.opened[number] is None:
            self.opened[number] = hour
        item = self.net.live[self.net.index[sensor.drains]]
        item.open_valves.add(sensor.name)
        _refill(item, 0.0, None)
        self.net.refresh()

    def _record(self, hour: int) -> None:
        for n, item in enumerate(self.net.live):
            if item.removed:
                continue
            self.temperature_c[n, hour] = item.body.temperature_c(item.enthalpy_j)
            self.ice_fraction[n, hour] = item.body.ice_fraction(item.enthalpy_j)

    def _mark_levels(self, hour: float) -> None:
        """Note the levels that are already met at this moment."""
        for name, level in _LEVELS.items():
            for n, item in enumerate(self.net.live):
                ice = 0.0 if item.removed else item.body.ice_fraction(item.enthalpy_j)
                if self.passages[name][n] is None and ice > 0.0 and ice >= level - 1e-12:
                    self.passages[name][n] = hour

    def _through_hour(self, hour: int) -> None:
        second = 0.0
        while second < _HOUR_S:
            end = self._one_step(hour, second)
            second = _HOUR_S if end >= _HOUR_S - 1e-6 else end

    def _one_step(self, hour: int, second: float) -> float:
        """Make one accepted step; returns the second of the hour at which it ends."""
        net = self.net
        before = net.enthalpy_j
        flow = net.flow_w(before, second)
        jacobian, drift = net.linearise(before, second)
        while True:
            step = min(self.step_s, _LONGEST_STEP_S, _HOUR_S - second)
            after, error_j = _rosenbrock(net, before, flow, jacobian, drift, second, step)
            error = float(np.max(np.abs(error_j) / net.scale_j)) if error_j.size else 0.0
            if error <= 1.0 or step <= _SHORTEST_STEP_S:
                break
            self.step_s = max(step * max(0.2, 0.8 * error ** (-1 / 3)), _SHORTEST_STEP_S)
        self.step_s = max(step * min(4.0, 0.8 * max(error, 1e-6) ** (-1 / 3)), _SHORTEST_STEP_S)
        cubic = _Cubic(before, after, flow, net.flow_w(after, second + step), step)
        opens = self._first_opening(cubic, second)
        if opens is not None:
            step = opens[1]
            after = cubic.at(step)
        self._note_passages(cubic, hour + second / _HOUR_S, step)
        net.enthalpy_j = after
        for item, enthalpy_j in zip(net.live, after.tolist(), strict=True):
            item.enthalpy_j = enthalpy_j
        if opens is not None:
            self._open(opens[0], hour + (second + step) / _HOUR_S)
            self.step_s = min(self.step_s, 10.0)
        return second + step

    def _first_opening(self, cubic: "_Cubic", second: float) -> tuple[int, float] | None:
        """Sensor that opens first inside the step, and after how many seconds."""
        found: tuple[int, float] | None = None
        for number, sensor in enumerate(self.case.sensors):
            if self.is_open[number]:
                continue

            def above(at: float, sensor: Sensor = sensor) -> float:
                sensed_c = self._sensed_c(sensor, cubic.at(at), second + at)
                return 1.0 if sensed_c is None else sensed_c - sensor.opens_below_c

            if above(cubic.step_s) >= 0.0:
                continue
            at = _root(above, cubic.step_s)
            if found is None or at < found[1]:
                found = (number, at)
        return found

    def _note_passages(self, cubic: "_Cubic", start_h: float, step_s: float) -> None:
        for n, item in enumerate(self.net.live):
            if item.removed or item.body.fusion_j == 0.0 or cubic.lowest(n) >= 0.0:
                continue
            for name, level in _LEVELS.items():
                if self.passages[name][n] is None:
                    goal_j = item.body.enthalpy_j(0.0, level) if level > 0.0 else 0.0
                    at = cubic.falls_to(n, goal_j, step_s)
                    if at is not None:
                        self.passages[name][n] = start_h + at / _HOUR_S


class _Cubic:
    """The cubic through both ends of a step and their flows."""

    def __init__(
        self, before: Array, after: Array, flow: Array, flow_after: Array, step_s: float
    ) -> None:
        self.before, self.after, self.step_s = before, after, step_s
        self.flow, self.flow_after = flow * step_s, flow_after * step_s

    def at(self, second: float) -> Array:
        """Enthalpies that many seconds into the step [J]."""
        s = second / self.step_s
        rest = 1.0 - s
        return (
            rest * rest * (1.0 + 2.0 * s) * self.before
            + s * s * (3.0 - 2.0 * s) * self.after
            + s * rest * (rest * self.flow - s * self.flow_after)
        )

    def lowest(self, n: int) -> float:
        """Lower end value of body ``n`` [J]."""
        return float(min(self.before[n], self.after[n]))

    def falls_to(self, n: int, goal_j: float, step_s: float) -> float | None:
        """Seconds after which body ``n`` first falls below ``goal_j``; None if it does not."""
        if self.after[n] >= goal_j if step_s == self.step_s else self.at(step_s)[n] >= goal_j:
            return None
        return _root(lambda second: float(self.at(second)[n]) - goal_j, step_s)


def _root(above: Callable[[float], float], high: float) -> float:
    """Where ``above`` passes from positive to negative in [0, high], to a millisecond."""
    low = 0.0
    if above(0.0) < 0.0:
        return 0.0
    while high - low > 1e-3:
        middle = 0.5 * (low + high)
        if above(middle) < 0.0:
            high = middle
        else:
            low = middle
    return high


def _rosenbrock(
    net: _Network,
    before: Array,
    flow: Array,
    jacobian: Array,
    drift: Array,
    second: float,
    step_s: float,
) -> tuple[Array, Array]:
    """One RODAS3 step: new enthalpies and the estimate of their error [J]."""
    solve = np.linalg.inv(np.eye(len(before)) / (_GAMMA * step_s) - jacobian)
    push = step_s * drift
    k1 = solve @ (flow + 0.5 * push)
    k2 = solve @ (flow + 4.0 / step_s * k1 + 1.5 * push)
    near = net.flow_w(before + 2.0 * k1, second + step_s)
    k3 = solve @ (near + (k1 - k2) / step_s)
    last = net.flow_w(before + 2.0 * k1 + k3, second + step_s)
    k4 = solve @ (last + (k1 - k2 - 8.0 / 3.0 * k3) / step_s)
    return before + 2.0 * k1 + k3 + k4, k4


def run_case(case: Case) -> CaseRun:
    """Step a case through its hours.

    Args:
        case: a checked case, see ``frostwatch.heatloss.case.read_case``.
    """
    return _Run(case).run()


def answer(case: Case) -> dict[str, object]:
    """The JSON answer of ``frostwatch estimate``: hours, bodies, and sensors where given."""
    run = run_case(case)
    bodies: list[dict[str, object]] = []
    for n, body in enumerate(case.bodies):
        row: dict[str, object] = {
            "name": body.name,
            "temperature_c": [None if t != t else t for t in run.temperature_c[n].tolist()],
            "ice_fraction": run.ice_fraction[n].tolist(),
        }
        row.update({level: times[n] for level, times in run.passages_h.items()})
        bodies.append(row)
    result: dict[str, object] = {"hours": list(range(case.hours + 1)), "bodies": bodies}
    if case.sensors:
        pairs = zip(case.sensors, run.opened_at_h, strict=True)
        result["sensors"] = [{"name": s.name, "opened_at_h": at} for s, at in pairs]
    return result
