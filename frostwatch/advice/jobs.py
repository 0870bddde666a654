"""What there is to do at a vehicle, and how long it takes."""

from collections.abc import Sequence
from datetime import datetime

from frostwatch.fleet.people import Duty
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Wet
from frostwatch.records.entries import State
from frostwatch.records.holding import DRY_STATES
from frostwatch.records.standing_water import CircuitWater, Unsure

WASTE = frozenset({Circuit.WASTE_TANK, Circuit.OUTLET_STUB, Circuit.WASTE_PIPES, Circuit.MACERATOR})
TOILET = frozenset({Circuit.FLUSH_TANK, Circuit.FLUSH_VALVE, Circuit.CASSETTE})
PIPES = frozenset(
    {
        Circuit.COLD_PIPES,
        Circuit.HOT_PIPES,
        Circuit.SHOWER,
        Circuit.OUTSIDE_POINT,
        Circuit.FILTER,
        Circuit.PUMP,
    }
)
BIG = frozenset({Circuit.FRESH_TANK, Circuit.HEATER_TANK})
"""Tanks whose water calls for a whole drain-down."""
ALL_THROUGH = frozenset({State.FULL, State.PART_FULL, State.TRAVEL_LEVEL, State.HEATED_HOLD})

CREW_MIN: dict[Job, float] = {
    Job.DRAIN_FULLY: 18.0,
    Job.DRAIN_REST: 7.0,
    Job.OPEN_WASTE: 7.0,
    Job.OPEN_TAPS: 7.0,
    Job.FLUSH_TANK: 7.0,
    Job.DOSE_TRAPS: 7.0,
    Job.LOOK: 5.0,
}
"""Minutes of a practised crew for one vehicle of a row. Estimates of the trade."""
OWNER_MIN: dict[Job, float] = {
    Job.DRAIN_FULLY: 75.0,
    Job.DRAIN_REST: 20.0,
    Job.OPEN_WASTE: 20.0,
    Job.OPEN_TAPS: 20.0,
    Job.FLUSH_TANK: 20.0,
    Job.DOSE_TRAPS: 20.0,
    Job.LOOK: 15.0,
}
"""The same for an owner alone; a full drain takes 60 to 90. Estimates of the trade."""
OWNER_TRAVEL_LEVEL_MIN = 45.0
"""An owner's full drain where the fresh tank is at travel level already. Estimate."""
TRAVEL_LEVEL_L = 20.0
"""Common practice, no source: the quick drain leaves 20 of 120 L."""
CONTAINER_FROM_L = 20.0
CONTAINER_MIN = {True: 8.0, False: 20.0}
"""More waste than this is carried away in a container: 8 to 10 min for staff, 20 for an owner."""


def is_dry(entry: CircuitWater) -> bool:
    """Nothing in it that anybody need think of."""
    return not entry.is_wet or entry.open_end or entry.state in DRY_STATES


def still_wet(
    water: Sequence[CircuitWater], done_at: datetime | None = None
) -> tuple[CircuitWater, ...]:
    """Circuits that hold water, or may; what was wet before "done" was answered is left out."""
    return tuple(entry for entry in water if not is_dry(entry) and not _covered(entry, done_at))


def _covered(entry: CircuitWater, done_at: datetime | None) -> bool:
    """Whether "done" speaks of it; not of what nobody knows any more because that word ran out."""
    if done_at is None or entry.unsure is Unsure.RAN_OUT:
        return False
    return entry.since is None or entry.since <= done_at


def is_open(wet: Sequence[CircuitWater]) -> bool:
    """Something in it holds water that nobody dosed, or nobody knows."""
    return any(not is_dry(entry) and entry.state is not State.DOSED for entry in wet)


def all_unknown(wet: Sequence[CircuitWater]) -> bool:
    """Nobody can say of any circuit what is in it; a dose that is known elsewhere says nothing."""
    undosed = [entry for entry in wet if entry.state is not State.DOSED]
    return bool(undosed) and all(entry.state is State.UNKNOWN for entry in undosed)


def job_of(wet: Sequence[CircuitWater]) -> Job:
    """The one job that covers what is still wet."""
    if all_unknown(wet):
        return Job.LOOK
    circuits = {entry.circuit for entry in wet}
    if any(entry.circuit in BIG and entry.state in ALL_THROUGH for entry in wet):
        return Job.DRAIN_FULLY
    for job, covered in (
        (Job.OPEN_WASTE, WASTE),
        (Job.DOSE_TRAPS, frozenset({Circuit.TRAPS})),
        (Job.FLUSH_TANK, TOILET),
        (Job.OPEN_TAPS, PIPES),
    ):
        if circuits <= covered:
            return job
    return Job.DRAIN_REST


def minutes_of(wet: Sequence[CircuitWater], duty: Duty) -> float:
    """Work at one vehicle [min]."""
    job = job_of(wet)
    staff = duty is not Duty.OWNER
    litres = {entry.circuit: entry.litres_cost_l for entry in wet}
    minutes = CREW_MIN[job] if staff else OWNER_MIN[job]
    low = litres.get(Circuit.FRESH_TANK, 0.0) <= TRAVEL_LEVEL_L
    if job is Job.DRAIN_FULLY and not staff and low:
        minutes = OWNER_TRAVEL_LEVEL_MIN
    if job not in (Job.LOOK, Job.DRAIN_FULLY) and _tank_unknown(wet):
        # what the job is called by is known, a tank is not: it has to be looked at first
        minutes += CREW_MIN[Job.LOOK] if staff else OWNER_MIN[Job.LOOK]
    if job is not Job.LOOK and litres.get(Circuit.WASTE_TANK, 0.0) >= CONTAINER_FROM_L:
        minutes += CONTAINER_MIN[staff]
    return minutes


def owner_minutes(job: Job, wet: Sequence[Wet]) -> float:
    """The same for an owner, from what a message tells of the water [min]."""
    litres = {entry.circuit: entry.litres for entry in wet}
    fresh = litres.get(Circuit.FRESH_TANK, 0.0)
    minutes = OWNER_MIN[job]
    if job is Job.DRAIN_FULLY and fresh is not None and fresh <= TRAVEL_LEVEL_L:
        minutes = OWNER_TRAVEL_LEVEL_MIN
    if job is not Job.LOOK and (litres.get(Circuit.WASTE_TANK) or 0.0) >= CONTAINER_FROM_L:
        minutes += CONTAINER_MIN[False]
    return minutes


def _tank_unknown(wet: Sequence[CircuitWater]) -> bool:
    return any(entry.circuit in BIG and entry.state is State.UNKNOWN for entry in wet)


def told_wet(wet: Sequence[CircuitWater]) -> tuple[Wet, ...]:
    """What still holds water, as facts of a message."""
    return tuple(
        Wet(
            circuit=entry.circuit,
            litres=None if entry.state is State.UNKNOWN else entry.litres_cost_l,
        )
        for entry in wet
    )
