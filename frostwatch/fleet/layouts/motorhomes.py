"""Typical motorhomes: coachbuilt, over-cab, A-class."""

from frostwatch.fleet.layouts.groups import (
    carriers,
    cold_side,
    filter_housing,
    fresh_tank,
    hot_side,
    outside_point,
    toilet,
    trap,
    waste_pipes,
    waste_tank,
)
from frostwatch.fleet.layouts.parts import dump_valve, estimate, shell, tank
from frostwatch.fleet.vehicles import Layout, Place

UNDERSLUNG_90_L = (1.00, 0.50, 0.18)
"""Footprint of a 120 L waste tank of 1.2 x 0.55 x 0.18 m, cut to 90 L at the same height."""

SEAT_TANK_100_L = (0.80, 0.50, 0.25)

COACHBUILT_SEAT_TANK = Layout(
    key="coachbuilt-seat-tank",
    name="coachbuilt, fresh tank in the double-sided seat",
    shell=shell((5.5, 2.2, 2.0), glazing_m2=5.0, cab_and_vents_w_per_k=25.9),
    items=(
        fresh_tank(
            Place.LOCKER,
            SEAT_TANK_100_L,
            100.0,
            lets_go="drain plug in the seat box, reached by arm",
        ),
        *cold_side(pump=Place.LOCKER, cabin_m=14.0, exposed_m=1.0),
        *hot_side(heater=Place.CABIN, cabin_m=10.0),
        trap("sink", Place.CABIN),
        trap("basin", Place.CABIN),
        trap("shower", Place.FLOOR),
        waste_pipes(Place.FLOOR),
        *waste_tank(Place.FLOOR, UNDERSLUNG_90_L, 90.0),
        *toilet(flush_tank=False),
        carriers(),
    ),
    valve=dump_valve(Place.CABIN),
    space_heat_w=estimate(4000.0, 3500.0, 6000.0),
    water_heat_w=estimate(1500.0, 1000.0, 2000.0),
    heat_source="gas blown air",
)

COACHBUILT_UNDERSLUNG_FRESH = Layout(
    key="coachbuilt-underslung-fresh",
    name="coachbuilt, fresh tank under the floor",
    shell=shell((5.8, 2.2, 2.0), glazing_m2=5.0, cab_and_vents_w_per_k=26.0),
    items=(
        fresh_tank(
            Place.FLOOR, UNDERSLUNG_90_L, 90.0, lets_go="tap under the floor beside the fresh tank"
        ),
        *cold_side(pump=Place.LOCKER, cabin_m=13.0, exposed_m=2.0, exposed_foam_m=0.013),
        outside_point(),
        *hot_side(heater=Place.LOCKER, cabin_m=10.0),
        trap("sink", Place.CABIN),
        trap("basin", Place.CABIN),
        trap("shower", Place.FLOOR),
        waste_pipes(Place.FLOOR, 3.0),
        *waste_tank(Place.FLOOR, UNDERSLUNG_90_L, 90.0),
        *toilet(flush_tank=True),
        carriers(),
    ),
    valve=dump_valve(Place.LOCKER),
    space_heat_w=estimate(4000.0, 3500.0, 6000.0),
    water_heat_w=estimate(1500.0, 1000.0, 2000.0),
    heat_source="gas blown air",
)

COACHBUILT_HEATED_WASTE = Layout(
    key="coachbuilt-heated-waste",
    name="coachbuilt, insulated and heated waste tank",
    shell=shell((5.8, 2.2, 2.0), glazing_m2=4.5, cab_and_vents_w_per_k=24.0),
    items=(
        fresh_tank(Place.LOCKER, SEAT_TANK_100_L, 100.0, lets_go="drain plug in the seat box"),
        *cold_side(pump=Place.LOCKER, cabin_m=14.0),
        filter_housing(Place.LOCKER),
        *hot_side(heater=Place.CABIN, cabin_m=10.0),
        trap("sink", Place.CABIN),
        trap("basin", Place.CABIN),
        trap("shower", Place.LOCKER),
        waste_pipes(Place.FLOOR, 1.6),
        *waste_tank(
            Place.FLOOR,
            UNDERSLUNG_90_L,
            90.0,
            foam_m=0.025,
            heater_w=60.0,
            lets_go="slide valve in the insulated box, left open",
        ),
        *toilet(flush_tank=False),
        carriers(),
    ),
    valve=dump_valve(Place.CABIN),
    space_heat_w=estimate(6000.0, 4000.0, 6000.0),
    water_heat_w=estimate(1500.0, 1000.0, 2000.0),
    heat_source="gas blown air",
)

