"""A vehicle that spends the night before its handover in a warm building."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, time, timedelta

import numpy as np

from frostwatch.advice.daylight import local
from frostwatch.advice.handover import Case, Plan, plan_for
from frostwatch.advice.heat_sources import is_allowed
from frostwatch.advice.warm_up import SOAK_STEP_MIN, Standing
from frostwatch.fleet.heat import HeatSource
from frostwatch.heatloss.warming import course

WARM_BUILDING_C = 12.0
"""Air in a heated workshop overnight [degC]. Estimate."""
LONGEST_IN = timedelta(days=3)
"""Nobody keeps a place in the warm free for longer. Estimate."""

NO_HOURS = time(17)
"""End of a day on which nobody works. Estimate."""
LOOKED_BACK_D = 3
"""A weekend without work is looked back over, and a day more. Estimate."""


def brought_in(stand: Standing, since: datetime, *, driven_out: bool) -> Standing:
    """The same vehicle, standing in a warm building from a moment on.

    Until then it stands as it did. From then on it takes the building's warmth; nothing heats it.

    Args:
        stand: how it would stand outside.
        since: into the building, UTC; before the grid it counts from its start.
        driven_out: it is driven out when its own heating goes on, as a burner must be: what it
            warms against is the air outside. Otherwise it stays in the building.
    """
    first = min(max(0, stand.index(since)), stand.outside_c.shape[1] - 2)
    inside_c = np.full_like(stand.outside_c[:, first:], WARM_BUILDING_C)
    soak = course(
        stand.layout.shell,
        stand.x_c[:, :, first],
        inside_c,
        np.zeros(inside_c.shape[1]),
        step_s=60.0 * SOAK_STEP_MIN,
    )
    x_c = np.concatenate([stand.x_c[:, :, :first], soak.x_c], axis=2)
    if driven_out:
        return replace(stand, x_c=x_c)
    outside_c = np.concatenate([stand.outside_c[:, :first], inside_c], axis=1)
    roof_k = stand.roof_k.copy()
    roof_k[first:] = 0.0
    return replace(stand, x_c=x_c, outside_c=outside_c, roof_k=roof_k)


def standing_in(case: Case, source: HeatSource, since: datetime | None) -> Case:
    """The case as it stands in a warm building from a moment on; itself for None."""
    if since is None:
        return case
    stand = brought_in(case.stand, since, driven_out=source.fuel.burns)
    return replace(case, stand=stand)


def plan_way(case: Case, source: HeatSource, since: datetime | None) -> Plan:
    """The plan with a source, standing outside or in a building."""
    plan = plan_for(standing_in(case, source, since), source)
    return replace(plan, indoors_from=since)


def indoor_ways(
    case: Case, sources: Sequence[HeatSource]
) -> list[tuple[HeatSource, datetime | None]]:
    """Sources with the night before in a warm building.

    All of them where the handover says so. Else the one that is allowed and likest to serve in a
    building, a burner last; none where it stands indoors anyway or the evening before is over.
    """
    since = case.handover.indoors_from
    if since is not None:
        return [(source, since) for source in sources]
    by = indoors_by(case)
    if case.vehicle.has_walls or by <= case.now or case.handover.at - by > LONGEST_IN:
        return []
    fitting = sorted(
        (source for source in sources if is_allowed(source, case.site)),
        key=lambda source: source.fuel.burns,
    )
    return [(source, by) for source in fitting[:1]]


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
