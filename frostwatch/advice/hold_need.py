"""What holding a cabin warm needs, and what is there to do it with."""

import math

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.gates import COLD
from frostwatch.advice.handover import DIESEL_KWH_PER_L, PROPANE_KWH_PER_KG
from frostwatch.fleet.heat import Fuel
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import HeatedHold, Shell, Vehicle
from frostwatch.heatloss.hubs import ROOF_SHARE
from frostwatch.heatloss.surroundings import around
from frostwatch.weather.site_air import SiteAir

Array = NDArray[np.float64]
BRIDGE_H = 48
"""A wet vehicle wanted later than this is drained rather than heated. Estimate."""
FAN_A = 2.0
"""Draw of blown-air heating at 12 V, 1 to 2 A on average (estimate): 12 to 24 Ah a night."""


def supply_of_w(vehicle: Vehicle, site: Site) -> float:
    """What a hold has for heat [W]: its source, at most what its post gives, less other loads."""
    hold = vehicle.hold
    assert hold is not None
    posts = [post.power_w for post in site.posts if post.name == vehicle.post]
    if posts and (hold.fuel is None or not hold.fuel.burns):
        # what else draws on the post leaves the heater the rest
        return max(1.0, min(hold.power_w, posts[0] - hold.other_w))
    return max(1.0, hold.power_w - hold.other_w)


def lowest_c(air: SiteAir) -> float:
    """Lowest air of the next two days at the cold end [degC]; bottles stand outdoors."""
    ahead = air.air_c[:, air.now_index : air.now_index + BRIDGE_H + 1]
    return float(np.quantile(ahead.min(axis=1), 1.0 - COLD))


def need_by_hour_w(vehicle: Vehicle, shell: Shell, air: SiteAir, setting_c: float) -> Array:
    """Heat that holds a cabin, by member and hour of the next two days, shape (M, H) [W].

    The steady need of each hour: what furniture and water give back between them is left out,
    which is the cautious side in a falling night.
    """
    air = around(vehicle, air)
    outside_c = air.air_c
    ahead = slice(air.now_index, air.now_index + BRIDGE_H + 1)
    roof_k = air.roof_k[ahead]
    link, locker_ua = shell.locker_to_cabin_w_per_k.value, shell.locker_to_outside_w_per_k.value
    through = link * locker_ua / (link + locker_ua)
    difference_k = setting_c - outside_c[:, ahead]
    ua = shell.cabin_ua_w_per_k.value
    need_w: Array = ua * (difference_k - ROOF_SHARE * roof_k) + through * difference_k
    return np.maximum(need_w, 0.0)


def held_at_c(shell: Shell, setting_c: float, need_w: float, supply_w: float) -> float:
    """What the cabin is held at where the need of its setting passes the supply [degC]."""
    link, locker_ua = shell.locker_to_cabin_w_per_k.value, shell.locker_to_outside_w_per_k.value
    ua = shell.cabin_ua_w_per_k.value + link * locker_ua / (link + locker_ua)
    return setting_c - max(0.0, need_w - supply_w) / ua


def store_of(hold: HeatedHold, given_w: Array) -> tuple[float | None, float | None]:
    """Margin of the store over two days and the hour at which it is used up, cold end."""
    margins: list[float] = []
    hours: list[float] = []
    per = {Fuel.GAS: PROPANE_KWH_PER_KG, Fuel.DIESEL: DIESEL_KWH_PER_L}
    if hold.store is not None and hold.fuel in per:
        there_kwh = max(1e-9, hold.store * per[hold.fuel])
        used_kwh = np.cumsum(given_w[:, :-1], axis=1) / 1000.0
        margins.append(1.0 - float(np.quantile(used_kwh[:, -1], COLD)) / there_kwh)
        gone = used_kwh > there_kwh
        at_h = np.where(gone.any(axis=1), gone.argmax(axis=1).astype(float), np.inf)
        hours.append(float(np.quantile(at_h, 1.0 - COLD, method="lower")))
    if hold.battery_ah is not None:
        margins.append(1.0 - FAN_A * BRIDGE_H / max(1e-9, hold.battery_ah))
        hours.append(hold.battery_ah / FAN_A)
    first = min(hours, default=math.inf)
    return min(margins, default=None), first if first < BRIDGE_H else None
