"""Steps of a handover as entries of a calendar."""

from datetime import timedelta

from frostwatch.advice.brought_in import plan_way
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.plan_words import words_for
from frostwatch.fleet.people import Language
from frostwatch.service.calendar_entries import AT_LEAST, Shelf, appointments_of
from frostwatch.service.calendar_facts import Known, Ready
from tests.advice.handovers import AT, ELECTRIC, NOW, a_case, steady_air


def test_heating_on_stays_in_the_calendar_where_the_vehicle_is_warm_from_the_start() -> None:
    """In a hall at 12 degC the valve can be shut at once; somebody switches the heat on all the
    same. An entry ends after it begins (RFC 5545, 3.8.2.2)."""
    case = a_case(steady_air(-6.0), heat=(ELECTRIC,))
    plan = plan_way(case, ELECTRIC, AT - timedelta(hours=16))
    heat = plan.step(Step.HEAT)
    assert heat is not None
    assert heat.starts == heat.ends
    ready = Ready(
        site=case.site,
        vehicle=case.vehicle,
        layout=case.layout,
        water=case.water,
        handover=case.handover,
        plan=plan,
        out=None,
    )
    shelf = Shelf(
        site=case.site,
        owner="resi",
        vans=(),
        matters=(),
        walk=None,
        known=Known(at=NOW, issued_at=NOW, ready=(ready,), look=lambda diary: None),
        diary=None,
        words=words_for(Language.EN, case.site, NOW),
        now=NOW,
    )
    entries = {one.key: one for one in appointments_of(shelf)}
    (on,) = [one for key, one in entries.items() if key.endswith("/heating-on-lockers-open")]
    assert on.starts == plan.on_by
    assert on.ends - on.starts == AT_LEAST
    assert all(one.ends > one.starts for one in entries.values())
