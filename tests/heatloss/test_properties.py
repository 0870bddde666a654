"""What must hold for any night: bounds, energy, order, restart."""

from datetime import timedelta
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.heatloss.case import read_case
from frostwatch.heatloss.integrate import run_case
from frostwatch.heatloss.solve import Job, solve
from tests.heatloss.nights import a_network, a_spell, an_air

TEMPERATURES = st.floats(-20.0, 15.0)
AIRS = st.lists(TEMPERATURES, min_size=13, max_size=13)


def a_case(
    air_c: Any,
    *,
    start_c: Any = 4.0,
    litres: Any = 8.0,
    ua: Any = 2.0,
    capacity: Any = 3000.0,
    heater_w: Any = 0.0,
) -> Any:
    return read_case(
        {
            "step_h": 1.0,
            "airs": {"out": {"temperature_c": list(air_c)}},
            "bodies": [
                {
                    "name": "tank",
                    "water_l": litres,
                    "start_c": start_c,
                    "dry_capacity_j_per_k": capacity,
                    "heater_w": heater_w,
                    "losses": [
                        {"to": "out", "ua_w_per_k": ua},
                        {"to": "box", "ua_w_per_k": ua / 2},
                    ],
                },
                {
                    "name": "box",
                    "water_l": 0,
                    "start_c": start_c,
                    "dry_capacity_j_per_k": 20_000.0,
                    "losses": [{"to": "out", "ua_w_per_k": 5.0}],
                },
            ],
        }
    )


@given(air=AIRS, start_c=st.floats(0.5, 15.0), ua=st.floats(0.05, 20.0))
@settings(max_examples=40)
def test_water_stays_between_its_start_and_the_extremes_of_the_air(
    air: Any, start_c: Any, ua: Any
) -> None:
    run = run_case(a_case(air, start_c=start_c, ua=ua))
    assert run.temperature_c.min() >= min([*air, start_c, 0.0]) - 1e-3
    assert run.temperature_c.max() <= max([*air, start_c]) + 1e-3
    assert ((run.ice_fraction >= 0.0) & (run.ice_fraction <= 1.0)).all()


@given(air=AIRS, colder_k=st.floats(0.1, 8.0))
@settings(max_examples=30)
def test_colder_air_never_ends_warmer_nor_with_less_ice(air: Any, colder_k: Any) -> None:
    mild = run_case(a_case(air))
    cold = run_case(a_case([value - colder_k for value in air]))
    assert (cold.temperature_c <= mild.temperature_c + 1e-3).all()
    assert (cold.ice_fraction >= mild.ice_fraction - 1e-5).all()


@given(air_c=st.floats(-15.0, -1.0), heater_w=st.floats(0.0, 40.0), litres=st.floats(0.5, 60.0))
@settings(max_examples=30)
def test_in_a_closed_pair_of_bodies_heat_given_is_heat_kept(
    air_c: Any, heater_w: Any, litres: Any
) -> None:
    """No way outside: what the heater gave is in the water and the box."""
    case = {
        "step_h": 1.0,
        "airs": {"out": {"temperature_c": [air_c] * 7}},
        "bodies": [
            {
                "name": "tank",
                "water_l": litres,
                "start_c": 0.0,
                "start_ice_fraction": 0.4,
                "heater_w": heater_w,
                "losses": [{"to": "box", "ua_w_per_k": 3.0}],
            },
            {
                "name": "box",
                "water_l": 0,
                "start_c": air_c,
                "dry_capacity_j_per_k": 50_000.0,
                "losses": [],
            },
        ],
    }
    run = run_case(read_case(case))

    def enthalpy_j(hour: int) -> float:
        water_c, ice = run.temperature_c[0, hour], run.ice_fraction[0, hour]
        latent = -ice * 333_500.0 * litres
        sensible = litres * (2050.0 if ice >= 1.0 else 4200.0) * water_c
        return float(latent + sensible + 50_000.0 * run.temperature_c[1, hour])

    given_j = heater_w * 6 * 3600.0
    scale = litres * 333_500.0
    assert abs(enthalpy_j(6) - enthalpy_j(0) - given_j) < 1e-4 * scale + 1.0


@given(start_c=st.floats(1.0, 12.0), ua=st.floats(0.1, 10.0))
@settings(max_examples=20)
def test_twice_the_loss_and_twice_the_capacity_change_nothing(start_c: Any, ua: Any) -> None:
    air = list(a_spell(12, mean_c=-3.0)[0])
    case = {
        "step_h": 1.0,
        "airs": {"out": {"temperature_c": air}},
        "bodies": [
            {
                "name": f"b{factor}",
                "water_l": 5.0 * factor,
                "start_c": start_c,
                "dry_capacity_j_per_k": 900.0 * factor,
                "losses": [{"to": "out", "ua_w_per_k": ua * factor}],
            }
            for factor in (1, 2)
        ],
    }
    run = run_case(read_case(case))
    np.testing.assert_allclose(run.temperature_c[0], run.temperature_c[1], atol=2e-3)
    np.testing.assert_allclose(run.ice_fraction[0], run.ice_fraction[1], atol=1e-4)


def test_cutting_a_night_and_going_on_equals_running_through() -> None:
    """The state that is kept at one pass carries the next: same hours, same ice."""
    path = a_spell(96, mean_c=-1.0, members=4)
    whole = an_air(path, now_index=48)
    network = a_network("panel-van", whole, glycol=0.2)
    (through,) = solve([Job(network=network, air=whole)])
    early = an_air(path[:, :73], now_index=24)
    (first,) = solve([Job(network=a_network("panel-van", early, glycol=0.2), air=early)])
    assert first.end.at == whole.start + timedelta(hours=24)
    (later,) = solve([Job(network=network, air=whole, state=first.end)])
    np.testing.assert_allclose(later.water_c, through.water_c, atol=2e-3, equal_nan=True)
    np.testing.assert_allclose(later.ice_fraction, through.ice_fraction, atol=1e-3)


def test_the_order_and_the_company_of_vehicles_do_not_matter() -> None:
    air = an_air(a_spell(36, mean_c=-2.0, members=5))
    keys = ["panel-van", "small-camper", "a-class-double-floor", "caravan-inboard"]
    jobs = [Job(network=a_network(key, air), air=air) for key in keys]
    together = solve(jobs)
    for job, expected in zip(jobs, together, strict=True):
        (alone,) = solve([job])
        np.testing.assert_allclose(alone.water_c, expected.water_c, atol=1e-3, equal_nan=True)
    for backwards, expected in zip(reversed(solve(jobs[::-1])), together, strict=True):
        np.testing.assert_allclose(
            backwards.ice_fraction, expected.ice_fraction, atol=1e-5, equal_nan=True
        )


def test_a_drained_item_is_no_node_at_all() -> None:
    air = an_air(a_spell(24, mean_c=-5.0))
    network = a_network("panel-van", air, leave_out=("F1", "W3"))
    assert not {"F1", "W3"} & set(network.item_keys)
