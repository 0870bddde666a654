"""Typical caravans: inboard tank, external containers, no automatic valve."""

from frostwatch.fleet.layouts.groups import (
    carriers,
    cold_side,
    fresh_tank,
    hot_side,
    outside_point,
    toilet,
    trap,
    waste_pipes,
)
from frostwatch.fleet.layouts.parts import (
    dump_valve,
    estimate,
    none_left,
    practice,
    shell,
    tank,
)
from frostwatch.fleet.vehicles import Item, Layout, Place

CARAVAN_SHELL = shell((5.0, 2.2, 1.95), glazing_m2=6.0, cab_and_vents_w_per_k=12.0)


def _container(name: str, litres: float, size_m: tuple[float, float, float]) -> Item:
    return tank(
        f"X1.{name}",
        Place.OUTSIDE,
        size_m,
        capacity_l=practice(litres, 0.6 * litres, 1.3 * litres),
        left_drained_l=none_left(),
        could_split=f"{name} container",
        lets_go="empty, take indoors",
    )


WASTE_CONTAINER = _container("waste", 38.0, (0.75, 0.45, 0.115))
FRESH_CONTAINER = _container("fresh", 40.0, (0.42, 0.31, 0.31))

CARAVAN_INBOARD = Layout(
    key="caravan-inboard",
    name="caravan, inboard fresh tank",
    shell=CARAVAN_SHELL,
    items=(
        fresh_tank(
            Place.LOCKER,
            (0.60, 0.35, 0.215),
            45.0,
            left_travel_l=20.0,
            lets_go="plug in the front locker",
        ),
        *cold_side(pump=Place.LOCKER, cabin_m=11.0, exposed_m=0.5),
        outside_point(),
        *hot_side(heater=Place.CABIN, cabin_m=9.0),
        trap("sink", Place.CABIN),
        trap("basin", Place.CABIN),
        trap("shower", Place.FLOOR),
        waste_pipes(Place.FLOOR, 3.0),
        *toilet(flush_tank=True),
        WASTE_CONTAINER,
        carriers(),
    ),
    valve=dump_valve(Place.CABIN),
    space_heat_w=estimate(3000.0, 2000.0, 6000.0),
    water_heat_w=estimate(1500.0, 850.0, 2000.0),
    heat_source="gas blown air",
)

CARAVAN_CONTAINERS = Layout(
    key="caravan-containers",
    name="caravan, external fresh and waste containers",
    shell=CARAVAN_SHELL,
    items=(
        *cold_side(pump=Place.LOCKER, cabin_m=11.0, exposed_m=0.5),
        *hot_side(heater=Place.CABIN, cabin_m=9.0),
        trap("sink", Place.CABIN),
        trap("basin", Place.CABIN),
        trap("shower", Place.FLOOR),
        waste_pipes(Place.FLOOR, 3.0),
        *toilet(flush_tank=True),
        FRESH_CONTAINER,
        WASTE_CONTAINER,
        carriers(),
    ),
    valve=dump_valve(Place.CABIN),
    space_heat_w=estimate(3000.0, 2000.0, 6000.0),
    water_heat_w=estimate(1500.0, 850.0, 2000.0),
    heat_source="gas blown air",
)

CARAVAN_NO_VALVE = Layout(
    key="caravan-no-valve",
    name="caravan, heater tank drained by hand",
    shell=CARAVAN_SHELL,
    items=(
        fresh_tank(
            Place.LOCKER,
            (0.60, 0.30, 0.17),
            30.0,
            left_travel_l=10.0,
            lets_go="plug under the bed",
        ),
        *cold_side(pump=Place.LOCKER, cabin_m=9.0, exposed_m=0.5),
        *hot_side(
            heater=Place.LOCKER,
            cabin_m=7.0,
            diameter_m=0.22,
            length_m=0.37,
            taps=2,
            lets_go="lever and plug outside, hot taps open",
        ),
        trap("sink", Place.CABIN),
        trap("basin", Place.CABIN),
        waste_pipes(Place.FLOOR, 3.0),
        *toilet(flush_tank=True),
        WASTE_CONTAINER,
        carriers(),
    ),
    valve=None,
    space_heat_w=estimate(3000.0, 2000.0, 4000.0),
    water_heat_w=estimate(850.0, 800.0, 1500.0),
    heat_source="gas convector",
)
