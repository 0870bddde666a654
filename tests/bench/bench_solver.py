"""What one step of the fleet solver costs, beside a plain C loop and beside scipy.

Run: make bench, or PYTHONPATH=. python tests/bench/bench_solver.py
The C loop is the same recurrence in single precision, compiled here with gcc -O3; scipy follows one
vehicle and one member with LSODA at a tolerance of 1e-6. Medians of several runs.
"""

import ctypes
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from frostwatch.heatloss.batch import STEPS_PER_HOUR
from frostwatch.heatloss.network import Network
from frostwatch.heatloss.solve import Job, solve
from frostwatch.heatloss.trajectory import NodeState
from frostwatch.weather.site_air import SiteAir
from tests.heatloss.nights import a_network, a_spell, an_air
from tests.heatloss.whole_vehicle import integrate

MEMBERS, HOURS, VEHICLES, RUNS = 40, 168, 40, 5
SOURCE = Path(__file__).with_name("plain_loop.c")


def say(text: str) -> None:
    sys.stdout.write(text + "\n")


def median_s(work: Callable[[], object]) -> float:
    times = []
    for _ in range(RUNS):
        began = time.perf_counter()
        work()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def fleet(air: SiteAir) -> list[Job]:
    """Forty vehicles, no two alike, none with a valve, so that both loops do the same work."""
    return [
        Job(
            network=a_network("caravan-no-valve", air, full=0.2 + 0.7 * n / VEHICLES),
            air=air,
        )
        for n in range(VEHICLES)
    ]


def plain_loop(folder: str) -> Any:
    """The compiled C loop, None without a compiler."""
    compiler = shutil.which("gcc")
    if compiler is None:
        return None
    library = Path(folder) / "plain_loop.so"
    options = ["-O3", "-march=native", "-ffast-math", "-shared", "-fPIC"]
    subprocess.run([compiler, *options, str(SOURCE), "-o", str(library), "-lm"], check=True)
    return ctypes.CDLL(str(library)).step_vehicle


def in_c(function: Any, jobs: list[Job], starts: list[NodeState]) -> None:
    for job, start in zip(jobs, starts, strict=True):
        _call(function, job.network, job.air, start)


def _call(function: Any, net: Network, air: SiteAir, start: NodeState) -> np.ndarray[Any, Any]:
    items = len(net.item_keys)

    def single(values: Any) -> Any:
        return np.ascontiguousarray(values, np.float32)

    liquid = net.water_kg * 4200.0 + net.dry_j_per_k
    columns = [
        liquid,
        net.water_kg * 2050.0 + net.dry_j_per_k,
        net.water_kg * 333_500.0,
        net.flat_shell,
        net.round_shell,
        net.cabin_w_per_k,
        net.locker_w_per_k,
        net.harm_fraction,
        net.cool_c,
    ]
    outside = 0.5 * (net.outside_w_per_k[:, :-1] + net.outside_w_per_k[:, 1:])
    arrays = [
        single(net.shell),
        single(np.stack(columns, axis=1)),
        single(outside.T),
        single(air.air_c.T),
        single(air.roof_k),
        start.hubs_c.copy(),
        start.enthalpy_j.copy(),
        np.empty((HOURS + 1, items, MEMBERS), np.float32),
        np.empty((HOURS + 1, items, MEMBERS), np.float32),
        np.full((3, items, MEMBERS), np.inf, np.float32),
    ]
    pointer = ctypes.POINTER(ctypes.c_float)
    function(
        items,
        MEMBERS,
        HOURS,
        STEPS_PER_HOUR,
        *(array.ctypes.data_as(pointer) for array in arrays),
    )
    ice: np.ndarray[Any, Any] = arrays[8]
    return ice


def main() -> None:
    air = an_air(a_spell(HOURS, mean_c=-1.0, members=MEMBERS))
    jobs = fleet(air)
    items = sum(len(job.network.item_keys) for job in jobs)
    steps = items * MEMBERS * HOURS * STEPS_PER_HOUR
    ours_s = median_s(lambda: solve(jobs))
    say(f"{VEHICLES} vehicles, {items} items, {MEMBERS} members, {HOURS} h")
    say(f"fleet solver      {ours_s:8.3f} s  {ours_s / steps * 1e9:7.2f} ns an item, member, step")
    starts = [path.end for path in solve(jobs)]
    with tempfile.TemporaryDirectory() as folder:
        function = plain_loop(folder)
        if function is None:
            say("no gcc here: the plain C loop is left out")
        else:
            apart = np.abs(
                _call(function, jobs[0].network, air, starts[0]).transpose(1, 2, 0)
                - solve(jobs[:1])[0].ice_fraction
            ).max()
            c_s = median_s(lambda: in_c(function, jobs, starts))
            say(
                f"plain C loop      {c_s:8.3f} s  {c_s / steps * 1e9:7.2f} ns an item, member, step"
            )
            say(f"fleet solver / C  {ours_s / c_s:8.2f}   (goal: at most 4; ice apart {apart:.4f})")
    one = Job(network=jobs[0].network, air=air)
    start = solve([one])[0].end
    hubs = np.array([start.hubs_c[0, 0], start.hubs_c[2, 0], start.hubs_c[1, 0]], float)
    began = time.perf_counter()
    integrate(one.network, air.air_c[0], air.roof_k, hubs, start.enthalpy_j[:, 0].astype(float))
    scipy_s = time.perf_counter() - began
    path_s = ours_s / (VEHICLES * MEMBERS)
    say(f"scipy, one path   {scipy_s:8.3f} s, the fleet solver {path_s * 1e3:.3f} ms")
    say(f"scipy / ours      {scipy_s / path_s:8.0f}   (goal: at least 200)")


if __name__ == "__main__":
    main()
