"""Heat kept on in a wet vehicle."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.advice.hold_need import BRIDGE_H, need_by_hour_w, supply_of_w
from frostwatch.advice.holding import Doubt, HoldView, hold_view, waste_is_shut
from frostwatch.fleet.heat import Fuel, Post
from frostwatch.fleet.layouts import CATALOGUE, layout_of
from frostwatch.fleet.layouts.parts import estimate
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import HeatedHold, Layout, Shell
from frostwatch.records.entries import State
from frostwatch.records.standing_water import water_of
from tests.advice.handovers import NOW, steady_air
from tests.builders import a_drive, a_forecourt, a_site, a_vehicle, entries_for

KEY = "coachbuilt-seat-tank"


def a_shell(ua: float) -> Shell:
    """A cabin of that whole loss, its locker almost shut off."""
    own = CATALOGUE[KEY].shell
    return replace(
        own,
        cabin_ua_w_per_k=estimate(ua, ua, ua),
        locker_to_cabin_w_per_k=estimate(1e-6, 1e-6, 1e-6),
    )


def look(
    air_c: float,
    *,
    spread_k: float = 0.0,
    ua: float | None = None,
    site: Site | None = None,
    state: State = State.FULL,
    indoors: bool = False,
    **hold: Any,
) -> HoldView:
    given_hold: dict[str, Any] = {
        "source": "hook-up 6 A",
        "power_w": 1380.0,
        "setting_c": 5.0,
    } | hold
    vehicle = a_vehicle("Y04", layout=KEY, indoors=indoors, hold=HeatedHold(**given_hold))
    layout: Layout = layout_of(vehicle)
    if ua is not None:
        layout = replace(layout, shell=a_shell(ua))
    entries = entries_for(layout, state, vehicle="Y04", at=NOW - timedelta(days=3))
    water = water_of(vehicle, layout, entries, NOW)
    members = 20 if spread_k else 1
    air = steady_air(air_c, spread_k=spread_k, members=members)
    return hold_view(vehicle, layout, water, site or a_site(), air)


# Holding 5 degC, sun and wind left out (computed): W at the loss and outside air named.
@pytest.mark.parametrize(
    ("air_c", "ua", "need_w"),
    [
        (0.0, 70.0, 350.0),
        (0.0, 90.0, 450.0),
        (-3.0, 90.0, 720.0),
        (-5.0, 90.0, 900.0),
        (-8.0, 90.0, 1170.0),
        (-10.0, 120.0, 1800.0),
        (-15.0, 70.0, 1400.0),
    ],
)
def test_the_need_is_the_loss_times_the_difference(air_c: float, ua: float, need_w: float) -> None:
    vehicle = a_vehicle("Y04", layout=KEY)
    need = need_by_hour_w(vehicle, a_shell(ua), steady_air(air_c), 5.0)
    np.testing.assert_allclose(need, need_w, rtol=1e-3)
    # 14 hours of it: 5 degC at -5 outside and 90 W/K take 12.6 kWh, 1.0 kg of propane
    if (air_c, ua) == (-5.0, 90.0):
        assert need[0, 0] * 14 / 1000 == pytest.approx(12.6, rel=1e-3)
        assert need[0, 0] * 14 / 1000 / 12.0 == pytest.approx(1.0, abs=0.06)


def test_six_amps_reach_at_minus_five_and_leave_less_than_a_quarter_at_minus_seven() -> None:
    """Y04 on 6 A needs 0.9 kW at -5 and has 1.38; at -7.5 it needs 1.13: margin 18 %."""
    mild = look(-5.0, ua=90.0)
    assert mild.need_cold_w[0] == pytest.approx(900.0, rel=0.01)
    assert mild.power_margin == pytest.approx(0.35, abs=0.01)
    assert Doubt.THIN not in mild.doubts
    cold = look(-7.5, ua=90.0)
    assert cold.power_margin == pytest.approx(0.18, abs=0.01)
    assert Doubt.THIN in cold.doubts
    assert cold.should_drain
    beyond = look(-12.0, ua=90.0)
    assert Doubt.TOO_WEAK in beyond.doubts
    assert beyond.short_from == NOW


def test_other_loads_on_the_post_are_taken_off_the_supply() -> None:
    """6 A leave 0.48 kW above a 900 W hold, before any charger or kettle (computed)."""
    plain, kettle = look(-5.0, ua=90.0), look(-5.0, ua=90.0, other_w=480.0)
    assert plain.supply_w - plain.need_cold_w[0] == pytest.approx(480.0, rel=0.02)
    assert kettle.power_margin == pytest.approx(0.0, abs=0.01)


def test_a_post_gives_no_more_than_its_breaker() -> None:
    """An 1800 W heater on a post of 6 A has 1.38 kW (computed); what else draws there comes off
    the post, not off the heater."""
    posts = (Post(name="3", amps=6.0), Post(name="4", amps=16.0))
    site = a_site(posts=posts)

    def supply(post: str, **hold: Any) -> float:
        kept = HeatedHold(source="fan heater", power_w=1800.0, setting_c=5.0, **hold)
        return supply_of_w(a_vehicle("Y04", layout=KEY, post=post, hold=kept), site)

    assert supply("3") == pytest.approx(1380.0)
    assert supply("3", other_w=300.0) == pytest.approx(1080.0)
    assert supply("4", other_w=300.0) == pytest.approx(1800.0)
    assert supply("") == pytest.approx(1800.0)
    assert supply("3", fuel=Fuel.GAS) == pytest.approx(1800.0)


def test_a_hold_on_gas_says_that_butane_gives_none_in_frost() -> None:
    """Near 0 degC, a club's data sheet; the bottles stand outdoors."""
    gas: dict[str, Any] = {"fuel": Fuel.GAS, "power_w": 4000.0, "site": a_drive()}
    assert look(-2.0, **gas).propane_only
    assert not look(3.0, **gas).propane_only
    assert look(1.0, spread_k=3.0, **gas).propane_only
    assert not look(-2.0, fuel=Fuel.DIESEL, power_w=4000.0).propane_only


