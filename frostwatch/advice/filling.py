"""The gate for filling, asked of vehicles as they stand: their water, their air, who looked."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from frostwatch.advice.gates import COLD
from frostwatch.advice.harm import harm_fraction_of
from frostwatch.advice.thaw import WARM_H, MayFill, may_fill
from frostwatch.advice.warm_up import Standing, standing
from frostwatch.fleet.roofs import Under
from frostwatch.fleet.vehicles import Layout, Shell, Vehicle
from frostwatch.heatloss.network import build_network
from frostwatch.heatloss.solve import Job, solve
from frostwatch.heatloss.surroundings import Surroundings, under_of
from frostwatch.records.entries import Entry, Evidence
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.site_air import SiteAir

LOOKED = "thaw check"
"""Event of an entry by somebody who looked after a frost."""
LOOK_HOLDS = timedelta(days=30)
"""A look holds so long where no frost came since, as far as is known. Estimate."""
AHEAD_H = 120
"""So far ahead an hour for filling is looked for."""

Asked = tuple[Vehicle, Layout, Sequence[CircuitWater], Sequence[Entry]]
"""A vehicle with its layout, its water and what was recorded about it."""


def fillings(vans: Sequence[Asked], air: SiteAir, now: datetime) -> list[MayFill]:
    """The gate for some vehicles of one place.

    Args:
        vans: the vehicles.
        air: air at the place, members; its past hours tell of the last frost.
        now: aware UTC time.
    """
    back_h = min(WARM_H, air.now_index)
    end = air.now_index + AHEAD_H + 1
    earlier = replace(
        air,
        now_index=air.now_index - back_h,
        air_c=air.air_c[:, :end],
        wind_m_per_s=air.wind_m_per_s[:end],
        roof_k=air.roof_k[:end],
    )
    surroundings = Surroundings()
    airs = [surroundings.of(vehicle, earlier) for vehicle, *_ in vans]
    jobs = [
        Job(network=build_network(vehicle, layout, water, own, harm_fraction_of), air=own)
        for (vehicle, layout, water, _), own in zip(vans, airs, strict=True)
    ]
    wet = [n for n, job in enumerate(jobs) if job.network.item_keys]
    paths = dict(zip(wet, solve([jobs[n] for n in wet]), strict=True))
    stands: dict[tuple[Shell, object, Under | None], Standing] = {}
    found = []
    for n, (vehicle, layout, _, entries) in enumerate(vans):
        alike = (layout.shell, vehicle.hold, under_of(vehicle))
        if alike not in stands:
            stands[alike] = standing(vehicle, layout, earlier)
        stand = replace(stands[alike], layout=layout)
        looked = has_looked(entries, airs[n], now)
        found.append(may_fill(layout, stand, paths.get(n), looked=looked, now=now))
    return found


def has_looked(entries: Sequence[Entry], air: SiteAir, now: datetime) -> bool:
    """Somebody has looked at a vehicle since the last frost around it, as far as is known."""
    since = last_frost(air, now)
    return any(
        entry.event.casefold() == LOOKED and entry.evidence is Evidence.SEEN and entry.at > since
        for entry in entries
    )


def last_frost(air: SiteAir, now: datetime) -> datetime:
    """When an air last froze at the cold end; a month ago where no known hour did."""
    past_c = air.air_c[:, : 1 + int((now - air.start) // timedelta(hours=1))]
    cold_c = np.quantile(past_c, 1.0 - COLD, axis=0, method="lower")
    below = np.flatnonzero(cold_c < 0.0)
    return air.start + timedelta(hours=int(below[-1])) if below.size else now - LOOK_HOLDS
