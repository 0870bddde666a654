"""The catalogue's items lose heat as worked out by hand for a handful of typical ones.

Source of the figures: worked from sizes, wall, foam and film by the formulas beside them; estimates
all, no measured cooling curve of an underslung tank or a water heater has been found.
"""

from dataclasses import replace

import numpy as np
import pytest

from frostwatch.fleet.layouts.groups import fresh_tank, outlet_stub
from frostwatch.fleet.layouts.parts import estimate, heater_tank, none_left, pipe, tank
from frostwatch.fleet.vehicles import Item, Place
from frostwatch.heatloss.vessels import FLOOR_WIND_SHARE, exposure_of

WIND_10_M = 3.0
UNDERSLUNG_120_L = tank(
    "W3",
    Place.FLOOR,
    (1.20, 0.55, 0.18),
    capacity_l=estimate(120.0, 90.0, 150.0),
    left_drained_l=none_left(),
)


def conductance(item: Item, litres: float, wind: float = WIND_10_M) -> float:
    """Whole conductance [W/K] under a steady 10 m wind."""
    ways = exposure_of(item, litres, np.array([wind]))
    return float(ways.cabin_w_per_k + ways.locker_w_per_k + ways.outside_w_per_k[0])


def time_constant_h(item: Item, litres: float) -> float:
    return (litres * 4200 + item.dry_j_per_k.value) / conductance(item, litres) / 3600


@pytest.mark.parametrize(
    ("litres", "ua", "hours"), [(20, 9.5, 2.7), (60, 12.0, 6.1), (120, 15.6, 9.2)]
)
def test_a_bare_waste_tank_loses_by_its_wetted_area(litres: float, ua: float, hours: float) -> None:
    """Wetted wall at 1/(1/13 + 0.004/0.4), 1.2 W/(m2 K) from the surface up through the top."""
    assert conductance(UNDERSLUNG_120_L, litres) == pytest.approx(ua, rel=0.02)
    assert time_constant_h(UNDERSLUNG_120_L, litres) == pytest.approx(hours, rel=0.06)


@pytest.mark.parametrize("litres", [20, 60, 120])
def test_an_inch_of_foam_leaves_about_a_fifth_of_the_loss(litres: float) -> None:
    """25 mm by area and film, never "halves it"; 20 L: 1.9 W/K."""
    foamed = replace(UNDERSLUNG_120_L, foam_m=0.025)
    share = conductance(foamed, litres) / conductance(UNDERSLUNG_120_L, litres)
    assert 0.15 < share < 0.22
    assert conductance(foamed, 20) == pytest.approx(1.9, rel=0.05)


def test_a_water_heater_in_foam_keeps_its_water_for_a_day() -> None:
    """0.20 x 0.32 m, 20 mm foam of 0.035 W/(m K), film 7.7: 0.41 W/K, 29 h, 16 W at 60/20 degC."""
    heater = heater_tank(Place.CABIN, lets_go="")
    assert conductance(heater, 10) == pytest.approx(0.41, rel=0.02)
    assert time_constant_h(heater, 10) == pytest.approx(29, rel=0.02)
    assert conductance(heater, 10) * 40 == pytest.approx(16, rel=0.05)


@pytest.mark.parametrize(("local_wind", "ua"), [(0.5, 0.93), (2.0, 1.5)])
def test_a_bare_pipe_under_the_floor_loses_with_the_wind(local_wind: float, ua: float) -> None:
    bare = pipe("F3", Place.FLOOR, 1.0)
    assert conductance(bare, 0.113, local_wind / FLOOR_WIND_SHARE) == pytest.approx(ua, rel=0.04)


def test_a_bare_pipe_indoors_loses_four_tenths_of_a_watt_a_metre() -> None:
    assert conductance(pipe("F3", Place.CABIN, 1.0), 0.113) == pytest.approx(0.39, rel=0.03)


@pytest.mark.parametrize(("foam_mm", "ua"), [(9, 0.24), (13, 0.20), (19, 0.17)])
def test_foam_on_a_thin_pipe_soon_helps_no_more(foam_mm: float, ua: float) -> None:
    """0.038 W/(m K), nearly still air of 0.3 m/s under the floor."""
    sleeved = pipe("F3", Place.FLOOR, 1.0, foam_m=foam_mm / 1000)
    assert conductance(sleeved, 0.113, wind=0.0) == pytest.approx(ua, rel=0.02)


def test_the_wall_of_a_plastic_pipe_is_near_a_third_of_its_water() -> None:
    bare = pipe("F3", Place.FLOOR, 1.0)
    assert bare.dry_j_per_k.value / (bare.capacity_l.value * 4200) == pytest.approx(0.30, abs=0.03)


def test_a_fresh_tank_indoors_and_the_stub_have_their_usual_time_constants() -> None:
    """60 of 100 L: about 6.5 W/K (4 to 9), 11 h; stub 0.45 W/K, 0.74 h."""
    fresh = fresh_tank(Place.LOCKER, (0.80, 0.50, 0.25), 100.0, lets_go="")
    assert conductance(fresh, 60) == pytest.approx(6.5, rel=0.08)
    assert time_constant_h(fresh, 60) == pytest.approx(11, rel=0.1)
    assert time_constant_h(outlet_stub(), 0.25) == pytest.approx(0.74, rel=0.06)


def test_only_items_outdoors_feel_the_wind() -> None:
    for place in Place:
        item = pipe("F3", place, 1.0)
        calm, storm = conductance(item, 0.1, 0.0), conductance(item, 0.1, 15.0)
        assert (storm > 1.2 * calm) == (place in (Place.FLOOR, Place.OUTSIDE))
