"""How long a page takes on the server, and how much is loaded: a yard of 500 bays on SQLite.

Run by ``make bench``. Goals: 95 of 100 requests under 100 ms for the round and the handovers (of a
dealer's 500 vehicles, a third of them wet, twelve handed over) and under 50 ms for the walk and a
vehicle, from the request to the last byte of the answer, without a network; the first
load of any page at most 100 kB with its style and script. Time of the processor is told beside the
time on the wall, which other work on the machine lengthens.
"""

import re
import tempfile
import time
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from starlette.testclient import TestClient

from frostwatch.fleet.heat import Fuel, Handover, HeatSource, Post
from frostwatch.fleet.sites import SiteKind
from frostwatch.records.entries import State
from frostwatch.storage.ledger import open_ledger
from frostwatch.web.serving import set_aside_what_stays
from tests.builders import NOW, a_site, bay_names
from tests.web.yards import Stage, a_row, form_of, water
from tests.worlds import World

BAYS, WET_IS_ONE_IN, TIMES = 500, 3, 60
GOALS_MS = {"/round": 100.0, "/roll": 100.0, "/handovers": 100.0, "/walk": 50.0, "/v/": 50.0}
HANDED = 12
GAS = HeatSource(fuel=Fuel.GAS, power_w=6000.0)
ELECTRIC = HeatSource(fuel=Fuel.ELECTRIC, power_w=1800.0)
GOAL_KB = 100.0


def a_large_yard(folder: Path) -> Stage:
    """A yard the day before a hard night, its round released."""
    stage = Stage(world=World(ledger=open_ledger(f"sqlite:///{folder / 'pages.db'}")))
    vans = a_row(BAYS)
    wet = vans[::WET_IS_ONE_IN]
    dry = [van for van in vans if van not in wet]
    stage.enter(
        vans, [*water(*wet), *water(*dry, state=State.DRAINED)], site=a_site(bays=bay_names(BAYS))
    )
    stage.cold_from(30.0)
    stage.look()
    stage.clock.pass_by(minutes=10)
    return stage


def a_large_forecourt(folder: Path) -> Stage:
    """A dealer's place in frost with handovers on the same morning."""
    stage = Stage(world=World(ledger=open_ledger(f"sqlite:///{folder / 'dealer.db'}"), plans=True))
    vans = [
        replace(van, handover=Handover(at=NOW + timedelta(hours=26 + n % 4)), heat=(GAS, ELECTRIC))
        if n < HANDED
        else van
        for n, van in enumerate(a_row(BAYS))
    ]
    wet = vans[HANDED::WET_IS_ONE_IN]
    dry = [van for van in vans if van not in wet]
    posts = tuple(Post(name=str(n), amps=16.0) for n in range(1, 7))
    site = replace(
        a_site(bays=bay_names(BAYS)), kind=SiteKind.FORECOURT, gas_allowed=True, posts=posts
    )
    entries = [*water(*wet), *water(*dry, state=State.DRAINED)]
    stage.enter(vans, entries, site=site)
    stage.cold_from(10.0, lasts=60.0, air_c=-3.0)
    stage.look()
    stage.clock.pass_by(minutes=10)
    return stage


def loaded_kb(client: TestClient, path: str) -> float:
    """Everything that a first look at a page loads, as it is sent [kB]."""
    page = client.get(path)
    total = int(page.headers["content-length"])
    for address in re.findall(r'(?:href|src)="(/static/[^"]+)"', page.text):
        total += int(client.get(address).headers["content-length"])
    return total / 1000.0


def measured(client: TestClient, path: str) -> tuple[float, float, float]:
    """Median and 95th of 100 on the wall, and the 95th of the processor's time [ms]."""
    client.get(path)
    set_aside_what_stays()  # as the service does before it serves
    wall, cpu = [], []
    for _ in range(TIMES):
        begun, used = time.perf_counter(), time.process_time()
        assert client.get(path).status_code == 200
        wall.append(1e3 * (time.perf_counter() - begun))
        cpu.append(1e3 * (time.process_time() - used))
    wall.sort()
    cpu.sort()
    worst = int(0.95 * TIMES)
    return wall[TIMES // 2], wall[worst], cpu[worst]


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        stage = a_large_yard(Path(folder))
        client = stage.client()
        form = form_of(client, "/round") | {"site": "cold-rigg", "then": "walk"}
        before = measured(client, "/round")
        print(f"{'/round, not released':24} {before[0]:6.0f} {before[1]:6.0f} {before[2]:6.0f} ms")
        walk = client.post("/round/release", data=form).headers["location"]
        print("median, p95, p95 of the processor; first load")
        for path in ("/round", walk, "/v/Y01", "/v/Y02", "/roll", walk.replace("walk", "sheet")):
            tell(client, path)
        dealer = a_large_forecourt(Path(folder)).client()
        for path in ("/handovers", "/handovers/Y01/hour", "/handovers/Y01/card"):
            tell(dealer, path)


def tell(client: TestClient, path: str) -> None:
    """One line about a page."""
    median, p95, cpu = measured(client, path)
    goal = next((ms for name, ms in GOALS_MS.items() if path.startswith(name)), None)
    told = "" if goal is None else f" (goal {goal:.0f}: {'held' if p95 < goal else 'MISSED'})"
    kb = loaded_kb(client, path)
    size = "held" if kb <= GOAL_KB else "MISSED"
    print(f"{path:24} {median:6.0f} {p95:6.0f} {cpu:6.0f} ms{told}; {kb:.0f} kB ({size})")


if __name__ == "__main__":
    main()
