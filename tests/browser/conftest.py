"""Real pages in a real browser: the demo's places behind a port of loopback, Debian's Chromium.

``live`` is an app of its own over a copy of the demo on the morning of its work order, with
everybody as an operator; ``door`` the same with nobody signed in. ``desk`` and ``phone`` are a page
each, at 1440 and 360 pixels; ``new_page`` makes one of any kind. ``looks`` has what every page must
bear.
"""

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from frostwatch.service.demo import prepare
from frostwatch.service.demo_stage import OPENS_AT, SCENES, Scene, Stage
from frostwatch.service.demo_weather import midnight_of
from frostwatch.service.first_look import Scout
from frostwatch.service.kit import Kit
from frostwatch.service.planner import Planner
from frostwatch.storage.ledger import SqlLedger, open_ledger
from frostwatch.web.app import build_app
from frostwatch.web.rights.desk import demo_account
from frostwatch.web.serving import listening_at, serving
from frostwatch.wiring import open_kit
from tests.browser.looks import DESK, PHONE
from tests.fakes import FakeChannels
from tests.once import made_once
from tests.web.guests import Clock
from tests.worlds import Weather

CHROMIUM = next(
    (found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), ""
)
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
]
DEMO_DAY = datetime.fromisoformat("2026-12-02T06:00+00:00")
"""A Wednesday, as the demo's story has it."""

PATIENCE_MS = 30_000
"""How long a browser on a busy machine is waited for; only a test that fails takes so long."""

NewPage = Callable[..., Page]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A browser takes seconds."""
    for item in items:
        if item.path.is_relative_to(Path(__file__).parent):
            item.add_marker(pytest.mark.slow)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if not CHROMIUM:
        pytest.fail("These tests need Chromium: apt-get install chromium", pytrace=False)
    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def new_page(browser: Browser) -> Iterator[NewPage]:
    """Makes a page: ``new_page(PHONE, dark=True, locale="de")``; it is closed with the test.

    A fault in the page's own script, and anything that its content policy had to refuse, fails
    the test.
    """
    contexts = []
    faults: list[str] = []

    def make(size: tuple[int, int] = DESK, *, dark: bool = False, **more: Any) -> Page:
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]},
            color_scheme="dark" if dark else "light",
            # colours that are still on their way have no contrast of their own
            reduced_motion="reduce",
            **{"locale": "en-GB", **more},
        )
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda fault: faults.append(str(fault)))
        page.on(
            "console",
            lambda said: faults.append(said.text) if "Content Security" in said.text else None,
        )
        return page

    yield make
    for context in contexts:
        context.close()
    assert faults == []


@pytest.fixture
def desk(new_page: NewPage) -> Page:
    return new_page(DESK)


@pytest.fixture
def phone(new_page: NewPage) -> Page:
    return new_page(PHONE, has_touch=True)


@dataclass(frozen=True, kw_only=True)
class Live:
    """An app that is served.

    Attributes:
        url: its address.
        ledger: what it keeps.
        clock: its clock, moved by hand.
    """

    url: str
    ledger: SqlLedger
    clock: Clock


@pytest.fixture(scope="session")
def demo_morning(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, datetime]:
    """Database of the demo as it stands when its yard has its work order, and that moment."""
    folder = made_once(tmp_path_factory, "demo-morning", _play_the_morning)
    return folder / "demo.db", midnight_of(DEMO_DAY) + _opening().after


def _opening() -> Scene:
    return next(scene for scene in SCENES if scene.key == OPENS_AT)


def _play_the_morning(folder: Path) -> None:
    demo = prepare(folder, DEMO_DAY, public_url="http://127.0.0.1")
    kit, ledger = open_kit(demo.settings)
    stage = Stage(demo, kit, ledger, lambda: DEMO_DAY)
    stage.set_to(stage.moment_of(_opening()))
    ledger.close()


@contextmanager
def served(database: Path, moment: datetime, *, signed_in: bool) -> Iterator[Live]:
    """An app over a database of its own."""
    ledger, clock = open_ledger(f"sqlite:///{database}"), Clock(moment)
    who = demo_account(moment) if signed_in else None
    with listening_at("127.0.0.1", 0) as door:
        url = f"http://127.0.0.1:{door.getsockname()[1]}"
        kit = Kit(
            ledger=ledger,
            outbox=ledger.outbox,
            channels=FakeChannels(),
            forecasts=Weather(),
            members=10,
            plans=ledger.plans,
        )
        app = build_app(
            ledger,
            clock,
            public_url=url,
            stand_in=who,
            scout=Scout(kit=kit),
            planner=Planner(kit=kit),
        )
        with serving(app, door):
            yield Live(url=url, ledger=ledger, clock=clock)
    ledger.close()


@pytest.fixture
def live(demo_morning: tuple[Path, datetime], tmp_path: Path) -> Iterator[Live]:
    """The demo's places, with everybody as their operator."""
    database, moment = demo_morning
    with served(Path(shutil.copy(database, tmp_path)), moment, signed_in=True) as live:
        yield live


@pytest.fixture
def door(demo_morning: tuple[Path, datetime], tmp_path: Path) -> Iterator[Live]:
    """The same with nobody signed in."""
    database, moment = demo_morning
    with served(Path(shutil.copy(database, tmp_path)), moment, signed_in=False) as live:
        yield live
