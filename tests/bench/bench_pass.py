"""How long a pass takes: 10,000 vehicles at 250 sites, 40 members, one in six wet, on SQLite.

Run by ``make bench``. Goals: a pass under 30 s and under 1 GiB, linear from 100 to 10,000 vehicles;
``frostwatch --help`` under 0.5 s. Each size runs in a process of its own, so that its peak memory
is its own. ``--profile N`` prints what a pass over N vehicles spends its time on.
"""

import argparse
import cProfile
import json
import pstats
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import timedelta

import numpy as np

from frostwatch.fleet.layouts import CATALOGUE, layout_of
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.logs import set_up_logs
from frostwatch.records.entries import Entry, State
from frostwatch.service.kit import Kit
from frostwatch.service.nights import Memory, point_of
from frostwatch.service.pass_ import PassReport, run_pass
from frostwatch.storage.ledger import SqlLedger, open_ledger
from tests.builders import NOW, a_crew, a_site, a_vehicle, an_entry, an_operator, bay_names
from tests.fakes import FakeChannels, FakeForecasts
from tests.weather.frames import a_frame, daily_air_c

SIZES = (100, 1000, 10_000)
VEHICLES_A_SITE = 40
WET_IS_ONE_IN = 6
GOAL_S, GOAL_MIB, GOAL_HELP_S = 30.0, 1024.0, 0.5
LAYOUTS = tuple(CATALOGUE)


