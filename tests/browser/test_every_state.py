"""Every page in every state that a place can be in: it says so, and bears being looked at.

The five states of the design (nothing yet, not read yet, failed, old forecast, too late) and those
of a winter's week, on a small yard.
"""

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import cycle

import pytest
from playwright.sync_api import Page, expect

from frostwatch.records.entries import State
from frostwatch.web.app import build_app
from frostwatch.web.serving import listening_at, serving
from tests.browser.looks import LOOKS_IN_TURN, assert_bears_look
from tests.web.yards import Stage, a_cold_yard, a_row, an_account, water

PAGES = ("/round", "/roll", "/leave-alone", "/handovers", "/v/Y01")
WEEKDAY = re.compile(r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun)\b")
"""Every headline has an hour, and every hour a day."""


def quiet() -> Stage:
    """No frost in sight."""
    stage = Stage()
    vans = a_row(4)
    stage.enter(vans, water(*vans, state=State.DRAINED))
    stage.look()
    return stage


def order() -> Stage:
    """The day before a hard night."""
    return a_cold_yard()


def late() -> Stage:
    """In the middle of the frost."""
    stage = a_cold_yard()
    stage.clock.pass_by(hours=34)
    stage.look()
    return stage


def thaw() -> Stage:
    """The frost is over, and nobody has looked."""
    stage = late()
    stage.clock.pass_by(hours=40)
    stage.look()
    return stage


def old() -> Stage:
    """No new forecast for 16 hours."""
    stage = a_cold_yard()
    stage.clock.pass_by(hours=16)
    return stage


def too_old() -> Stage:
    """... for 33 hours."""
    stage = a_cold_yard()
    stage.clock.pass_by(hours=33)
    return stage


def not_read() -> Stage:
    """Entered a minute ago."""
    stage = Stage()
    vans = a_row(4)
    stage.enter(vans, water(*vans[:2]))
    return stage


def failed() -> Stage:
    """The last pass failed."""
    stage = a_cold_yard()
    stage.clock.pass_by(hours=1)
    now, cause = stage.clock.now, "the disk is full"
    stage.world.ledger.note_failure("cold-rigg", now, cause=cause, next_try_at=now)
    return stage


def empty() -> Stage:
    """No vehicles yet."""
    stage = Stage()
    stage.enter([])
    return stage


COLDER = "reckon 2\N{NO-BREAK SPACE}K colder"
SAYS: tuple[tuple[Callable[[], Stage], dict[str, str]], ...] = (
    (quiet, {"/round": "Nobody needs to walk", "/roll": "Nobody needs to walk"}),
    (order, {"/round": "need a visit by", "/roll": "need a visit by"}),
    (late, {"/round": "alone", "/v/Y01": "Leave A-01 alone", "/roll": "to be left alone"}),
    (thaw, {"/v/Y01": "A-01"}),
    (old, {"/round": COLDER, "/roll": COLDER}),
    (too_old, {"/round": "Treat tonight", "/roll": "We cannot say", "/v/Y01": "as frost"}),
    (not_read, {"/round": "Reading the forecast", "/v/Y01": "its hours follow"}),
    (failed, {"/round": "The last look at this place failed", "/v/Y01": "failed"}),
    (empty, {"/round": "enter the first one", "/roll": "No vehicles yet"}),
)


@contextmanager
def shown(stage: Stage) -> Iterator[str]:
    """The pages of a yard behind a port, as its operator sees them."""
    app = build_app(stage.world.ledger, stage.clock, stand_in=an_account())
    with listening_at("127.0.0.1", 0) as door, serving(app, door):
        yield f"http://127.0.0.1:{door.getsockname()[1]}"
    stage.world.ledger.close()


@pytest.mark.parametrize(("state", "says"), SAYS, ids=[state.__name__ for state, _ in SAYS])
def test_every_page_says_how_it_stands_and_bears_looking_at(
    state: Callable[[], Stage], says: dict[str, str], desk: Page
) -> None:
    with shown(state()) as url:
        for path, look in zip(PAGES, cycle(LOOKS_IN_TURN), strict=False):
            if state is empty and path == "/v/Y01":
                continue
            desk.goto(url + path)
            expect(desk.get_by_role("main")).to_contain_text(re.compile(says.get(path, ".")))
            head = desk.get_by_role("heading", level=1)
            expect(head).to_have_count(1)
            if state is not empty:
                assert WEEKDAY.search(head.inner_text()), (path, head.inner_text())
            assert_bears_look(desk, *look)
