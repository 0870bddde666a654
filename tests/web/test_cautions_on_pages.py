"""Every caution stands beside its step on the page and on paper, in every language.

What can hurt somebody, and with which work it is said, is the trade's own table of hazards: common
practice, no source. The words of each are checked in tests/messages/test_cautions.py.
"""

import html
import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import pytest

from frostwatch.advice.handover_steps import Step
from frostwatch.advice.hazards import Hazard, hazards_of
from frostwatch.fleet.heat import Fuel, HeatSource
from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.plans import PLANS
from frostwatch.records.entries import State
from frostwatch.web.words import PAGE_WORDS
from tests.builders import NOW
from tests.web.pages_read import words
from tests.web.test_handovers_page import a_forecourt
from tests.web.test_sheet_page import printed
from tests.web.yards import Stage, a_cold_yard, an_account, water

SOURCES = {
    Fuel.GAS: HeatSource(fuel=Fuel.GAS, power_w=6000.0),
    Fuel.DIESEL: HeatSource(fuel=Fuel.DIESEL, power_w=6000.0),
    Fuel.ELECTRIC: HeatSource(fuel=Fuel.ELECTRIC, power_w=6000.0),
}
STEP = re.compile(r"<li\b.*?</li>", re.S)
ROW = re.compile(r"<tr>.*?</tr>", re.S)


@cache
def forecourt(fuel: Fuel) -> Stage:
    """One vehicle to be made ready, its traps dosed, so that every step stands in its plan."""
    stage = a_forecourt(heat=(SOURCES[fuel],))
    first = next(van for van in stage.world.ledger.load(NOW).vehicles if van.key == "Y01")
    dosed = [
        replace(one, state=State.DOSED, dose_fraction=0.4, at=NOW, received_at=NOW)
        for one in water(first, state=State.DRAINED)
        if one.circuit is Circuit.TRAPS
    ]
    stage.world.ledger.add_entries(dosed)
    stage.clock.pass_by(hours=1)
    stage.look()
    return stage


def kinds(fuel: Fuel) -> list[Step]:
    """Every step that carries a caution."""
    return [step for step in Step if hazards_of(step, SOURCES[fuel]) and step is not Step.CLOSE]


@pytest.mark.parametrize("language", list(Language))
@pytest.mark.parametrize("fuel", list(Fuel))
@pytest.mark.parametrize(
    ("page", "part"), [("/handovers?van=Y01", STEP), ("/handovers/Y01/card", ROW)]
)
def test_every_step_that_can_hurt_shows_its_cautions_beside_it(
    page: str, part: re.Pattern[str], fuel: Fuel, language: Language
) -> None:
    texts = PLANS[language]
    text = forecourt(fuel).client(an_account(language=language)).get(page).text
    shown = {head(found): plain(words(found)) for found in part.findall(text)}
    for step in kinds(fuel):
        what = plain(texts.steps[step.value].format(litres=40))
        (own,) = [whole for first, whole in shown.items() if first.startswith(what)]
        for hazard in hazards_of(step, SOURCES[fuel]):
            assert plain(texts.hazards[hazard.value]) in own, (step, hazard)


def head(part: str) -> str:
    """What a step is called: the first thing set in bold."""
    found = re.search(r"<b>(.*?)</b>", part, re.S)
    return plain(found[1]) if found else ""


def plain(text: str) -> str:
    """A text as it is read: blanks of any kind are one."""
    return re.sub(r"[\s\u00a0\u202f]+", " ", html.unescape(text)).strip()


OCCASIONS: Mapping[str, set[Hazard]] = {
    "in-use": {
        Hazard.CARBON_MONOXIDE,
        Hazard.GAS,
        Hazard.ELECTRICITY,
        Hazard.ICE,
        Hazard.WASTE,
        Hazard.LIFTING,
    },
    "going": {
        Hazard.NEVER_WEDGE,
        Hazard.EMPTY_HEATER,
        Hazard.DRINKING_WATER,
        Hazard.SCALDING,
        Hazard.ICE,
        Hazard.WASTE,
    },
    "transport": {Hazard.SCALDING, Hazard.ICE, Hazard.WASTE, Hazard.GAS, Hazard.UNDERNEATH},
    "thaw": {
        Hazard.NO_FLAME,
        Hazard.CARBON_MONOXIDE,
        Hazard.GAS,
        Hazard.ELECTRICITY,
        Hazard.SCALDING,
        Hazard.ICE,
        Hazard.WASTE,
        Hazard.HYDRONIC,
        Hazard.UNDERNEATH,
    },
}
"""Topic -> what whoever does it can be hurt by."""


@pytest.mark.parametrize("language", list(Language))
@pytest.mark.parametrize("topic", sorted(OCCASIONS))
def test_every_occasion_shows_what_can_hurt_and_the_handbook(
    topic: str, language: Language
) -> None:
    client = forecourt(Fuel.GAS).client(an_account(language=language))
    shown = plain(words(client.get(f"/v/Y03/advice/{topic}").text))
    for hazard in (*sorted(OCCASIONS[topic]), Hazard.HANDBOOK):
        assert plain(PLANS[language].hazards[hazard.value]) in shown, hazard


ON_A_ROUND: Mapping[Language, tuple[str, ...]] = {
    Language.EN: (
        "may run hot",
        "foul drain",
        "Grit",
        "Never under a jack",
        "Only propylene glycol",
    ),
    Language.DE: ("heiß", "Schmutzwasserkanal", "streuen", "Wagenheber", "Propylenglykol"),
    Language.FR: ("brûlante", "égout", "sabl", "cric", "propylène glycol"),
}
"""Hot water, waste water, ice underfoot, working underneath, antifreeze: a word of each."""


@pytest.mark.parametrize("language", list(Language))
def test_the_sheet_of_a_round_prints_what_can_hurt_on_it(language: Language) -> None:
    stage = a_cold_yard()
    page = words(stage.client(an_account(language=language)).get(printed(stage)).text)
    begins = page.index(str(PAGE_WORDS[language].texts["sheet.rules"]))
    rules = plain(page[begins:]).casefold()
    for word in ON_A_ROUND[language]:
        assert word.casefold() in rules, word
