"""What a vehicle's own handbook changes about a job: said beside it, and taken into account."""

from collections.abc import Sequence

from frostwatch.fleet.handbook import HandbookLine, Rule, practice_of
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.wording.draft import Job

DRAINS = frozenset({Job.DRAIN_FULLY, Job.DRAIN_REST})
OF_JOBS: dict[Rule, frozenset[Job]] = {
    Rule.WASTE_VALVE: DRAINS | {Job.OPEN_WASTE},
    Rule.PUMP_ORDER: DRAINS | {Job.OPEN_TAPS},
    Rule.PUMP_RUN: DRAINS | {Job.OPEN_TAPS},
    Rule.ANTIFREEZE: DRAINS | {Job.DOSE_TRAPS},
    Rule.SALT: DRAINS | {Job.OPEN_WASTE},
    Rule.CONTAINER: frozenset(),
    Rule.AIR: DRAINS | {Job.OPEN_TAPS},
}
"""The jobs in which a rule is used; the container belongs to vehicles in use."""


def minded_at(job: Job, handbook: Sequence[HandbookLine]) -> tuple[HandbookLine, ...]:
    """What is to be minded at a job because the handbook says otherwise than the trade does."""
    if not handbook:
        return ()
    return tuple(line for line in practice_of(handbook).lines if job in OF_JOBS[line.rule])


def wants_mesh(vehicle: Vehicle) -> bool:
    """Its waste valve stays open over winter, so that a mesh belongs before the outlet."""
    return not vehicle.handbook or vehicle.practice.waste_open


def wants_dose(vehicle: Vehicle) -> bool:
    """Antifreeze goes into its traps."""
    return not vehicle.handbook or vehicle.practice.doses_traps
