"""Handover plans in words."""

from datetime import timedelta

import pytest

from frostwatch.advice.handover import plan_for
from frostwatch.advice.handover_steps import Gate, Step
from frostwatch.advice.hazards import Hazard, hazards_of
from frostwatch.advice.plan_words import TROUBLES, before_hours, words_for
from frostwatch.advice.shared import choice_of
from frostwatch.advice.shared_board import conflicts_of
from frostwatch.advice.shared_order import order_for
from frostwatch.advice.shared_words import CLASHES, IN_KILOWATTS, clash_words, order_words
from frostwatch.advice.ways_out import ways_out
from frostwatch.fleet.heat import Fuel, Post
from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.plans import PLANS
from frostwatch.records.entries import Evidence, State
from frostwatch.records.standing_water import CircuitWater
from tests.advice.handovers import AT, ELECTRIC, GAS_6, NOW, a_case, steady_air
from tests.builders import a_drive, a_forecourt

FROST = steady_air(-7.0, spread_k=1.0, members=20)


@pytest.mark.parametrize("language", Language)
def test_every_step_gate_source_hazard_and_trouble_has_its_words(language: Language) -> None:
    texts = PLANS[language]
    assert set(texts.steps) == {step.value for step in Step}
    assert set(texts.gates) == {gate.value for gate in Gate}
    assert set(texts.heat) == set(texts.amounts) == {fuel.value for fuel in Fuel}
    assert set(texts.hazards) == {hazard.value for hazard in Hazard}
    assert set(TROUBLES.values()) | set(CLASHES.values()) | IN_KILOWATTS <= set(texts.plan)


@pytest.mark.parametrize("language", Language)
def test_a_plan_is_told_with_its_hours_gates_and_cautions(language: Language) -> None:
    case = a_case(FROST)
    plan = plan_for(case, GAS_6)
    words = words_for(language, case.site, NOW)
    assert plan.on_by is not None
    on = words.clock(plan.on_by)
    assert on in words.head(plan, "D08")
    lines = list(words.steps(plan, case))
    heat = next(line for line in lines if line.starts == on)
    assert "7" in heat.gate
    gases = [words.hazard(h) for h in (Hazard.CARBON_MONOXIDE, Hazard.GAS, Hazard.UNATTENDED)]
    assert list(heat.hazards) == gases
    assert words.hazards(plan)[-1] == words.hazard(Hazard.HANDBOOK)
    assert len(list(words.facts(plan, case))) >= 7


@pytest.mark.parametrize("language", Language)
def test_no_plan_speaks_of_a_valve_or_of_hot_water_that_the_vehicle_has_not(
    language: Language,
) -> None:
    def said(layout: str) -> list[str]:
        case = a_case(steady_air(-3.0), layout=layout)
        plan = plan_for(case, GAS_6)
        words = words_for(language, case.site, NOW)
        lines = [f"{line.what}. {line.gate}" for line in words.steps(plan, case)]
        return [*lines, *words.facts(plan, case)]

    # the valve as it is named in the steps, what is hot, and the heater; words of the design's list
    named = {
        Language.EN: ("dump valve", "pops", "hot", "heater,"),
        Language.DE: ("Ablassventil", "aufspringt", "Warm", "Boiler"),
        Language.FR: ("vanne antigel", "saute", "chaude", "chauffe-eau,"),
    }[language]
    # a valve of the taps is looked at, and water heating off is said, in any vehicle
    small = " ".join(said("small-camper")[2:])
    assert not [word for word in named if word in small]
    whole = " ".join(said("panel-van-indoor-valve")[2:])
    assert [word for word in named if word in whole] == list(named)


def test_cautions_stand_beside_the_step_they_belong_to() -> None:
    assert Hazard.ELECTRICITY in hazards_of(Step.HEAT, ELECTRIC)
    assert Hazard.CARBON_MONOXIDE not in hazards_of(Step.HEAT, ELECTRIC)
    assert hazards_of(Step.SHUT, GAS_6) == (Hazard.NEVER_WEDGE,)
    assert Hazard.EMPTY_HEATER in hazards_of(Step.WATER_HEAT, GAS_6)
    assert hazards_of(Step.FLUSH, GAS_6) == (Hazard.ANTIFREEZE,)


@pytest.mark.parametrize("language", Language)
def test_what_does_not_fit_says_so_first_and_then_the_ways_out(language: Language) -> None:
    case = a_case(steady_air(-7.0), layout="coachbuilt-seat-tank")
    plan = plan_for(case, ELECTRIC)
    words = words_for(language, case.site, NOW)
    head = words.head(plan, "D08")
    assert "10" in head
    assert words.why_not(plan)
    ways = list(words.ways(plan, ways_out(case, plan)))
    assert len(ways) == 3


def test_an_hour_before_work_begins_and_a_burner_that_is_not_allowed_are_told() -> None:
    case = a_case(FROST, site=a_forecourt(gas_allowed=False))
    plan = plan_for(case, GAS_6)
    said = " ".join(words_for(Language.EN, case.site, NOW).facts(plan, case))
    assert "before anybody is at work" in said
    assert "does not let people heat with gas" in said
    assert before_hours(AT, a_forecourt()) is False
    assert before_hours(AT - timedelta(hours=4), a_forecourt()) is True
    assert before_hours(AT - timedelta(hours=4), a_drive()) is False


def test_a_weak_post_and_a_vehicle_that_may_be_wet_are_told() -> None:
    weak = a_forecourt(posts=(Post(name="3", amps=6.0), Post(name="4", amps=16.0)))
    full = CircuitWater(
        circuit=Circuit.FRESH_TANK,
        state=State.FULL,
        evidence=Evidence.SEEN,
        since=NOW,
        by="rz",
        litres_soon_l=90.0,
        litres_cost_l=90.0,
    )

    def said(post: str, water: tuple[CircuitWater, ...] = ()) -> str:
        case = a_case(steady_air(0.0), site=weak, post=post, water=water)
        plan = plan_for(case, ELECTRIC)
        facts = words_for(Language.EN, weak, NOW).facts(plan, case)
        return " ".join(facts).replace("\u00a0", " ")

    assert "Post 3 gives 1.4 kW, this draws 2.8 kW" in said("3")
    assert "draws 2.8 kW" not in said("4")
    assert "recorded wet" not in said("4")
    assert "recorded wet" in said("4", (full,))


@pytest.mark.parametrize("language", Language)
def test_a_clash_and_an_order_are_told_with_the_names_of_the_vehicles(language: Language) -> None:
    site = a_forecourt(crew=1)
    cases = [a_case(steady_air(-3.0), key=key, site=site, heat=(GAS_6,)) for key in ("D1", "D2")]
    wished = [choice_of(plan_for(case, GAS_6), case.vehicle.post) for case in cases]
    words = words_for(language, site, NOW)
    names = {"D1": "first", "D2": "second"}
    (conflict,) = conflicts_of(wished, site)
    assert "first, second" in clash_words(words, conflict, names)
    order = order_for({"D1": wished[:1], "D2": wished[1:]}, site)
    lines = list(order_words(words, order, names, {"D1": "3"}))
    assert any(line.endswith(" 3") for line in lines)
    assert any("second" in line for line in lines)


@pytest.mark.parametrize("language", Language)
def test_nothing_is_ever_called_safe_or_cried_out(language: Language) -> None:
    texts = PLANS[language]
    for group in (texts.steps, texts.gates, texts.plan, texts.hazards):
        said = " ".join(group.values()).casefold()
        for word in ("protected", " safe ", "guarantee", "geschützt", "sicher ", "garanti", "!"):
            assert word not in said
