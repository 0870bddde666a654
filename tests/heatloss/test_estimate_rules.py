"""Rules of an estimate case: order at an hour, removed bodies, valves, odd bodies, clean output."""

import json
import math
from typing import Any

import numpy as np
import pytest

from tests.heatloss.cases import Answer, dry, estimate, first, flat, ring, water


def a_valve(**changed: Any) -> dict[str, Any]:
    return {
        "name": "valve",
        "senses": "out",
        "opens_below_c": 3.0,
        "closable_above_c": 7.0,
        "drains": "water",
        **changed,
    }


def body(result: Answer, n: int) -> dict[str, Any]:
    found: dict[str, Any] = result["bodies"][n]
    return found


def test_an_hour_shows_the_state_after_its_events_in_their_order() -> None:
    events = [
        {"at_h": 1, "body": "water", "set_water_l": 5, "set_temperature_c": 20.0},
        {"at_h": 1, "body": "water", "set_water_l": 9},
    ]
    result = first(estimate(2, -5.0, water(1, 4.0, ua=1.0), events=events))
    assert result["temperature_c"][1] == pytest.approx(20.0)
    # 9 L and not 5 or 1 cool from there
    cooled = -5 + 25 * math.exp(-3600 / (9 * 4200))
    assert result["temperature_c"][2] == pytest.approx(cooled, abs=1e-3)


def test_water_added_without_a_temperature_leaves_temperature_and_ice() -> None:
    event = {"at_h": 2, "body": "water", "set_water_l": 20}
    before, after = (
        first(estimate(2, -8.0, water(2, 0.0, ua=5.0), events=events)) for events in ([], [event])
    )
    assert 0.0 < before["ice_fraction"][2] < 1.0
    assert after["ice_fraction"][2] == pytest.approx(before["ice_fraction"][2])


def test_a_drained_body_is_gone_until_it_is_filled_and_its_times_stay() -> None:
    events = [
        {"at_h": 3, "body": "water", "set_water_l": 0},
        {"at_h": 5, "body": "water", "set_water_l": 1, "set_temperature_c": 8.0},
    ]
    bodies = [
        water(1, 0.0, ua=10.0, heater_w=3.0),
        dry(100.0, 0.0, 0.0) | {"losses": [{"to": "water", "ua_w_per_k": 1.0}]},
    ]
    result = estimate(6, -10.0, *bodies, events=events)
    gone = body(result, 0)
    assert [t is None for t in gone["temperature_c"]] == [False] * 3 + [True] * 2 + [False] * 2
    assert gone["ice_fraction"][3:5] == [0.0, 0.0]
    assert gone["onset_h"] == pytest.approx(0.0, abs=1e-3)
    assert gone["ice_50_percent_h"] is not None
    # nothing flows to what is not there
    neighbour = body(result, 1)["temperature_c"]
    assert neighbour[4] == pytest.approx(neighbour[3], abs=1e-9)


def test_a_body_that_was_never_there_says_nothing() -> None:
    result = first(estimate(3, -5.0, water(0, 4.0, ua=2.0, heater_w=100.0)))
    assert result["temperature_c"] == [None] * 4
    assert result["ice_fraction"] == [0.0] * 4
    assert result["onset_h"] is None


def test_ice_that_is_there_at_the_start_counts_from_zero_even_if_drained_at_once() -> None:
    drain = [{"at_h": 0, "body": "water", "set_water_l": 0}]
    ice = water(5, 0.0, ua=1.0, start_ice_fraction=0.3)
    for events in ([], drain):
        result = first(estimate(2, 5.0, ice, events=events))
        assert result["onset_h"] == 0.0
        assert result["ice_10_percent_h"] == 0.0
        assert result["ice_50_percent_h"] is None


def test_a_valve_that_is_cold_at_the_start_opens_at_once_and_takes_a_refill_with_it() -> None:
    fill = {"at_h": 1, "body": "water", "set_water_l": 10, "set_temperature_c": 10.0}
    result = estimate(3, 2.0, water(10, 20.0, ua=1.0), events=[fill], sensors=[a_valve()])
    assert result["sensors"][0]["opened_at_h"] == 0.0
    assert first(result)["temperature_c"] == [None] * 4


