"""The steps of making a vehicle ready, their minutes, and the clock that follows from the gates.

Order and minutes are those of the trade: space heating first with lockers open and water heating
off; the valve is shut in warm air and never wedged; water goes in once the pump's locker is warm;
hot taps first; water heating only when they run solid; the pump must stay silent for ten minutes.
Minutes are estimates unless they say otherwise.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from frostwatch.fleet.heat import Fuel, HeatSource
from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.heatloss.batch import FILL_C
from frostwatch.heatloss.water import WATER_J_PER_KG_K, WATER_KG_PER_L
from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater

LOOK_MIN = 10.0
"""Record, cracks, plugs and filter refitted; gas on, hook-up, alarm tested, flue clear."""
SHUT_MIN = 2.0
"""Low points, drains, taps and the dump valve shut."""
WATCH_MIN = 5.0
"""The valve is watched: if it pops, ten more minutes, never wedged."""
TAP_L_PER_MIN = 12.0
"""From a tap, 10 to 15 L/min."""
HOSE_MIN = 3.0
PRIME_MIN = 5.0
LEAK_MIN = 15.0
"""Ten minutes of a silent pump, and looking under sinks, at the heater, pump, filter."""
FLUSH_MIN = 20.0
"""Antifreeze rinsed out, 10 to 60 min."""
SPARE_MIN = 30.0
"""For a valve that pops."""
HOT_C = 60.0
"""Water is hot [degC]. 10 L from 5 degC in 30 to 40 min is common practice, no source."""
ELECTRIC_WATER_W = 1000.0
"""Heat of an electric element into the water, 0.8 to 1.3 kW. Estimate."""


class Step(StrEnum):
    """What is done, in this order."""

    LOOK = "look and connect"
    HEAT = "heating on, lockers open"
    SHUT = "shut drains and valve"
    REACH = "let the heat reach the pump"
    CLOSE = "shut drains and taps"
    FILL = "fill"
    PRIME = "prime, hot taps first"
    WATER_HEAT = "water heating on"
    LEAK = "leak check"
    FLUSH = "flush"
    SPARE = "spare"
    READY = "ready"


class Gate(StrEnum):
    """What must be so before the next step; it decides, the clock is a plan."""

    VALVE_WARM = "air at the valve is near its closing temperature"
    VALVE_STAYS = "the valve has stayed shut for 5 minutes"
    PUMP_WARM = "the pump locker is at 5 degC"
    TAPS_SOLID = "hot taps run solid"
    HOT = "the water is hot"
    PUMP_SILENT = "the pump stays silent for 10 minutes"


GATES = {
    Step.HEAT: Gate.VALVE_WARM,
    Step.SHUT: Gate.VALVE_STAYS,
    Step.REACH: Gate.PUMP_WARM,
    Step.PRIME: Gate.TAPS_SOLID,
    Step.WATER_HEAT: Gate.HOT,
    Step.LEAK: Gate.PUMP_SILENT,
}
HANDS_ON = frozenset(
    {Step.LOOK, Step.SHUT, Step.CLOSE, Step.FILL, Step.PRIME, Step.LEAK, Step.FLUSH}
)
"""Steps for which somebody must be there with their hands; the others only wait."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStep:
    """One step with its hours.

    Attributes:
        step: what is done.
        starts: its start, UTC.
        ends: its end, UTC: when its gate should be passed.
        gate: what must be so before the next step; None for none.
        likely: when the gate is likely passed, UTC; ``ends`` is the cold end. None where only the
            clock decides.
    """

    step: Step
    starts: datetime
    ends: datetime
    gate: Gate | None = None
    likely: datetime | None = None

    @property
    def minutes(self) -> float:
        """How long it takes."""
        return (self.ends - self.starts).total_seconds() / 60.0

    @property
    def hands_on(self) -> bool:
        """Somebody is at work on it."""
        return self.step in HANDS_ON


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """The steps whose minutes do not hang on the air.

    Attributes:
        has_valve: a frost-opening valve must be shut in warm air.
        after_fill: steps from filling on, with their minutes; before them, where there is no valve,
            the drains and taps that are shut with it elsewhere.
        by_pump: water waits for the pump's locker; False where somebody goes by the valve alone.
    """

    has_valve: bool
    after_fill: tuple[tuple[Step, float], ...]
    by_pump: bool = True

    @property
    def tail_min(self) -> float:
        """From the gate of filling to ready, without spare [min]."""
        return sum(minutes for _, minutes in self.after_fill)