def fill(ledger: SqlLedger, count: int) -> tuple[Site, ...]:
    """Enter a fleet; no two wet vehicles hold the same water."""
    chance = random.Random(1)
    places = max(1, count // VEHICLES_A_SITE)
    sites = [
        a_site(
            f"s{i:03d}",
            latitude_deg=46.0 + i * 0.05,
            longitude_deg=7.0,
            operator=f"op{i:03d}",
            bays=bay_names(VEHICLES_A_SITE),
        )
        for i in range(places)
    ]
    people = [
        person
        for i, site in enumerate(sites)
        for person in (
            an_operator(f"op{i:03d}", sites=(site.key,)),
            a_crew(f"cr{i:03d}", sites=(site.key,)),
        )
    ]
    vehicles = [
        a_vehicle(
            f"V{i:05d}",
            site=sites[i % places].key,
            bay=sites[i % places].bays[i // places % VEHICLES_A_SITE],
            layout=LAYOUTS[i % len(LAYOUTS)],
        )
        for i in range(count)
    ]
    ledger.save_fleet(sites=sites, people=people, vehicles=vehicles)
    entries = [entry for n, van in enumerate(vehicles) for entry in water(n, van, chance)]
    ledger.add_entries(entries)
    return tuple(sites)


def water(number: int, vehicle: Vehicle, chance: random.Random) -> Iterator[Entry]:
    """Drained, or wet since some hour of the last week with litres of its own."""
    # the sixth of every six, the seventh group shifted, so that all layouts get their share
    wet = (number + number // len(LAYOUTS)) % WET_IS_ONE_IN == 0
    hours_ago = chance.uniform(20.0, 160.0)
    layout = layout_of(vehicle)
    for circuit in dict.fromkeys(item.circuit for item in layout.items):
        full_l = sum(i.capacity_l.value for i in layout.items if i.circuit is circuit)
        yield an_entry(
            circuit,
            State.PART_FULL if wet else State.DRAINED,
            vehicle=vehicle.key,
            hours_ago=hours_ago if wet else 400.0,
            litres_l=round(full_l * chance.uniform(0.4, 1.0), 3) if wet else None,
        )


def forecasts_for(sites: tuple[Site, ...]) -> FakeForecasts:
    """A mild week behind, a cold night ahead, a little different everywhere."""
    given = {}
    for n, site in enumerate(sites):
        air_c = daily_air_c(6.0, 3.0)
        air_c[120:] -= np.linspace(0.0, 12.0, len(air_c) - 120).clip(max=9.0) + (n % 7) * 0.2
        given[point_of(site).key] = a_frame(NOW, air_c=air_c, wind_m_per_s=2.0)
    return FakeForecasts(given)


def one_size(count: int, *, profile: bool = False) -> dict[str, float]:
    """Seconds, peak and counts of passes over that many vehicles."""
    with tempfile.TemporaryDirectory() as folder:
        ledger = open_ledger(f"sqlite:///{folder}/ledger.db")
        sites = fill(ledger, count)
        kit = Kit(
            ledger=ledger,
            outbox=ledger.outbox,
            channels=FakeChannels(),
            forecasts=forecasts_for(sites),
        )
        before_mib = peak_mib()
        memory = Memory()
        figures: dict[str, float] = {}
        profiler = cProfile.Profile() if profile else None
        for name, after in (("first", 0), ("idle", 5), ("all", 60)):
            start, worked = time.perf_counter(), time.process_time()
            if profiler and name == "first":
                profiler.enable()
            report = run_pass(
                kit, NOW + timedelta(minutes=after), memory=memory, everything=name == "all"
            )
            if profiler:
                profiler.disable()
            figures[f"{name}_s"] = time.perf_counter() - start
            figures[f"{name}_cpu_s"] = time.process_time() - worked
            if name == "first":
                figures |= counted(report)
        if profiler:
            pstats.Stats(profiler).sort_stats("cumulative").print_stats(45)
            pstats.Stats(profiler).sort_stats("tottime").print_stats(30)
        ledger.close()
    return figures | {"peak_mib": peak_mib(), "before_mib": before_mib}


def counted(report: PassReport) -> dict[str, float]:
    """How much there was to do."""
    return {
        "vehicles": sum(len(work.vans) for work in report.sites),
        "wet": sum(len(work.wet) for work in report.sites),
        "messages": report.messages,
        "failed": len(report.failed),
    }


def peak_mib() -> float:
    """Most memory this process ever held [MiB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def own_process(*arguments: str) -> str:
    """This file run again by itself; what it wrote."""
    done = subprocess.run(
        [sys.executable, __file__, *arguments], capture_output=True, text=True, check=False
    )
    if done.returncode:
        sys.exit(done.stderr)
    return done.stdout


def command_s(*arguments: str) -> float:
    """Shortest of three runs of a command of the program [s]."""
    times = []
    for _ in range(3):
        start = time.perf_counter()
        subprocess.run(
            [sys.executable, "-m", "frostwatch", *arguments], capture_output=True, check=True
        )
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--size", type=int)
    parser.add_argument("--profile", type=int)
    asked = parser.parse_args()
    set_up_logs("critical")  # what people are told of is counted, not printed
    if asked.size:
        print(json.dumps(one_size(asked.size)))
        return
    if asked.profile:
        one_size(asked.profile, profile=True)
        return
    print(
        "  vehicles   wet  messages  first s   cpu s  s/1000  next s  idle s  peak MiB  of it bef."
    )
    for size in SIZES:
        row = json.loads(own_process("--size", str(size)))
        print(
            f"  {row['vehicles']:8d} {row['wet']:5d}  {row['messages']:8d}  {row['first_s']:7.2f}"
            f"  {row['first_cpu_s']:6.2f}"
            f"  {1000 * row['first_s'] / size:6.2f}  {row['all_s']:6.2f}  {row['idle_s']:6.2f}"
            f"  {row['peak_mib']:8.0f}  {row['before_mib']:14.0f}"
        )
    print(f"  goals: first pass over 10,000 under {GOAL_S:.0f} s and {GOAL_MIB:.0f} MiB")
    print(f"  frostwatch --help            {command_s('--help'):6.2f} s  (goal {GOAL_HELP_S})")
    with tempfile.TemporaryDirectory() as folder:
        took_s = command_s("run", "--demo", "--once", "--folder", f"{folder}/demo")
    print(f"  run --demo --once            {took_s:6.2f} s")


if __name__ == "__main__":
    main()
