"""``frostwatch why``: what was decided, on which numbers, and what became of it."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from frostwatch.advice.reminders import Reason
from frostwatch.cli.why_words import SENTENCES
from frostwatch.ports import Refused
from frostwatch.records.entries import State
from tests.builders import NOW, a_layout, entries_for
from tests.cli.conftest import Cli
from tests.worlds import World, a_small_yard, a_world

COLD = datetime(2026, 12, 3, 20, tzinfo=UTC)
READING = datetime(2026, 12, 3, 7, 40, tzinfo=UTC)


@pytest.fixture
def world(at_home: Path) -> Iterator[World]:
    (at_home / "var").mkdir()
    world = a_world(f"sqlite:///{at_home}/var/frostwatch.db")
    yield world
    world.ledger.close()


def test_every_reason_has_a_plain_sentence() -> None:
    assert set(SENTENCES) == set(Reason)


def test_a_call_is_shown_with_its_numbers_its_forecast_and_its_delivery(
    cli: Cli, world: World
) -> None:
    a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.told_at(READING)

    ran = cli("why", "y03", "--at", "2026-12-03 07:45")

    assert ran.status == 0, ran.err
    first, *_ = [line for line in ran.out.splitlines() if "work order" in line]
    assert first.endswith("work order. It was the first call in this spell of frost.")
    assert "held against the ratio 10.0 %" in ran.out
    assert "Harm earliest Thu 2026-12-03" in ran.out
    assert "It rests on made, issued Thu 2026-12-03 07:40" in ran.out
    assert "taken by the channel Thu 2026-12-03 07:40" in ran.out
    (decision,) = cli("why", "Y03", "--at", "2026-12-03 07:45", "--json").json["decisions"]
    assert (decision["kind"], decision["reason"]) == ("work order", "first")
    assert decision["ratio"] == 0.1
    for name in ("probability", "earliest", "likely", "window_from", "window_to", "issued_at"):
        assert decision[name] is not None, name
    assert [one["status"] for one in decision["said"]["messages"]] == ["sent"]


def test_silence_has_its_reason_and_what_was_said_last(cli: Cli, world: World) -> None:
    a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.channels.refuse("ailsa", Refused(permanent=True, reason="mail server: 550 no such user"))
    world.told_at(READING)
    world.told_at(READING + timedelta(minutes=30))
    later = entries_for(a_layout(), State.FULL, at=READING + timedelta(minutes=31))
    world.ledger.add_entries(later)
    world.told_at(READING + timedelta(minutes=40))

    ran = cli("why", "Y03", "--at", "2026-12-03 08:25")

    assert "say nothing. It was told already in this spell." in ran.out
    assert "Last said Thu 2026-12-03 07:40: work order." in ran.out
    assert "refused after 1 tries: mail server: 550 no such user" in ran.out


def test_a_drained_vehicle_and_quiet_hours_are_told_plainly(cli: Cli, world: World) -> None:
    a_small_yard(world, NOW, state=State.DRAINED)
    world.weather.cold(COLD)
    world.told_at(READING)

    ran = cli("why", "Y03", "--at", "2026-12-03 23:00")

    assert "say nothing. As recorded, nothing in it holds water" in ran.out
    assert "It was in their quiet hours: what came in waited until 06:30." in ran.out
    assert "Nothing was said to them about it" in ran.out


def test_before_anything_was_decided_that_is_said(cli: Cli, world: World) -> None:
    a_small_yard(world, NOW)

    ran = cli("why", "Y03", "--at", "2026-11-01")

    assert ran.status == 0
    assert "Nothing was decided about it by then" in ran.out
    assert cli("why", "Z9").status == 2


def test_a_moment_that_has_not_come_is_not_answered_as_if_it_had(cli: Cli, world: World) -> None:
    a_small_yard(world, NOW, state=State.DRAINED)

    ran = cli("why", "Y03", "--at", "2099-12-03 23:00")

    assert "2099-12-03 23:00 has not come yet" in ran.err
    assert "not come yet" not in cli("why", "Y03", "--at", "2020-12-03 23:00").err
