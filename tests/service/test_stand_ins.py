"""A place nobody looks after is never passed over in silence."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
import structlog

from frostwatch.advice.reminders import Reason
from frostwatch.cli.assess import as_table
from frostwatch.fleet.people import Channel, Duty, Person
from frostwatch.records.entries import State
from frostwatch.service import pass_
from frostwatch.service.ledger_checks import ledger_findings
from frostwatch.service.stand_ins import unattended
from tests.builders import NOW, a_layout, a_site, a_vehicle, an_operator, an_owner, entries_for
from tests.worlds import World, a_world

COLD = datetime(2026, 12, 3, 20, tzinfo=UTC)
READING = datetime(2026, 12, 3, 7, 40, tzinfo=UTC)
FORGOTTEN = a_site("mill-lane", name="Mill Lane", operator="", latitude_deg=54.0)


@pytest.fixture
def world() -> Iterator[World]:
    world = a_world()
    world.weather.cold(COLD)
    yield world
    world.ledger.close()


def enter(world: World, *people: Person, keeper: str = "") -> None:
    """A forgotten place with a full van, beside a yard that has an operator."""
    van = a_vehicle("M1", site="mill-lane", keeper=keeper)
    entries = entries_for(a_layout(), State.FULL, vehicle="M1", now=NOW)
    world.enter(FORGOTTEN, people, [van], entries)
    world.ledger.save_fleet(sites=[a_site()])


def test_whoever_runs_another_place_is_told_in_their_stead(world: World) -> None:
    enter(world, an_operator("ailsa"))

    (told,) = world.told_at(READING)

    assert (told.recipient, told.site, told.kind) == ("ailsa", "mill-lane", "work order")
    assert "Mill Lane" in told.short


def test_no_link_is_sent_to_whoever_has_no_say_there(world: World) -> None:
    enter(world, an_operator("ailsa"))
    kit = replace(world.kit, public_url="https://frost.example", links=world.ledger.links)

    pass_.run_pass(kit, READING)

    (row,) = world.ledger.outbox.listed(since=NOW)
    assert "frost.example" not in row.message.long


def test_where_nobody_runs_any_place_the_log_the_checks_and_the_record_say_so(
    world: World,
) -> None:
    enter(world, an_owner("ned"))

    with structlog.testing.capture_logs() as logs:
        world.told_at(READING)
        world.told_at(READING + timedelta(minutes=5))
        world.told_at(READING + timedelta(days=1))

    named = [line for line in logs if line["event"] == "nobody to tell"]
    assert [line["site"] for line in named] == ["mill-lane", "mill-lane"], "once a day"
    assert {line["log_level"] for line in named} == {"error"}
    found = {
        one.id: one
        for one in ledger_findings(world.ledger, READING, allow_private=False, look_up=False)
    }
    assert "nobody is entered who could be told about 1 of its vehicles" in found["FW404"].what
    kept = world.ledger.decisions(since=READING, until=READING, vehicle="M1")
    assert [one.decision.reason for one in kept] == [Reason.NOBODY]


def test_a_pass_that_is_shown_says_it_first(world: World) -> None:
    enter(world, an_operator("ailsa"))

    report = pass_.run_pass(world.kit, READING, everything=True, keep=False)

    table = as_table(report)
    assert "Mill Lane: nobody is entered who could be told about 1 of its vehicles; " in table
    assert "told instead: Ailsa Thornber." in table


@pytest.mark.parametrize(
    ("people", "keeper"),
    [
        ([an_operator("ailsa"), an_owner("ned")], "ned"),
        ([an_operator("ailsa", sites=("cold-rigg", "mill-lane"))], ""),
        ([an_operator("ailsa"), an_operator("kit", duty=Duty.CREW, sites=("mill-lane",))], ""),
    ],
)
def test_a_place_somebody_looks_after_is_left_to_them(
    world: World, people: list[Person], keeper: str
) -> None:
    enter(world, *people, keeper=keeper)
    assert unattended(world.ledger.load(NOW)) == {}


def test_somebody_without_a_channel_looks_after_nothing(world: World) -> None:
    mute = an_operator("kit", channels=(), sites=("mill-lane",))
    desk = Channel(name="desk", address="outbox://local")
    enter(world, mute, an_operator("ailsa", channels=(desk,)))

    (missing,) = unattended(world.ledger.load(NOW)).values()

    assert [person.key for person in missing.told] == ["ailsa"]
