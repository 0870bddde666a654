"""Statements as people type them, and what follows from them."""

import pytest

from frostwatch.errors import RecordError
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.consequences import changes, holds_until, remarks
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater, Unsure, water_of
from frostwatch.records.stating import entries_stated, statement_from
from tests.builders import NOW, a_layout, a_vehicle, an_entry

LAYOUT = a_layout()
TOLD = an_entry(Circuit.FRESH_TANK, State.UNKNOWN, at=NOW)


def stated(*words: str) -> dict[str, tuple[str, float | None, float | None]]:
    entries = entries_stated([statement_from(word, LAYOUT) for word in words], TOLD, LAYOUT)
    return {e.circuit.value: (e.state.value, e.litres_l, e.dose_fraction) for e in entries}


@pytest.mark.parametrize(
    ("word", "circuit", "said"),
    [
        ("waste=full", "W3", ("full", None, None)),
        ("W3=Full", "W3", ("full", None, None)),
        ("waste:full", "W3", ("full", None, None)),
        ("fresh=20", "F1", ("part-full", 20.0, None)),
        ("fresh=20,5 L", "F1", ("part-full", 20.5, None)),
        ("fresh=0", "F1", ("drained", None, None)),
        ("fresh=travel", "F1", ("travel level", None, None)),
        ("fresh=Travel-Level@15", "F1", ("travel level", 15.0, None)),
        ("heater=leer", "H1", ("drained", None, None)),
        ("traps=35%", "W1", ("dosed", None, 0.35)),
        ("traps=0.5L@50%", "W1", ("dosed", 0.5, 0.5)),
        ("traps=dosed@35%", "W1", ("dosed", None, 0.35)),
        ("waste=open", "W3", ("open-running", None, None)),
        ("waste=bucket", "W3", ("open-running", None, None)),
        ("waste=?", "W3", ("unknown", None, None)),
    ],
)
def test_a_word_is_understood_however_it_is_typed(
    word: str, circuit: str, said: tuple[str, float | None, float | None]
) -> None:
    assert stated(word) == {circuit: said}


def test_a_word_alone_speaks_of_the_whole_vehicle() -> None:
    said = stated("drained")
    assert set(said) == {item.circuit.value for item in LAYOUT.items}
    assert set(said.values()) == {("drained", None, None)}


def test_the_narrower_word_counts_whatever_the_order() -> None:
    assert stated("waste=full", "drained") == stated("drained", "waste=full")
    assert stated("drained", "W=unknown", "waste=8")["W3"] == ("part-full", 8.0, None)


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("waste=brimming", "'waste=brimming' is not understood. Give a state"),
        ("waste=drainde", "Did you mean 'drained'?"),
        ("wast=full", "Did you mean 'waste'?"),
        ("flush=full", "layout coachbuilt-seat-tank has no T1 flush tank."),
        ("waste=900L", "is more than W3 waste tank holds (90 L). Correct the litres"),
        ("traps=dosed", "dosed needs the strength of the antifreeze. Give the percentage"),
        ("pipes=12L", "litres for several circuits at once. Write one for each."),
        ("=full", "names no circuit."),
    ],
)
def test_what_cannot_be_is_refused_with_its_mend(word: str, says: str) -> None:
    with pytest.raises(RecordError) as refused:
        stated(word)
    assert says in str(refused.value)


def test_nobody_drains_the_hydronic_circuit_and_all_does_not_mean_it() -> None:
    layout = next(one for one in CATALOGUE.values() if one.hydronic_l > 0.0)
    circuits = statement_from("drained", layout).circuits
    assert Circuit.HYDRONIC not in circuits
    with pytest.raises(RecordError, match="never drained for winter"):
        entries_stated([statement_from("hydronic=drained", layout)], TOLD, layout)


# What follows


def water(*entries: Entry, layout: str = "coachbuilt-seat-tank") -> tuple[CircuitWater, ...]:
    return water_of(a_vehicle(layout=layout), a_layout(layout), entries, NOW)


