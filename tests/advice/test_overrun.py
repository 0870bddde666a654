"""A handover under way."""

from datetime import datetime, timedelta

from frostwatch.advice.handover import Plan, plan_for
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.overrun import progress_of
from tests.advice.handovers import AT, GAS_6, a_case, steady_air


def a_plan() -> Plan:
    return plan_for(a_case(steady_air(-6.0, spread_k=2.0, members=20)), GAS_6)


def ends(plan: Plan, step: Step) -> datetime:
    found = plan.step(step)
    assert found is not None
    return found.ends


def test_on_time_nothing_moves() -> None:
    plan = a_plan()
    done = {Step.LOOK: ends(plan, Step.LOOK)}
    progress = progress_of(plan, done, ends(plan, Step.LOOK) + timedelta(minutes=5))
    assert progress.steps == plan.steps
    assert progress.new_hour is None
    assert progress.waits_for is Step.HEAT


def test_a_valve_twenty_minutes_late_moves_the_rest_into_the_spare_time() -> None:
    plan = a_plan()
    late = ends(plan, Step.SHUT) + timedelta(minutes=20)
    done = {s: ends(plan, s) for s in (Step.LOOK, Step.HEAT)} | {Step.SHUT: late}
    progress = progress_of(plan, done, late)
    moved = {step.step: step for step in progress.steps}
    for step in (Step.REACH, Step.FILL, Step.PRIME, Step.WATER_HEAT, Step.LEAK):
        assert moved[step].ends == ends(plan, step) + timedelta(minutes=20)
    assert progress.new_hour is None
    assert moved[Step.READY].ends == AT


def test_beyond_the_spare_time_the_new_hour_is_named() -> None:
    plan = a_plan()
    late = ends(plan, Step.SHUT) + timedelta(minutes=50)
    progress = progress_of(plan, {Step.SHUT: late}, late)
    assert progress.new_hour is not None
    assert progress.new_hour > AT
    assert progress.new_hour.minute % 15 == 0
    assert progress.late == progress.ready_at - AT
    assert progress.steps[-1].ends == progress.new_hour


def test_an_open_gate_past_its_hour_is_looked_at_again_in_ten_minutes() -> None:
    plan = a_plan()
    now = ends(plan, Step.HEAT) + timedelta(minutes=3)
    progress = progress_of(plan, {Step.LOOK: ends(plan, Step.LOOK)}, now)
    assert progress.waits_for is Step.HEAT
    heat = next(step for step in progress.steps if step.step is Step.HEAT)
    assert heat.ends == now + timedelta(minutes=10)


def test_a_gate_passed_early_lets_nobody_fill_before_the_pump_is_warm() -> None:
    plan = a_plan()
    early = ends(plan, Step.SHUT) - timedelta(minutes=15)
    progress = progress_of(plan, {Step.LOOK: early, Step.HEAT: early, Step.SHUT: early}, early)
    fill = next(step for step in progress.steps if step.step is Step.FILL)
    assert fill.starts >= ends(plan, Step.REACH)
