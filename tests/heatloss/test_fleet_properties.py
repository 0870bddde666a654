"""What must hold for any fleet on any night: bounds, energy, order, restart, company, steps."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.heatloss.network import Network
from frostwatch.heatloss.solve import Job, Trajectory, solve
from frostwatch.heatloss.stepping import run
from frostwatch.weather.site_air import SiteAir
from tests.heatloss.nights import a_network, a_spell, an_air

HOURS = 24
PATHS = st.lists(st.floats(-18.0, 12.0), min_size=HOURS + 1, max_size=HOURS + 1)
STEADY = st.tuples(
    st.floats(-8.0, 8.0), st.lists(st.floats(-3.0, 3.0), min_size=HOURS, max_size=HOURS)
).map(lambda pair: list(np.cumsum([pair[0], *pair[1]])))
"""Air that changes by at most 3 K an hour, as air does."""
KEYS = st.sampled_from(sorted(CATALOGUE))
FEW = settings(max_examples=20)
ROOF_K = -2.0


def follow(network: Network, air: SiteAir) -> Trajectory:
    (path,) = solve([Job(network=network, air=air)])
    return path


@FEW
@given(path=PATHS, key=KEYS, wind=st.floats(0.0, 15.0))
def test_nothing_leaves_the_span_of_its_airs(path: list[float], key: str, wind: float) -> None:
    """The roof under the night sky may cool the cabin below the air, by its share of the loss."""
    air = an_air(np.array([path]), wind=wind, roof_k=ROOF_K)
    network = a_network(key, air)
    found = follow(replace(network, heater_w=np.zeros_like(network.heater_w)), air)
    lowest, highest = min(path) + 0.2 * ROOF_K, max([*path, 0.0])
    for water_c in (found.water_c, found.cabin_c, found.locker_c):
        assert np.nanmin(water_c) >= lowest - 0.02
        assert np.nanmax(water_c) <= highest + 0.02
    assert ((found.ice_fraction >= 0.0) & (found.ice_fraction <= 1.0)).all()


@FEW
@given(path=STEADY, key=KEYS, offsets=st.lists(st.floats(0.0, 6.0), min_size=4, max_size=4))
def test_a_colder_member_never_ends_warmer_nor_with_less_ice(
    path: list[float], key: str, offsets: list[float]
) -> None:
    """Exact in the times. In the hour in which a pipe freezes through, its shell of ice is an
    average over the hour, and so may its temperature be for two members half a kelvin apart."""
    colder = np.sort(offsets)
    air = an_air(np.array(path)[None] - colder[:, None])
    network = replace(a_network(key, air), valve_item=-1)
    found = follow(network, air)
    assert (np.diff(found.water_c, axis=1) <= 0.1).all()
    assert (np.diff(found.ice_fraction, axis=1) >= -0.005).all()
    for first_h in (found.ice_at_h, found.harm_at_h, found.cool_at_h):
        assert (first_h[:, 1:] <= first_h[:, :-1] + 1e-3).all()


@FEW
@given(path=PATHS, key=KEYS, start_c=st.floats(-8.0, 8.0))
def test_without_a_way_out_all_heat_stays(path: list[float], key: str, start_c: float) -> None:
    """Cabin and locker closed to the outside: what they lose the water gains, to rounding."""
    air = an_air(np.array([path]), roof_k=0.0)
    network = a_network(key, air)
    shell = network.shell.copy()
    shell[[0, 6]] = 0.0
    network = replace(
        network,
        shell=shell,
        outside_w_per_k=np.zeros_like(network.outside_w_per_k),
        heater_w=np.zeros_like(network.heater_w),
        valve_item=-1,
    )
    start = follow(network, air).end
    hubs_c = np.array([[start_c], [-start_c], [start_c / 2]], np.float32)
    ends = [
        follow_from(network, replace(air, now_index=hour), replace(start, hubs_c=hubs_c))
        for hour in (0, HOURS)
    ]
    _, air_j, mass_j, _, locker_j, _, _ = shell
    capacities = np.array([air_j, locker_j, mass_j])
    held = [
        float(end.enthalpy_j.sum(dtype=float) + capacities @ end.hubs_c[:, 0])
        for end in (path.end for path in ends)
    ]
    moved = float(np.abs(ends[1].end.enthalpy_j - ends[0].end.enthalpy_j).sum())
    assert held[1] - held[0] == pytest.approx(0.0, abs=1e-4 * moved + 100.0)


def follow_from(network: Network, air: SiteAir, state: object) -> Trajectory:
    (path,) = solve([Job(network=network, air=air, state=state)])  # type: ignore[arg-type]
    return path


@FEW
@given(path=PATHS, key=KEYS, cut=st.integers(1, HOURS - 1), glycol=st.sampled_from([0.0, 0.2]))
def test_cutting_a_night_and_going_on_equals_running_through(
    path: list[float], key: str, cut: int, glycol: float
) -> None:
    """The state kept at one pass carries the next, of which only the hours since are stepped."""
    air = an_air(np.array(path)[None] + np.array([[0.0], [1.5]]), now_index=cut)
    network = a_network(key, air, glycol=glycol)
    start = follow(network, replace(air, now_index=0)).end
    half = follow_from(network, replace(air, now_index=cut // 2), start).end
    assert half.at == air.start + timedelta(hours=cut // 2)
    assert half.enthalpy_j.dtype == np.float32
    through, later = follow_from(network, air, start), follow_from(network, air, half)
    np.testing.assert_allclose(later.water_c, through.water_c, atol=1e-3, equal_nan=True)
    np.testing.assert_allclose(later.ice_fraction, through.ice_fraction, atol=1e-4)
    np.testing.assert_allclose(later.harm_at_h, through.harm_at_h, atol=1e-2)


def test_a_state_of_a_later_time_or_of_other_members_is_not_used() -> None:
    air = an_air(np.full((2, 49), -5.0), now_index=24)
    network = a_network("panel-van", air)
    kept = follow(network, replace(air, now_index=20)).end
    assert Job(network=network, air=air, state=kept).first == 20
    more = replace(air, air_c=np.full((3, 49), -5.0))
    assert Job(network=network, air=more, state=kept).first == 0
    assert Job(network=network, air=replace(air, now_index=10), state=kept).kept is None


def test_the_order_and_the_company_of_vehicles_do_not_matter() -> None:
    air = an_air(a_spell(36, mean_c=-2.0, members=5))
    warmer = an_air(a_spell(36, mean_c=3.0, members=5), now_index=12)
    jobs = [
        Job(network=a_network(key, place, glycol=0.2), air=place)
        for key in CATALOGUE
        for place in (air, warmer)
    ]
    together = solve(jobs)
    for job, expected in zip(jobs[:6], together[:6], strict=True):
        (alone,) = solve([job])
        np.testing.assert_allclose(alone.water_c, expected.water_c, atol=1e-3, equal_nan=True)
    for backwards, expected in zip(reversed(solve(jobs[::-1])), together, strict=True):
        assert backwards.item_keys == expected.item_keys
        np.testing.assert_allclose(backwards.ice_fraction, expected.ice_fraction, atol=1e-4)
        np.testing.assert_allclose(backwards.harm_at_h, expected.harm_at_h, atol=1e-2)


def test_vehicles_alike_share_one_result_and_vehicles_unlike_do_not() -> None:
    air = an_air(a_spell(24, mean_c=-2.0))
    network = a_network("panel-van", air)
    other = replace(network, heater_off_c=network.heater_off_c + 1.0)
    one, same, differs = solve(
        [Job(network=n, air=air) for n in (network, a_network("panel-van", air), other)]
    )
    assert one is same
    assert one is not differs


@pytest.mark.parametrize("key", ["coachbuilt-seat-tank", "panel-van", "small-camper"])
def test_halving_the_step_converges(key: str) -> None:
    air = an_air(a_spell(48, mean_c=-2.0))
    job = Job(network=a_network(key, air), air=air)
    paths = {steps: run([job], steps)[0] for steps in (3, 6, 12, 48)}

    def apart(steps: int) -> float:
        return float(np.abs(paths[steps].ice_fraction - paths[48].ice_fraction).max())

    assert apart(12) < apart(6) < apart(3)
    assert apart(6) < 0.005


def test_a_drained_item_is_no_node_at_all() -> None:
    air = an_air(a_spell(24, mean_c=-5.0))
    network = a_network("panel-van", air, leave_out=("F1", "W3"))
    assert not {"F1", "W3"} & set(network.item_keys)


def test_an_emptied_item_passes_no_level_any_more() -> None:
    """The valve lets the heater tank go at 5 degC; the frost of the days after is not its own."""
    air = an_air(np.concatenate([np.full(6, 8.0), np.full(43, -9.0)])[None])
    found = follow(a_network("panel-van", air), air)
    heater = found.item_keys.index("H1")
    assert np.isfinite(found.tripped_at_h[0])
    assert found.ice_at_h[heater, 0] == found.harm_at_h[heater, 0] == np.inf
    assert found.cool_at_h[heater, 0] == np.inf
    assert np.isnan(found.water_c[heater, 0, 10:]).all()
    assert (found.ice_fraction[heater] == 0.0).all()


def test_a_vehicle_without_any_water_has_a_cabin_all_the_same() -> None:
    air = an_air(a_spell(24, mean_c=-5.0, members=2))
    circuits = tuple({item.circuit.value for item in CATALOGUE["panel-van"].items})
    found = follow(a_network("panel-van", air, leave_out=circuits), air)
    assert found.item_keys == ()
    assert found.ice_at_h.shape == (0, 2)
    assert found.cabin_c.shape == (2, 25)
