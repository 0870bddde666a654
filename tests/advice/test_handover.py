"""Handovers planned backwards from their hour."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.advice.brought_in import plan_way
from frostwatch.advice.handover import Trouble, plan_for, plan_from
from frostwatch.advice.handover_steps import (
    ELECTRIC_WATER_W,
    SHUT_MIN,
    SPARE_MIN,
    Gate,
    Step,
    water_heating_j,
    water_heating_min,
)
from frostwatch.advice.heat_sources import is_allowed, sources_of
from frostwatch.advice.plan_choice import best_of
from frostwatch.advice.plan_words import words_for
from frostwatch.advice.warm_up import warm_up
from frostwatch.advice.ways_out import ways_out
from frostwatch.errors import FleetError
from frostwatch.fleet.heat import Fuel, HeatSource
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Evidence, State
from frostwatch.records.standing_water import CircuitWater
from tests.advice.handovers import AT, ELECTRIC, GAS_4, GAS_6, NOW, a_case, steady_air
from tests.builders import a_drive, a_forecourt, a_site, a_vehicle

FROST = steady_air(-6.0, spread_k=2.0, members=20)


def test_the_dealer_gets_a_heating_on_hour_for_each_source() -> None:
    """D08 Friday 10:00, soaked at -6 degC: the weaker the source, the earlier."""
    case = a_case(FROST)
    plans = [plan_for(case, source) for source in sources_of(case.vehicle, case.layout)]
    assert all(plan.fits for plan in plans)
    hours = [plan.on_by for plan in plans]
    assert hours == sorted((h for h in hours if h), reverse=True)
    first, second, last = ((AT - h) / timedelta(hours=1) for h in hours if h)
    assert 3.0 < first < second < 5.0 < last
    assert best_of(plans, case.site).source == GAS_6


def test_the_steps_come_in_the_order_of_the_trade_and_meet_each_other() -> None:
    plan = plan_for(a_case(FROST), GAS_6)
    assert [step.step for step in plan.steps] == [
        Step.LOOK,
        Step.HEAT,
        Step.SHUT,
        Step.REACH,
        Step.FILL,
        Step.PRIME,
        Step.WATER_HEAT,
        Step.LEAK,
        Step.SPARE,
        Step.READY,
    ]
    for before, after in zip(plan.steps, plan.steps[1:], strict=False):
        assert before.ends == after.starts
    assert plan.steps[-1].ends == AT
    gates = {step.step: step.gate for step in plan.steps}
    assert gates[Step.SHUT] is Gate.VALVE_STAYS
    assert gates[Step.REACH] is Gate.PUMP_WARM
    assert gates[Step.PRIME] is Gate.TAPS_SOLID
    assert gates[Step.LEAK] is Gate.PUMP_SILENT
    spare = plan.step(Step.SPARE)
    assert spare is not None
    assert SPARE_MIN - 2 <= spare.minutes <= SPARE_MIN + 6
    hands_on = sum(step.minutes for step in plan.steps if step.hands_on)
    assert 35 <= hands_on <= 50  # about 40 minutes hands-on, an estimate of the trade


def test_the_hour_to_work_to_is_that_of_the_cold_members() -> None:
    """Nine airs in ten are ready by then; a wider spread asks for an earlier start."""
    sure = plan_for(a_case(steady_air(-6.0)), GAS_6)
    unsure = plan_for(a_case(steady_air(-6.0, spread_k=4.0, members=20)), GAS_6)
    assert sure.on_by is not None
    assert unsure.on_by is not None
    assert unsure.on_by < sure.on_by
    assert unsure.ready_likely is not None
    assert unsure.ready_at is not None
    assert unsure.ready_likely < unsure.ready_at
    case = a_case(FROST)
    plan = plan_for(case, GAS_6)
    assert plan.on_by is not None
    run = warm_up(case.stand, plan.on_by, GAS_6.power_w, AT)
    filled = plan.step(Step.FILL)
    assert filled is not None
    in_time = plan.on_by + timedelta(minutes=1) * np.maximum(run.pump_min, run.valve_min + 7)
    assert (in_time <= filled.starts).mean() >= 0.9


def test_half_an_hour_in_a_mild_frost_and_longer_when_colder_or_on_electric_only() -> None:
    """About 30 minutes until the valve stays shut near -3 degC with 4 to 6 kW: common practice, no
    source. Soaked there it lies between the likely minutes and those worked to, or on one of them;
    bounds by air and furniture alone are told with it."""

    def valve_min(layout: str, air_c: float, source: HeatSource) -> list[float]:
        case = a_case(steady_air(air_c), layout=layout)
        run = warm_up(case.stand, case.first_on, source.power_w, case.stand.end)
        four = (run.valve_air_min, run.valve_likely_min, run.valve_min, run.valve_furniture_min)
        return [float(minutes[0]) for minutes in four]

    van = "panel-van-indoor-valve"
    for layout in (van, "coachbuilt-seat-tank"):
        for source in (GAS_6, GAS_4):
            by_air, likely, planned, by_furniture = valve_min(layout, -3.0, source)
            assert by_air < likely < planned < by_furniture
            assert likely - 3.0 <= 30.0 <= planned + 3.0
    assert valve_min(van, -10.0, GAS_6)[2] > 1.8 * valve_min(van, -3.0, GAS_6)[2]
    assert valve_min(van, -3.0, ELECTRIC)[1] > 100


def test_the_later_hour_is_planned_for_and_the_likely_one_told() -> None:
    """One air only: what separates the two is the vehicle, its weight and its valve."""
    plan = plan_for(a_case(steady_air(-6.0)), GAS_6)
    assert plan.on_by is not None
    assert plan.ready_likely is not None
    assert plan.ready_at is not None
    assert timedelta(minutes=20) < plan.ready_at - plan.ready_likely < timedelta(minutes=60)
    # a story of the trade: heating on by 06:45 for ten o'clock, 06:00 with 4 kW, 02:15 on 1.8 kW
    weaker = plan_for(a_case(steady_air(-6.0)), GAS_4)
    assert weaker.on_by is not None
    hours = [(AT - on_by) / timedelta(hours=1) for on_by in (plan.on_by, weaker.on_by)]
    assert hours == [pytest.approx(3.25, abs=0.3), pytest.approx(4.0, abs=0.3)]


def test_an_element_gives_the_half_hour_of_common_practice() -> None:
    """30 to 40 minutes for 10 L is common practice, no source: 0.8 to 1.3 kW into the water."""
    layout = CATALOGUE["coachbuilt-seat-tank"]
    assert water_heating_j(layout) / 3.6e6 == pytest.approx(0.64, rel=0.06)
    assert 30 <= water_heating_min(layout, ELECTRIC) <= 42
    assert ELECTRIC_WATER_W == 1000.0


@settings(max_examples=15, deadline=None)
@given(
    air_c=st.floats(-15.0, 8.0),
    source=st.sampled_from([GAS_6, GAS_4, ELECTRIC]),
    layout=st.sampled_from(sorted(CATALOGUE)),
)
def test_every_plan_balances_its_heat_and_ends_by_its_hour(
    air_c: float, source: HeatSource, layout: str
) -> None:
    plan = plan_for(a_case(steady_air(air_c, spread_k=1.0, members=5), layout=layout), source)
    if plan.on_by is None:
        assert not plan.fits
        assert plan.steps == ()
        return
    assert plan.stored_kwh + plan.lost_kwh == pytest.approx(plan.heat_kwh, abs=1e-6)
    hours = (AT - plan.on_by) / timedelta(hours=1)
    assert plan.heat_kwh <= source.power_w / 1000.0 * hours + 1e-6
    assert plan.fits
    assert plan.ready_at is not None
    assert plan.ready_at <= AT
    assert plan.begins is not None
    assert plan.begins >= NOW


def test_heating_on_later_is_never_ready_earlier() -> None:
    case = a_case(FROST)
    ready = [plan_from(case, GAS_4, case.stand.at(index)).ready_at for index in range(60, 200, 20)]
    assert all(ready)
    assert ready == sorted(r for r in ready if r)


def test_what_does_not_fit_says_so_with_three_ways_out() -> None:
    """On 1.8 kW a coachbuilt cannot be ready by ten: indoors the day before, the burner, or a
    later hour."""
    case = a_case(steady_air(-7.0), layout="coachbuilt-seat-tank")
    plan = plan_for(case, ELECTRIC)
    assert plan.trouble is Trouble.NO_TIME
    out = ways_out(case, plan)
    assert out.indoors_by is not None
    assert out.indoors_by.astimezone(case.site.zone).strftime("%a %H:%M") == "Thu 18:00"
    assert out.other is not None
    assert out.other.source == GAS_6
    assert out.later is not None
    assert out.later > AT
    assert out.later.minute % 15 == 0
    late = plan_for(replace(case, handover=replace(case.handover, at=out.later)), ELECTRIC)
    assert late.fits


def test_without_another_source_the_power_that_would_do_is_named() -> None:
    case = a_case(steady_air(-9.0), layout="coachbuilt-seat-tank", heat=(ELECTRIC,))
    plan = plan_for(case, ELECTRIC)
    out = ways_out(case, plan)
    assert out.other is None
    assert out.power_w is not None
    assert out.power_on_by is not None
    enough = HeatSource(fuel=Fuel.ELECTRIC, power_w=out.power_w)
    short = HeatSource(fuel=Fuel.ELECTRIC, power_w=out.power_w - 500.0)
    assert plan_for(case, enough).fits
    assert not plan_for(case, short).fits


def test_heat_that_never_reaches_the_valve_is_told_apart_from_too_little_time() -> None:
    """Its valve lets go under the floor and feels the outside air as soon as it is driven out to
    light a burner: a night indoors helps it only on a heat with which it stays in there."""
    case = a_case(FROST, layout="panel-van")
    plan = plan_for(case, GAS_6)
    assert plan.trouble is Trouble.NEVER
    out = ways_out(case, plan)
    assert out.other is None
    assert out.power_w is None
    assert out.later is None
    assert out.indoors is not None
    assert out.indoors.source == ELECTRIC
    burner = a_case(FROST, layout="panel-van", heat=(GAS_6,))
    out = ways_out(burner, plan_for(burner, GAS_6))
    assert out.indoors_by is None
    assert out.dry


@pytest.mark.parametrize("layout", sorted(CATALOGUE))
@pytest.mark.parametrize("heat", [(ELECTRIC,), (GAS_4,)])
def test_every_way_out_that_is_named_fits_when_it_is_gone(
    layout: str, heat: tuple[HeatSource, ...]
) -> None:
    case = a_case(steady_air(-9.0), layout=layout, heat=heat)
    plan = plan_for(case, heat[0])
    if plan.fits:
        return
    out = ways_out(case, plan)
    words = list(words_for(Language.EN, case.site, NOW).ways(plan, out))
    assert words
    assert out.dry is (len(words) == 1 and "drained" in words[0])
    if out.indoors is not None:
        assert plan_way(case, out.indoors.source, out.indoors_by).fits
    if out.power_w is not None:
        assert plan_for(case, HeatSource(fuel=heat[0].fuel, power_w=out.power_w)).fits
    if out.later is not None:
        later = replace(case, handover=replace(case.handover, at=out.later))
        assert plan_for(later, heat[0]).fits


def test_beyond_the_forecast_there_is_no_hour() -> None:
    plan = plan_for(a_case(steady_air(-2.0, ahead_h=24), at=AT + timedelta(hours=48)), GAS_6)
    assert plan.trouble is Trouble.BEYOND
    assert plan.on_by is None


def test_a_warm_morning_asks_for_the_work_and_no_more() -> None:
    plan = plan_for(a_case(steady_air(12.0)), GAS_6)
    assert plan.on_by is not None
    assert (AT - plan.on_by) < timedelta(hours=2)
    assert plan.cold_spots == ()


def test_what_no_heat_in_the_cabin_reaches_is_named() -> None:
    plan = plan_for(a_case(FROST, layout="coachbuilt-underslung-fresh"), GAS_6)
    assert {"F1", "F3.exposed", "W3", "W4"} <= set(plan.cold_spots)
    heated = plan_for(a_case(FROST, layout="coachbuilt-heated-waste"), GAS_6)
    assert "W3" not in heated.cold_spots


def test_antifreeze_is_flushed_out_and_a_van_without_heater_waits_for_no_hot_water() -> None:
    dosed = CircuitWater(
        circuit=Circuit.TRAPS,
        state=State.DOSED,
        evidence=Evidence.SEEN,
        since=NOW,
        by="rz",
        litres_soon_l=0.9,
        litres_cost_l=0.9,
        glycol_volume_fraction=0.35,
    )
    plan = plan_for(a_case(FROST, water=(dosed,)), GAS_6)
    assert plan.step(Step.FLUSH) is not None
    small = plan_for(a_case(FROST, layout="small-camper"), GAS_4)
    assert small.step(Step.WATER_HEAT) is None
    assert small.step(Step.SHUT) is None
    assert small.step(Step.HEAT) is not None
    assert small.valve_from is None


@pytest.mark.parametrize("layout", sorted(k for k, one in CATALOGUE.items() if not one.valve))
def test_without_a_dump_valve_drains_and_taps_are_shut_all_the_same_before_water_goes_in(
    layout: str,
) -> None:
    plan = plan_for(a_case(steady_air(-3.0), layout=layout), GAS_4)
    order = [step.step for step in plan.steps]
    assert order.index(Step.HEAT) < order.index(Step.CLOSE) == order.index(Step.FILL) - 1
    close = plan.step(Step.CLOSE)
    assert close is not None
    assert close.hands_on
    assert close.minutes == SHUT_MIN
    for before, after in zip(plan.steps, plan.steps[1:], strict=False):
        assert before.ends == after.starts
    assert plan_for(a_case(steady_air(-3.0)), GAS_4).step(Step.CLOSE) is None


def test_indoors_it_soaks_in_the_building() -> None:
    outside = plan_for(a_case(FROST), GAS_4)
    held = a_case(FROST, indoors=True)
    assert plan_for(held, GAS_4).on_by is not None
    assert outside.soak_c is not None
    assert outside.soak_c[0] == pytest.approx(-6.0, abs=0.5)


def test_gas_is_not_proposed_where_the_place_forbids_it() -> None:
    yard = a_site(gas_allowed=False)
    assert not is_allowed(GAS_6, yard)
    assert is_allowed(ELECTRIC, yard)
    assert is_allowed(GAS_6, a_drive())  # one's own drive
    case = a_case(FROST, site=a_forecourt(gas_allowed=False))
    plans = [plan_for(case, source) for source in case.vehicle.heat]
    assert best_of(plans, case.site).source == ELECTRIC


def test_a_vehicle_says_what_warms_it_or_its_layout_does() -> None:
    plain = a_vehicle(layout="panel-van")
    layout = CATALOGUE["panel-van"]
    (source,) = sources_of(plain, layout)
    assert source == HeatSource(fuel=Fuel.DIESEL, power_w=layout.space_heat_w.value)
    none = replace(layout, space_heat_w=replace(layout.space_heat_w, value=0.0))
    with pytest.raises(FleetError, match="nothing is known that warms it"):
        sources_of(plain, none)
