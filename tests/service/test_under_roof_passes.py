"""Vehicles in buildings through whole passes: nobody vouches for good."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from frostwatch.fleet.heat import Fuel, Handover, HeatSource
from frostwatch.fleet.roofs import Roof, RoofedBays, Under
from frostwatch.fleet.sites import Shelter, Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.service.handover_asked import plan_one
from frostwatch.service.pass_ import run_pass
from tests.builders import NOW
from tests.service.test_pass import COLD, READING, kinds
from tests.worlds import World, a_small_yard, a_world

GAS = HeatSource(fuel=Fuel.GAS, power_w=6000.0)


@pytest.fixture
def world() -> Iterator[World]:
    world = a_world()
    yield world
    world.ledger.close()


def hall(until: datetime, warm_c: float = 15.0) -> Under:
    return Under(kind=Roof.HEATED, heated_to_c=warm_c, by="Ailsa", until=until)


def stand(world: World, under: Under | None = None, **site: object) -> tuple[Site, Vehicle]:
    place, vehicle = a_small_yard(world, NOW)
    place = replace(place, **site)  # type: ignore[arg-type]
    bay = place.bays[0]
    vehicle = replace(vehicle, under=under, bay=bay)
    world.ledger.save_fleet(sites=[place], vehicles=[vehicle])
    world.weather.cold(COLD, hours=10.0)
    return place, vehicle


def test_a_vehicle_in_a_heated_hall_asks_for_nobody_while_that_is_vouched_for(
    world: World,
) -> None:
    stand(world, hall(COLD + timedelta(days=9)))
    assert world.told_at(READING) == []


def test_one_that_leaves_the_hall_before_the_frost_ends_is_told_in_time(world: World) -> None:
    """D11: a service customer leaves the warm bay, wet, into a hard night."""
    stand(world, hall(COLD - timedelta(hours=2)))
    assert kinds(world.told_at(READING)) == ["work order"]


def test_what_was_vouched_for_until_yesterday_counts_as_outdoors(world: World) -> None:
    stand(world, hall(READING - timedelta(hours=12)))
    assert kinds(world.told_at(READING)) == ["work order"]


def test_a_bay_in_a_heated_hall_speaks_for_its_vehicle(world: World) -> None:
    bays = RoofedBays(bays=("A-01",), under=hall(COLD + timedelta(days=9)))
    stand(world, roofs=(bays,))
    assert world.told_at(READING) == []


def test_what_is_said_of_the_vehicle_goes_before_its_bay(world: World) -> None:
    bays = RoofedBays(bays=("A-01",), under=hall(COLD + timedelta(days=9)))
    stand(world, Under(kind=Roof.NONE), roofs=(bays,))
    assert kinds(world.told_at(READING)) == ["work order"]


def test_indoors_alone_says_nothing_of_heat_and_freezes_later(world: World) -> None:
    """In the open, and in a building nobody heats: both are reckoned with, the second later."""
    harm = []
    for under in (Under(kind=Roof.NONE), Under(kind=Roof.UNHEATED)):
        _, vehicle = stand(world, under)
        world.weather.cold(COLD, hours=60.0)
        report = run_pass(world.kit, READING, everything=True, keep=False)
        night = report.sites[0].nights[vehicle.key]
        harm.append(float(np.median(night.harm_h.min(axis=0))))
    assert harm[0] + 1.5 < harm[1] < 110.0
    stand(world, shelter=Shelter.INDOORS)
    report = run_pass(world.kit, READING, everything=True, keep=False)
    assert report.sites[0].vans[0].vehicle.under == Under(kind=Roof.UNHEATED)


def test_indoors_the_day_before_a_handover_takes_less_heat_and_nothing_may_burn(
    world: World,
) -> None:
    """The way out that is told where a plan does not fit, taken."""
    at = READING + timedelta(hours=26)
    hours = []
    for under in (None, hall(at)):
        _, vehicle = stand(world, under)
        world.weather.cold(READING - timedelta(hours=30), hours=72.0)
        electric = HeatSource(fuel=Fuel.ELECTRIC, power_w=1800.0)
        vehicle = replace(vehicle, heat=(GAS, electric), handover=Handover(at=at))
        world.ledger.save_fleet(vehicles=[vehicle])
        kit = world.kit
        planned, _ = plan_one(kit.ledger.load(READING), kit.forecasts, vehicle.key, READING)
        best = planned.best
        assert best.on_by is not None
        hours.append((at - best.on_by, best.source.fuel))
    (cold, cold_fuel), (warm, warm_fuel) = hours
    assert warm < cold
    assert cold_fuel is Fuel.GAS
    assert warm_fuel is Fuel.ELECTRIC
