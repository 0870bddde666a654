"""What a step of the heat model costs, beside a plain C loop and beside scipy.

Run by ``make bench``. Goals: per vehicle, item, member and step within 4 times the C loop of the
same recurrence (``plain_loop.c``, compiled in the same run with ``gcc -O3``); 200 times faster than
``scipy.integrate.solve_ivp`` vehicle by vehicle.
"""

import ctypes
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.heatloss.batch import STEPS_PER_HOUR, Batch
from frostwatch.heatloss.case import read_case
from frostwatch.heatloss.integrate import run_case
from frostwatch.heatloss.solve import Job, Trajectory, solve
from frostwatch.weather.site_air import SiteAir
from tests.heatloss.cases import a_case, dry, ring, water
from tests.heatloss.nights import START, a_network
from tests.heatloss.whole_vehicle import integrate

MEMBERS, HOURS = 40, 168
TIMES_C, TIMES_SCIPY = 4.0, 200.0
SOURCE = Path(__file__).with_name("plain_loop.c")
FLAGS = ("-O3", "-shared", "-fPIC")
Single = NDArray[np.float32]


def a_week(seed: int = 0) -> SiteAir:
    """A week of frosty nights and a dip, 40 members, wind and clear sky that change."""
    rng = np.random.default_rng(seed)
    h = np.arange(HOURS + 1)
    path = 1.0 + 4 * np.sin(2 * np.pi * (h - 15) / 24) - 4 * np.sin(2 * np.pi * h / 200)
    error = 0.3 * np.cumsum(rng.normal(0, 0.4, (MEMBERS, HOURS + 1)), axis=1)
    return SiteAir(
        start=START,
        air_c=path + error + rng.normal(0, 1.2, (MEMBERS, 1)),
        wind_m_per_s=3.0 + 2.0 * np.sin(h / 10.0),
        roof_k=-2.0 + 1.5 * np.sin(h / 12.0),
        now_index=0,
    )


def wet_vehicles(count: int, air: SiteAir) -> list[Job]:
    """All layouts in turn, no two alike, every circuit wet."""
    keys = list(CATALOGUE)
    jobs = []
    for n in range(count):
        network = a_network(keys[n % len(keys)], air)
        shell = network.shell.copy()
        shell[0] += 0.01 * n
        jobs.append(Job(network=replace(network, shell=shell), air=air))
    return jobs


def bare(jobs: Sequence[Job]) -> list[Job]:
    """The same without valves and heaters, which the C loop does not know."""
    return [
        replace(
            job,
            network=replace(
                job.network, valve_item=-1, heater_w=np.zeros_like(job.network.heater_w)
            ),
        )
        for job in jobs
    ]


def best_s(work: Callable[[], object], times: int = 5) -> float:
    """The shortest of some runs [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def steps_of(jobs: Sequence[Job]) -> int:
    """Items times members times steps."""
    items = sum(len(job.network.item_keys) for job in jobs)
    return items * MEMBERS * HOURS * STEPS_PER_HOUR


@dataclass
class PlainLoop:
    """The C loop over some vehicles, and what it left."""

    inputs: list[tuple[Single, ...]]
    water_c: list[Single]
    ice: list[Single]

    @classmethod
    def over(cls, jobs: Sequence[Job]) -> "PlainLoop":
        inputs = []
        for job in jobs:
            batch, net = Batch([job]), job.network
            wide = (batch.liquid, batch.solid, batch.fusion)
            ring_shell = np.where(net.round_shell > 0.0, net.round_shell, 0.0)
            columns: list[NDArray[np.floating]] = [array[0, :, 0] for array in wide]
            columns += [net.flat_shell, ring_shell, net.cabin_w_per_k, net.locker_w_per_k]
            columns += [np.minimum(net.harm_fraction, 1e6), net.cool_c]
            arrays = (
                net.shell,
                np.stack(columns, axis=1),
                batch.outside_w_per_k[:, 0],
                batch.outside_c[:, 0],
                job.air.roof_k,
                batch.hubs.x[:3, 0],
                batch.enthalpy[0],
            )
            inputs.append(tuple(np.ascontiguousarray(a, np.float32) for a in arrays))
        return cls(inputs, [], [])

    def run(self, library: ctypes.CDLL) -> None:
        """Step every vehicle, one after another."""
        self.water_c, self.ice = [], []
        for given in self.inputs:
            *fixed, hubs, enthalpy = given
            state = (hubs.copy(), enthalpy.copy())
            shape = (HOURS + 1, *enthalpy.shape)
            kept = (np.empty(shape, np.float32), np.empty(shape, np.float32))
            passed = np.full((3, *enthalpy.shape), 1e10, np.float32)
            library.step_vehicle(
                len(enthalpy),
                MEMBERS,
                HOURS,
                STEPS_PER_HOUR,
                *(_pointer(array) for array in (*fixed, *state, *kept, passed)),
            )
            self.water_c.append(kept[0])
            self.ice.append(kept[1])

    def apart(self, paths: Sequence[Trajectory]) -> tuple[float, float]:
        """Largest difference to the solver's hours: water [K], ice."""
        pairs = list(zip(self.water_c, self.ice, paths, strict=True))
        return (
            max(float(np.abs(w.transpose(1, 2, 0) - p.water_c).max()) for w, _, p in pairs),
            max(float(np.abs(i.transpose(1, 2, 0) - p.ice_fraction).max()) for _, i, p in pairs),
        )


