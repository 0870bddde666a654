"""What can hurt somebody carries its caution, in every language, on page, message, calendar, print.

The table is the trade's own (hazards to print with the advice): common practice, no source; the
words each caution must hold are those that keep somebody from harm.
"""

from collections.abc import Mapping

import pytest

from frostwatch.advice.handover_steps import Step
from frostwatch.advice.hazards import OF_DRAINING, Hazard, hazards_of
from frostwatch.advice.occasion_words import HOLD_HAZARDS, LOOK_HAZARDS
from frostwatch.advice.thaw import Look
from frostwatch.fleet.heat import Fuel, HeatSource
from frostwatch.fleet.people import Language
from frostwatch.messages.wording import TAKEN_OFF, hazards_for, word
from frostwatch.messages.wording.draft import Form, Kind
from frostwatch.messages.wording.plans import PLANS
from tests.messages.drafts import DRAFTS

BURNS = {Hazard.CARBON_MONOXIDE, Hazard.UNATTENDED}
OF_HEAT: Mapping[Fuel, set[Hazard]] = {
    Fuel.GAS: BURNS | {Hazard.GAS},
    Fuel.DIESEL: BURNS,
    Fuel.ELECTRIC: {Hazard.ELECTRICITY, Hazard.UNATTENDED},
}
OF_STEP: Mapping[Step, set[Hazard]] = {
    Step.LOOK: {Hazard.HANDBOOK},
    Step.SHUT: {Hazard.NEVER_WEDGE},
    Step.FILL: {Hazard.DRINKING_WATER},
    Step.WATER_HEAT: {Hazard.EMPTY_HEATER, Hazard.SCALDING},
    Step.FLUSH: {Hazard.ANTIFREEZE},
}
MUST_SAY: Mapping[Hazard, tuple[str, str, str]] = {
    Hazard.CARBON_MONOXIDE: ("alarm", "Melder", "détecteur"),
    Hazard.GAS: ("licensed", "Gasfachbetrieb", "professionnel"),
    Hazard.UNATTENDED: ("alone", "allein", "seul"),
    Hazard.SCALDING: ("60 to 70 °C", "60 bis 70 °C", "60"),
    Hazard.EMPTY_HEATER: ("full", "voll", "plein"),
    Hazard.NEVER_WEDGE: ("Never wedge", "nie festklemmen", "jamais"),
    Hazard.ICE: ("grit", "streu", "sabl"),
    Hazard.ELECTRICITY: ("RCD", "FI", "différentiel"),
    Hazard.WASTE: ("foul drain", "Entsorgung", "borne"),
    Hazard.ANTIFREEZE: ("ropylene glycol", "ropylenglykol", "ropylène glycol"),
    Hazard.LIFTING: ("kg", "kg", "kg"),
    Hazard.UNDERNEATH: ("jack", "Wagenheber", "cric"),
    Hazard.ALONE: ("light", "Licht", "lampe"),
    Hazard.COMPRESSED_AIR: ("handbook", "Betriebsanleitung", "notice"),
    Hazard.DRINKING_WATER: ("disinfect", "desinfizieren", "désinfect"),
    Hazard.HYDRONIC: ("Never open", "Nie", "amais"),
    Hazard.NO_FLAME: ("no flame", "Keine Flamme", "flamme"),
    Hazard.HANDBOOK: ("handbook", "Betriebsanleitung", "notice"),
}


@pytest.mark.parametrize("fuel", list(Fuel))
def test_every_step_of_a_plan_carries_its_cautions(fuel: Fuel) -> None:
    source = HeatSource(fuel=fuel, power_w=2000.0)
    for step in Step:
        wanted = OF_HEAT[fuel] if step is Step.HEAT else OF_STEP.get(step, set())
        assert set(hazards_of(step, source)) == wanted, step


@pytest.mark.parametrize("fuel", [*Fuel, None])
def test_heat_kept_on_carries_those_of_what_it_burns(fuel: Fuel | None) -> None:
    wanted = OF_HEAT[fuel] if fuel else BURNS | {Hazard.ELECTRICITY}
    assert set(HOLD_HAZARDS[fuel]) == wanted


def test_draining_and_thawing_carry_theirs() -> None:
    assert set(OF_DRAINING) == {Hazard.SCALDING, Hazard.ICE, Hazard.WASTE}
    assert Hazard.NO_FLAME in LOOK_HAZARDS[Look.LEAVE]
    assert Hazard.CARBON_MONOXIDE in LOOK_HAZARDS[Look.WARM]
    assert Hazard.SCALDING in LOOK_HAZARDS[Look.DRAIN]
    assert Hazard.HYDRONIC in LOOK_HAZARDS[Look.HEATER]


@pytest.mark.parametrize("language", list(Language))
def test_every_caution_says_in_every_language_what_keeps_from_harm(language: Language) -> None:
    assert MUST_SAY.keys() == set(Hazard)
    for hazard, words in MUST_SAY.items():
        said = PLANS[language].hazards[hazard.value].replace("\u00a0", " ")
        assert words[list(Language).index(language)].casefold() in said.casefold(), hazard


IN_MESSAGES: Mapping[Kind, set[str]] = {
    Kind.WORK_ORDER: {"draining"},
    Kind.LAST_CALL: {"draining", "heating"},
    Kind.LEAVE_ALONE: {"heating", "electric"},
    Kind.THAW_CHECK: {"draining"},
    Kind.WARM_UP: {"unattended"},
    Kind.HOLD: {"draining", "unattended"},
}
"""Every kind that sends somebody to do what can hurt, with the least it must carry."""


@pytest.mark.parametrize("name", sorted(DRAFTS))
def test_every_message_that_asks_for_work_carries_its_cautions(name: str) -> None:
    draft = DRAFTS[name]
    found = set(hazards_for(draft))
    dosing = draft.facts.job is not None and draft.facts.job.value == "dose the traps"
    wanted = IN_MESSAGES.get(draft.kind, set())
    if draft.reason == TAKEN_OFF:  # nothing is heated for it, and water that went in comes out
        wanted = {"draining"}
    assert wanted - ({"draining"} if dosing else set()) <= found
    fuel = draft.facts.warm.fuel if draft.facts.warm is not None else ""
    assert not fuel or ("electric" if fuel == "electric" else "heating") in found
    assert ("gas" in found) is (fuel == "gas" or _held_by_gas(name))


def _held_by_gas(name: str) -> bool:
    held = DRAFTS[name].facts.held
    return held is not None and held.fuel == "gas"


@pytest.mark.parametrize("language", list(Language))
def test_cautions_stand_in_the_long_form_as_they_are_written(language: Language) -> None:
    from frostwatch.messages.wording import CATALOGUES

    for name, draft in DRAFTS.items():
        body = word(draft, language, Form.LONG).body
        for hazard in hazards_for(draft):
            assert CATALOGUES[language].hazards[hazard] in body, (name, hazard)
