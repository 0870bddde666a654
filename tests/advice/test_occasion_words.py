"""Advice for an occasion in every language."""

import re
from dataclasses import replace

import pytest

from frostwatch.advice.going import Undo, going
from frostwatch.advice.hazards import Hazard
from frostwatch.advice.holding import Doubt
from frostwatch.advice.in_use import Waste, in_use
from frostwatch.advice.occasion_words import (
    LOOK_HAZARDS,
    going_lines,
    hold_lines,
    in_use_lines,
    thaw_lines,
    transport_lines,
    wet_again_lines,
)
from frostwatch.advice.plan_words import words_for
from frostwatch.advice.rewetted import WetAgain
from frostwatch.advice.thaw import Look, MayFill, Want
from frostwatch.advice.transport import transport
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.plans import PLANS
from frostwatch.records.entries import State
from frostwatch.records.events import EFFECTS, Effect
from tests.advice.handovers import AT, GAS_6, NOW, steady_air
from tests.advice.test_holding import look
from tests.advice.test_occasions import KEY, water
from tests.builders import a_forecourt

every_language = pytest.mark.parametrize("language", Language)


@every_language
def test_everything_that_can_be_said_has_its_words(language: Language) -> None:
    texts = PLANS[language]
    assert set(texts.doubts) == {doubt.value for doubt in Doubt}
    assert {waste.value for waste in Waste} <= set(texts.in_use)
    assert set(texts.put_back) == {undo.value for undo in Undo}
    assert set(texts.wants) == {want.value for want in Want}
    assert set(texts.looks) == {one.value for one in Look}
    asks = {Effect.REWETS, Effect.MOVES}
    assert set(texts.events) == {event for event, effect in EFFECTS.items() if effect in asks}


@every_language
def test_a_hold_tells_need_supply_clock_and_cold_spots(language: Language) -> None:
    words = words_for(language, a_forecourt(), NOW)
    # its lockers are cut off from the cabin there, and what lies in them has frozen
    view = replace(look(-7.5, ua=90.0, power_w=1380.0), frozen=False)
    lines = list(hold_lines(view, CATALOGUE[KEY], "Y04", words, True))
    said = " ".join(lines)
    assert "18" in said
    assert words.texts.hold["waste"] in lines
    assert words.texts.doubts[Doubt.THIN.value] in lines
    assert words.texts.hold["usual spots"] in lines
    assert words.texts.hold["drain"] in lines
    fine = list(hold_lines(look(4.0), CATALOGUE[KEY], "Y04", words, False))
    assert words.texts.hold["drain"] not in fine
    gone = hold_lines(replace(view, out_at=NOW, short_from=NOW), CATALOGUE[KEY], "Y", words, False)
    assert len(list(gone)) >= 6
    butane = hold_lines(replace(view, propane_only=True), CATALOGUE[KEY], "Y", words, False)
    assert words.texts.in_use["gas"] in list(butane)


@every_language
def test_heat_that_does_not_reach_names_what_it_holds_and_no_share_below_nothing(
    language: Language,
) -> None:
    """1.38 kW lift 90 W/K, and the way through the lockers, by some 14 K: at -20 degC about -6."""
    words = words_for(language, a_forecourt(), NOW)
    view = look(-20.0, ua=90.0, power_w=1380.0)
    assert view.power_margin < 0.0
    assert view.holds_c == pytest.approx(-20.0 + 1380.0 / 93.0, abs=1.5)
    lines = list(hold_lines(view, CATALOGUE[KEY], "Y04", words, False))
    assert not [line for line in lines if re.search("[-\N{MINUS SIGN}]\\d+ %", line)]
    # pipes that freeze with the heat on are not said to last for hours without it
    assert words.texts.hold["after soon"] not in lines
    assert words.texts.hold["frozen"] in lines
    assert words.texts.hold["drain"] not in lines
    assert words.texts.hold["short now"] in lines


@every_language
def test_frost_that_is_there_has_no_hour_before_which_something_is_done(
    language: Language,
) -> None:
    words = words_for(language, a_forecourt(), NOW)
    layout = CATALOGUE["coachbuilt-underslung-fresh"]
    found = in_use(layout, water(layout=layout.key), steady_air(-4.0), (GAS_6,))
    assert found.frost_from is not None
    assert found.frost_from <= NOW
    lines = list(in_use_lines(found, (GAS_6,), "D14", words))
    assert words.texts.in_use["empty now"] in lines
    assert words.hour(found.frost_from) not in " ".join(lines)


