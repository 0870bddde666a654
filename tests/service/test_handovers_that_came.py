"""The hour of a handover comes, and nobody writes down whether the vehicle was made ready."""

from dataclasses import replace
from datetime import timedelta

from frostwatch.fleet.heat import Handover
from frostwatch.records.entries import Entry, Evidence, State
from tests.builders import NOW, a_layout, entries_for
from tests.service.test_pass import COLD, READING, kinds
from tests.worlds import World, a_small_yard, a_world

HOUR = READING - timedelta(hours=1)


def a_drained_vehicle(hour_h: float = 0.0) -> World:
    """Seen drained yesterday, wanted warm and full an hour before the reading."""
    world = a_world()
    _, vehicle = a_small_yard(world, NOW, state=State.DRAINED)
    handover = Handover(at=HOUR + timedelta(hours=hour_h))
    world.ledger.save_fleet(vehicles=[replace(vehicle, handover=handover)])
    world.weather.cold(COLD, hours=10.0)
    return world


def noted(world: World) -> list[Entry]:
    record = world.ledger.record_of("Y03")
    return [one.entry for one in record if one.entry.event == "handover"]


def test_drained_has_run_out_once_the_hour_of_a_handover_has_come() -> None:
    world = a_drained_vehicle()
    assert kinds(world.told_at(READING)) != []
    (one,) = noted(world)
    assert (one.state, one.evidence) == (State.UNKNOWN, Evidence.PREDICTED)
    assert (one.by, one.at) == ("frostwatch", HOUR)
    world.told_at(READING + timedelta(hours=1))
    assert noted(world) == [one]


def test_what_was_seen_since_that_hour_counts() -> None:
    world = a_drained_vehicle()
    seen = entries_for(a_layout(), State.DRAINED, now=READING, hours_ago=0.5)
    world.ledger.add_entries(seen)
    assert world.told_at(READING) == []
    assert noted(world) == []


def test_before_that_hour_it_stays_as_it_was_seen() -> None:
    world = a_drained_vehicle(2.0)
    world.told_at(READING)
    assert noted(world) == []
