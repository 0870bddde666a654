"""What people who live with these vehicles say, asked of the model."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from frostwatch.fleet.vehicles import HeatedHold
from frostwatch.heatloss.solve import Job, Trajectory, solve
from tests.heatloss.cases import dry, estimate, first, water
from tests.heatloss.nights import a_network, an_air

NIGHT_H = np.arange(25.0)
"""Noon to noon."""


def a_night(start_c: float, lowest_c: float, at_h: float = 16.0) -> np.ndarray:
    """From ``start_c`` at noon to the lowest ``at_h`` hours later and up again, shape (1, 25)."""
    depth = np.cos(np.pi * np.clip((NIGHT_H - at_h) / at_h, -1, 1))
    return (start_c + (lowest_c - start_c) * 0.5 * (1 + depth))[None]


def spend(layout: str, air_c: np.ndarray, **how: object) -> Trajectory:
    """A vehicle of that layout, every circuit wet, through one air of a single member."""
    air = an_air(air_c)
    (path,) = solve([Job(network=a_network(layout, air, **how), air=air)])  # type: ignore[arg-type]
    return path


def test_cold_pipes_freeze_before_the_cabin_does() -> None:
    """An owner's diary, November 2013 (weak, published): heating off at bedtime, -4 degC at 04:00;
    about 06:00 the dump valve opened, cabin +1 degC, cold-water pipes frozen already. Here: a day
    at 18 degC, water filled at noon, heating off at 23:00."""
    night_c = [np.full(35, 2.0), np.linspace(1.0, -4.0, 6), np.full(8, -4.0)]
    air = an_air(np.concatenate(night_c)[None], now_index=24)
    hold = HeatedHold(source="gas", power_w=4000.0, setting_c=18.0)
    network = a_network("coachbuilt-seat-tank", air, hold=hold)
    heat = network.hold_w.copy()
    heat[35:] = 0.0
    filled = (air.start + timedelta(hours=24),) * len(network.item_keys)
    (path,) = solve([Job(network=replace(network, hold_w=heat, filled_at=filled), air=air)])
    assert path.cabin_c[0, 11] == pytest.approx(18.0, abs=1.0)
    opened_h = path.tripped_at_h[0]
    assert path.ice_at_h[path.item_keys.index("F3.exposed"), 0] < opened_h
    assert 15.0 < opened_h < 18.5
    assert np.interp(opened_h, NIGHT_H, path.cabin_c[0]) == pytest.approx(3.0, abs=0.2)


def test_one_night_at_minus_four_hardly_touches_a_full_heater_tank() -> None:
    """A service columnist (rvdoctor.com, December 2015): full heater tank and 4 L in a waste tank,
    one night at -4 degC: "doubt any damage". Less than 5 % ice in an insulated heater tank, and a
    tank under the floor has room to swell."""
    path = spend("caravan-no-valve", a_night(4.0, -4.0))
    assert path.ice_fraction[path.item_keys.index("H1"), 0].max() < 0.05


def test_the_outlet_stub_freezes_long_before_its_tank() -> None:
    """A full-timer's page, November 2015: the tank is not the trouble, stub and slide valve are."""
    path = spend("coachbuilt-seat-tank", a_night(4.0, -6.0))
    stub, waste = path.item_keys.index("W4"), path.item_keys.index("W3")
    assert path.harm_at_h[stub, 0] < path.harm_at_h[waste, 0] - 2.0


CABIN = (1.5e5, 1.1e6, 200.0, 95.0)
"""Air [J/K], mass [J/K], between them [W/K], to the outside [W/K]."""