def said_of(*entries: Entry, layout: str = "coachbuilt-seat-tank") -> str:
    circuits = {entry.circuit for entry in entries}
    found = [one for one in water(*entries, layout=layout) if one.circuit in circuits]
    return "\n".join(remarks(found, a_layout(layout)))


def test_only_circuits_that_stand_otherwise_are_changes() -> None:
    (change,) = changes(water(), water(an_entry(Circuit.FRESH_TANK, State.DRAINED)))
    assert (change.before.unsure, change.after.state) == (Unsure.NEVER, State.DRAINED)


def test_a_word_holds_until_it_runs_out() -> None:
    seen, told = (
        water(an_entry(Circuit.FRESH_TANK, State.DRAINED, evidence=evidence))[0]
        for evidence in (Evidence.SEEN, Evidence.ASSERTED)
    )
    assert f"{holds_until(seen):%Y-%m-%d}" == "2027-09-01"
    assert f"{holds_until(told):%Y-%m-%d}" == "2027-02-28"
    assert holds_until(water()[0]) is None


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        (an_entry(Circuit.WASTE_TANK, State.OPEN_RUNNING), "open over a container"),
        (an_entry(Circuit.HEATER_TANK, State.TRIPPED), "with taps shut"),
        (an_entry(Circuit.FRESH_TANK, State.HEATED_HOLD), "somebody has to look every day"),
        (an_entry(Circuit.TRAPS, State.DOSED, dose_fraction=0.18), "good to about -5.6 degC"),
    ],
)
def test_each_state_says_what_it_brings_with_it(entry: Entry, says: str) -> None:
    assert says in said_of(entry)


def test_a_heated_waste_tank_with_less_than_ten_litres_is_not_heated() -> None:
    """A panel-van handbook, 2022, p. 141: the tank heater needs 10 L to work."""
    layout = next(
        key
        for key, one in CATALOGUE.items()
        if any(item.heater_needs_l and item.circuit is Circuit.WASTE_TANK for item in one.items)
    )
    six, ten = (
        an_entry(Circuit.WASTE_TANK, State.PART_FULL, litres_l=litres) for litres in (6.0, 10.0)
    )
    assert "its heater needs 10 L to work and does not run with 6 L" in said_of(six, layout=layout)
    assert "its heater" not in said_of(ten, layout=layout)


def test_a_container_on_the_ground_is_to_be_emptied_and_taken_in() -> None:
    layout = next(
        key
        for key, one in CATALOGUE.items()
        if any(item.circuit is Circuit.CONTAINERS for item in one.items)
    )
    full = an_entry(Circuit.CONTAINERS, State.FULL)
    assert "Empty it and take it in" in said_of(full, layout=layout)
    empty = an_entry(Circuit.CONTAINERS, State.DRAINED)
    assert said_of(empty, layout=layout) == ""


@pytest.mark.parametrize(
    ("entries", "says"),
    [
        (
            [
                an_entry(Circuit.WASTE_TANK, State.DRAINED, hours_ago=2),
                an_entry(Circuit.WASTE_TANK, State.FULL, hours_ago=1.8, by="marek"),
            ],
            "two people contradict each other (kit, marek). Both words are kept",
        ),
        (
            [
                an_entry(Circuit.WASTE_TANK, State.DRAINED, hours_ago=20),
                an_entry(Circuit.WASTE_TANK, State.UNKNOWN, hours_ago=2, event="moved"),
            ],
            "let it drip a second time",
        ),
        (
            [an_entry(Circuit.WASTE_TANK, State.UNKNOWN, hours_ago=2, event="keeper change")],
            "may have been re-wetted. Every earlier word ended then",
        ),
    ],
)
def test_every_doubt_is_named_with_its_mend(entries: list[Entry], says: str) -> None:
    assert says in said_of(*entries)


def test_a_word_that_ran_out_says_so() -> None:
    told = an_entry(
        Circuit.WASTE_TANK, State.DRAINED, hours_ago=24 * 91, evidence=Evidence.ASSERTED
    )
    assert "too long ago. A word that nobody saw holds 90 days" in said_of(told)
