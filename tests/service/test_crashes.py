"""Refusals and deaths of the process at any step: no reminder is lost, none comes too often."""

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any, cast

from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.messages.outbox import flush
from frostwatch.ports import Ledger, Message, MessageStatus, Refused, Sent
from frostwatch.service.pass_ import run_pass
from tests.worlds import World, a_small_yard, a_world

COLD = datetime(2026, 12, 3, 20, tzinfo=UTC)
READING = datetime(2026, 12, 3, 7, 40, tzinfo=UTC)
STEP = timedelta(minutes=30)
CALM = "calm"
DEATHS = ("before the commit", "after the commit", "before sending", "after sending")
REFUSES = "refused for now"


class DeathError(BaseException):
    """The process ends here; nothing may catch it."""


class Fragile:
    """A ledger in front of which, or behind which, the process ends."""

    def __init__(self, ledger: Ledger, what: str) -> None:
        self._ledger, self._what = ledger, what

    def __getattr__(self, name: str) -> Any:
        return getattr(self._ledger, name)

    def commit(self, *arguments: Any, **more: Any) -> int:
        if self._what == "before the commit":
            raise DeathError
        count = self._ledger.commit(*arguments, **more)
        if self._what == "after the commit":
            raise DeathError
        return count


class Line:
    """A channel that refuses, or during which the process ends."""

    def __init__(self) -> None:
        self.taken: Counter[tuple[str, int, str]] = Counter()
        self.what = CALM

    def send(self, message: Message, now: datetime) -> Sent | Refused:
        if self.what == REFUSES:
            return Refused(permanent=False, reason="busy")
        if self.what == "before sending":
            raise DeathError
        self.taken[message.reminder, message.revision, message.channel] += 1
        if self.what == "after sending":
            raise DeathError
        return Sent()


def live(world: World, line: Line, now: datetime, what: str) -> bool:
    """One pass and one round of sending; whether the process lived."""
    line.what = what
    ledger = cast(Ledger, Fragile(world.ledger, what))
    try:
        run_pass(replace(world.kit, ledger=ledger), now)
        flush(world.ledger.outbox, line, now)
    except DeathError:
        return False
    return True


@settings(max_examples=12, deadline=None)
@given(steps=st.lists(st.sampled_from([CALM, REFUSES, *DEATHS]), min_size=1, max_size=7))
def test_refusals_and_deaths_at_any_step_lose_no_reminder_and_repeat_at_most_one_a_death(
    steps: list[str],
) -> None:
    world, line = a_world(), Line()
    world.boards = False
    a_small_yard(world, READING)
    world.weather.cold(COLD)
    now, deaths = READING, 0
    for what in [*steps, *[CALM] * 8]:
        deaths += not live(world, line, now, what)
        now += STEP
    rows = world.ledger.outbox.listed(since=READING - STEP)
    world.ledger.close()
    assert [row.message.kind for row in rows].count("work order") == 1
    assert {row.status for row in rows} <= {MessageStatus.SENT, MessageStatus.REPLACED}
    wanted = {(row.message.reminder, row.message.revision, row.message.channel) for row in rows}
    assert set(line.taken) == wanted
    assert sum(line.taken.values()) - len(line.taken) <= deaths
