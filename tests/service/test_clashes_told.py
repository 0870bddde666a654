"""Plans that do not fit beside the others are told as such."""

from dataclasses import replace
from datetime import timedelta

from frostwatch.advice.handover import plan_for
from frostwatch.advice.plan_calls import Proposed
from frostwatch.fleet.heat import Fuel, Post
from frostwatch.fleet.vehicles import HeatedHold
from frostwatch.service.handovers import clashing
from frostwatch.service.nights import Memory, Van
from tests.advice.handovers import AT, ELECTRIC, GAS_6, NOW, a_case, steady_air
from tests.builders import a_forecourt, a_vehicle

AIR = steady_air(-3.0)


def ready(key: str, who: str = "", later_h: float = 0.0) -> tuple[Van, Proposed]:
    case = a_case(AIR, key=key, heat=(GAS_6,), who=who, at=AT + timedelta(hours=later_h))
    vehicle = replace(case.vehicle, handover=case.handover)
    return Memory().van(vehicle, (), NOW), Proposed(plan=plan_for(case, GAS_6))


def test_one_person_named_twice_clashes_and_whoever_comes_later_does_not() -> None:
    pairs = [ready("D1", "Kit"), ready("D2", "kit"), ready("D3", "Kit", 5.0), ready("D4")]
    vans = [van for van, _ in pairs]
    proposed = {van.vehicle.key: one for van, one in pairs}
    assert clashing(a_forecourt(crew=9), vans, proposed) == {"D1", "D2"}
    assert clashing(a_forecourt(crew=2), vans, proposed) == {"D1", "D2", "D4"}


def test_heat_kept_on_elsewhere_takes_the_power_a_plan_counts_on() -> None:
    """1.8 kW and the water element are 2.8 kW: 4 kW serve them alone, not beside 2 kW kept on."""
    site = a_forecourt(crew=9, supply_w=4000.0, posts=(Post(name="1", amps=16.0),))
    case = a_case(AIR, key="D1", site=site, heat=(ELECTRIC,))
    van = Memory().van(replace(case.vehicle, handover=case.handover), (), NOW)
    proposed = {"D1": Proposed(plan=plan_for(case, ELECTRIC))}
    assert clashing(site, [van], proposed) == frozenset()
    hold = HeatedHold(source="fan heater", power_w=2000.0, setting_c=5.0, fuel=Fuel.ELECTRIC)
    warm = Memory().van(a_vehicle("D9", site="hinterlach", hold=hold), (), NOW)
    assert clashing(site, [van, warm], proposed) == {"D1"}
