"""Vehicles to be made ready on a frosty morning, for tests of handover plans."""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np

from frostwatch.advice.handover import Case
from frostwatch.advice.warm_up import standing
from frostwatch.fleet.heat import Fuel, Handover, HeatSource
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.sites import Site
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.site_air import SiteAir
from tests.builders import a_forecourt, a_vehicle

NOW = datetime(2027, 1, 14, 15, tzinfo=UTC)
"""Thursday 16:00 at Hinterlach."""
AT = datetime(2027, 1, 15, 9, tzinfo=UTC)
"""Friday 10:00 there."""
GAS_6 = HeatSource(fuel=Fuel.GAS, power_w=6000.0)
GAS_4 = HeatSource(fuel=Fuel.GAS, power_w=4000.0)
ELECTRIC = HeatSource(fuel=Fuel.ELECTRIC, power_w=1800.0)


def steady_air(
    air_c: float, *, spread_k: float = 0.0, members: int = 1, ahead_h: int = 72
) -> SiteAir:
    """The same air all the time, members spread evenly around it."""
    paths = np.full((members, 48 + ahead_h + 1), air_c)
    paths += np.linspace(-spread_k, spread_k, members)[:, None] if members > 1 else 0.0
    length = paths.shape[1]
    return SiteAir(
        start=NOW - timedelta(hours=48),
        air_c=paths,
        wind_m_per_s=np.full(length, 2.0),
        roof_k=np.zeros(length),
        now_index=48,
    )


def a_case(
    air: SiteAir,
    *,
    layout: str = "panel-van-indoor-valve",
    at: datetime = AT,
    now: datetime = NOW,
    fill_l: float = 40.0,
    site: Site | None = None,
    water: tuple[CircuitWater, ...] = (),
    who: str = "",
    **changed: Any,
) -> Case:
    """D08, to be handed over on Friday at ten."""
    vehicle = a_vehicle(
        changed.pop("key", "D08"),
        site="hinterlach",
        layout=layout,
        heat=changed.pop("heat", (GAS_6, GAS_4, ELECTRIC)),
        **changed,
    )
    own = layout_of(vehicle)
    return Case(
        vehicle=vehicle,
        site=site or a_forecourt(),
        layout=own,
        water=water,
        handover=Handover(at=at, fill_l=fill_l, who=who),
        stand=standing(vehicle, own, air),
        now=now,
    )
