"""Step one case through its hours with error control: the accurate, not the fast, way.

Steps end at every hour, at every event and at the moment a valve opens. Passage times are roots of
the cubic that fits both ends of a step. The scheme stands in ``rosenbrock``.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.case import Case, Event, Sensor
from frostwatch.heatloss.case_flows import HOUR_S, CaseFlows
from frostwatch.heatloss.rosenbrock import Cubic, falls, rosenbrock

Array = NDArray[np.float64]

_LONGEST_STEP_S = 1800.0
_SHORTEST_STEP_S = 1e-3
_FIRST_STEP_S = 10.0
"""Step with which to begin after everything changed at once."""
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


def run_case(case: Case) -> CaseRun:
    """Step a case through its hours.

    Args:
        case: a checked case, see ``frostwatch.heatloss.case.read_case``.
    """
    return _Run(case).run()


class _Run:
    """One integration in progress."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.flows = CaseFlows(case)
        count, length = len(case.bodies), case.hours + 1
        self.temperature_c = np.full((count, length), np.nan)
        self.ice_fraction = np.zeros((count, length))
        self.passages: dict[str, list[float | None]] = {name: [None] * count for name in _LEVELS}
        self.opened: list[float | None] = [None] * len(case.sensors)
        self.is_open = [False] * len(case.sensors)
        self.step_s = _FIRST_STEP_S
        self.flow: Array | None = None

    def run(self) -> CaseRun:
        """Go through all hours."""
        self._mark_levels(0.0)
        self._open_what_is_cold(0.0)
        for hour in range(self.case.hours + 1):
            self.flows.load_hour(hour)
            for event in self.case.events:
                if event.at_h == hour:
                    self._apply(event, hour)
            self._mark_levels(float(hour))
            self._record(hour)
            if hour < self.case.hours:
                self._through_hour(hour)
        return CaseRun(self.temperature_c, self.ice_fraction, self.passages, self.opened)

    def _apply(self, event: Event, hour: int) -> None:
        if event.close:
            self._try_to_close(event.close)
        else:
            item = self.flows.live[self.flows.index[event.body]]
            if event.set_water_l is not None:
                item.set_water(event.set_water_l, event.set_temperature_c)
            if event.set_heater_w is not None:
                item.heater_w = item.heater_w.copy()
                item.heater_w[hour:] = event.set_heater_w
        self._changed()
        self._open_what_is_cold(float(hour))

    def _changed(self) -> None:
        self.flows.refresh()
        self.flow = None
        self.step_s = min(self.step_s, _FIRST_STEP_S)

    def _try_to_close(self, name: str) -> None:
        """A person's try: it works only in air warm enough."""
        number = [sensor.name for sensor in self.case.sensors].index(name)
        sensor = self.case.sensors[number]
        sensed_c = self.flows.sensed_c(sensor.senses, self.flows.enthalpy_j, 0.0)
        if sensed_c is not None and sensed_c > sensor.closable_above_c:
            self.is_open[number] = False
            self.flows.live[self.flows.index[sensor.drains]].open_valves.discard(name)

    def _open_what_is_cold(self, hour: float) -> None:
        for number, sensor in enumerate(self.case.sensors):
            sensed_c = self.flows.sensed_c(sensor.senses, self.flows.enthalpy_j, 0.0)
            if sensed_c is not None and sensed_c < sensor.opens_below_c:
                self._open(number, hour)

    def _open(self, number: int, hour: float) -> None:
        if self.is_open[number]:
            return
        sensor = self.case.sensors[number]
        self.is_open[number] = True
        if self.opened[number] is None:
            self.opened[number] = hour
        item = self.flows.live[self.flows.index[sensor.drains]]
        item.open_valves.add(sensor.name)
        item.set_water(0.0)
        self._changed()

    def _record(self, hour: int) -> None:
        for n, item in enumerate(self.flows.live):
            self.temperature_c[n, hour] = item.body.temperature_c(item.enthalpy_j)
            self.ice_fraction[n, hour] = item.body.ice_fraction(item.enthalpy_j)

    def _mark_levels(self, hour: float) -> None:
        """Note the levels that are already met at this moment."""
        for n, item in enumerate(self.flows.live):
            ice = item.body.ice_fraction(item.enthalpy_j)
            for name, level in _LEVELS.items():
                if self.passages[name][n] is None and ice > 0.0 and ice >= level - 1e-12:
                    self.passages[name][n] = hour

    def _through_hour(self, hour: int) -> None:
        second = 0.0
        while second < HOUR_S:
            end = self._one_step(hour, second)
            second = HOUR_S if end >= HOUR_S - 1e-6 else end

    def _one_step(self, hour: int, second: float) -> float:
        """Make one accepted step; returns the second of the hour at which it ends."""
        cubic = self._accepted(second)
        step_s, after = cubic.step_s, cubic.after
        opens = self._first_opening(cubic, second)
        if opens is not None:
            step_s = opens[1]
            after = cubic.at(step_s)
        self._note_passages(cubic, hour + second / HOUR_S, step_s)
        self.flows.enthalpy_j = after
        for item, enthalpy_j in zip(self.flows.live, after.tolist(), strict=True):
            item.enthalpy_j = enthalpy_j
        if opens is not None:
            self._open(opens[0], hour + (second + step_s) / HOUR_S)
        return second + step_s

    def _accepted(self, second: float) -> Cubic:
        """The next step whose error is small enough; its length goes with the error."""
        flows = self.flows
        before = flows.enthalpy_j
        flow = flows.flow_w(before, second) if self.flow is None else self.flow
        slopes = flows.linearise(before, second)
        while True:
            step_s = min(self.step_s, _LONGEST_STEP_S, HOUR_S - second)
            after, error_j = rosenbrock(flows, before, flow, slopes, second, step_s)
            error = float(np.max(np.abs(error_j) / flows.scale_j))
            if error <= 1.0 or step_s <= _SHORTEST_STEP_S:
                break
            self.step_s = max(step_s * max(0.2, 0.8 * error ** (-1 / 3)), _SHORTEST_STEP_S)
        grown_s = step_s * min(4.0, 0.8 * max(error, 1e-6) ** (-1 / 3))
        # a step cut short by the hour says nothing against the longer one before it
        self.step_s = max(grown_s, _SHORTEST_STEP_S if step_s == self.step_s else self.step_s)
        self.flow = flows.flow_w(after, second + step_s)
        return Cubic(before, after, flow, self.flow, step_s)

    def _first_opening(self, cubic: Cubic, second: float) -> tuple[int, float] | None:
        """Sensor that opens first inside the step, and after how many seconds."""
        found: tuple[int, float] | None = None
        for number, sensor in enumerate(self.case.sensors):
            if self.is_open[number]:
                continue

            def above(at: float, sensor: Sensor = sensor) -> float:
                sensed_c = self.flows.sensed_c(sensor.senses, cubic.at(at), second + at)
                return 1.0 if sensed_c is None else sensed_c - sensor.opens_below_c

            if above(cubic.step_s) < 0.0:
                at = falls(above, cubic.step_s)
                if found is None or at < found[1]:
                    found = (number, at)
        return found

    def _note_passages(self, cubic: Cubic, start_h: float, step_s: float) -> None:
        below = np.minimum(cubic.before, cubic.after) < 0.0
        for n in np.flatnonzero(below & (self.flows.fusion_j > 0.0)).tolist():
            item = self.flows.live[n]
            for name, level in _LEVELS.items():
                if self.passages[name][n] is None:
                    goal_j = item.body.enthalpy_j(0.0, level) if level > 0.0 else 0.0
                    at = cubic.falls_to(n, goal_j, step_s)
                    if at is not None:
                        self.passages[name][n] = start_h + at / HOUR_S


def answer(case: Case) -> dict[str, object]:
    """The JSON answer of ``frostwatch estimate``: hours, bodies, and sensors where given."""
    run = run_case(case)
    bodies: list[dict[str, object]] = []
    for n, body in enumerate(case.bodies):
        row: dict[str, object] = {
            "name": body.name,
            "temperature_c": [None if math.isnan(t) else t for t in run.temperature_c[n].tolist()],
            "ice_fraction": run.ice_fraction[n].tolist(),
        }
        row.update({level: times[n] for level, times in run.passages_h.items()})
        bodies.append(row)
    result: dict[str, object] = {"hours": list(range(case.hours + 1)), "bodies": bodies}
    if case.sensors:
        pairs = zip(case.sensors, run.opened_at_h, strict=True)
        result["sensors"] = [{"name": s.name, "opened_at_h": at} for s, at in pairs]
    return result