def test_half_an_hour_of_space_heating_before_the_valve_stays_shut() -> None:
    """About 30 minutes of space heating in a mild frost until the valve can be shut above 7 degC:
    common practice, no source. A coachbuilt whose valve has just opened, -2 degC outside, 6 kW.
    The air is warm in five minutes; the half hour is that of the furniture and floor the valve is
    screwed to. 4 kW take three quarters of an hour."""
    air_j, mass_j, link, ua = CABIN
    to_cabin = [{"to": "cabin", "ua_w_per_k": link}]
    bodies = [
        dry(air_j, 2.9, ua, name="cabin", heater_w=6000.0),
        dry(mass_j, 2.9, 0.0, name="mass") | {"losses": to_cabin},
        water(10, 10.0, {"to": "cabin", "ua_w_per_k": 0.41}),
    ]
    sensor = {
        "name": "valve",
        "senses": "mass",
        "opens_below_c": 3.0,
        "closable_above_c": 7.0,
        "drains": "water",
    }
    fill = {"at_h": 1, "body": "water", "set_water_l": 10, "set_temperature_c": 10}
    shut = [{"at_h": hour, "sensor": "valve", "close": True} for hour in (0, 1)]
    result = estimate(1, -2.0, *bodies, events=[*shut, fill], sensors=[sensor])
    assert result["sensors"][0]["opened_at_h"] == 0.0
    _, mass, tank = (body["temperature_c"] for body in result["bodies"])
    assert tank == [None, pytest.approx(10.0)]  # shut in vain at first, shut after an hour
    minutes, air_c, mass_c = warming(6000.0, 2.9, -2.0)
    assert mass[1] == pytest.approx(np.interp(60.0, minutes, mass_c), abs=1e-3)
    assert minutes[np.argmax(mass_c > 7.0)] == pytest.approx(30, abs=3)
    assert minutes[np.argmax(air_c > 7.0)] < 5
    minutes, _, mass_c = warming(4000.0, 2.9, -2.0)
    assert minutes[np.argmax(mass_c > 7.0)] < 45


@pytest.mark.parametrize("power_w", [5000.0, 6000.0])
def test_soaked_in_frost_the_half_hour_lies_between_air_and_furniture(power_w: float) -> None:
    """About 30 minutes at -3 degC with 4 to 6 kW: common practice, no source.

    From a vehicle soaked at -3 degC the model does not give that figure but both its sides: the air
    passes 7 degC within a quarter of an hour, furniture and floor only after an hour. Where between
    them a valve follows depends on what it is screwed to, and nobody has measured it."""
    minutes, air_c, mass_c = warming(power_w, -3.0, -3.0)
    assert minutes[np.argmax(air_c > 7.0)] < 15.0
    assert 30.0 < minutes[np.argmax(mass_c > 7.0)] < 90.0


def warming(power_w: float, start_c: float, outside_c: float) -> tuple[np.ndarray, ...]:
    """Minutes, air and mass of the cabin in closed form: two capacities, eigenvalues."""
    air_j, mass_j, link, ua = CABIN
    rate = np.array([[-(ua + link) / air_j, link / air_j], [link / mass_j, -link / mass_j]])
    steady = np.linalg.solve(rate, [-(power_w + ua * outside_c) / air_j, 0.0])
    values, vectors = np.linalg.eig(rate)
    weights = np.linalg.solve(vectors, start_c - steady)
    minutes = np.arange(0.0, 90.0, 0.1)
    path = steady[:, None] + vectors * weights @ np.exp(np.outer(values, minutes * 60))
    return minutes, *path


def test_a_dump_valve_feels_air_and_stays_open_until_somebody_shuts_it_warm() -> None:
    """A caravan handbook: opens by itself at about 3 degC at the valve, shuts by hand above about
    7; air 8 -> 3.1 -> 2.9 -> 6.9 -> 7.1 degC."""
    tank = {**water(10, 50.0), "losses": [{"to": "locker", "ua_w_per_k": 0.41}]}
    sensor = {
        "name": "valve",
        "senses": "locker",
        "opens_below_c": 3.0,
        "closable_above_c": 7.0,
        "drains": "water",
    }
    events = [
        event
        for hour in (3, 4)
        for event in (
            {"at_h": hour, "sensor": "valve", "close": True},
            {"at_h": hour, "body": "water", "set_water_l": 10, "set_temperature_c": 20},
        )
    ]
    locker_c = [8.0, 3.1, 2.9, 6.9, 7.1, 7.1]
    result = estimate(5, 0.0, tank, events=events, sensors=[sensor], locker=locker_c)
    assert result["sensors"][0]["opened_at_h"] == pytest.approx(1.5, abs=1e-3)
    water_c = first(result)["temperature_c"]
    assert water_c[2] is None  # it let a tank at nearly 50 degC go
    assert water_c[3] is None  # 6.9 degC: will not stay shut, and the refill runs out at once
    assert water_c[4] == pytest.approx(20.0)