def test_the_margin_is_that_of_the_cold_members() -> None:
    sure, unsure = look(-5.0, ua=90.0), look(-5.0, ua=90.0, spread_k=3.0)
    assert unsure.power_margin < sure.power_margin - 0.1
    assert unsure.need_likely_w[0] == pytest.approx(sure.need_likely_w[0], rel=0.05)


def test_a_bottle_and_a_battery_run_out() -> None:
    """90 W/K at -5: 43 kWh in two days, 3.6 kg of propane; the fan draws 2 A."""
    enough = look(-5.0, ua=90.0, fuel=Fuel.GAS, store=11.0, power_w=4000.0, site=a_drive())
    assert enough.store_margin == pytest.approx(1.0 - 43.2 / (11.0 * 12.0), abs=0.02)
    assert enough.out_at is None
    little = look(-5.0, ua=90.0, fuel=Fuel.GAS, store=2.0, power_w=4000.0, site=a_drive())
    assert Doubt.RUNS_OUT in little.doubts
    assert little.out_at is not None
    assert (little.out_at - NOW) / timedelta(hours=1) == pytest.approx(2.0 * 12.0 / 0.9, abs=1.5)
    battery = look(0.0, fuel=Fuel.DIESEL, battery_ah=40.0, power_w=4000.0)
    assert battery.out_at == NOW + timedelta(hours=20)
    assert Doubt.RUNS_OUT in battery.doubts


def test_yard_rules_and_buildings_forbid_what_burns() -> None:
    gas: dict[str, Any] = {"fuel": Fuel.GAS, "power_w": 4000.0}
    assert Doubt.GAS_FORBIDDEN in look(0.0, site=a_site(gas_allowed=False), **gas).doubts
    assert Doubt.GAS_FORBIDDEN not in look(0.0, site=a_forecourt(), **gas).doubts
    assert Doubt.BURNS_INDOORS in look(0.0, site=a_forecourt(), indoors=True, **gas).doubts
    assert look(3.0, fuel=Fuel.ELECTRIC).doubts == ()


def test_the_clock_after_the_heat_stops_is_shorter_in_harder_frost() -> None:
    """At -10 degC and 5 degC inside the pipes have half a degree left: ten minutes."""
    hard, mild = look(-10.0, power_w=3000.0), look(-3.0, power_w=3000.0)
    assert hard.pipes_after_h is not None
    assert mild.pipes_after_h is not None
    assert 0.1 < hard.pipes_after_h[0] < 0.5 < mild.pipes_after_h[0] < 24.0
    spread = look(-6.0, power_w=3000.0, spread_k=4.0)
    assert spread.pipes_after_h is not None
    assert spread.pipes_after_h[1] is None or spread.pipes_after_h[0] <= spread.pipes_after_h[1]
    assert look(6.0).pipes_after_h is None


def test_five_degrees_in_the_cabin_are_not_five_degrees_at_the_pipes() -> None:
    """An owner's thread: a small heater kept the inside above 4 degC at -11 degC outside and every
    pipe froze. Pipe air takes 0.3 of the outside here, so pipes at 5 degC inside freeze near -12;
    under the floor everything does."""
    cold = look(-13.0, power_w=4000.0)
    assert {"W3", "W4", "F3.exposed"} <= set(cold.cold_spots)
    assert "F3.cabin" in cold.cold_spots
    assert Doubt.COLD_SPOTS in cold.doubts
    mild = look(-4.0, power_w=4000.0)
    assert "F3.cabin" not in mild.cold_spots
    assert {"W3", "W4"} <= set(mild.cold_spots)
    assert Doubt.COLD_SPOTS not in mild.doubts


@settings(max_examples=12, deadline=None)
@given(air_c=st.floats(-15.0, 6.0), power_w=st.floats(500.0, 6000.0))
def test_more_power_never_leaves_less_over(air_c: float, power_w: float) -> None:
    weak, strong = look(air_c, power_w=power_w), look(air_c, power_w=power_w + 500.0)
    assert strong.power_margin >= weak.power_margin - 1e-9
    assert weak.margin <= 1.0
    assert len(weak.need_cold_w) == BRIDGE_H + 1


def test_a_waste_tank_behind_a_shut_valve_is_told_by_itself() -> None:
    vehicle = a_vehicle("Y04", layout=KEY)
    layout = layout_of(vehicle)
    at = NOW - timedelta(days=1)
    wet = water_of(vehicle, layout, entries_for(layout, State.FULL, vehicle="Y04", at=at), NOW)
    dry = water_of(vehicle, layout, entries_for(layout, State.DRAINED, vehicle="Y04", at=at), NOW)
    assert waste_is_shut(wet)
    assert not waste_is_shut([e for e in dry if not e.is_wet])
