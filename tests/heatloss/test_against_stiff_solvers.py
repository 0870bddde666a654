"""Whole vehicles against scipy's stiff integrators, which share nothing with the fleet solver."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.vehicles import HeatedHold
from frostwatch.heatloss.network import Network
from frostwatch.heatloss.solve import Job, solve
from frostwatch.weather.site_air import SiteAir
from tests.heatloss.nights import a_network, a_spell, an_air, failing_from
from tests.heatloss.whole_vehicle import Course, integrate

MOST_LATE_H = 5 / 60
MOST_ICE = 0.01
MOST_K = 0.05
"""Away from the hour in which a small item has just frozen through; see ``just_frozen``."""


def both(network: Network, air: SiteAir) -> tuple[Course, Any, Any, Any]:
    """The independent answer and the fleet's, from the same start: the mean of the first day."""
    (fleet,) = solve([Job(network=network, air=air)])
    start = fleet.end
    exact = integrate(
        network,
        air.air_c[0],
        air.roof_k,
        np.array([start.hubs_c[0, 0], start.hubs_c[2, 0], start.hubs_c[1, 0]], float),
        start.enthalpy_j[:, 0].astype(float),
        is_open=bool(start.tripped[0]),
    )
    return exact, fleet.water_c[:, 0], fleet.ice_fraction[:, 0], fleet


def compare(network: Network, air: SiteAir) -> None:
    exact, water_c, ice, fleet = both(network, air)
    known = np.isfinite(exact.ice_at_h) & np.isfinite(fleet.ice_at_h[:, 0])
    assert known.any()
    late_h = np.abs(exact.ice_at_h[known] - fleet.ice_at_h[known, 0])
    assert late_h.max() < MOST_LATE_H
    assert np.nanmax(np.abs(exact.ice_fraction - ice)) < MOST_ICE
    turning = just_frozen(exact.ice_fraction)
    apart_k = np.where(turning, 0.0, np.abs(exact.water_c - water_c))
    assert np.nanmax(apart_k) < MOST_K + 0.15  # ten-minute steps, hourly shell
    assert np.nanmedian(apart_k) < MOST_K / 5


def just_frozen(ice: Any) -> Any:
    """Hours in which an item froze through or began to thaw, and the two after: there a small item
    turns by kelvins within minutes."""
    solid = ice > 0.999
    turned = np.zeros_like(solid)
    turned[:, 1:] = solid[:, 1:] != solid[:, :-1]
    for after in (1, 2):
        turned[:, after:] |= turned[:, :-after]
    return turned


@pytest.mark.parametrize("layout", ["coachbuilt-seat-tank", "panel-van", "caravan-no-valve"])
def test_an_unheated_vehicle_through_a_cold_spell(layout: str) -> None:
    air = an_air(a_spell(72, mean_c=-1.0))
    compare(a_network(layout, air), air)


def test_a_ten_day_spell_keeps_its_memory() -> None:
    air = an_air(a_spell(240, mean_c=1.0, swing_k=5.0))
    compare(a_network("small-camper", air), air)


def test_a_thermostat_and_a_heater_that_fails() -> None:
    air = an_air(a_spell(72, mean_c=-3.0))
    hold = HeatedHold(source="hook-up", power_w=2500.0, setting_c=6.0)
    network = failing_from(a_network("panel-van-indoor-valve", air, hold=hold), 36)
    compare(network, air)


def test_a_valve_that_latches_takes_its_tank_out_at_the_same_minute() -> None:
    air = an_air(a_spell(48, mean_c=4.0, swing_k=4.0))
    network = a_network("coachbuilt-seat-tank", air)
    exact, _, _, fleet = both(network, air)
    assert network.valve_item >= 0
    if np.isfinite(exact.tripped_at_h):
        assert fleet.tripped_at_h[0] == pytest.approx(exact.tripped_at_h, abs=MOST_LATE_H)
    else:
        assert fleet.tripped_at_h[0] <= 0.0


def harsh_air(seed: int, hours: int = 48) -> SiteAir:
    """Swings of 6 to 18 K a day, wind from calm to storm within hours, clear nights."""
    rng = np.random.default_rng(seed)
    h = np.arange(hours + 1)
    day = rng.uniform(3, 9) * np.cos(2 * np.pi * (h - rng.uniform(0, 24)) / 24)
    air_c = rng.uniform(0, 3) + day + np.cumsum(rng.normal(0, 0.4, hours + 1))
    wind = np.clip(rng.gamma(2, 2.0) + np.cumsum(rng.normal(0, 1.0, hours + 1)), 0, 18)
    return replace(an_air(air_c[None]), wind_m_per_s=wind, roof_k=-rng.uniform(0, 8, hours + 1))


@pytest.mark.parametrize("seed", range(6))
def test_any_layout_in_harsh_air_heated_or_not(seed: int) -> None:
    """Whatever starts frost-free. Temperatures of a pipe that has just frozen through are left out:
    they may be off by a kelvin for an hour."""
    air = harsh_air(seed)
    hold = HeatedHold(source="hook-up", power_w=1500.0, setting_c=5.0) if seed % 2 else None
    network = a_network(sorted(CATALOGUE)[2 * seed], air, hold=hold, full=0.2 + 0.1 * seed)
    exact, _, ice, fleet = both(network, air)
    found = fleet.ice_at_h[:, 0]
    assert np.abs(exact.ice_fraction - ice).max() < MOST_ICE
    from_liquid = exact.ice_at_h > 1e-3
    assert (np.isfinite(found) == np.isfinite(exact.ice_at_h))[from_liquid].all()
    frozen = from_liquid & np.isfinite(found)
    late_h = np.abs(exact.ice_at_h[frozen] - found[frozen])
    assert late_h.max(initial=0.0) < MOST_LATE_H
    if network.valve_item >= 0 and np.isfinite(exact.tripped_at_h):
        assert fleet.tripped_at_h[0] == pytest.approx(exact.tripped_at_h, abs=MOST_LATE_H)


def test_every_layout_of_the_catalogue_can_be_stepped() -> None:
    air = an_air(a_spell(24, mean_c=-4.0, members=3))
    networks = [a_network(key, air, glycol=0.2) for key in CATALOGUE]
    for network, path in zip(
        networks, solve([Job(network=n, air=air) for n in networks]), strict=True
    ):
        assert path.item_keys == network.item_keys
        assert np.isfinite(path.ice_fraction).all()
        assert ((path.ice_fraction >= 0.0) & (path.ice_fraction <= 1.0)).all()
