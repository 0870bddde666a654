"""What must hold for any estimate: bounds, energy, order, restart."""

from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.heatloss.case import read_case
from frostwatch.heatloss.integrate import CaseRun, run_case
from tests.heatloss.cases import a_case, dry, flat, ring, water

HOURS = 8
AIRS = st.lists(st.floats(-20.0, 15.0), min_size=HOURS + 1, max_size=HOURS + 1)
FEW = settings(max_examples=15)


def a_pair(start_c: float = 4.0, ua: float = 2.0, **more: Any) -> list[dict[str, Any]]:
    """A tank in a box that stands in the air, and a thin pipe beside it."""
    box = {"to": "dry", "ua_w_per_k": ua / 2}
    return [
        water(8, start_c, {"to": "out", "ua_w_per_k": ua}, box, **more),
        dry(2e4, start_c, 5.0),
        water(0.1, start_c, ring(1.0, 0.006, 25.0)) | {"name": "pipe"},
    ]


def run(air_c: Any, *bodies: dict[str, Any], **more: Any) -> CaseRun:
    return run_case(read_case(a_case(len(air_c) - 1, air_c, *bodies, **more)))


@FEW
@given(air=AIRS, start_c=st.floats(0.5, 15.0), ua=st.floats(0.05, 20.0))
def test_water_stays_between_its_start_and_the_extremes_of_the_air(
    air: list[float], start_c: float, ua: float
) -> None:
    found = run(air, *a_pair(start_c, ua))
    assert found.temperature_c.min() >= min([*air, start_c]) - 1e-3
    assert found.temperature_c.max() <= max([*air, start_c]) + 1e-3
    assert ((found.ice_fraction >= 0.0) & (found.ice_fraction <= 1.0)).all()


@FEW
@given(air=AIRS, colder_k=st.floats(0.1, 8.0))
def test_colder_air_never_ends_warmer_nor_with_less_ice(air: list[float], colder_k: float) -> None:
    mild = run(air, *a_pair())
    cold = run([value - colder_k for value in air], *a_pair())
    assert (cold.temperature_c <= mild.temperature_c + 1e-3).all()
    assert (cold.ice_fraction >= mild.ice_fraction - 1e-5).all()


@FEW
@given(
    box_c=st.floats(-15.0, 5.0),
    heater_w=st.floats(0.0, 40.0),
    litres=st.floats(0.5, 60.0),
    glycol=st.sampled_from([0.0, 0.1, 0.3]),
)
def test_heat_given_is_heat_kept(
    box_c: float, heater_w: float, litres: float, glycol: float
) -> None:
    """No way outside: what the heater gave is in the water and the box."""
    tank = water(
        litres,
        0.0,
        flat(0.4, 8.0, to="dry"),
        start_ice_fraction=0.3,
        heater_w=heater_w,
        propylene_glycol_mass_fraction=glycol,
    )
    found = run([0.0] * 7, tank, dry(5e4, box_c, 0.0))

    def enthalpy_j(hour: int) -> float:
        water_c, ice = found.temperature_c[0, hour], found.ice_fraction[0, hour]
        per_kg_k = 2050.0 if ice >= 1.0 else 4200.0  # a mix keeps 4200 throughout
        held = litres * (per_kg_k * water_c - ice * 333_500.0)
        return float(held + 5e4 * found.temperature_c[1, hour])

    gained = enthalpy_j(6) - enthalpy_j(0)
    assert abs(gained - heater_w * 6 * 3600.0) < 2e-4 * litres * 333_500.0 + 1.0


@FEW
@given(air=AIRS, start_c=st.floats(1.0, 12.0), ua=st.floats(0.1, 10.0))
def test_twice_the_loss_and_twice_the_capacity_change_nothing(
    air: list[float], start_c: float, ua: float
) -> None:
    twins = [
        water(5.0 * n, start_c, ua=ua * n, dry_capacity_j_per_k=900.0 * n) | {"name": f"b{n}"}
        for n in (1, 2)
    ]
    found = run(air, *twins)
    np.testing.assert_allclose(found.temperature_c[0], found.temperature_c[1], atol=2e-3)
    np.testing.assert_allclose(found.ice_fraction[0], found.ice_fraction[1], atol=1e-4)


@FEW
@given(air=AIRS, cut=st.integers(1, HOURS - 1), glycol=st.sampled_from([0.0, 0.15]))
def test_a_night_cut_in_two_equals_the_night_run_through(
    air: list[float], cut: int, glycol: float
) -> None:
    """A case that starts where another ended, to what its few fields can say of the state."""
    bodies = a_pair(propylene_glycol_mass_fraction=glycol)
    through = run(air, *bodies)
    rest = []
    for n, body in enumerate(bodies):
        ice = float(through.ice_fraction[n, cut])
        share = body.get("propylene_glycol_mass_fraction", 0.0) / max(1.0 - ice, 1e-9)
        celsius = float(through.temperature_c[n, cut])
        is_liquid = ice == 0.0 and body["water_l"] > 0.0
        rest.append(
            body
            | {"start_c": max(celsius, 0.0) if is_liquid and not share else celsius}
            | ({"start_ice_fraction": ice} if ice else {})
            | ({"propylene_glycol_mass_fraction": share} if share else {})
        )
    after = run(air[cut:], *rest)
    np.testing.assert_allclose(after.temperature_c, through.temperature_c[:, cut:], atol=5e-3)
    np.testing.assert_allclose(after.ice_fraction, through.ice_fraction[:, cut:], atol=5e-4)


@FEW
@given(air=AIRS, order=st.permutations(range(3)))
def test_the_order_of_bodies_does_not_matter(air: list[float], order: list[int]) -> None:
    bodies = a_pair()
    straight, mixed = run(air, *bodies), run(air, *(bodies[n] for n in order))
    np.testing.assert_allclose(mixed.ice_fraction, straight.ice_fraction[order], atol=1e-6)
    np.testing.assert_allclose(mixed.temperature_c, straight.temperature_c[order], atol=1e-5)