def test_a_valve_opens_where_its_air_passes_the_mark_between_the_hours() -> None:
    air = [8.0, 4.0, 2.0, 2.0]
    result = estimate(3, air, water(10, 20.0, ua=1.0), sensors=[a_valve()])
    assert result["sensors"][0]["opened_at_h"] == pytest.approx(1.5, abs=1e-5)
    assert [t is None for t in first(result)["temperature_c"]] == [False, False, True, True]


def test_shutting_comes_before_filling_only_if_it_stands_first() -> None:
    shut = {"at_h": 2, "sensor": "valve", "close": True}
    fill = {"at_h": 2, "body": "water", "set_water_l": 10, "set_temperature_c": 10.0}
    air = [2.0, 5.0, 9.0, 9.0]
    held, lost = (
        first(estimate(3, air, water(10, 20.0, ua=1.0), events=events, sensors=[a_valve()]))
        for events in ([shut, fill], [fill, shut])
    )
    assert held["temperature_c"][2] == pytest.approx(10.0)
    assert lost["temperature_c"][2] is None


def test_a_valve_between_its_marks_stays_as_it_is() -> None:
    """7 degC itself is not above 7; 3 degC itself is not below 3."""
    shut = [{"at_h": h, "sensor": "valve", "close": True} for h in (1, 2)]
    fill = [{"at_h": h, "body": "water", "set_water_l": 1, "set_temperature_c": 9} for h in (1, 2)]
    events = [event for pair in zip(shut, fill, strict=True) for event in pair]
    air = [2.0, 7.0, 7.1, 3.0, 3.0]
    result = first(estimate(4, air, water(1, 9.0), events=events, sensors=[a_valve()]))
    assert [t is None for t in result["temperature_c"]] == [True, True, False, False, False]


def test_a_sensor_may_feel_a_body_and_two_valves_may_drain_one() -> None:
    sensors = [a_valve(senses="dry", opens_below_c=4.0), a_valve(name="second", opens_below_c=-50)]
    result = estimate(6, 0.0, water(5, 10.0, ua=0.1), dry(36_000, 10.0, 10.0), sensors=sensors)
    opened = result["sensors"][0]["opened_at_h"]
    assert opened == pytest.approx(math.log(10 / 4), rel=1e-3)
    assert result["sensors"][1]["opened_at_h"] is None


def test_a_heater_follows_its_series_and_an_event_holds_from_then_on() -> None:
    series = [0.0, 100.0, 100.0, 0.0]
    event = [{"at_h": 2, "body": "dry", "set_heater_w": 50.0}]
    result = first(estimate(3, 0.0, dry(3600.0, 0.0, 0.0, heater_w=series), events=event))
    assert result["temperature_c"] == pytest.approx([0.0, 50.0, 150.0, 200.0], abs=1e-3)


def test_a_thermostat_is_proportional_between_its_marks() -> None:
    thermostat = {"senses": "dry", "full_below_c": 4.0, "off_above_c": 6.0}
    heated = dry(1e4, 0.0, 10.0, heater_w=200.0, thermostat=thermostat)
    steady = first(estimate(12, -5.0, heated))["temperature_c"][-1]
    # 10 (T + 5) = 200 (6 - T) / 2
    assert steady == pytest.approx((600 - 50) / 110, abs=1e-3)


@pytest.mark.parametrize("band_k", [0.002, 0.01, 0.1])
def test_a_strong_heater_with_a_narrow_thermostat_holds_its_mark(band_k: float) -> None:
    thermostat = {"senses": "dry", "full_below_c": 5.0, "off_above_c": 5.0 + band_k}
    heated = dry(1000.0, 5.0, 5.0, heater_w=1e5, thermostat=thermostat)
    path = first(estimate(48, list(np.linspace(-5, 3, 49)), heated))["temperature_c"]
    assert path[1:] == pytest.approx([5.0 + band_k] * 48, abs=0.005)


