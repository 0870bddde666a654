"""A round on phones, and a network that can be cut."""

import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from playwright.sync_api import Locator, Page, expect

from frostwatch.advice.walk import Press, PressKind
from frostwatch.ports.accounts import Account
from frostwatch.service.walking import release_round
from frostwatch.storage.ledger import SqlLedger, open_ledger
from frostwatch.web.app import build_app
from frostwatch.web.pages.yard_now import yard_now
from frostwatch.web.rights.desk import demo_account
from frostwatch.web.serving import listening_at, serving
from tests.web.guests import Clock

YARD = "cold-rigg"


@dataclass(kw_only=True)
class Yard:
    """The demo's yard with a released round, behind a network that is cut and mended.

    Attributes:
        ledger: what it keeps.
        clock: its clock.
        port: where it is served.
        code: of the round.
        stand_in: who everybody counts as; None for nobody.
        answers: set while the server answers.
        late_s: how long it takes over every answer at least [s].
    """

    ledger: SqlLedger
    clock: Clock
    port: int = 0
    code: str = ""
    stand_in: Account | None = None
    answers: threading.Event = field(default_factory=threading.Event)
    late_s: float = 0.0
    _line: ExitStack = field(default_factory=ExitStack)

    @property
    def url(self) -> str:
        """Address of the round."""
        return f"http://127.0.0.1:{self.port}/walk/{self.code}"

    def mend(self) -> None:
        """Let the phones reach the server."""
        self.answers.set()
        door = self._line.enter_context(listening_at("127.0.0.1", self.port))
        self.port = int(door.getsockname()[1])
        self._line.enter_context(
            serving(build_app(self.ledger, self._now, stand_in=self.stand_in), door)
        )

    def hold(self) -> None:
        """Let the server take what is asked and answer nothing, as with the last bar of signal."""
        self.answers.clear()

    def let_go(self) -> None:
        """Let it answer again."""
        self.answers.set()

    def _now(self) -> datetime:
        self.answers.wait(timeout=60.0)
        threading.Event().wait(self.late_s)
        return self.clock.now

    def cut(self) -> None:
        """Cut the network: nothing answers any more."""
        self._line.close()

    @property
    def round_page(self) -> str:
        """Address of the page on which rounds are released."""
        return f"http://127.0.0.1:{self.port}/round?site={YARD}"

    @property
    def presses(self) -> list[Press]:
        """What arrived, in order."""
        return list(self.ledger.rounds.presses(self.code))


@contextmanager
def a_yard_before_its_round(database: Path, moment: datetime) -> Iterator[Yard]:
    """The demo's yard with its operator at every device; nothing is released."""
    ledger = open_ledger(f"sqlite:///{database}")
    yard = Yard(ledger=ledger, clock=Clock(moment), stand_in=demo_account(moment))
    yard.mend()
    try:
        yield yard
    finally:
        yard.cut()
        ledger.close()


@contextmanager
def a_yard_with_a_round(database: Path, moment: datetime) -> Iterator[Yard]:
    """The demo's yard; its round is released."""
    ledger = open_ledger(f"sqlite:///{database}")
    yard = Yard(ledger=ledger, clock=Clock(moment))
    kept = ledger.pages.yard(YARD, moment)
    assert kept is not None
    assert kept.board is not None
    stops = [line.stop for line in yard_now(kept, moment).lines if line.stop is not None]
    walk = release_round(ledger.rounds, kept.board, stops, by="ailsa", now=moment)
    yard.code = walk.code
    yard.mend()
    try:
        yield yard
    finally:
        yard.cut()
        ledger.close()


def walks(page: Page, yard: Yard, name: str, *, off_h: float = 0.0) -> None:
    """Open the round on a phone as somebody without an account; until it is kept there.

    Args:
        page: the phone.
        yard: the yard.
        name: who walks.
        off_h: hours by which the phone's clock is ahead.
    """
    page.context.clock.set_system_time(yard.clock.now + timedelta(hours=off_h))
    page.goto(yard.url)
    page.get_by_label("Your initials or name").fill(name)
    page.get_by_role("button", name="Begin").click()
    until_kept(page)


KEPT = """async () => {
  const own = document.querySelector("script[data-store]");
  const styles = [...document.querySelectorAll("link[rel=stylesheet]")].map((one) => one.href);
  const { store, draw, photos } = own.dataset;
  const wanted = [location.pathname, own.src, store, draw, photos, ...styles];
  const found = await Promise.all(wanted.map((one) => caches.match(one)));
  return navigator.serviceWorker.controller !== null && found.every(Boolean);
}"""
"""Whether the phone has the round and every file it loads, and a worker that serves them."""


def until_kept(page: Page) -> None:
    """Until the round is kept on the phone."""
    until_ready(page)
    # wait_for_function takes the promise itself for a yes
    until(page, lambda: bool(page.evaluate(KEPT)))
    assert page.evaluate(KEPT)


def opened_from_server(page: Page, what: Locator, *, there: bool = True) -> None:
    """Open the round anew until something is there, or not, that only the server's page tells.

    A phone shows the round as it kept it where the server takes longer than a reload waits.
    """
    for _ in range(20):
        page.reload()
        if (what.count() > 0) is there:
            return
    raise AssertionError(f"the server never tells {what}")


def until_ready(page: Page) -> None:
    """Until the phone's own store is read."""
    page.wait_for_selector("html[data-ready]", state="attached")


def until(page: Page, so: Callable[[], bool]) -> None:
    """Until something is so that no page shows; half a minute at most."""
    for _ in range(600):
        if so():
            return
        page.wait_for_timeout(50)


def kept(page: Page, text: str) -> None:
    """What the head says about where the presses are."""
    expect(page.locator("#kept")).to_contain_text(text)


def arrived(page: Page, yard: Yard, count: int) -> None:
    """Until so many presses arrived and the phone says that it keeps none."""
    until(page, lambda: len(yard.presses) >= count)
    assert len(yard.presses) == count
    kept(page, "All sent")


def signal_is_back(page: Page) -> None:
    """What a phone tells its pages when it finds a network."""
    page.evaluate("window.dispatchEvent(new Event('online'))")


def another_does(yard: Yard, vehicle: str) -> None:
    """Marek does this stop, on a phone that is not here."""
    press = Press(
        id=f"other-{vehicle}",
        round=yard.code,
        vehicle=vehicle,
        kind=PressKind.DONE,
        by="Marek",
        at=yard.clock.now,
        received_at=yard.clock.now,
    )
    yard.ledger.rounds.add_press(press, entries=())
