"""A round on its way: what is pressed, what it records, and what is taken back."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from frostwatch.advice.board import Board, board_of
from frostwatch.advice.release import joined, late_vehicles, release
from frostwatch.advice.walk import Obstacle, Press, PressKind, WalkRound, stops_now
from frostwatch.advice.walk_entries import at_arrival, entries_of, settled, taken_back
from frostwatch.errors import RecordError
from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import water_of
from tests import builders
from tests.advice import nights

NOW = builders.NOW
LAYOUT = builders.a_layout()
CIRCUITS = tuple(dict.fromkeys(item.circuit for item in LAYOUT.items))
FULL = dict.fromkeys(CIRCUITS, 1.0)


def a_board(*keys: str, now: datetime = NOW, hours: float = 30.0) -> Board:
    night = nights.a_night(now, now + timedelta(hours=hours))
    vans = [
        nights.a_van(key, bay=f"A-{n:02d}", night=night, litres=FULL)
        for n, key in enumerate(keys, start=1)
    ]
    return board_of(nights.a_view(now, *vans), now)


def a_walk(*keys: str) -> WalkRound:
    board = a_board(*keys)
    stops = [standing.stop for standing in board.vehicles if standing.stop is not None]
    return release(board, stops, code="482016", by="ailsa", now=NOW)


def a_press(
    vehicle: str = "Y01",
    kind: PressKind = PressKind.DONE,
    *,
    minutes: float = 10.0,
    by: str = "kit",
    **changed: object,
) -> Press:
    at = NOW + timedelta(minutes=minutes)
    press = Press(
        id=f"press-{vehicle}-{by}-{minutes:g}",
        round="482016",
        vehicle=vehicle,
        kind=PressKind.DONE,
        by=by,
        at=at,
        received_at=at,
    )
    return replace(press, kind=kind, **changed)  # type: ignore[arg-type]


def recorded(*entries: Entry, now: datetime = NOW + timedelta(hours=6)) -> dict[Circuit, State]:
    """State of each circuit of Y01 that was full two days ago."""
    before = builders.entries_for(LAYOUT, State.FULL, vehicle="Y01", hours_ago=48.0)
    water = water_of(builders.a_vehicle("Y01"), LAYOUT, (*before, *entries), now)
    return {entry.circuit: entry.state for entry in water}


def test_a_round_numbers_its_stops_in_the_order_they_are_walked() -> None:
    walk = a_walk("Y01", "Y02", "Y03")
    assert [stop.number for stop in walk.stops] == [1, 2, 3]
    assert walk.act_by is not None
    assert walk.stop_of("Y02") is walk.stops[1]
    assert walk.stop_of("Y99") is None


def test_done_says_that_every_wet_circuit_was_emptied_and_the_traps_dosed() -> None:
    walk = a_walk("Y01")
    entries = entries_of(a_press(), walk.stops[0].stop, LAYOUT)
    after = recorded(*entries)
    assert after[Circuit.FRESH_TANK] is State.DRAINED
    assert after[Circuit.TRAPS] is State.DOSED
    assert State.FULL not in after.values()
    assert {entry.evidence for entry in entries} == {Evidence.SEEN}


def test_traps_are_not_recorded_as_dosed_where_the_handbook_lets_no_antifreeze_in() -> None:
    stop = replace(a_walk("Y01").stops[0].stop, dose=False)
    entries = entries_of(a_press(), stop, LAYOUT)
    assert recorded(*entries)[Circuit.TRAPS] is State.DRAINED
    assert {entry.state for entry in entries} == {State.DRAINED}


def test_only_part_says_nothing_of_the_rest() -> None:
    walk = a_walk("Y01")
    press = a_press(kind=PressKind.PART, circuits=(Circuit.WASTE_TANK,))
    after = recorded(*entries_of(press, walk.stops[0].stop, LAYOUT))
    assert after[Circuit.WASTE_TANK] is State.DRAINED
    assert after[Circuit.FRESH_TANK] is State.FULL


def test_could_not_is_noted_and_changes_nothing() -> None:
    walk = a_walk("Y01")
    press = a_press(kind=PressKind.COULD_NOT, obstacle=Obstacle.NO_KEY, note="hook empty")
    entries = entries_of(press, walk.stops[0].stop, LAYOUT)
    assert recorded(*entries) == recorded()
    assert entries[0].note == "no key; hook empty"


def test_what_is_taken_back_never_counted() -> None:
    walk = a_walk("Y01")
    entries = entries_of(a_press(), walk.stops[0].stop, LAYOUT)
    undo = a_press(kind=PressKind.UNDO, minutes=12.0, undoes=a_press().id)
    assert recorded(*entries, *taken_back(undo, entries)) == recorded()
    again = entries_of(a_press(minutes=20.0), walk.stops[0].stop, LAYOUT)
    assert recorded(*entries, *taken_back(undo, entries), *again)[Circuit.PUMP] is State.DRAINED


def test_of_two_people_who_agree_the_earlier_counts() -> None:
    walk = a_walk("Y01", "Y02")
    presses = [a_press(minutes=14.0, by="marek"), a_press(minutes=10.0)]
    first, second = stops_now(walk, presses)
    assert first.press is not None
    assert first.press.by == "kit"
    assert not first.disagrees
    assert second.is_open


def test_of_two_people_who_disagree_both_are_kept() -> None:
    walk = a_walk("Y01")
    could_not = a_press(
        kind=PressKind.COULD_NOT, minutes=14.0, by="marek", obstacle=Obstacle.NO_KEY
    )
    (stop,) = stops_now(walk, [a_press(), could_not])
    assert stop.disagrees
    assert [p.by for p in (stop.press, *stop.others) if p] == ["kit", "marek"]


def test_a_persons_later_press_stands_for_their_earlier_one() -> None:
    walk = a_walk("Y01")
    could_not = a_press(kind=PressKind.COULD_NOT, obstacle=Obstacle.BLOCKED)
    (stop,) = stops_now(walk, [could_not, a_press(minutes=40.0)])
    assert stop.press is not None
    assert stop.press.kind is PressKind.DONE
    assert not stop.others


def test_a_press_taken_back_leaves_the_stop_open() -> None:
    walk = a_walk("Y01")
    undo = a_press(kind=PressKind.UNDO, minutes=11.0, undoes=a_press().id)
    assert stops_now(walk, [a_press(), undo])[0].is_open


def test_the_order_in_which_presses_arrive_plays_no_part() -> None:
    walk = a_walk("Y01", "Y02")
    presses = [
        a_press(),
        a_press("Y02", minutes=12.0, by="marek"),
        a_press(kind=PressKind.UNDO, minutes=15.0, undoes=a_press().id),
    ]
    assert stops_now(walk, presses) == stops_now(walk, presses[::-1])


@pytest.mark.parametrize(
    ("behind_min", "note"),
    [(0, ""), (4, ""), (-4, ""), (60, "60 min behind"), (-60, "60 min ahead")],
)
def test_a_phone_clock_that_is_off_is_noted_and_arrival_counts(behind_min: int, note: str) -> None:
    off = timedelta(minutes=behind_min)
    at, said = at_arrival(NOW - timedelta(minutes=30) - off, NOW - off, NOW)
    assert note in said
    assert (at == NOW) == bool(note)
    assert at <= NOW


def test_a_round_goes_on_with_stops_that_joined_and_an_hour_that_moved() -> None:
    walk = a_walk("Y01", "Y02")
    later = NOW + timedelta(hours=1)
    went_on = joined(walk, a_board("Y01", "Y02", "Y03", now=later, hours=10.0), [], later)
    assert [stop.stop.vehicle for stop in went_on.stops] == ["Y01", "Y02", "Y03"]
    assert went_on.stops[2].added_at == later
    assert went_on.act_by is not None
    assert walk.act_by is not None
    assert went_on.act_by < walk.act_by
    assert went_on.was_act_by == walk.act_by
    assert joined(walk, a_board("Y01", "Y02"), [], later) is walk


def test_stops_that_froze_meanwhile_are_to_be_looked_at_only() -> None:
    walk = a_walk("Y01")
    frozen = a_board("Y01", hours=-2.0)
    assert late_vehicles(frozen.vehicles) == {"Y01"}
    assert stops_now(walk, [], late_vehicles(frozen.vehicles))[0].too_late


def test_a_third_person_settles_which_of_two_records_is_so() -> None:
    walk = a_walk("Y01")
    done = entries_of(a_press(), walk.stops[0].stop, LAYOUT)
    seen_full = builders.entries_for(
        LAYOUT, State.FULL, vehicle="Y01", at=NOW + timedelta(minutes=15), by="marek"
    )
    assert set(recorded(*done, *seen_full).values()) >= {State.UNKNOWN}
    when = NOW + timedelta(minutes=20)
    said = settled("Y01", dict.fromkeys(CIRCUITS), emptied=True, by="ailsa", now=when)
    assert State.UNKNOWN not in recorded(*done, *seen_full, *said).values()


@pytest.mark.parametrize(
    "wrong",
    [
        {"id": "short"},
        {"id": "ä" * 10},
        {"kind": PressKind.COULD_NOT},
        {"kind": PressKind.PART},
        {"kind": PressKind.UNDO},
        {"note": "x" * 501},
    ],
)
def test_a_press_that_does_not_hold_together_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(RecordError):
        replace(a_press(), **wrong)  # type: ignore[arg-type]
