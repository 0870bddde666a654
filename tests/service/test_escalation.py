"""An urgent call that reached nobody is told to whoever runs the place: once, and half-way."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import pytest

from frostwatch.advice.escalation import Unanswered, told_at
from frostwatch.advice.reminders import Answer, AnswerKind, Reason, Reminder, Said, Status
from frostwatch.advice.slots import Diary
from frostwatch.fleet.people import Channel, Duty, Person
from frostwatch.messages.wording.draft import Kind, Level
from frostwatch.ports import Message, MessageStatus, Refused
from frostwatch.records.entries import State
from tests.builders import NOW, a_layout, a_site, a_vehicle, an_operator, an_owner, entries_for
from tests.worlds import World, a_world

COLD = datetime(2026, 12, 3, 20, tzinfo=UTC)
READING = datetime(2026, 12, 3, 7, 40, tzinfo=UTC)
NO_SUCH_USER = Refused(permanent=True, reason="mail server: 550 no such user")


def maelle(**changed: object) -> Person:
    """An owner who reads in the morning and can come any day."""
    return replace(an_owner(reading=(time(7, 40),), slots=()), **changed)  # type: ignore[arg-type]


@pytest.fixture
def world() -> Iterator[World]:
    """A yard with an operator, and in it the full van of an owner whom no message reaches."""
    world = a_world()
    enter(world, maelle(), an_operator("ailsa"))
    world.weather.cold(COLD)
    world.channels.refuse("maelle", NO_SUCH_USER)
    yield world
    world.ledger.close()


def enter(world: World, *people: Person, operator: str = "ailsa") -> None:
    van = a_vehicle("Y03", keeper="maelle")
    world.enter(
        a_site(operator=operator), people, [van], entries_for(a_layout(), State.FULL, now=NOW)
    )


def call(world: World) -> Reminder:
    """The urgent call as it stands after the morning's reading."""
    assert world.told_at(READING) == []
    (matter,) = [m for m in world.ledger.load(READING).reminders["cold-rigg"] if m.vehicle]
    assert (matter.said[-1].kind, matter.said[-1].level) == (Kind.WORK_ORDER, Level.URGENT)
    return matter


def half_way(matter: Reminder) -> datetime:
    by = matter.said[-1].act_by
    assert by is not None
    return READING + (by - READING) / 2


def not_reached(messages: list[Message]) -> list[Message]:
    return [message for message in messages if message.kind == Kind.NOT_REACHED.value]


def test_half_way_to_its_hour_the_operator_is_told_once(world: World) -> None:
    half = half_way(call(world))

    assert world.told_at(half - timedelta(minutes=5)) == []
    (told,) = world.told_at(half)

    assert (told.recipient, told.kind) == ("ailsa", "not reached")
    assert "Maelle Kerdoncuff not reached about A-01" in told.short
    assert world.told_at(half + timedelta(minutes=5)) == []
    world.memory.vans.clear()
    assert world.told_at(half + timedelta(minutes=10)) == []


def test_the_reason_is_on_record(world: World) -> None:
    half = half_way(call(world))
    world.told_at(half)

    kept = world.ledger.decisions(since=half, until=half, vehicle="Y03")

    decision = next(one.decision for one in kept if one.decision.recipient == "ailsa")
    assert (decision.kind, decision.reason) == (Kind.NOT_REACHED, Reason.NOT_DELIVERED)
    (row,) = world.ledger.outbox.listed(since=half, recipient="ailsa")
    assert row.status is MessageStatus.SENT


@pytest.mark.parametrize("kind", [AnswerKind.DONE, AnswerKind.GOING, AnswerKind.CANNOT])
def test_an_answer_by_any_way_ends_it(world: World, kind: AnswerKind) -> None:
    half = half_way(call(world))
    at = READING + timedelta(minutes=20)
    going = at + timedelta(hours=2) if kind is AnswerKind.GOING else None
    answer = Answer(vehicle="Y03", by="maelle", kind=kind, at=at, going_at=going)
    world.ledger.add_answers([answer])

    assert not_reached(world.told_at(half)) == []


def test_a_van_recorded_drained_since_needs_nobody(world: World) -> None:
    half = half_way(call(world))
    drained = entries_for(a_layout(), State.DRAINED, at=READING + timedelta(minutes=20))
    world.ledger.add_entries(drained)

    assert not_reached(world.told_at(half)) == []


def test_what_was_delivered_late_but_in_time_is_not_told(world: World) -> None:
    world.channels.mend("maelle")
    world.channels.refuse_first(1)
    half = half_way(call(world))
    assert [m.recipient for m in world.told_at(READING + timedelta(minutes=5))] == ["maelle"]

    assert not_reached(world.told_at(half)) == []


