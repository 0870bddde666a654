"""A vehicle's handbook in the advice: what is taken along, what is said, what is left out."""

from dataclasses import replace

from frostwatch.advice.by_handbook import minded_at, wants_dose, wants_mesh
from frostwatch.advice.going import Undo, going
from frostwatch.advice.handbook_words import default_clause, handbook_lines
from frostwatch.advice.plan_words import words_for
from frostwatch.advice.rounds import Stop, take_for
from frostwatch.fleet.handbook import NUMBERS, WORDS, HandbookLine, Rule
from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Take, Wet
from frostwatch.records.standing_water import water_of
from tests.builders import NOW, a_layout, a_site, a_vehicle, entries_for

SHUT = HandbookLine(rule=Rule.WASTE_VALVE, says="shut", page="p. 88")
NO_DOSE = HandbookLine(rule=Rule.ANTIFREEZE, says="nowhere")
EMPTY = HandbookLine(rule=Rule.CONTAINER, says="kept empty")


def a_stop(**changed: bool) -> Stop:
    stop = Stop(
        vehicle="Y01",
        bay="A-01",
        place=0,
        job=Job.DRAIN_FULLY,
        minutes=18.0,
        wet=(Wet(circuit=Circuit.WASTE_TANK, litres=10.0),),
    )
    return replace(stop, **changed)  # type: ignore[arg-type]


def test_no_mesh_and_no_dose_are_taken_where_the_handbook_wants_neither() -> None:
    usual = dict(take_for([a_stop(), a_stop()]))
    own = dict(take_for([a_stop(), a_stop(mesh=False, dose=False)]))
    assert usual[Take.MESH] == 2.0
    assert own[Take.MESH] == 1.0
    assert own[Take.DOSE] < usual[Take.DOSE]
    assert not wants_mesh(a_vehicle(handbook=(SHUT,)))
    assert not wants_dose(a_vehicle(handbook=(NO_DOSE,)))
    assert wants_mesh(a_vehicle(handbook=(NO_DOSE,)))


def test_only_what_differs_and_belongs_to_the_job_is_minded() -> None:
    agrees = replace(SHUT, says="open")
    assert minded_at(Job.OPEN_WASTE, (SHUT, NO_DOSE, EMPTY)) == (SHUT,)
    assert minded_at(Job.DRAIN_FULLY, (SHUT, NO_DOSE, EMPTY)) == (SHUT, NO_DOSE)
    assert minded_at(Job.OPEN_WASTE, (agrees,)) == ()
    assert minded_at(Job.LOOK, (SHUT,)) == ()


def test_before_a_trip_a_tank_to_be_kept_empty_is_not_opened_over_a_container() -> None:
    layout = a_layout()
    water = water_of(a_vehicle(), layout, entries_for(layout), NOW)

    def undone(*handbook: HandbookLine) -> set[Undo]:
        found = going(layout, water, NOW, a_vehicle(handbook=handbook).practice)
        return {one.undo for one in found.put_back}

    assert Undo.WASTE in undone()
    assert Undo.WASTE_EMPTY in undone(EMPTY)
    assert Undo.WASTE not in undone(EMPTY)


def test_every_answer_to_every_rule_has_words_in_every_language() -> None:
    for language in Language:
        words = words_for(language, a_site(), NOW)
        for rule in Rule:
            assert default_clause(rule, words)
            for says in WORDS.get(rule, (f"{NUMBERS[rule][2]:g}",) if rule in NUMBERS else ()):
                line = HandbookLine(rule=rule, says=says, page="S. 9")
                (said,) = handbook_lines([line], words)
                assert "S. 9" in said
                assert "{" not in said


def test_an_amount_is_told_with_its_number() -> None:
    words = words_for(Language.EN, a_site(), NOW)
    minute = HandbookLine(rule=Rule.PUMP_RUN, says="60", page="p. 99")
    none = HandbookLine(rule=Rule.AIR, says="0")
    assert list(handbook_lines([minute, none], words)) == [
        "Its handbook, p. 99: pump dry for 60 s at most.",
        "Its handbook: no air blown through.",
    ]
