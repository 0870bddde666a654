"""Typical vans: panel-van conversion, small camper."""

from frostwatch.fleet.layouts.groups import (
    carriers,
    cold_side,
    fresh_tank,
    hot_side,
    outlet_stub,
    outside_point,
    toilet,
    trap,
    waste_pipes,
    waste_tank,
)
from frostwatch.fleet.layouts.parts import dump_valve, estimate, practice, shell, tank
from frostwatch.fleet.vehicles import Layout, Place

PANEL_VAN = Layout(
    key="panel-van",
    name="panel-van conversion, dump valve under the floor",
    shell=shell((4.5, 1.85, 1.9), glazing_m2=4.0, cab_and_vents_w_per_k=25.0, bridges=1.5),
    items=(
        fresh_tank(
            Place.LOCKER, (0.80, 0.50, 0.25), 100.0, lets_go="turn knob behind the rear door, left"
        ),
        *cold_side(pump=Place.LOCKER, cabin_m=10.0, exposed_m=0.8),
        outside_point(),
        *hot_side(
            heater=Place.LOCKER,
            cabin_m=7.0,
            taps=2,
            exposed_m=0.5,
            lets_go="dump valve under the floor, hot taps open",
        ),
        trap("sink", Place.CABIN),
        trap("shower", Place.FLOOR),
        waste_pipes(Place.FLOOR),
        *waste_tank(Place.FLOOR, (1.00, 0.50, 0.18), 90.0),
        *toilet(flush_tank=True),
        carriers(),
    ),
    valve=dump_valve(Place.FLOOR),
    space_heat_w=estimate(4000.0, 2000.0, 6000.0),
    water_heat_w=estimate(1500.0, 1000.0, 2000.0),
    heat_source="diesel blown air",
)

PANEL_VAN_INDOOR_VALVE = Layout(
    key="panel-van-indoor-valve",
    name="panel-van conversion, dump valve in the living room",
    shell=PANEL_VAN.shell,
    items=PANEL_VAN.items,
    valve=dump_valve(Place.CABIN),
    space_heat_w=estimate(4000.0, 2000.0, 6000.0),
    water_heat_w=estimate(1500.0, 1000.0, 2000.0),
    heat_source="gas blown air",
)

SMALL_CAMPER = Layout(
    key="small-camper",
    name="small camper van, no water heater",
    shell=shell((2.9, 1.7, 1.3), glazing_m2=3.0, cab_and_vents_w_per_k=22.0, bridges=1.5),
    items=(
        fresh_tank(
            Place.CABIN,
            (0.55, 0.30, 0.24),
            40.0,
            left_travel_l=10.0,
            lets_go="hose and tap in the rear cupboard",
        ),
        *cold_side(pump=Place.CABIN, cabin_m=3.0),
        trap("sink", Place.CABIN),
        tank(
            "W3",
            Place.FLOOR,
            (0.60, 0.34, 0.147),
            capacity_l=practice(30.0, 20.0, 40.0),
            left_drained_l=estimate(0.5, 0.3, 2.0),
            could_split="slide valve and tank seam",
            lets_go="slide valve under the sliding door, left open",
        ),
        outlet_stub(),
        carriers(),
    ),
    valve=None,
    space_heat_w=estimate(2000.0, 2000.0, 4000.0),
    water_heat_w=estimate(0.0, 0.0, 0.0),
    heat_source="diesel blown air",
)