def test_a_call_that_is_not_urgent_is_left_to_its_next_try(world: World) -> None:
    matter = call(world)
    mild = replace(matter, said=(replace(matter.said[-1], level=Level.ACT),))
    world.ledger.keep_messages("cold-rigg", READING, reminders=[mild])

    assert not_reached(world.told_at(half_way(matter))) == []


def test_somebody_without_any_channel_was_never_reached() -> None:
    world = a_world()
    enter(world, maelle(channels=()), an_operator("ailsa", channels=()), operator="ailsa")
    resi = an_operator("resi", channels=(Channel(name="desk", address="outbox://local"),))
    world.ledger.save_fleet(people=[replace(resi, sites=("cold-rigg",))])
    world.weather.cold(COLD)
    world.told_at(READING)

    told = [
        m for hour in range(9) for m in world.told_at(READING + timedelta(hours=hour, minutes=5))
    ]

    assert {m.recipient for m in not_reached(told)} == {"resi"}
    assert len(not_reached(told)) == 1
    world.ledger.close()


def test_an_operator_who_is_unreached_himself_is_not_asked_to_ring_himself() -> None:
    """The log says that nobody else runs the place; with somebody else there, they are told."""
    world = a_world()
    van = a_vehicle("Y03")
    entries = entries_for(a_layout(), State.FULL, now=NOW)
    world.enter(a_site(operator="ailsa"), [an_operator("ailsa")], [van], entries)
    world.weather.cold(COLD)
    world.channels.refuse("ailsa", NO_SUCH_USER)
    for hour in range(9):
        world.told_at(READING + timedelta(hours=hour))
    assert not world.channels.sent

    jonas = replace(
        an_operator("jonas"), duty=Duty.DEALER, sites=("cold-rigg",), reading=(time(23),)
    )
    other = a_world()
    other.enter(a_site(operator="ailsa"), [an_operator("ailsa"), jonas], [van], entries)
    other.weather.cold(COLD)
    other.channels.refuse("ailsa", NO_SUCH_USER)
    told = [m for hour in range(9) for m in other.told_at(READING + timedelta(hours=hour))]
    assert {(m.recipient, m.kind) for m in not_reached(told)} == {("jonas", "not reached")}
    for one in (world, other):
        one.ledger.close()


def test_many_owners_are_one_message() -> None:
    world = a_world()
    owners = [replace(maelle(), key=f"o{n}", name=f"Owner {n}") for n in range(5)]
    vans = [a_vehicle(f"Y{n}", keeper=f"o{n}", bay=f"A-0{n + 1}") for n in range(5)]
    entries = [
        e for van in vans for e in entries_for(a_layout(), vehicle=van.key, state=State.FULL)
    ]
    world.enter(a_site(), [an_operator("ailsa"), *owners], vans, entries)
    world.weather.cold(COLD)
    for owner in owners:
        world.channels.refuse(owner.key, NO_SUCH_USER)

    told = [m for quarter in range(36) for m in world.told_at(READING + quarter * QUARTER)]

    (one,) = not_reached(told)
    assert all(owner.name in one.long for owner in owners)
    world.ledger.close()


QUARTER = timedelta(minutes=15)


# When


def a_call(at: datetime, by: datetime) -> Unanswered:
    said = Said(kind=Kind.LAST_CALL, at=at, reason=Reason.NO_SLOT, level=Level.URGENT, earliest=by)
    matter = Reminder(
        key="m",
        site="cold-rigg",
        recipient="maelle",
        vehicle="Y03",
        kind=Kind.LAST_CALL,
        status=Status.STANDING,
        spell="s",
        raised_at=at,
        said=(said,),
    )
    return Unanswered(matter=matter, place=0, by=by)


def utc(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 12, day, hour, minute, tzinfo=UTC)


@pytest.mark.parametrize(
    ("at", "by", "told"),
    [
        (utc(3, 7, 40), utc(3, 15, 40), utc(3, 11, 40)),  # by day: half-way
        (utc(2, 18, 15), utc(3, 15, 15), utc(3, 6, 30)),  # by night: in the morning
        (utc(2, 18), utc(3, 8), utc(2, 20, 30)),  # too late in the morning: the evening before
        (utc(2, 20, 50), utc(3, 7), utc(3, 6, 30)),  # no evening left: as early as may be
    ],
)
def test_the_operator_is_left_in_peace_at_night(at: datetime, by: datetime, told: datetime) -> None:
    diary = Diary(person=an_operator("ailsa"), site=a_site())
    assert told_at(a_call(at, by), diary) == told
    assert not diary.is_quiet(told)
