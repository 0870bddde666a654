"""No message arrives in quiet hours, whatever kept it from arriving before."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, time, timedelta
from typing import Any

import pytest

from frostwatch.messages.outbox import HELD
from frostwatch.ports import MessageStatus, Refused
from frostwatch.service.quiet import hold_for
from frostwatch.service.schedule import Service
from tests.builders import NOW, a_layout, a_site, a_vehicle, an_operator, entries_for
from tests.letters import a_message
from tests.worlds import World, a_world

EVENING = NOW.replace(hour=20, minute=50)
BUSY = Refused(permanent=False, reason="busy")


class Clock:
    """Stands until it is moved."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def world() -> Iterator[World]:
    """A yard whose operator reads late in the evening, before a cold night."""
    world = a_world()
    operator = an_operator("ailsa", reading=(time(20, 50),))
    world.enter(a_site(), [operator], [a_vehicle()], entries_for(a_layout(), now=NOW))
    yield world
    world.ledger.close()


def test_what_was_refused_in_the_evening_is_not_tried_again_at_night(world: World) -> None:
    clock = Clock(EVENING)
    service = Service(world.kit, clock)
    service.pass_once()
    message = a_message(EVENING, recipient="ailsa", site="cold-rigg")
    world.ledger.outbox.enqueue([message], EVENING)
    world.channels.refuse("ailsa", BUSY)
    service.send_once()

    clock.now = EVENING + timedelta(minutes=5)
    service.send_once()
    world.channels.mend("ailsa")
    for minutes in range(15, 9 * 60, 5):
        clock.now = EVENING + timedelta(minutes=minutes)
        service.send_once()
    assert world.channels.sent == []
    (row,) = world.ledger.outbox.listed(since=NOW)
    assert (row.status, row.result) == (MessageStatus.QUEUED, HELD)

    clock.now = (EVENING + timedelta(days=1)).replace(hour=6, minute=30)
    service.send_once()
    assert world.channels.sent == [message]


def test_a_service_that_starts_at_night_leaves_in_peace_before_its_first_pass(world: World) -> None:
    night = NOW.replace(hour=23)
    world.ledger.outbox.enqueue([a_message(EVENING, recipient="ailsa", site="cold-rigg")], EVENING)

    Service(world.kit, Clock(night)).send_once()

    assert world.channels.sent == []


def test_what_was_decided_in_quiet_hours_goes_out_in_them(world: World) -> None:
    """Only a vehicle in use with its waste valve shut is spoken of then."""
    may_go = hold_for(world.ledger.load(NOW))
    night = NOW.replace(hour=23)
    decided = a_message(night, recipient="ailsa", site="cold-rigg")
    assert may_go(decided, night + timedelta(minutes=5)) == night + timedelta(minutes=5)
    before = replace(decided, send_from=EVENING)
    assert may_go(before, night) == (night + timedelta(days=1)).replace(hour=6, minute=30)


@pytest.mark.parametrize("changed", [{"recipient": "gone"}, {"site": "gone"}])
def test_whose_hours_nobody_knows_any_more_is_not_held(
    world: World, changed: dict[str, Any]
) -> None:
    may_go = hold_for(world.ledger.load(NOW))
    message = replace(a_message(EVENING, recipient="ailsa", site="cold-rigg"), **changed)
    night = NOW.replace(hour=23)
    assert may_go(message, night) == night
