"""A vehicle's marks say the same as its words: both come from one judgement of its record."""

from collections.abc import Iterable, Sequence
from datetime import timedelta
from itertools import product
from zoneinfo import ZoneInfo

import pytest

from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.ports.pages import Yard
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.service.demo import BEGINS, enter_places
from frostwatch.web.pages.roll_view import bay_mark, roll_view
from frostwatch.web.pages.rows import Rows
from frostwatch.web.pages.yard_now import Line, YardNow, yard_now
from frostwatch.web.vessel_marks import LOOKS, shown
from frostwatch.web.words import Tongue
from tests.builders import NOW, a_layout, a_site, a_vehicle, an_entry, entries_for
from tests.worlds import a_world

TONGUE = Tongue(language=Language.EN, zone=ZoneInfo("Europe/London"), now=NOW)
SAID = (Evidence.SEEN, Evidence.ASSERTED)
CIRCUITS = (Circuit.TRAPS, Circuit.WASTE_TANK, Circuit.HEATER_TANK, Circuit.COLD_PIPES)


def a_yard(records: Iterable[Sequence[Entry]]) -> YardNow:
    """A yard that no pass looked at, one vehicle for each record."""
    vehicles, fresh = {}, {}
    for n, entries in enumerate(records):
        key = f"Y{n:04d}"
        vehicles[key] = a_vehicle(key, bay=f"P-{n:04d}")
        fresh[key] = tuple(entries)
    yard = Yard(
        site=a_site(bays=()),
        board=None,
        vehicles=vehicles,
        people={},
        fresh=fresh,
        passed=None,
        round=None,
        presses=(),
    )
    return yard_now(yard, NOW)


def combinations() -> YardNow:
    """Everything in one state, one circuit in another, each of them seen and told."""
    records = []
    states = [s for s in State if s is not State.DOSED]
    for n, (most, one, how, other) in enumerate(product(states, State, SAID, SAID)):
        key, circuit = f"Y{n + 1:04d}", CIRCUITS[n % len(CIRCUITS)]
        at = NOW - timedelta(days=2)
        dose = 0.35 if one is State.DOSED else None
        records.append(
            (
                *entries_for(a_layout(), most, vehicle=key, evidence=how, by="kit"),
                an_entry(
                    circuit,
                    one,
                    vehicle=key,
                    evidence=other,
                    by="marek",
                    at=at,
                    received_at=at,
                    dose_fraction=dose,
                ),
            )
        )
    return a_yard([(), *records])


def the_demo() -> list[YardNow]:
    """The three invented places as they are entered, before any pass."""
    world = a_world()
    midnight = NOW.replace(hour=0, minute=0)
    enter_places(world.ledger, midnight, begins=midnight + BEGINS)
    found = []
    for key in world.ledger.pages.site_names():
        yard = world.ledger.pages.yard(key, NOW)
        assert yard is not None
        found.append(yard_now(yard, NOW))
    world.ledger.close()
    return found


@pytest.fixture(scope="module")
def yards() -> list[YardNow]:
    return [combinations(), *the_demo()]


def words_of(line: Line, rows: Rows) -> str:
    """What a list says of a vehicle."""
    if line.standing.unknown:
        return str(rows.unknown_since(line).striptags())
    if line.stop is not None:
        return str(TONGUE.words.jobs[line.stop.job])
    return str(rows.passing(line).striptags())


def lines_of(yards: Sequence[YardNow]) -> Iterable[tuple[Line, str]]:
    for now in yards:
        rows = Rows(now, TONGUE)
        for line in now.lines:
            yield line, words_of(line, rows)


def test_there_are_vehicles_of_every_kind_to_compare(yards: list[YardNow]) -> None:
    assert sum(len(now.lines) for now in yards[1:]) >= 40
    states = {mark.state for now in yards for line in now.lines for mark in line.standing.marks}
    assert states == set(State)


def test_what_is_said_to_be_unknown_is_drawn_so_and_nothing_else_is(yards: list[YardNow]) -> None:
    for line, text in lines_of(yards):
        if not line.standing.unknown:
            continue
        marks = [mark for mark in line.standing.marks if mark.state is not State.DOSED]
        drawn = [TONGUE.words.vessels[m.vessel].lower() for m in marks if m.state is State.UNKNOWN]
        assert drawn, line.name
        assert bay_mark(line.standing).look == LOOKS[State.UNKNOWN]
        if "look at every drain again" in text or "wet again" in text:
            continue  # moved or re-wetted: why nobody knows says more than which
        whole = len(drawn) == len(marks)
        assert ("The rest is as its marks say" in text) != whole, (line.name, text)
        if not whole:
            named = text.partition("counts as full: ")[2].partition(". The rest")[0]
            assert named.replace(" and ", ", ").split(", ") == drawn, line.name


def test_what_is_said_to_be_drained_is_drawn_empty_and_as_well_known(yards: list[YardNow]) -> None:
    seen = 0
    for line, text in lines_of(yards):
        if not text.startswith("Drained") or line.stop is not None:
            continue
        seen += 1
        marks = line.standing.marks
        assert not any(mark.wet or mark.state is State.UNKNOWN for mark in marks), line.name
        edges = {mark.evidence for mark in marks}
        assert ("seen" in text) == (edges == {Evidence.SEEN}), (line.name, text)
        assert (bay_mark(line.standing).edge == "seen") == (edges == {Evidence.SEEN})
    assert seen > 10


def test_a_mark_is_read_out_as_it_is_drawn(yards: list[YardNow]) -> None:
    for line, _ in lines_of(yards):
        for mark in line.standing.marks:
            drawn = shown(mark, TONGUE)
            assert drawn.look == LOOKS[mark.state]
            assert TONGUE.words.states[mark.state] in drawn.hear
            if mark.state is not State.UNKNOWN and mark.evidence is not Evidence.EXPIRED:
                assert drawn.edge in drawn.hear


def test_the_roll_counts_as_seen_what_is_drawn_as_seen(yards: list[YardNow]) -> None:
    for now in yards:
        told = str(roll_view(now, TONGUE).counts.striptags())
        dry = [
            one.standing for one in now.lines if not one.standing.unknown and not one.standing.work
        ]
        drained = [s for s in dry if bay_mark(s).look == "drained"]
        seen = sum(bay_mark(s).edge == "seen" for s in drained)
        assert (f"{seen} drained and seen" in told) == (seen > 0), told


def test_only_the_vessel_nobody_knows_is_called_unknown() -> None:
    key = "Y0000"
    record = [
        e
        for e in entries_for(a_layout(), vehicle=key, by="owner")
        if e.circuit is not Circuit.TRAPS
    ]
    now = a_yard([record])
    (line,) = now.lines
    rows = Rows(now, TONGUE)
    assert rows.vessels_unknown(line.standing) == "traps"
    assert "counts as full: traps." in rows.unknown_since(line)
