"""Handover plans are read as they were kept; of two who press at once one is told."""

from dataclasses import replace
from datetime import timedelta

from frostwatch.advice.handover import Plan
from frostwatch.advice.handover_steps import Gate, PlanStep, Step
from frostwatch.advice.plan_board import PlanBoard, UnderWay, VanPlans
from frostwatch.fleet.heat import Fuel, Handover, HeatSource
from frostwatch.ports.plans import HandoverChange
from frostwatch.storage.ledger import SqlLedger
from tests.builders import NOW, a_site, a_vehicle, an_entry, an_operator

HANDOVER = Handover(at=NOW + timedelta(hours=5), fill_l=20.0)
PLAN = Plan(
    vehicle="Y03",
    site="cold-rigg",
    at=HANDOVER.at,
    source=HeatSource(fuel=Fuel.GAS, power_w=4000.0),
    on_by=NOW + timedelta(hours=1),
    steps=(
        PlanStep(
            step=Step.HEAT,
            starts=NOW + timedelta(hours=1),
            ends=NOW + timedelta(hours=2),
            gate=Gate.PUMP_WARM,
            likely=NOW + timedelta(hours=1.5),
        ),
    ),
    soak_c=(-4.0, -6.5),
    cold_spots=("waste",),
)
BOARD = PlanBoard(
    site="cold-rigg",
    at=NOW,
    issued_at=NOW - timedelta(hours=1),
    vans=(VanPlans(vehicle="Y03", handover=HANDOVER, plans=(PLAN,), best=0),),
    broken={"Y04": "nothing is known that warms it"},
)
BEGUN = UnderWay(
    vehicle="Y03",
    site="cold-rigg",
    handover=HANDOVER,
    plan=PLAN,
    done={Step.LOOK: NOW},
    by="kit",
)


def enter(ledger: SqlLedger) -> None:
    ledger.save_fleet(sites=[a_site()], people=[an_operator()], vehicles=[a_vehicle()])


def test_plans_are_read_as_they_were_kept_and_the_newest_stand(ledger: SqlLedger) -> None:
    enter(ledger)
    assert ledger.plans.board("cold-rigg") is None
    ledger.plans.keep(BOARD)
    assert ledger.plans.board("cold-rigg") == BOARD

    newer = replace(BOARD, at=NOW + timedelta(hours=1), vans=())
    ledger.plans.keep(newer)
    assert ledger.plans.file("cold-rigg", NOW).board == newer


def test_a_press_moves_a_plan_on_with_what_it_records(ledger: SqlLedger) -> None:
    enter(ledger)
    assert ledger.plans.press("Y03", None, BEGUN, ())
    after = replace(BEGUN, done={**BEGUN.done, Step.HEAT: NOW + timedelta(hours=2)})
    assert ledger.plans.press("Y03", BEGUN, after, [an_entry()])

    file = ledger.plans.file("cold-rigg", NOW)
    assert file.under_way == {"Y03": after}
    assert len(file.entries["Y03"]) == 1


def test_a_press_on_what_was_moved_on_meanwhile_keeps_nothing(ledger: SqlLedger) -> None:
    enter(ledger)
    assert ledger.plans.press("Y03", None, BEGUN, ())
    assert not ledger.plans.press("Y03", None, BEGUN, [an_entry()])
    other = replace(BEGUN, by="marek")
    assert not ledger.plans.press("Y03", other, None, [an_entry()])

    assert ledger.plans.file("cold-rigg", NOW).under_way == {"Y03": BEGUN}
    assert ledger.record_of("Y03") == ()


def test_a_plan_that_is_stopped_is_gone(ledger: SqlLedger) -> None:
    enter(ledger)
    ledger.plans.press("Y03", None, BEGUN, ())
    assert ledger.plans.press("Y03", BEGUN, None, ())

    assert ledger.plans.file("cold-rigg", NOW).under_way == {}


def a_change(before: Handover | None, after: Handover | None, *, by: str = "kit") -> HandoverChange:
    return HandoverChange(
        vehicle="Y03", site="cold-rigg", at=NOW, by=by, before=before, after=after
    )


def handover_of(ledger: SqlLedger) -> Handover | None:
    (vehicle,) = ledger.load(NOW).vehicles
    return vehicle.handover


def test_a_handover_is_kept_with_who_changed_it_and_of_two_the_second_keeps_nothing(
    ledger: SqlLedger,
) -> None:
    enter(ledger)
    later = replace(HANDOVER, at=NOW + timedelta(hours=9), who="Kit", heat=PLAN.source)
    assert ledger.plans.enter(a_change(None, HANDOVER), post="2")
    assert not ledger.plans.enter(a_change(None, later, by="marek"))
    assert handover_of(ledger) == HANDOVER
    assert ledger.plans.enter(a_change(HANDOVER, later, by="marek"))
    assert ledger.plans.enter(a_change(later, None))

    assert handover_of(ledger) is None
    assert ledger.load(NOW).vehicles[0].post == "2"
    kept = ledger.plans.changes_of("Y03")
    assert [(one.by, one.after) for one in kept] == [
        ("kit", HANDOVER),
        ("marek", later),
        ("kit", None),
    ]
    assert ledger.plans.file("cold-rigg", NOW).changes["Y03"] == kept[-1]
    assert ledger.plans.file("cold-rigg", NOW + timedelta(days=90)).changes == {}
    ledger.plans.prune(NOW + timedelta(days=1))
    assert ledger.plans.changes_of("Y03") == ()


def test_a_plan_under_way_moves_with_its_hour_and_ends_with_its_handover(
    ledger: SqlLedger,
) -> None:
    enter(ledger)
    later = replace(HANDOVER, at=NOW + timedelta(hours=9))
    ledger.plans.enter(a_change(None, HANDOVER))
    ledger.plans.press("Y03", None, BEGUN, ())
    ledger.plans.enter(a_change(HANDOVER, later))
    way = ledger.plans.file("cold-rigg", NOW).under_way["Y03"]
    assert (way.handover, way.plan.at, way.done) == (later, later.at, BEGUN.done)
    ledger.plans.enter(a_change(later, None))
    assert ledger.plans.file("cold-rigg", NOW).under_way == {}


def test_records_are_read_of_the_vehicles_that_are_asked_for(ledger: SqlLedger) -> None:
    enter(ledger)
    ledger.add_entries([an_entry()])
    assert set(ledger.plans.file("cold-rigg", NOW, ["Y03"]).entries) == {"Y03"}
    assert ledger.plans.file("cold-rigg", NOW, []).entries == {}
