"""What a recorded state does to the water: the heated waste tank, the open valve, the glycol."""

import numpy as np
import pytest

from frostwatch.advice.harm import harm_fraction_of
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.vehicles import Circuit
from frostwatch.heatloss.network import Network, build_network
from frostwatch.heatloss.solve import Job, solve
from frostwatch.records.entries import Entry, State
from frostwatch.records.standing_water import water_of
from tests.builders import NOW, a_layout, a_vehicle, an_entry
from tests.heatloss.nights import an_air

HEATED = next(
    key
    for key, one in CATALOGUE.items()
    if any(item.heater_needs_l and item.circuit is Circuit.WASTE_TANK for item in one.items)
)
COLD_NIGHTS = an_air(np.full((1, 97), -8.0))


def network_of(layout: str, *entries: Entry) -> Network:
    """A vehicle that is drained but for what is recorded here."""
    dry = [
        an_entry(circuit, State.DRAINED, hours_ago=48)
        for circuit in dict.fromkeys(item.circuit for item in a_layout(layout).items)
    ]
    vehicle = a_vehicle(layout=layout)
    water = water_of(vehicle, a_layout(layout), [*dry, *entries], NOW)
    return build_network(vehicle, a_layout(layout), water, COLD_NIGHTS, harm_fraction_of)


@pytest.mark.parametrize(("litres", "freezes"), [(6.0, True), (9.5, True), (10.0, False)])
def test_a_heated_waste_tank_freezes_unless_it_holds_ten_litres(
    litres: float, *, freezes: bool
) -> None:
    """A panel-van handbook, 2022, p. 141: the tank heater needs at least 10 L to work."""
    network = network_of(
        HEATED, an_entry(Circuit.WASTE_TANK, State.PART_FULL, litres_l=litres, hours_ago=2)
    )
    tank = network.item_keys.index("W3")

    (path,) = solve([Job(network=network, air=COLD_NIGHTS)])

    assert bool(network.heater_w[tank]) is not freezes
    assert bool(np.isfinite(path.harm_at_h[tank]).any()) is freezes


def test_ice_in_an_open_waste_tank_harms_nothing() -> None:
    network = network_of(
        "coachbuilt-seat-tank", an_entry(Circuit.WASTE_TANK, State.OPEN_RUNNING, hours_ago=2)
    )
    (path,) = solve([Job(network=network, air=COLD_NIGHTS)])
    assert not np.isfinite(path.harm_at_h).any()


def test_the_hydronic_circuit_is_no_water_that_freezes() -> None:
    layout = next(key for key, one in CATALOGUE.items() if one.hydronic_l > 0.0)
    assert network_of(layout).item_keys == ()


def test_a_full_container_on_the_ground_freezes_and_an_emptied_one_does_not() -> None:
    layout = next(
        key
        for key, one in CATALOGUE.items()
        if any(item.circuit is Circuit.CONTAINERS for item in one.items)
    )
    network = network_of(layout, an_entry(Circuit.CONTAINERS, State.FULL, hours_ago=2))
    (path,) = solve([Job(network=network, air=COLD_NIGHTS)])
    assert np.isfinite(path.ice_at_h).any()
    assert network_of(layout).item_keys == ()