@every_language
def test_use_in_frost_tells_the_waste_water_and_the_container(language: Language) -> None:
    words = words_for(language, a_forecourt(), NOW)
    layout = CATALOGUE["coachbuilt-underslung-fresh"]
    found = in_use(layout, water(layout=layout.key), steady_air(-4.0), (GAS_6,))
    lines = list(in_use_lines(found, (GAS_6,), "D14", words))
    text = words.texts.in_use
    for key in ("shut and freezing", "fresh outside", "outside point", "gas", "flue"):
        assert text[key] in lines
    assert any("12" in line and "25" in line for line in lines)
    mild = in_use(layout, water(layout=layout.key), steady_air(6.0))
    assert len(list(in_use_lines(mild, (), "D14", words))) == 1
    heated = replace(found, waste=Waste.HEATED, hook_up_from=NOW)
    hook_up = text["tank hook-up"].format(**{"from": words.hour(NOW)})
    assert hook_up in list(in_use_lines(heated, (GAS_6,), "D14", words))
    assert hook_up in list(in_use_lines(replace(mild, hook_up_from=NOW), (), "D14", words))


@every_language
def test_a_trip_and_a_move_are_told_as_lists(language: Language) -> None:
    words = words_for(language, a_forecourt(), NOW)
    layout = CATALOGUE[KEY]
    found = going(layout, water(State.DRAINED), NOW)
    lines = list(going_lines(found, "Sat 09:00", "D14", words))
    assert sum(line.startswith("- ") for line in lines) == len(found.put_back)
    assert any("kit" in line for line in lines)
    move = transport(layout, water(), steady_air(-5.0), NOW)
    said = list(transport_lines(move, "D15", words))
    assert words.texts.transport["hot"] in said
    assert words.texts.transport["arrival"] in said
    assert len(said) == 6


@every_language
def test_a_thaw_tells_what_is_missing_and_the_order_with_its_cautions(language: Language) -> None:
    words = words_for(language, a_forecourt(), NOW)
    gate = MayFill(wants=tuple(Want), from_at=NOW)
    lines = list(thaw_lines(gate, tuple(Look), "D02", words))
    assert lines[1:6] == [words.texts.wants[want.value] for want in Want]
    leave = next(n for n, line in enumerate(lines) if line.startswith("1. "))
    assert words.hazard(Hazard.NO_FLAME) in lines[leave + 1]
    cautions = sum(len(hazards) for hazards in LOOK_HAZARDS.values())
    assert sum("!" in line[:5] for line in lines) == cautions
    assert words.texts.thaw["from"].format(**{"from": words.hour(NOW)}) in lines
    only_look = list(thaw_lines(MayFill(wants=(Want.LOOK,), from_at=NOW), (), "D02", words))
    assert only_look[1:] == [words.texts.wants[Want.LOOK.value]]
    again = MayFill(wants=(), from_at=NOW, again_at=AT, lasting_from=None)
    assert words.texts.thaw["no lasting"] in list(thaw_lines(again, (), "D02", words))
    lasting = list(thaw_lines(replace(again, lasting_from=AT), (), "D02", words))
    assert lasting[-1] == words.texts.thaw["lasting"].format(**{"from": words.hour(AT)})
    may = list(thaw_lines(MayFill(wants=(), from_at=NOW), (), "D02", words))
    assert may == [words.texts.thaw["may"].format(van="D02")]


@every_language
def test_the_evenings_list_tells_why_each_is_on_it(language: Language) -> None:
    words = words_for(language, a_forecourt(), NOW)
    plain = WetAgain(
        vehicle="D02",
        event="demonstration",
        at=NOW,
        by="jonas",
        unknown=False,
        told_only=True,
        minutes=18.0,
        may_wait_for=NOW,
    )
    odd = replace(plain, event="tea party", told_only=False, unknown=True, may_wait_for=None)
    bare = replace(odd, event="", at=None, unknown=False)
    lines = list(wet_again_lines((plain, odd, bare), {"D02": "H-02"}, words))
    assert words.texts.events["demonstration"] in lines[1]
    assert words.texts.wet_again["told only"] in lines[1]
    assert "tea party" in lines[2]
    assert words.texts.wet_again["wet"] in lines[3]
    assert list(wet_again_lines((), {}, words)) == [words.texts.wet_again["none"]]
    assert Circuit.TRAPS in words.speech.words.parts
