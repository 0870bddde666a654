"""What else can be done where a handover does not fit: indoors, more power, a later hour.

A way is named only where a plan that goes it fits. Where none does, the vehicle is handed over dry.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.advice.brought_in import indoors_by, plan_way
from frostwatch.advice.handover import Case, Plan, Trouble, plan_for, plan_from
from frostwatch.advice.handover_steps import SPARE_MIN
from frostwatch.advice.heat_sources import is_allowed, sources_of
from frostwatch.fleet.heat import HeatSource

STEP_W = 500.0
MOST_W = 10_000.0
"""More than this nobody has in a leisure vehicle. Estimate."""
QUARTER = timedelta(minutes=15)


@dataclass(frozen=True, slots=True, kw_only=True)
class WaysOut:
    """The three ways, each None where there is none; all hours UTC.

    Attributes:
        indoors: the plan that fits with the night before in a warm building.
        other: the plan with another source of the vehicle that fits.
        power_w: heat of the same source that would fit [W], where no other source does.
        power_on_by: heating on by, with it.
        later: the first hour at which it can be ready with this source, spare time in it.
        dry: none of them was found: it is handed over drained.
    """

    indoors: Plan | None = None
    other: Plan | None = None
    power_w: float | None = None
    power_on_by: datetime | None = None
    later: datetime | None = None
    dry: bool = False

    @property
    def indoors_by(self) -> datetime | None:
        """Into a warm building by, the working day before, UTC; now, where that has passed."""
        return self.indoors.indoors_from if self.indoors is not None else None


def ways_out(case: Case, plan: Plan) -> WaysOut:
    """What to do instead of a plan that does not fit."""
    other = _other(case, plan)
    stronger = None if other else _stronger(case, plan.source)
    indoors, later = _indoors(case, plan), later_hour(case, plan.source)
    found = any(way is not None for way in (indoors, other, stronger, later))
    return WaysOut(
        indoors=indoors,
        other=other,
        power_w=stronger.source.power_w if stronger else None,
        power_on_by=stronger.on_by if stronger else None,
        later=later,
        dry=not found and plan.trouble is not Trouble.BEYOND,
    )


def _indoors(case: Case, plan: Plan) -> Plan | None:
    """The source that fits latest after a night in a warm building."""
    if plan.indoors_from is not None or case.vehicle.has_walls:
        return None
    by = indoors_by(case)
    plans = (
        plan_way(case, source, by)
        for source in sources_of(case.vehicle, case.layout)
        if is_allowed(source, case.site)
    )
    fitting = [one for one in plans if one.fits and one.on_by]
    return max(fitting, key=lambda one: one.on_by or case.now, default=None)


def _other(case: Case, plan: Plan) -> Plan | None:
    """The source that fits with the latest heating-on hour."""
    plans = (
        plan_for(case, source)
        for source in sources_of(case.vehicle, case.layout)
        if source != plan.source and is_allowed(source, case.site, case.vehicle)
    )
    fitting = [one for one in plans if one.fits and one.on_by]
    return max(fitting, key=lambda one: one.on_by or case.now, default=None)


def _stronger(case: Case, source: HeatSource) -> Plan | None:
    """The least power of the same kind that fits, in steps of 500 W; by bisection."""
    powers = list(_powers(source.power_w))
    if not powers:
        return None

    def plan(place: int) -> Plan:
        return plan_for(case, HeatSource(fuel=source.fuel, power_w=powers[place]))

    high = len(powers) - 1
    best = plan(high)
    if not best.fits:
        return None
    low = -1
    while high - low > 1:
        middle = (low + high) // 2
        one = plan(middle)
        if one.fits:
            high, best = middle, one
        else:
            low = middle
    return best


def _powers(above_w: float) -> Iterator[float]:
    power_w = (math.floor(above_w / STEP_W) + 1) * STEP_W
    while power_w <= MOST_W:
        yield power_w
        power_w += STEP_W


def later_hour(case: Case, source: HeatSource) -> datetime | None:
    """The first quarter of an hour at which it can be ready, heating on as soon as can be."""
    if case.first_on >= case.stand.end:
        return None
    plan = plan_from(case, source, case.first_on, minutes=5)
    if plan.ready_at is None:
        return None
    return next_quarter(plan.ready_at + timedelta(minutes=SPARE_MIN))


def next_quarter(moment: datetime) -> datetime:
    """The moment, or the next full quarter of an hour after it."""
    midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0)
    return moment + (midnight - moment) % QUARTER
