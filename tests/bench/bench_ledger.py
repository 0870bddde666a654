"""How long a pass waits for its ledger: 10,000 vehicles at 250 sites, one in six wet.

Run by ``make bench``. Goals: the whole fleet read in under 2 s; hundreds of commits a second in
memory, where past winters are run again.
"""

import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from frostwatch.advice.reminders import Decision, Reason
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Level
from frostwatch.ports import KeptState
from frostwatch.storage.ledger import open_ledger
from tests.builders import NOW, a_site, a_vehicle, an_entry, an_operator
from tests.embedded_postgres import postgres_server

SITES = 250
VEHICLES = 10_000
CIRCUITS = tuple(Circuit)[:8]
STATE = {"enthalpy": np.zeros((14, 40), np.float32), "air": np.zeros((3, 40), np.float32)}


@contextmanager
def timed(name: str) -> Iterator[None]:
    """Print how long the block took."""
    start = time.perf_counter()
    yield
    print(f"  {name:<40} {time.perf_counter() - start:7.2f} s")


def bench(url: str) -> None:
    """Fill a ledger, commit two passes, read it."""
    ledger = open_ledger(url)
    sites = [a_site(f"s{i:03d}") for i in range(SITES)]
    vehicles = [a_vehicle(f"V{i:05d}", site=f"s{i % SITES:03d}") for i in range(VEHICLES)]
    with timed(f"enter {VEHICLES} vehicles"):
        ledger.save_fleet(sites=sites, people=[an_operator()], vehicles=vehicles)
    with timed(f"record {VEHICLES * len(CIRCUITS)} entries"):
        ledger.add_entries([an_entry(c, vehicle=v.key) for v in vehicles for c in CIRCUITS])
    for which in ("first", "second"):
        with timed(f"commit {SITES} sites, {which} pass"):
            for i, site in enumerate(sites):
                own = [vehicle.key for vehicle in vehicles[i::SITES]]
                ledger.commit(
                    site.key,
                    NOW,
                    states=[
                        KeptState(vehicle=key, at=NOW, signature="s", arrays=STATE)
                        for key in own[::6]
                    ],
                    decisions=[a_decision(site.key, key) for key in own],
                )
    with timed("load the whole fleet"):
        book = ledger.load(NOW)
    assert len(book.entries) == VEHICLES
    with timed("load one site"):
        ledger.load(NOW, sites=["s001"])
    ledger.close()


def a_decision(site: str, vehicle: str) -> Decision:
    """Nothing to say about a drained vehicle."""
    return Decision(
        at=NOW,
        site=site,
        vehicle=vehicle,
        recipient="ailsa",
        kind=None,
        level=Level.NONE,
        reason=Reason.DRAINED,
    )


def main() -> None:
    """All three stores."""
    print("SQLite file")
    with tempfile.TemporaryDirectory() as folder:
        bench(f"sqlite:///{Path(folder) / 'ledger.db'}")
    print("SQLite in memory")
    bench("sqlite://")
    print("PostgreSQL")
    with postgres_server() as server:
        bench(server.format(name="postgres"))


if __name__ == "__main__":
    main()
