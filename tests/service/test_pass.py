"""A pass end to end in memory: who is told what, once, and what is kept of it."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

import numpy as np
import pytest

from frostwatch.fleet.people import Channel
from frostwatch.ports import Message
from frostwatch.records.entries import State
from frostwatch.service import pass_
from frostwatch.service.nights import point_of
from tests.builders import (
    NOW,
    a_layout,
    a_site,
    a_vehicle,
    an_operator,
    bay_names,
    entries_for,
)
from tests.worlds import World, a_small_yard, a_world

COLD = datetime(2026, 12, 3, 20, tzinfo=UTC)
"""The evening on which the cold comes, two and a half days after NOW."""
READING = datetime(2026, 12, 3, 7, 40, tzinfo=UTC)
"""The last morning before it."""


@pytest.fixture
def world() -> Iterator[World]:
    world = a_world()
    yield world
    world.ledger.close()


def kinds(messages: list[Message]) -> list[str]:
    return [message.kind for message in messages]


def test_a_cold_spell_is_told_from_its_outlook_to_its_thaw_and_each_thing_once(
    world: World,
) -> None:
    world.boards = False
    a_small_yard(world, NOW)
    world.weather.cold(COLD, hours=10.0)

    told = []
    for hour in range(7 * 24):
        told += world.told_at(NOW + timedelta(hours=hour, minutes=20))

    assert kinds(told) == ["outlook", "work order", "last call", "leave alone", "thaw check"]
    assert {message.recipient for message in told} == {"ailsa"}


def test_the_same_moment_passed_twice_says_nothing_more(world: World) -> None:
    a_small_yard(world, NOW)
    world.weather.cold(COLD)

    assert kinds(world.told_at(READING)) == ["work order"]

    assert world.told_at(READING) == []
    assert world.told_at(READING + timedelta(minutes=5)) == []


def test_a_service_that_starts_anew_says_nothing_twice(world: World) -> None:
    a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.told_at(READING)

    again = World(ledger=world.ledger, weather=world.weather)

    assert again.told_at(READING + timedelta(minutes=5)) == []


def test_a_drained_vehicle_gives_nobody_work_and_the_silence_is_on_record(world: World) -> None:
    a_small_yard(world, NOW, state=State.DRAINED)
    world.weather.cold(COLD)

    assert world.told_at(READING) == []

    (kept,) = world.ledger.decisions(since=NOW, until=READING)
    assert kept.decision.kind is None
    assert kept.decision.vehicle == "Y03"
    assert "drained" in kept.decision.reason.value


def test_a_mild_week_is_no_reason_to_write(world: World) -> None:
    a_small_yard(world, NOW)

    assert world.told_at(READING) == []


def test_every_channel_of_a_person_gets_its_own_form(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    both = (
        Channel(name="e-mail", address="outbox://local", form="long"),
        Channel(name="phone", address="outbox://local", form="short"),
    )
    world.ledger.save_fleet(people=[an_operator(sites=(site.key,), channels=both)])
    world.weather.cold(COLD)

    told = {message.channel: message for message in world.told_at(READING)}

    assert told["e-mail"].body == told["e-mail"].long
    assert told["phone"].body == told["phone"].short
    assert len(told["phone"].body) <= 160


def test_a_public_address_puts_one_link_into_the_texts(world: World) -> None:
    a_small_yard(world, NOW)
    world.weather.cold(COLD)
    kit = replace(world.kit, public_url="https://frost.example", links=world.ledger.links)

    pass_.run_pass(kit, READING)

    (row,) = world.ledger.outbox.listed(since=NOW)
    assert row.message.short.count("frost.example") == 1
    assert "https://" not in row.message.short


def test_looking_only_keeps_nothing_and_queues_nothing(world: World) -> None:
    a_small_yard(world, NOW)
    world.weather.cold(COLD)

    report = pass_.run_pass(world.kit, READING, everything=True, keep=False)

    assert report.messages == 1
    assert world.ledger.outbox.listed(since=NOW) == ()
    assert world.ledger.load(READING).passes == {}
    assert kinds(world.told_at(READING)) == ["work order"]


def test_nothing_is_worked_out_where_nobody_could_be_told_anything(world: World) -> None:
    a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.told_at(READING)

    report = world.pass_at(READING + timedelta(minutes=20))

    assert [work.nights for work in report.sites] == [{}]


def test_water_recorded_between_readings_is_answered_at_once(world: World) -> None:
    a_small_yard(world, NOW, state=State.DRAINED)
    world.weather.cold(COLD)
    world.told_at(READING)

    later = READING + timedelta(hours=2, minutes=20)
    entries = entries_for(a_layout(), State.FULL, at=later)
    world.ledger.add_entries([replace(entry, received_at=later) for entry in entries])

    assert kinds(world.told_at(later + timedelta(minutes=5))) == ["work order"]


def test_stepping_from_the_kept_state_comes_to_the_same_hours(world: World) -> None:
    """What was kept at the last pass stands for all the hours before it."""
    world.boards = False
    a_small_yard(world, NOW)
    world.weather.cold(COLD)
    for hour in range(0, 48, 2):
        pass_.run_pass(world.kit, NOW + timedelta(hours=hour), everything=True)
    moment = NOW + timedelta(hours=48)

    kept = pass_.run_pass(world.kit, moment, everything=True, keep=False)
    other = a_world()
    a_small_yard(other, NOW)
    other.weather = world.weather
    anew = pass_.run_pass(other.kit, moment, everything=True, keep=False)

    (one,), (two,) = ([work.nights["Y03"] for work in report.sites] for report in (kept, anew))
    assert one.start == two.start
    assert np.isfinite(one.harm_h).any()
    far_h = one.hours + 1.0
    np.testing.assert_allclose(
        np.where(np.isinf(one.harm_h), far_h, one.harm_h),
        np.where(np.isinf(two.harm_h), far_h, two.harm_h),
        atol=0.1,
    )
    other.ledger.close()


@pytest.mark.parametrize("count", [1, 7])
def test_a_yard_larger_than_what_is_stepped_together_comes_to_the_same(
    world: World, monkeypatch: pytest.MonkeyPatch, count: int
) -> None:
    site = a_site()
    vans = [a_vehicle(f"Y{n:02d}", bay=f"A-{n:02d}") for n in range(1, 13)]
    entries = [
        replace(entry, litres_l=None)
        for n, van in enumerate(vans)
        for entry in entries_for(
            a_layout(), State.FULL, vehicle=van.key, hours_ago=20.0 + n, now=NOW
        )
    ]
    world.enter(site, [an_operator()], vans, entries)
    world.weather.cold(COLD)
    whole = pass_.run_pass(world.kit, READING, everything=True, keep=False)

    monkeypatch.setattr(pass_, "STEPPED_AT_ONCE", count)
    parts = pass_.run_pass(world.kit, READING, everything=True, keep=False)

    (one,), (two,) = whole.sites, parts.sites
    assert list(one.nights) == list(two.nights)
    for key, night in one.nights.items():
        np.testing.assert_allclose(two.nights[key].harm_h, night.harm_h, atol=0.02)


def test_people_of_other_sites_are_not_written_to(world: World) -> None:
    a_small_yard(world, NOW)
    a_small_yard(world, NOW, key="warm-lea")
    site = next(s for s in world.ledger.load(NOW).sites if s.key == "warm-lea")
    world.instead(site, world.weather.frame(READING))
    world.weather.cold(COLD)

    assert [message.recipient for message in world.told_at(READING)] == ["ailsa"]


def test_a_person_who_left_is_not_a_reason_to_fail(world: World) -> None:
    """The site's operator and the vehicle's keeper are not entered any more."""
    site = a_site(operator="gone")
    world.enter(site, [], [a_vehicle(keeper="gone too")], entries_for(a_layout(), State.FULL))
    world.weather.cold(COLD)

    report = world.pass_at(READING)

    assert report.failed == ()
    assert report.messages == 0


def test_the_morning_after_quiet_hours_brings_what_came_in_the_night(world: World) -> None:
    """Water recorded at 22:30 is told before work begins, and not in the night."""
    a_small_yard(world, NOW, state=State.DRAINED)
    world.weather.cold(COLD)
    evening = datetime(2026, 12, 2, 22, 30, tzinfo=UTC)
    world.told_at(evening - timedelta(hours=1, minutes=40))
    entries = entries_for(a_layout(), State.FULL, at=evening)
    world.ledger.add_entries([replace(entry, received_at=evening) for entry in entries])

    told: dict[datetime, list[str]] = {}
    for minutes in range(5, 10 * 60, 10):
        moment = evening + timedelta(minutes=minutes)
        if messages := world.told_at(moment):
            told[moment] = kinds(messages)

    (when,) = told
    assert time(6, 30) <= when.time() <= time(8)
    assert told[when] == ["work order"]


def test_sites_that_share_a_place_share_one_question(world: World) -> None:
    a_small_yard(world, NOW)
    second = a_site("next-door", operator="ailsa")
    world.ledger.save_fleet(sites=[second], vehicles=[a_vehicle("N01", site="next-door")])

    points = {point_of(site).key for site in world.ledger.load(NOW).sites}

    assert len(points) == 1
    assert len(world.pass_at(NOW).sites) == 2
    assert world.weather.asked == [NOW]


def test_what_a_decision_rests_on_is_kept_with_it(world: World) -> None:
    a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.told_at(READING)

    (kept,) = world.ledger.decisions(since=NOW, until=READING)

    decision = kept.decision
    assert decision.probability is not None
    assert decision.probability > 0.9
    assert decision.issued_at == READING
    assert decision.provider == "made"
    assert decision.act_by is not None
    assert decision.earliest is not None
    assert decision.act_by < decision.earliest


def test_a_circuit_recorded_a_minute_before_the_pass_counts(world: World) -> None:
    _, vehicle = a_small_yard(world, NOW)
    world.pass_at(NOW)
    drained = entries_for(a_layout(), State.DRAINED, vehicle=vehicle.key, hours_ago=0.05, now=NOW)
    world.ledger.add_entries(drained)

    report = world.pass_at(NOW + timedelta(minutes=1))

    assert [van.is_wet for work in report.sites for van in work.vans] == [False]


def test_what_is_entered_or_changed_is_looked_at_in_the_very_next_pass(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    world.pass_at(NOW)
    pages, soon = world.ledger.pages, timedelta(minutes=5)

    def shown(key: str) -> tuple[str, ...]:
        board = pages.board(key)
        return tuple(one.vehicle for one in board.vehicles) if board is not None else ()

    world.pass_at(NOW + soon)
    before = pages.board(site.key)
    assert before is not None
    assert before.at == NOW  # nothing was entered, and the hour is not over

    world.ledger.save_fleet(vehicles=[a_vehicle("Y04", site=site.key)])
    world.pass_at(NOW + 2 * soon)
    assert shown(site.key) == ("Y03", "Y04")

    other, vehicle = a_small_yard(world, NOW, key="second")
    world.pass_at(NOW + 3 * soon)
    assert shown(other.key) == (vehicle.key,)

    world.ledger.save_fleet(sites=[replace(site, latitude_deg=site.latitude_deg + 1.0)])
    world.pass_at(NOW + 4 * soon)
    after = pages.board(site.key)
    assert after is not None
    assert after.at == NOW + 4 * soon


def test_two_passes_of_one_minute_tell_of_what_each_of_them_found(world: World) -> None:
    bays = bay_names(6)
    site = a_site(operator="ailsa", crew=2, bays=bays)
    vans = [a_vehicle(f"Y{n:02d}", bay=bay) for n, bay in enumerate(bays)]
    dry = [e for van in vans for e in entries_for(a_layout(), vehicle=van.key, now=READING)]
    world.enter(site, [an_operator("ailsa", sites=(site.key,))], vans, dry)
    world.weather.cold(COLD, hours=10.0)
    assert world.told_at(READING) == []

    told = []
    for second, keys in ((0, ("Y00", "Y01")), (20, ("Y02", "Y03"))):
        at = READING + timedelta(minutes=10, seconds=second)
        for key in keys:
            full = entries_for(a_layout(), State.FULL, vehicle=key, at=at, received_at=at)
            world.ledger.add_entries(full)
        told += world.told_at(at + timedelta(seconds=5))
    assert kinds(told) == ["work order", "work order"]