def test_what_one_body_loses_the_other_gains_with_ice_in_the_way() -> None:
    """A flat face between two bodies: its ice slows only the body that has it, both ways add up."""
    tank = water(10, 0.0, flat(0.5, 20.0, to="dry"), start_ice_fraction=0.5)
    result = estimate(4, 0.0, tank, dry(2e4, -10.0, 0.0))
    ice, mass = body(result, 0)["ice_fraction"], body(result, 1)["temperature_c"]
    given_j = (ice[4] - ice[0]) * 10 * 333_500
    assert given_j == pytest.approx(2e4 * (mass[4] - mass[0]), rel=1e-4)
    # ice 10 mm thick on the face: R = 1/10 + 0.5 10 L / (0.5 m2 2.2) K/W at the start
    slowed = 10.0 / (0.1 + 0.01 / (2.2 * 0.5)) * 3600 / 2e4
    assert mass[1] - mass[0] < slowed


def test_ice_does_not_slow_the_heat_that_comes_in() -> None:
    thawing = first(estimate(2, 10.0, water(10, 0.0, flat(1.0, 10.0), start_ice_fraction=0.9)))
    melted = (0.9 - thawing["ice_fraction"][2]) * 10 * 333_500
    assert melted == pytest.approx(10.0 * 10.0 * 7200, rel=1e-3)


def test_a_mix_with_ice_at_the_start_stands_at_its_liquids_freezing_point() -> None:
    """The share given is that of the liquid: 20 % in what is still liquid freezes at -7.2 degC."""
    mix = water(5, 99.0, ua=0.0, propylene_glycol_mass_fraction=0.2, start_ice_fraction=0.4)
    result = first(estimate(1, -7.0, mix))
    assert result["temperature_c"][0] == pytest.approx(-7.17, abs=0.02)
    assert result["ice_fraction"][0] == pytest.approx(0.4, abs=1e-4)
    assert result["onset_h"] == result["ice_10_percent_h"] == 0.0


def test_without_any_loss_nothing_changes() -> None:
    result = first(estimate(5, -20.0, water(3, 4.0) | {"losses": []}))
    assert result["temperature_c"] == [pytest.approx(4.0)] * 6


@pytest.mark.parametrize("hours", [0, 1])
def test_a_case_may_be_as_short_as_nothing(hours: int) -> None:
    result = estimate(hours, -5.0, water(1, 4.0, ua=1.0))
    assert result["hours"] == list(range(hours + 1))
    assert len(first(result)["ice_fraction"]) == hours + 1


LIGHT = {
    "a joule a kelvin": dry(1.0, 5.0, 100.0),
    "next to nothing": dry(1e-9, 5.0, 1.0),
    "a gram of water": water(1e-3, 5.0, ua=50.0),
    "a milligram, perfectly linked": water(1e-6, 5.0, ua=1e6),
    "a thin pipe in a gale": water(0.05, 5.0, ring(1.0, 0.004, 90.0)),
}


@pytest.mark.parametrize("name", LIGHT)
def test_light_bodies_follow_their_air(name: str) -> None:
    hours = 48
    air = 4.0 - 8.0 * np.cos(2 * np.pi * np.arange(hours + 1) / 24)
    result = first(estimate(hours, list(air), LIGHT[name]))
    path = np.array(result["temperature_c"])[1:]
    assert path.min() >= air.min() - 1e-3
    assert path.max() <= air.max() + 1e-3
    assert path[11] == pytest.approx(air[12], abs=0.2)


def test_the_answer_is_plain_json_whatever_the_case() -> None:
    events = [{"at_h": 1, "body": "water", "set_water_l": 0}]
    bodies = [
        water(1, 4.0, ua=1.0),
        dry(1e-6, 5.0, 0.0, heater_w=1e9),
        water(0, 1.0) | {"name": "n"},
    ]
    text = json.dumps(estimate(3, -5.0, *bodies, events=events), allow_nan=False)
    assert set(json.loads(text)) == {"hours", "bodies"}
    assert [row["name"] for row in json.loads(text)["bodies"]] == ["water", "dry", "n"]
