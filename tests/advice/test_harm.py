"""When harm begins, how likely it is, and what could split."""

import math
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.advice.harm import (
    SOLID,
    SWELLING,
    chance_of,
    harm_fraction_of,
    probability_of,
    vehicle_night,
)
from frostwatch.fleet.vehicles import Circuit
from tests import builders
from tests.advice.nights import a_night, a_trajectory, some_water

LAYOUT = builders.a_layout()


@pytest.mark.parametrize(
    ("key", "litres", "expected"),
    [
        ("F3.cabin", 0.5, 0.05),  # a pipe is blocked at 5 %
        ("W4", 0.25, 0.05),  # so is the outlet stub
        ("F1", 60.0, 0.10),  # an open tank's outlet at 10 %
        ("W3", 8.0, 0.10),
        ("H1", 10.0, 0.05),  # a closed stiff tank that is full breaks at 5 %
    ],
)
def test_harm_begins_at_the_share_of_ice_of_the_item(
    key: str, litres: float, expected: float
) -> None:
    assert harm_fraction_of(LAYOUT.item(key), litres, open_end=False) == expected


def test_swelling_is_the_ratio_of_the_densities_of_water_and_ice() -> None:
    # IAPWS-95 and the IAPWS ice equation at 0 degC and 101 325 Pa.
    assert pytest.approx(999.84 / 916.72 - 1.0, abs=5e-4) == SWELLING


@pytest.mark.parametrize(("room", "expected"), [(0.02, 0.23), (0.05, 0.58)])
def test_a_closed_vessel_with_room_breaks_when_the_ice_has_filled_it(
    room: float, expected: float
) -> None:
    # f = u / (1 - u) / 0.0907: 2 % of room gives 0.23, 5 % gives 0.58 (geometry).
    heater = LAYOUT.item("H1")
    litres = heater.capacity_l.value * (1.0 - room)
    assert harm_fraction_of(heater, litres, open_end=False) == pytest.approx(expected, abs=0.01)


def test_a_half_full_heater_tank_is_harmed_only_when_it_is_solid() -> None:
    assert harm_fraction_of(LAYOUT.item("H1"), 5.0, open_end=False) == SOLID


def test_an_open_end_leaves_ice_somewhere_to_go() -> None:
    assert harm_fraction_of(LAYOUT.item("W3"), 8.0, open_end=True) == math.inf


@given(st.sampled_from(LAYOUT.items), st.floats(0.01, 1.0))
def test_a_fuller_item_is_never_harmed_later(item: object, share: float) -> None:
    assert hasattr(item, "capacity_l")
    full = item.capacity_l.value
    less = harm_fraction_of(item, share * full, open_end=False)  # type: ignore[arg-type]
    assert harm_fraction_of(item, full, open_end=False) <= less <= 1.0  # type: ignore[arg-type]


def test_none_of_forty_is_not_zero_and_all_of_forty_not_one() -> None:
    assert probability_of(0, 40) == pytest.approx(0.5 / 41)
    assert probability_of(40, 40) == pytest.approx(40.5 / 41)


def test_four_of_forty_members_are_more_than_one_in_ten() -> None:
    assert probability_of(3, 40) < 0.1 < probability_of(4, 40)


def test_earliest_is_the_hour_one_member_in_ten_reaches_and_likely_the_median() -> None:
    hours = np.arange(1.0, 41.0)
    chance = chance_of(hours)
    assert (chance.earliest_h, chance.likely_h) == (4.0, 20.0)


def test_where_fewer_than_half_are_harmed_there_is_no_likely_hour() -> None:
    hours = np.full(40, np.inf)
    hours[:10] = 12.0
    assert chance_of(hours).likely_h == math.inf


def test_a_vehicle_with_nothing_in_it_has_no_chance_of_harm() -> None:
    night = a_night(builders.NOW, keys=())
    assert night.harm_between(0.0, 100.0).probability == 0.0


def test_harm_that_began_before_a_window_does_not_count_in_it() -> None:
    night = a_night(builders.NOW, builders.NOW + timedelta(hours=10))
    assert night.harm_between(20.0, 40.0).probability < 0.02
    assert night.harm_by(40.0).probability > 0.9


def test_the_tank_behind_a_working_valve_is_left_out_and_told_as_a_fact() -> None:
    water = some_water({Circuit.HEATER_TANK: 10.0}, since=builders.NOW)
    found = vehicle_night(a_trajectory(("H1",), harm_h=(8.0,), tripped_h=6.0), LAYOUT, water)
    assert found.items == ()
    assert found.harm_by(48.0).probability == 0.0
    assert found.valve_opens(48.0).likely_h == 6.0


def test_a_heater_tank_without_such_a_valve_is_counted() -> None:
    layout = builders.a_layout("caravan-no-valve")
    water = some_water({Circuit.HEATER_TANK: 10.0}, since=builders.NOW)
    found = vehicle_night(a_trajectory(("H1",), harm_h=(8.0,)), layout, water)
    assert found.harm_by(48.0).probability > 0.8


@pytest.mark.parametrize("tripped_h", [-np.inf, -12.0])
def test_a_valve_that_stands_open_already_has_opened_at_hour_0(tripped_h: float) -> None:
    water = some_water({Circuit.HEATER_TANK: 10.0}, since=builders.NOW)
    found = vehicle_night(a_trajectory(("H1",), tripped_h=tripped_h), LAYOUT, water)
    assert found.valve_opens(48.0).probability > 0.8
    assert found.valve_opens(48.0).likely_h == 0.0


def test_a_circuit_with_an_open_end_is_left_out() -> None:
    water = some_water({Circuit.WASTE_TANK: 4.0}, since=builders.NOW, open_end=True)
    found = vehicle_night(a_trajectory(("W3",), harm_h=(3.0,)), LAYOUT, water)
    assert found.items == ()


def test_ice_is_gone_in_the_hour_after_the_last_of_it() -> None:
    ice = np.zeros((1, 4, 49), dtype=np.float32)
    ice[0, 0, 5:20] = 0.2  # gone at hour 20
    ice[0, 1, 40:] = 0.2  # outlasts what is known
    water = some_water({Circuit.FRESH_TANK: 60.0}, since=builders.NOW)
    found = vehicle_night(a_trajectory(("F1",), ice=ice), LAYOUT, water)
    assert found.thawed_h.tolist() == [20.0, np.inf, 0.0, 0.0]


def test_what_is_dearest_comes_first_whatever_goes_first() -> None:
    harm_at = {
        "W4": builders.NOW + timedelta(hours=6),
        "F2": builders.NOW + timedelta(hours=12),
        "F1": builders.NOW + timedelta(hours=20),
    }
    night = a_night(builders.NOW, harm_at, keys=("W4", "F2", "F1"))
    by_cost = [item.key for item in night.in_cost_order(48.0, above=0.5)]
    assert by_cost == ["F1", "F2", "W4"]
