"""What else can be done where a handover does not fit: indoors, more power, a later hour."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from frostwatch.advice.daylight import local
from frostwatch.advice.handover import Case, Plan, plan_for, plan_from
from frostwatch.advice.handover_steps import SPARE_MIN
from frostwatch.advice.heat_sources import is_allowed, sources_of
from frostwatch.fleet.heat import HeatSource

STEP_W = 500.0
MOST_W = 10_000.0
"""More than this nobody has in a leisure vehicle. Estimate."""
NO_HOURS = time(17)
"""End of a day on which nobody works. Estimate."""
LOOKED_BACK_D = 3
"""A weekend without work is looked back over, and a day more. Estimate."""
QUARTER = timedelta(minutes=15)


@dataclass(frozen=True, slots=True, kw_only=True)
class WaysOut:
    """The three ways, each None where there is none; all hours UTC.

    Attributes:
        indoors_by: into a warm building by, the working day before; now, where that has passed.
        other: the plan with another source of the vehicle that fits.
        power_w: heat of the same source that would fit [W], where no other source does.
        power_on_by: heating on by, with it.
        later: the first hour at which it can be ready with this source, spare time in it.
    """

    indoors_by: datetime
    other: Plan | None = None
    power_w: float | None = None
    power_on_by: datetime | None = None
    later: datetime | None = None


def ways_out(case: Case, plan: Plan) -> WaysOut:
    """What to do instead of a plan that does not fit."""
    other = _other(case, plan)
    stronger = None if other else _stronger(case, plan.source)
    return WaysOut(
        indoors_by=indoors_by(case),
        other=other,
        power_w=stronger.source.power_w if stronger else None,
        power_on_by=stronger.on_by if stronger else None,
        later=later_hour(case, plan.source),
    )


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


def indoors_by(case: Case) -> datetime:
    """The last moment of work before the day of the handover; now, where that has passed."""
    zone = case.site.zone
    day = case.handover.at.astimezone(zone).date()
    for back in range(1, LOOKED_BACK_D + 1):
        before = day - timedelta(days=back)
        closes = [s.closes for s in case.site.shifts if s.weekday == before.weekday()]
        if closes:
            return max(local(before, max(closes), zone), case.now)
    return max(local(day - timedelta(days=1), NO_HOURS, zone), case.now)