def work_of(
    layout: Layout,
    water: Sequence[CircuitWater],
    source: HeatSource,
    fill_l: float,
    *,
    by_pump: bool = True,
) -> Work:
    """What there is to do at a vehicle.

    Args:
        layout: its layout.
        water: what is recorded; antifreeze is flushed out.
        source: what it is warmed with, which sets how the water is heated.
        fill_l: water to be put in [L]; never more than fits.
        by_pump: water waits for the pump's locker.
    """
    room_l = sum(i.capacity_l.value for i in layout.items if i.circuit is Circuit.FRESH_TANK)
    litres = min(fill_l, room_l) if room_l else fill_l
    steps = [(Step.FILL, HOSE_MIN + litres / TAP_L_PER_MIN), (Step.PRIME, PRIME_MIN)]
    heating = water_heating_min(layout, source)
    if heating > 0.0:
        steps.append((Step.WATER_HEAT, heating))
    steps.append((Step.LEAK, LEAK_MIN))
    if any(entry.state is State.DOSED for entry in water):
        steps.append((Step.FLUSH, FLUSH_MIN))
    has_valve = layout.valve is not None
    if not has_valve:
        steps.insert(0, (Step.CLOSE, SHUT_MIN))
    return Work(has_valve=has_valve, after_fill=tuple(steps), by_pump=by_pump or not has_valve)


def water_heating_j(layout: Layout) -> float:
    """Heat into the heater tank from winter water to hot [J]; 0 without a water heater."""
    if layout.water_heat_w.value <= 0.0:
        return 0.0
    tanks = [item for item in layout.items if item.circuit is Circuit.HEATER_TANK]
    return sum(
        (t.capacity_l.value * WATER_KG_PER_L * WATER_J_PER_KG_K + t.dry_j_per_k.value)
        * (HOT_C - FILL_C)
        for t in tanks
    )


def water_heating_w(layout: Layout, source: HeatSource) -> float:
    """Heat into the water [W]: an element on a hook-up, otherwise the appliance's own."""
    if source.fuel is Fuel.ELECTRIC:
        return min(ELECTRIC_WATER_W, layout.water_heat_w.value)
    return layout.water_heat_w.value


def water_heating_min(layout: Layout, source: HeatSource) -> float:
    """Minutes from winter water to hot, losses left out: they are 2 % of it."""
    heat_j, power_w = water_heating_j(layout), water_heating_w(layout, source)
    return heat_j / power_w / 60.0 if heat_j > 0.0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Gates:
    """Minutes from heating on to the gates of heat; cold end first, then the likely ones."""

    valve_min: float
    fill_min: float
    valve_likely_min: float
    fill_likely_min: float


def clock(work: Work, gates: Gates, on_at: datetime, at: datetime) -> tuple[PlanStep, ...]:
    """The steps from looking to ready; what is left before the hour is spare.

    Args:
        work: what there is to do.
        gates: finite minutes.
        on_at: heating on, UTC.
        at: hour of the handover, UTC; a plan that overruns it has no spare.
    """

    def after(minutes: float) -> datetime:
        return on_at + timedelta(minutes=math.ceil(minutes))

    steps = [PlanStep(step=Step.LOOK, starts=on_at - timedelta(minutes=LOOK_MIN), ends=on_at)]
    shut_at = after(gates.valve_min)
    if work.has_valve:
        steps.append(
            _step(Step.HEAT, on_at, shut_at, likely=after(gates.valve_likely_min)),
        )
    watched = shut_at + timedelta(minutes=SHUT_MIN + WATCH_MIN)
    if not work.has_valve:
        watched = on_at
    fill_at = after(gates.fill_min)
    begins = watched
    if work.has_valve:
        steps.append(_step(Step.SHUT, shut_at, watched))
    if fill_at > begins:
        reach = Step.REACH if work.has_valve else Step.HEAT
        steps.append(
            PlanStep(
                step=reach,
                starts=begins,
                ends=fill_at,
                gate=Gate.PUMP_WARM,
                likely=after(gates.fill_likely_min),
            )
        )
    begins = max(watched, fill_at)
    for step, minutes in work.after_fill:
        ends = begins + timedelta(minutes=math.ceil(minutes))
        steps.append(_step(step, begins, ends))
        begins = ends
    if begins < at:
        steps.append(_step(Step.SPARE, begins, at))
    return (*steps, PlanStep(step=Step.READY, starts=max(begins, at), ends=max(begins, at)))


def _step(step: Step, starts: datetime, ends: datetime, likely: datetime | None = None) -> PlanStep:
    return PlanStep(step=step, starts=starts, ends=ends, gate=GATES.get(step), likely=likely)