def _pointer(array: Single) -> object:
    return array.ctypes.data_as(ctypes.POINTER(ctypes.c_float))


def compiled(folder: str) -> ctypes.CDLL | None:
    """The C loop; None where there is no compiler."""
    gcc = shutil.which("gcc")
    if gcc is None:
        return None
    target = f"{folder}/plain_loop.so"
    subprocess.run([gcc, *FLAGS, "-o", target, str(SOURCE), "-lm"], check=True)
    return ctypes.CDLL(target)


def beside_c(air: SiteAir, folder: str) -> None:
    """Cost per item, member and step in numpy and in C, on the same vehicles."""
    library = compiled(folder)
    print("per vehicle, item, member and step:")
    for count in (20, 200):
        jobs = bare(wet_vehicles(count, air))
        numpy_s = best_s(lambda jobs=jobs: solve(jobs))  # type: ignore[misc]
        numpy_ns = numpy_s / steps_of(jobs) * 1e9
        print(f"  {count:4d} vehicles, numpy    {numpy_ns:7.2f} ns")
        if library is None:
            print("  no gcc: the C loop is left out")
            continue
        loop = PlainLoop.over(jobs)
        c_ns = best_s(lambda loop=loop: loop.run(library)) / steps_of(jobs) * 1e9  # type: ignore[misc]
        water_k, ice = loop.apart(solve(jobs))
        print(f"  {count:4d} vehicles, gcc -O3  {c_ns:7.2f} ns")
        print(
            f"       numpy is {numpy_ns / c_ns:.2f} times the C loop (goal {TIMES_C:.0f});", end=""
        )
        print(f" they differ by {water_k:.4f} K and {ice:.5f} in ice fraction")


def beside_scipy(air: SiteAir) -> None:
    """One vehicle and one member by solve_ivp against its share of a batch."""
    jobs = wet_vehicles(20, air)
    ours_s = best_s(lambda: solve(jobs)) / len(jobs) / MEMBERS
    theirs = []
    for job in jobs[:3]:
        start = solve([job])[0].end
        hubs_c = start.hubs_c[[0, 2, 1], 0].astype(float)
        theirs.append(
            best_s(
                lambda job=job, start=start, hubs_c=hubs_c: integrate(  # type: ignore[misc]
                    job.network,
                    job.air.air_c[0],
                    job.air.roof_k,
                    hubs_c,
                    start.enthalpy_j[:, 0].astype(float),
                ),
                1,
            )
        )
    scipy_s = float(np.mean(theirs))
    print("a vehicle and a member through a week:")
    print(f"  solver {ours_s * 1e6:9.1f} us, one of 20 vehicles and 40 members")
    print(f"  scipy  {scipy_s * 1e6:9.1f} us, solve_ivp LSODA vehicle by vehicle, rtol 1e-8")
    print(f"       {scipy_s / ours_s:.0f} times faster (goal {TIMES_SCIPY:.0f})")


def in_use(air: SiteAir) -> None:
    """What a replay and an estimate wait for; valves and heaters on."""
    jobs = wet_vehicles(20, air)
    solve_s = best_s(lambda: solve(jobs))
    print(f"20 vehicles, 40 members, 168 h:  {solve_s * 1e3:7.1f} ms")
    path = list(-2.0 + 6.0 * np.cos(2 * np.pi * np.arange(2001) / 24))
    bodies = [dry(1.5e5, 5.0, 95.0), water(60, 5.0, ua=12.0)]
    bodies.append(water(0.1, 5.0, ring(1.0, 0.006, 25.0)) | {"name": "pipe"})
    case = read_case(a_case(2000, path, *bodies))
    print(f"estimate, 3 bodies, 2000 h:      {best_s(lambda: run_case(case), 1):7.1f} s")


def main() -> int:
    """Print the figures."""
    air = a_week()
    with tempfile.TemporaryDirectory() as folder:
        beside_c(air, folder)
    beside_scipy(air)
    in_use(air)
    return 0


if __name__ == "__main__":
    sys.exit(main())
