"""A handover planned backwards from its hour: heating on by when, for each source of heat.

The hour to work to is that of the cold end of the members: nine in ten airs have the vehicle ready
by then. The likely hours are told beside it.
"""

import math
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.gates import COLD, LIKELY, gates_of, quantile
from frostwatch.advice.handover_steps import (
    LOOK_MIN,
    SPARE_MIN,
    PlanStep,
    Step,
    Work,
    clock,
    water_heating_j,
    water_heating_w,
    work_of,
)
from frostwatch.advice.warm_up import LONGEST_H, SOAK_STEP_MIN, Standing, WarmUp, warm_up
from frostwatch.fleet.heat import Fuel, Handover, HeatSource
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout, Place, Vehicle
from frostwatch.heatloss.warming import CABIN
from frostwatch.records.standing_water import CircuitWater

PROPANE_KWH_PER_KG = 12.0
"""Heat into the room from a kilogram: 12.87 kWh/kg (Swiss trade page), 93 % of it. Estimate."""
DIESEL_KWH_PER_L = 8.4
"""Heat into the room from a litre: 9.9 kWh/L, 85 % of it. Estimate, from memory."""


class Trouble(StrEnum):
    """Why a plan does not fit."""

    NEVER = "the heat never gets there"
    NO_TIME = "there is not enough time left"
    BEYOND = "the forecast does not reach that far"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """A vehicle to be made ready.

    Attributes:
        vehicle: the vehicle.
        site: where it stands.
        layout: its layout.
        water: what is recorded about its water.
        handover: the hour, and how much water goes in.
        stand: how it stands in the hours ahead.
        now: aware UTC time.
    """

    vehicle: Vehicle
    site: Site
    layout: Layout
    water: tuple[CircuitWater, ...]
    handover: Handover
    stand: Standing
    now: datetime

    @property
    def first_on(self) -> datetime:
        """Earliest moment for heating on, after a look at the vehicle, UTC."""
        wanted = self.now + timedelta(minutes=LOOK_MIN) - self.stand.start
        return self.stand.at(math.ceil(wanted / timedelta(minutes=SOAK_STEP_MIN)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One way to have a vehicle ready; all hours UTC.

    Attributes:
        vehicle: key of the vehicle.
        site: key of its site.
        at: hour of the handover.
        source: what it is warmed with.
        on_by: heating on by; None where no hour does.
        steps: from the look to the hour; empty without ``on_by``.
        ready_at: ready by the cold end, without spare; None without ``on_by``.
        ready_likely: the likely hour of that.
        trouble: why it does not fit; None where it does.
        soak_c: cabin at heating on, likely and at the cold end [degC].
        outside_c: lowest air while it is warmed, likely and at the cold end [degC].
        cabin_c: cabin at the hour, likely and at the cold end [degC].
        valve_from: earliest hour of the valve's gate, if it felt the air alone; None without one.
        valve_to: its latest, if it followed the furniture alone, at the cold end.
        heat_kwh: heat into the living space until the hour, likely [kWh].
        stored_kwh: what of it the vehicle holds at the hour, likely.
        lost_kwh: what of it went outside, likely.
        water_kwh: heat into the water.
        draws_w: most that it draws from a post [W]; 0 for a burner.
        cold_spots: items that this heat does not reach, in air below 0 degC at the cold end.
        indoors_from: it stands in a warm building from then until the heating goes on, UTC; with
            electric heat until it is handed over. None where it stays outside.
    """

    vehicle: str
    site: str
    at: datetime
    source: HeatSource
    on_by: datetime | None = None
    steps: tuple[PlanStep, ...] = ()
    ready_at: datetime | None = None
    ready_likely: datetime | None = None
    trouble: Trouble | None = None
    soak_c: tuple[float, float] | None = None
    outside_c: tuple[float, float] | None = None
    cabin_c: tuple[float, float] | None = None
    valve_from: datetime | None = None
    valve_to: datetime | None = None
    heat_kwh: float = 0.0
    stored_kwh: float = 0.0
    lost_kwh: float = 0.0
    water_kwh: float = 0.0
    draws_w: float = 0.0
    cold_spots: tuple[str, ...] = ()
    indoors_from: datetime | None = None

    @property
    def fits(self) -> bool:
        """It can be ready at the hour with this source."""
        return self.trouble is None

    def step(self, step: Step) -> PlanStep | None:
        """The step of that name; None where it has none."""
        return next((one for one in self.steps if one.step is step), None)

    @property
    def begins(self) -> datetime | None:
        """When somebody must be there, UTC."""
        return self.steps[0].starts if self.steps else None

    @property
    def fuel_amount(self) -> float:
        """Gas [kg], diesel [L] or mains [kWh] for space and water."""
        kwh = self.heat_kwh + self.water_kwh
        per = {Fuel.GAS: PROPANE_KWH_PER_KG, Fuel.DIESEL: DIESEL_KWH_PER_L}
        return kwh / per.get(self.source.fuel, 1.0)


def plan_for(case: Case, source: HeatSource, *, by_pump: bool = True) -> Plan:
    """The latest heating-on hour that has the vehicle ready in nine airs of ten.

    Args:
        case: the vehicle.
        source: what warms it.
        by_pump: water waits for 5 degC at the pump; False goes by the dump valve alone.
    """
    at = case.handover.at
    work = work_of(case.layout, case.water, source, case.handover.fill_l, by_pump=by_pump)
    plain = Plan(vehicle=case.vehicle.key, site=case.site.key, at=at, source=source)
    if at > case.stand.end:
        return replace(plain, trouble=Trouble.BEYOND)
    must = at - timedelta(minutes=work.tail_min + SPARE_MIN)
    low = max(
        case.stand.index(case.first_on), case.stand.index(must) - LONGEST_H * 60 // SOAK_STEP_MIN
    )
    high = case.stand.index(must)
    if low >= high or not _in_time(case, source, work, low, must):
        return replace(plain, trouble=_trouble(case, source, work, case.stand.at(low)))
    while high - low > 1:
        middle = (low + high) // 2
        if _in_time(case, source, work, middle, must):
            low = middle
        else:
            high = middle
    return plan_from(case, source, case.stand.at(low), by_pump=by_pump)


def _in_time(case: Case, source: HeatSource, work: Work, index: int, must: datetime) -> bool:
    on_at = case.stand.at(index)
    run = warm_up(case.stand, on_at, source.power_w, must + timedelta(minutes=10), minutes=5)
    return on_at + _span(gates_of(run, work).fill_min) <= must


def _span(minutes: float) -> timedelta:
    return timedelta(minutes=math.ceil(minutes)) if math.isfinite(minutes) else timedelta(days=99)


def _trouble(case: Case, source: HeatSource, work: Work, on_at: datetime) -> Trouble:
    """Whether it would get there at all, begun at the earliest hour that could serve.

    Where more than a day is left that is a day before the hour, in the frost of that night: begun
    now it might get there before the frost comes, and more time would be no help.
    """
    run = warm_up(case.stand, on_at, source.power_w, case.stand.end, minutes=5)
    never = not math.isfinite(gates_of(run, work).fill_min)
    return Trouble.NEVER if never else Trouble.NO_TIME


def plan_from(
    case: Case,
    source: HeatSource,
    on_at: datetime,
    *,
    minutes: int = 1,
    by_pump: bool = True,
    beyond: timedelta = timedelta(hours=LONGEST_H),
) -> Plan:
    """The plan that follows from a heating-on hour, whether or not it meets the hour.

    Where the gates are not reached within a day of heating, or so long after the hour as ``beyond``
    says, there are no steps.
    """
    at = case.handover.at
    work = work_of(case.layout, case.water, source, case.handover.fill_l, by_pump=by_pump)
    until = max(at, on_at) + beyond
    run = warm_up(case.stand, on_at, source.power_w, until, minutes=minutes)
    gates = gates_of(run, work)
    plain = Plan(vehicle=case.vehicle.key, site=case.site.key, at=at, source=source)
    if not math.isfinite(gates.fill_min):
        return replace(plain, trouble=Trouble.NEVER)
    steps = clock(work, gates, on_at, at)
    ready = next(s.starts for s in steps if s.step in (Step.SPARE, Step.READY))
    earlier = timedelta(minutes=math.ceil(gates.fill_min) - math.ceil(gates.fill_likely_min))
    return _with_facts(
        case,
        run,
        replace(
            plain,
            on_by=on_at,
            steps=steps,
            ready_at=ready,
            ready_likely=ready - earlier,
            trouble=None if ready <= at else Trouble.NO_TIME,
        ),
        work,
    )


def _with_facts(case: Case, run: WarmUp, plan: Plan, work: Work) -> Plan:
    """A plan with its temperatures, its energy and what its heat does not reach."""
    assert plan.on_by is not None
    end = plan.steps[-1].ends
    step = timedelta(seconds=run.course.step_s)
    last = min(int((end - run.on_at) / step), run.course.x_c.shape[2] - 1)
    cabin, outside = run.course.x_c[CABIN], run.course.outside_c[:, : last + 1].min(axis=1)
    typical = int(np.argsort(cabin[:, last])[cabin.shape[0] // 2])
    kwh = [
        float(series[typical, last]) / 3.6e6
        for series in (
            run.course.heat_j,
            run.course.stored_j(case.layout.shell),
            run.course.lost_j,
        )
    ]
    electric = plan.source.fuel is Fuel.ELECTRIC
    water_w = water_heating_w(case.layout, plan.source)
    return replace(
        plan,
        soak_c=_likely_and_cold(cabin[:, 0]),
        outside_c=_likely_and_cold(outside),
        cabin_c=_likely_and_cold(cabin[:, last]),
        valve_from=_hour(run, run.valve_air_min, LIKELY) if work.has_valve else None,
        valve_to=_hour(run, run.valve_furniture_min, COLD) if work.has_valve else None,
        heat_kwh=kwh[0],
        stored_kwh=kwh[1],
        lost_kwh=kwh[2],
        water_kwh=water_heating_j(case.layout) / 3.6e6,
        draws_w=plan.source.power_w + water_w if electric else 0.0,
        cold_spots=cold_spots(case.layout, float(np.quantile(outside, 1.0 - COLD))),
    )


def _likely_and_cold(values: NDArray[np.float64]) -> tuple[float, float]:
    return float(np.quantile(values, LIKELY)), float(np.quantile(values, 1.0 - COLD))


def _hour(run: WarmUp, minutes: NDArray[np.float64], share: float) -> datetime | None:
    after = quantile(minutes, share)
    return run.on_at + _span(after) if math.isfinite(after) else None


def cold_spots(layout: Layout, outside_c: float) -> tuple[str, ...]:
    """Items under the floor or outdoors, which no heat in the living room reaches."""
    if outside_c >= 0.0:
        return ()
    out = (Place.FLOOR, Place.OUTSIDE)
    return tuple(item.key for item in layout.items if item.place in out and item.heater_w <= 0.0)