ALCOVE_FAMILY = Layout(
    key="alcove-family",
    name="over-cab family motorhome",
    shell=shell((6.0, 2.3, 2.2), glazing_m2=7.0, cab_and_vents_w_per_k=34.0),
    items=(
        fresh_tank(
            Place.LOCKER, (0.90, 0.50, 0.27), 120.0, lets_go="drain plug in the dinette seat box"
        ),
        *cold_side(pump=Place.LOCKER, cabin_m=18.0, exposed_m=1.5),
        outside_point(),
        *hot_side(heater=Place.CABIN, cabin_m=13.0, taps=4),
        trap("sink", Place.CABIN),
        trap("basin", Place.CABIN),
        trap("shower", Place.FLOOR),
        waste_pipes(Place.FLOOR, 3.5),
        *waste_tank(Place.FLOOR, (1.20, 0.50, 0.18), 105.0),
        *toilet(flush_tank=True),
        carriers(),
    ),
    valve=dump_valve(Place.CABIN),
    space_heat_w=estimate(6000.0, 4000.0, 6000.0),
    water_heat_w=estimate(1500.0, 1000.0, 2000.0),
    heat_source="gas blown air",
)

A_CLASS_DOUBLE_FLOOR = Layout(
    key="a-class-double-floor",
    name="A-class, double floor, hydronic heating",
    shell=shell((7.0, 2.3, 2.1), glazing_m2=8.0, cab_and_vents_w_per_k=15.0),
    items=(
        fresh_tank(
            Place.LOCKER,
            (1.10, 0.60, 0.23),
            150.0,
            lets_go="pull cord in the double floor, rear left",
        ),
        *cold_side(pump=Place.LOCKER, cabin_m=20.0),
        outside_point(),
        filter_housing(Place.LOCKER),
        *hot_side(heater=Place.LOCKER, cabin_m=14.0, taps=3, lets_go="tap in the double floor"),
        trap("sink", Place.CABIN),
        trap("basin", Place.CABIN),
        trap("shower", Place.LOCKER),
        waste_pipes(Place.LOCKER),
        *waste_tank(
            Place.LOCKER, (1.10, 0.60, 0.18), 118.0, lets_go="lever in the double floor, left open"
        ),
        *toilet(flush_tank=False),
        carriers(),
    ),
    valve=dump_valve(Place.LOCKER),
    space_heat_w=estimate(6000.0, 5500.0, 8500.0),
    water_heat_w=estimate(1500.0, 1000.0, 2000.0),
    heat_source="gas hydronic heating with convectors",
    hydronic_l=12.0,
)

LARGE_A_CLASS = Layout(
    key="large-a-class",
    name="large A-class, double floor, hydronic heating, macerator",
    shell=shell((8.5, 2.4, 2.2), glazing_m2=9.0, cab_and_vents_w_per_k=18.0),
    items=(
        fresh_tank(
            Place.LOCKER,
            (1.30, 0.80, 0.29),
            300.0,
            left_travel_l=40.0,
            lets_go="ball valve in the double floor, centre",
        ),
        *cold_side(pump=Place.LOCKER, cabin_m=30.0),
        outside_point(),
        filter_housing(Place.LOCKER),
        *hot_side(
            heater=Place.LOCKER,
            cabin_m=22.0,
            diameter_m=0.22,
            length_m=0.37,
            taps=5,
            lets_go="dump valve in the double floor, hot taps open",
        ),
        trap("sink", Place.CABIN),
        trap("basin", Place.CABIN),
        trap("shower", Place.LOCKER),
        waste_pipes(Place.LOCKER, 3.5),
        *waste_tank(
            Place.LOCKER, (1.20, 0.70, 0.24), 200.0, lets_go="lever in the double floor, left open"
        ),
        *toilet(flush_tank=False, cassette=False),
        tank(
            "X2",
            Place.LOCKER,
            (0.80, 0.60, 0.25),
            capacity_l=estimate(120.0, 50.0, 200.0),
            left_drained_l=estimate(2.0, 1.0, 3.0),
            could_split="macerator pump",
            lets_go="empty at a disposal point, then run the pump 30 s",
        ),
        carriers(10.0),
    ),
    valve=dump_valve(Place.LOCKER),
    space_heat_w=estimate(8500.0, 6000.0, 10000.0),
    water_heat_w=estimate(2000.0, 1000.0, 2500.0),
    heat_source="diesel hydronic heating with convectors",
    hydronic_l=20.0,
)