def test_what_a_quick_drain_leaves_freezes_three_and_a_half_times_sooner() -> None:
    """Bare tank of 120 L under the floor, 5 degC in -5 degC air: 10 % ice after 5.6 h with the 20
    L a quick drain leaves (common practice, no source) against 20.5 h when full (computed)."""
    hours = [
        first(estimate(48, -5.0, water(litres, 5.0, ua=ua)))["ice_10_percent_h"]
        for litres, ua in ((20, 9.5), (120, 15.6))
    ]
    assert hours == pytest.approx([5.6, 20.5], rel=0.05)


def test_an_unheated_cabin_follows_the_day_a_few_hours_late_and_no_warmer() -> None:
    """A parked cabin takes about 79 % of the daily swing 2.5 h late (computed for 3 h; this one has
    3.7 h) and under a clear night sky it is not warmer than the air in the mean."""
    day_c = 5.0 * np.cos(2 * np.pi * np.arange(97) / 24)[None]
    air = an_air(day_c, roof_k=-3.0)
    (path,) = solve([Job(network=a_network("coachbuilt-seat-tank", air), air=air)])
    last_day = path.cabin_c[0, 72:96]
    swing = (last_day.max() - last_day.min()) / 10.0
    assert 0.6 < swing < 0.85
    assert 2 <= int(np.argmax(last_day)) <= 4
    assert last_day.mean() < 0.0


def test_heat_in_the_cabin_does_not_save_a_tank_under_the_floor() -> None:
    hold = HeatedHold(source="hook-up", power_w=4000.0, setting_c=7.0)
    air_c = a_night(2.0, -8.0)
    warm = spend("coachbuilt-seat-tank", air_c, hold=hold)
    cold = spend("coachbuilt-seat-tank", air_c)
    waste, fresh = (warm.item_keys.index(key) for key in ("W3", "F1"))
    assert warm.ice_fraction[waste, 0].max() == pytest.approx(
        cold.ice_fraction[waste, 0].max(), abs=0.01
    )
    assert warm.ice_fraction[fresh, 0].max() <= cold.ice_fraction[fresh, 0].max()


def test_new_water_begins_liquid_and_a_shut_valve_forgets_its_opening() -> None:
    """A frost opened the valve in the past hours; somebody filled the tank since."""
    air_c = np.concatenate([np.full(24, -6.0), np.full(49, 8.0)])[None]
    air = an_air(air_c, now_index=36)
    network = a_network("coachbuilt-seat-tank", air)
    heater = network.item_keys.index("H1")
    (before,) = solve([Job(network=network, air=air)])
    assert before.tripped_at_h[0] < 0.0
    assert np.isnan(before.water_c[heater]).all()
    filled = [None] * len(network.item_keys)
    filled[heater] = air.start + timedelta(hours=30.4)  # type: ignore[call-overload]
    network = replace(network, filled_at=tuple(filled))
    (after,) = solve([Job(network=network, air=air)])
    assert after.tripped_at_h[0] == np.inf
    assert np.isfinite(after.water_c[heater]).all()


def test_water_filled_within_the_running_hour_is_not_taken_for_frozen() -> None:
    """Filled at 12:20, asked at 12:40: the frost of the days before is not in it."""
    air = an_air(np.full((1, 73), -6.0), now_index=36)
    network = a_network("panel-van", air)
    fresh = network.item_keys.index("F1")
    filled = tuple(
        air.start + timedelta(hours=36.3) if n == fresh else None
        for n in range(len(network.item_keys))
    )
    (path,) = solve([Job(network=replace(network, filled_at=filled), air=air)])
    assert path.ice_at_h[fresh, 0] > 0.0
    assert path.water_c[fresh, 0, 0] == pytest.approx(5.0)
    (again,) = solve([Job(network=replace(network, filled_at=filled), air=air, state=path.end)])
    np.testing.assert_array_equal(again.water_c[fresh], path.water_c[fresh])
