"""How soon the walk can be used from the phone's own store, without signal, on a slow phone.

Run by ``make bench``; needs Chromium. Goal: under 1 s from asking for the page to the first button
that works, with the processor slowed four times, once the round was opened before. All that the
first opening loads is counted too, as it is sent.
"""

import tempfile
import time
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from frostwatch.service.walking import release_round
from frostwatch.storage.ledger import open_ledger
from frostwatch.web.pages.yard_now import yard_now
from tests.bench.bench_pages import a_large_yard
from tests.browser.conftest import ARGUMENTS, CHROMIUM
from tests.browser.looks import PHONE
from tests.browser.walks import Yard, until_ready, walks
from tests.web.guests import Clock

SLOWED, TIMES = 4, 15
GOAL_S, GOAL_KB = 1.0, 100.0


def a_round(folder: Path) -> Yard:
    """The round of a yard of 500 bays, a third of them wet, that is served."""
    stage = a_large_yard(folder)
    now = stage.clock.now
    stage.world.ledger.close()
    ledger = open_ledger(f"sqlite:///{folder / 'pages.db'}")
    kept = ledger.pages.yard("cold-rigg", now)
    assert kept is not None
    assert kept.board is not None
    stops = [line.stop for line in yard_now(kept, now).lines if line.stop is not None]
    walk = release_round(ledger.rounds, kept.board, stops, by="ailsa", now=now)
    yard = Yard(ledger=ledger, clock=Clock(now), code=walk.code)
    yard.mend()
    print(f"{len(walk.stops)} stops")
    return yard


def measured(browser: Browser, yard: Yard) -> tuple[list[float], float]:
    """Seconds until it can be used, each time; and what the first opening loaded [kB]."""
    width, height = PHONE
    context = browser.new_context(viewport={"width": width, "height": height}, has_touch=True)
    page = context.new_page()
    line = context.new_cdp_session(page)
    loaded = []
    line.send("Network.enable")
    line.on("Network.loadingFinished", lambda event: loaded.append(event["encodedDataLength"]))
    page.goto(yard.url)
    context.clear_cookies()
    loaded.clear()
    walks(page, yard, "Kit")
    first_kb = sum(loaded) / 1000.0
    yard.cut()
    line.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    took = []
    for _ in range(TIMES):
        begun = time.perf_counter()
        page.goto(yard.url, wait_until="commit")
        until_ready(page)
        took.append(time.perf_counter() - begun)
    context.close()
    return sorted(took), first_kb


def main() -> None:
    """Measure, and tell whether the goals are held."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        took, first_kb = measured(browser, a_round(Path(folder)))
        browser.close()
    held = "held" if took[TIMES // 2] < GOAL_S else "MISSED"
    print(
        f"usable without signal, processor slowed {SLOWED} times: median "
        f"{took[TIMES // 2]:.2f} s, slowest {took[-1]:.2f} s (goal {GOAL_S:.0f} s: {held})"
    )
    held = "held" if first_kb <= GOAL_KB else "MISSED"
    print(f"loaded until it was kept on the phone: {first_kb:.0f} kB (goal {GOAL_KB:.0f}: {held})")


if __name__ == "__main__":
    main()
