"""``estimate`` against scipy's Radau and LSODA at tight tolerance: 1 % on times, 0.05 K, 0.005."""

import copy
from typing import Any

import numpy as np
import pytest

from frostwatch.heatloss.case import read_case
from frostwatch.heatloss.integrate import run_case
from tests.heatloss.cases import a_case, flat, ring
from tests.heatloss.stiff_cases import LEVELS, StiffCase

MOST_K, MOST_ICE, MOST_TIME = 0.05, 0.005, 0.01
NAMES = ("onset_h", "ice_10_percent_h", "ice_50_percent_h")


def a_vehicle(**heat: Any) -> list[dict[str, Any]]:
    """Cabin, mass, locker, and water in all of them and under the floor."""

    def node(name: str, litres: float, dry: float, *losses: Any, **more: Any) -> dict[str, Any]:
        ways = [x if isinstance(x, dict) else {"to": x[0], "ua_w_per_k": x[1]} for x in losses]
        return {
            "name": name,
            "water_l": litres,
            "dry_capacity_j_per_k": dry,
            "start_c": 6.0,
            "losses": ways,
            **more,
        }

    return [
        node("cabin", 0, 1.5e5, ("out", 95.0), ("mass", 200.0), ("locker", 6.0), **heat),
        node("mass", 0, 1.1e6),
        node("locker", 0, 1.2e5, ("out", 7.3)),
        node("fresh", 60, 8e3, flat(0.8, 7.0, "locker"), flat(0.4, 1.2, "locker")),
        node("waste", 20, 5e3, flat(0.77, 11.5), ("out", 0.8)),
        node("heater", 10, 1500, ("cabin", 0.41)),
        node("pipe", 0.113, 132, ring(1.0, 0.006, 25.0)),
        node("cold pipe", 1.58, 1850, ring(14.0, 0.006, 7.4, "cabin"), ring(14.0, 0.006, 3.1)),
        node("stub", 0.25, 200, ("out", 0.45)),
        node("trap", 0.3, 170, ("out", 0.35), propylene_glycol_mass_fraction=0.12),
    ]


def spell(hours: int, mean_c: float, swing_k: float, seed: int = 1) -> list[float]:
    """Nights that differ, with a slow dip in the middle."""
    h = np.arange(hours + 1)
    wander = np.cumsum(np.random.default_rng(seed).normal(0.0, 0.4, hours + 1))
    dip = 4.0 * np.sin(np.pi * h / hours)
    return list(mean_c - swing_k * np.cos(2 * np.pi * (h - 4) / 24) - dip + wander)


VALVE = {
    "name": "valve",
    "senses": "locker",
    "opens_below_c": 3.0,
    "closable_above_c": 7.0,
    "drains": "heater",
}
HOLD = {"senses": "cabin", "full_below_c": 4.0, "off_above_c": 6.0}
OWN = {"senses": "waste", "full_below_c": 2.0, "off_above_c": 4.0}


def failing(hours: int, power_w: float, at_h: int) -> list[float]:
    return [power_w if hour < at_h else 0.0 for hour in range(hours + 1)]


def with_heated_waste(bodies: list[dict[str, Any]]) -> list[dict[str, Any]]:
    bodies[4] |= {"heater_w": 60.0, "thermostat": OWN}
    return bodies


DRAIN = [
    {"at_h": 20, "body": "waste", "set_water_l": 0},
    {"at_h": 20, "body": "stub", "set_water_l": 0.05},
    {"at_h": 30, "body": "waste", "set_water_l": 8, "set_temperature_c": 12.0},
    {"at_h": 36, "body": "heater", "set_heater_w": 15.0},
]
SHUT = [
    {"at_h": 10, "sensor": "valve", "close": True},
    {"at_h": 10, "body": "heater", "set_water_l": 10, "set_temperature_c": 15.0},
    {"at_h": 17, "sensor": "valve", "close": True},
    {"at_h": 17, "body": "heater", "set_water_l": 10, "set_temperature_c": 15.0},
]
CASES = {
    "unheated, ten days": a_case(240, spell(240, 1.0, 4.0), *a_vehicle()),
    "a thermostat holds": a_case(
        48, spell(48, -4.0, 4.0), *a_vehicle(heater_w=2500.0, thermostat=HOLD)
    ),
    "the heat fails": a_case(
        48,
        spell(48, -3.0, 4.0, seed=2),
        *with_heated_waste(a_vehicle(heater_w=failing(48, 2500.0, 20), thermostat=HOLD)),
    ),
    "drained and filled": a_case(48, spell(48, -1.0, 4.0, seed=3), *a_vehicle(), events=DRAIN),
    "a valve latches": a_case(
        48, spell(48, 7.0, 7.0, seed=4), *a_vehicle(), sensors=[VALVE], events=SHUT
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_a_whole_vehicle_follows_the_stiff_solver(name: str) -> None:
    case = copy.deepcopy(CASES[name])
    ours = run_case(read_case(case))
    theirs = StiffCase(case, "LSODA").run()
    np.testing.assert_allclose(ours.temperature_c, theirs.temperature_c, atol=MOST_K)
    np.testing.assert_allclose(ours.ice_fraction, theirs.ice, atol=MOST_ICE)
    for n in range(len(theirs.nodes)):
        for k in range(len(LEVELS)):
            expected, found = theirs.passed[n][k], ours.passages_h[NAMES[k]][n]
            assert (expected is None) == (found is None), (theirs.names[n], NAMES[k])
            if expected is not None:
                assert found == pytest.approx(expected, rel=MOST_TIME, abs=1e-3)
    for found, expected in zip(ours.opened_at_h, theirs.opened, strict=True):
        assert found == pytest.approx(expected, rel=MOST_TIME)


def test_the_cases_do_what_their_names_say() -> None:
    latch = run_case(read_case(CASES["a valve latches"]))
    assert latch.opened_at_h[0] is not None
    tank_c = latch.temperature_c[5]
    assert tank_c[12] < 6.0  # filled in vain: only its steel is left to cool
    assert tank_c[20] > 13.0
    failed = run_case(read_case(CASES["the heat fails"]))
    assert failed.temperature_c[0, :20].min() > 3.0 > failed.temperature_c[0, -1]


def test_radau_agrees_with_lsoda_on_the_reference_itself() -> None:
    case = copy.deepcopy(CASES["drained and filled"])
    case["airs"]["out"]["temperature_c"] = case["airs"]["out"]["temperature_c"][:13]
    case["events"] = []
    one, other = StiffCase(case, "Radau").run(), StiffCase(case, "LSODA").run()
    np.testing.assert_allclose(one.temperature_c, other.temperature_c, atol=1e-3)
