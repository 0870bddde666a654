"""Where handbooks differ: the trade's default, a vehicle's own word, and who says so.

Defaults are common practice, no source: valve open with mesh, pump off first and never dry for more
than seconds, antifreeze in traps alone, no salt, a container where that is lawful.
"""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from frostwatch.errors import FleetError
from frostwatch.fleet.handbook import (
    HandbookLine,
    OwnSource,
    Practice,
    Rule,
    practice_of,
    rule_named,
    with_line,
    without_rule,
)
from frostwatch.fleet.mismatches import mismatches
from frostwatch.service.fleet_changes import as_entered
from frostwatch.service.handbook import line_entered, number_entered, read_note, rule_cleared
from tests.builders import NOW, a_site, a_vehicle

SHUT = HandbookLine(rule=Rule.WASTE_VALVE, says="shut", page="p. 88", by="kit", at=NOW)
MINUTE = HandbookLine(rule=Rule.PUMP_RUN, says="60")


def test_without_a_word_from_the_handbook_the_trade_s_practice_holds() -> None:
    usual = practice_of(())
    assert usual == Practice()
    assert usual.waste_open
    assert usual.pump_off_first
    assert usual.pump_run_s == 5.0
    assert not usual.salt
    assert usual.container


def test_a_handbook_goes_before_the_trade_and_names_what_differs() -> None:
    agrees = HandbookLine(rule=Rule.SALT, says="no", page="p. 3")
    own = practice_of((MINUTE, SHUT, agrees))
    assert not own.waste_open
    assert own.pump_run_s == 60.0
    assert own.lines == (SHUT, MINUTE)


@pytest.mark.parametrize(
    ("rule", "says", "expected"),
    [
        (Rule.WASTE_VALVE, "shutt", "Did you mean 'shut'?"),
        (Rule.PUMP_RUN, "long", "is no number"),
        (Rule.PUMP_RUN, "9000", "must be between 0 and 600 s"),
        (Rule.AIR, "nan", "must be between"),
    ],
)
def test_what_no_handbook_can_say_is_refused_with_the_mend(
    rule: Rule, says: str, expected: str
) -> None:
    with pytest.raises(FleetError, match=expected.replace("?", r"\?")):
        HandbookLine(rule=rule, says=says)


def test_a_line_takes_the_place_of_the_one_before_and_can_be_taken_out() -> None:
    changed = with_line((SHUT,), replace(SHUT, says="open"))
    assert [line.says for line in changed] == ["open"]
    assert without_rule(changed, Rule.WASTE_VALVE) == ()


def test_a_rule_is_found_by_the_word_people_type() -> None:
    assert rule_named(" Waste-Valve ") is Rule.WASTE_VALVE
    with pytest.raises(FleetError, match="Did you mean 'salt'"):
        rule_named("slat")


def test_two_lines_about_one_rule_and_a_source_for_no_number_do_not_hold_together() -> None:
    vehicle = a_vehicle(
        handbook=(SHUT, replace(SHUT, says="open")), own_from=(OwnSource(number="F1.capacity_l"),)
    )
    found = mismatches([a_site(operator="")], [], [vehicle])
    assert {one.field for one in found} == {"handbook", "own_from"}


def test_what_is_entered_says_who_and_when_and_goes_on_record() -> None:
    vehicle = a_vehicle()
    entered = line_entered(vehicle, replace(SHUT, by="", at=None), by="ailsa", now=NOW)
    (line,) = entered.change(vehicle).handbook
    assert (line.by, line.at) == ("ailsa", NOW)
    assert entered.entry.event == "handbook"
    assert read_note(entered.entry.note) == ("waste valve", "shut", "p. 88")
    gone = rule_cleared(vehicle, Rule.WASTE_VALVE, by="ailsa", now=NOW)
    assert gone.change(entered.change(vehicle)).handbook == ()
    assert read_note(gone.entry.note) == ("waste valve", "default", "")


def test_a_number_of_its_own_carries_its_source_and_must_fit_the_layout() -> None:
    vehicle = a_vehicle()
    entered = number_entered(
        vehicle, "F1.capacity_l", 110.0, source="plate on the tank", by="kit", now=NOW
    )
    changed = entered.change(vehicle)
    assert changed.overrides == (("F1.capacity_l", 110.0),)
    assert changed.own_from[0].source == "plate on the tank"
    back = number_entered(changed, "F1.capacity_l", None, source="", by="kit", now=NOW)
    assert back.change(changed).overrides == ()
    assert back.change(changed).own_from == ()
    with pytest.raises(FleetError, match=r"no number of layout"):
        number_entered(vehicle, "F9.capacity_l", 1.0, source="", by="kit", now=NOW)


def test_a_file_that_says_nothing_of_a_handbook_leaves_what_was_entered() -> None:
    source = OwnSource(number="F1.capacity_l", source="plate", by="kit", at=NOW)
    before = a_vehicle(handbook=(SHUT,), overrides=(("F1.capacity_l", 110.0),), own_from=(source,))
    same = a_vehicle(overrides=(("F1.capacity_l", 110.0),))
    (kept,) = as_entered([before], [same])
    assert kept.handbook == (SHUT,)
    assert kept.own_from == (source,)
    other = a_vehicle(overrides=(("F1.capacity_l", 90.0),), handbook=(MINUTE,))
    (changed,) = as_entered([before], [other])
    assert changed.handbook == (MINUTE,)
    assert changed.own_from == ()


def test_a_moment_without_a_zone_is_refused() -> None:
    with pytest.raises(FleetError, match="no time zone"):
        replace(SHUT, at=datetime(2026, 11, 1))  # noqa: DTZ001 - that is what is refused
    with pytest.raises(FleetError, match="no time zone"):
        OwnSource(number="F1.capacity_l", at=datetime(2026, 11, 1))  # noqa: DTZ001
    assert OwnSource(number="F1.capacity_l", at=datetime(2026, 11, 1, tzinfo=UTC)).at is not None
