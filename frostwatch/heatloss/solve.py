"""Step many vehicles through the hours of their sites' airs, alike ones only once.

The scheme stands in ``stepping``. Against the accurate integration of ``integrate`` and against
scipy's stiff integrators whole vehicles differ by less than 5 minutes in the first ice and 0.01 in
ice fraction; tests/heatloss holds that.
"""

from collections import defaultdict
from collections.abc import Sequence

from frostwatch.heatloss.stepping import run
from frostwatch.heatloss.trajectory import Job, NodeState, Trajectory

__all__ = ["Job", "NodeState", "Trajectory", "solve"]

_COLUMNS = 2400
"""Vehicles times members worked on together: enough to drown the interpreter, few enough for the
second-level cache. Measured by tests/bench/bench_solver.py."""


def solve(jobs: Sequence[Job]) -> tuple[Trajectory, ...]:
    """Step vehicles through the hours of their sites' airs.

    Vehicles that are alike in layout, water, air and start are stepped once and share one result.

    Args:
        jobs: the vehicles, any mix of sites; each air has shape (M, H + 1) and reaches its
            ``now_index``.

    Returns:
        One trajectory for each job, in order, counted from each air's ``now_index``.
    """
    alike: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for n, job in enumerate(jobs):
        alike[_likeness(job)].append(n)
    groups: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for same in alike.values():
        job = jobs[same[0]]
        groups[(job.first, job.kept is None, job.air.air_c.shape, job.air.now_index)].append(
            same[0]
        )
    solved: dict[int, Trajectory] = {}
    for group in groups.values():
        group.sort(key=lambda n: _shape(jobs[n]))
        wide = max(1, _COLUMNS // jobs[group[0]].air.air_c.shape[0])
        for begin in range(0, len(group), wide):
            part = group[begin : begin + wide]
            solved.update(zip(part, run([jobs[n] for n in part]), strict=True))
    for same in alike.values():
        for n in same[1:]:
            solved[n] = solved[same[0]]
    return tuple(solved[n] for n in range(len(jobs)))


def _likeness(job: Job) -> tuple[object, ...]:
    """Equal for two jobs with one and the same result."""
    state = job.kept
    start = (
        b""
        if state is None
        else state.enthalpy_j.tobytes()
        + state.hubs_c.tobytes()
        + state.tripped.tobytes()
        + repr((state.fresh, state.found_shut)).encode()
    )
    return (id(job.air), job.network.signature, job.first, start)


def _shape(job: Job) -> tuple[bool, bool, int]:
    """Sorts together what needs the same extra work and the same number of rows."""
    network = job.network
    return (
        bool((network.glycol_mass_fraction > 0.0).any()),
        bool(network.hold_w.any()),
        len(network.item_keys),
    )
