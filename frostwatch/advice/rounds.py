"""The crew's round: which stops, in which order, what fits, what to take.

Deadline and cost are two columns and are never merged into a score. At most five stops come first,
by time and then by cost; the rest is walking order. Where the work does not fit before its
deadlines, the stops that are done are chosen so that what is left undone costs least.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Level, Take, Wet

FIRST_STOPS = 5
SETTING_OUT_MIN = 30.0
"""Keys and grit, once a round. Estimate of the trade."""
SETTING_OUT_STOP_MIN = 3.0
"""The same for a round of few stops, each [min]. Estimate."""
CONTAINER_L = 40.0
DOSE_PER_TRAP_L = 0.5
"""0.5 L of 50 % on 0.3 L left in a trap makes 31 %, good to -13 degC. Computed."""
TRAPS_EACH = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One vehicle of a round.

    Attributes:
        vehicle: key of the vehicle.
        bay: bay name.
        place: its place in walking order, counted from the gate.
        job: what there is to do.
        minutes: how long it takes one practised person [min].
        act_by: hour to work to, UTC; None where nothing is due.
        earliest: earliest harm, UTC.
        likely: likely harm, UTC.
        level: how things stand.
        cost: how dear what could split is, relative; 0 where little is likely to.
        breaks: circuits that could split, dearest first.
        wet: what still holds water.
        keys: a key hangs for it.
        held_w: heat kept on in it [W]; 0 for none.
        mesh: a mesh belongs before its waste outlet; not where its handbook wants the valve shut.
        dose: antifreeze goes into its traps; not where its handbook forbids it.
    """

    vehicle: str
    bay: str
    place: int
    job: Job
    minutes: float
    act_by: datetime | None = None
    earliest: datetime | None = None
    likely: datetime | None = None
    level: Level = Level.NOTICE
    cost: float = 0.0
    breaks: tuple[Circuit, ...] = ()
    wet: tuple[Wet, ...] = ()
    keys: bool = True
    held_w: float = 0.0
    mesh: bool = True
    dose: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A round for a crew.

    Attributes:
        starts: when they set out, UTC.
        act_by: the earliest act-by hour among its stops, UTC; None without one.
        crew: people who walk it.
        first: the first loop, in the order it is walked.
        rest: the other stops that fit, in walking order.
        left: stops below the cut line, dearest first.
        minutes: work of all stops [min].
        ready_at: when the crew is through with what fits, UTC.
        take: what to take along.
    """

    starts: datetime
    act_by: datetime | None
    crew: int
    first: tuple[Stop, ...]
    rest: tuple[Stop, ...]
    left: tuple[Stop, ...]
    minutes: float
    ready_at: datetime
    take: tuple[tuple[Take, float], ...]

    @property
    def stops(self) -> tuple[Stop, ...]:
        """All stops that fit, in the order they are walked."""
        return (*self.first, *self.rest)

    @property
    def fits(self) -> bool:
        """All the work fits before its deadlines."""
        return not self.left

    @property
    def crew_h(self) -> float:
        """Work of all stops, in crew-hours [h]."""
        return self.minutes / 60.0


def round_for(stops: Sequence[Stop], *, starts: datetime, crew: int) -> Round:
    """Make a round of these stops.

    Args:
        stops: vehicles to visit, any order.
        starts: when the crew begins, UTC.
        crew: people who walk at once; two halve the time, which holds as they share the rows.
    """
    people = max(1, crew)
    walk = sorted(stops, key=lambda stop: (stop.place, stop.vehicle))
    kept = set(most_in_time(walk, starts=starts, crew=people))
    done = [stop for n, stop in enumerate(walk) if n in kept]
    left = [stop for n, stop in enumerate(walk) if n not in kept]
    first = _first_loop(done)
    rest = tuple(stop for stop in done if stop not in first)
    work_min = sum(stop.minutes for stop in done)
    return Round(
        starts=starts,
        act_by=min((s.act_by for s in walk if s.act_by), default=None),
        crew=people,
        first=first,
        rest=rest,
        left=tuple(sorted(left, key=lambda s: (-s.cost, s.act_by or starts, s.place))),
        minutes=sum(stop.minutes for stop in walk),
        ready_at=starts + timedelta(minutes=setting_out_min(len(walk)) + work_min / people),
        take=take_for(walk),
    )


def _first_loop(stops: Sequence[Stop]) -> tuple[Stop, ...]:
    """At most five: those due soonest, the dearest of them, walked from the gate."""
    dear = [stop for stop in stops if stop.act_by is not None and stop.cost > 0.0]
    whole = [stop for stop in dear if stop.job is Job.DRAIN_FULLY] or dear
    whole.sort(key=lambda stop: (_deadline(stop), -stop.cost, stop.place))
    chosen = whole[:FIRST_STOPS]
    return tuple(sorted(chosen, key=lambda stop: (_deadline(stop), stop.place)))


def most_in_time(stops: Sequence[Stop], *, starts: datetime, crew: int) -> tuple[int, ...]:
    """Indices of the stops to be done so that the least cost is left undone; exact.

    Weighted number of late jobs on one machine: in order of deadline, the least weight that is late
    for every total of minutes worked (Lawler and Moore 1969, Management Science 16, 77). A crew of
    several counts as one that is several times as fast. Work counts in half minutes of one person,
    so the table stays small; 500 stops are exact.

    Args:
        stops: the stops.
        starts: when the crew begins, UTC.
        crew: people who walk at once.
    """
    due = [deadline_of(stop, starts) for stop in stops]
    last = [hour.timestamp() if hour is not None else math.inf for hour in due]
    order = sorted(range(len(stops)), key=lambda n: (last[n], n))
    begins = starts + timedelta(minutes=setting_out_min(len(stops)))
    lengths = [max(1, math.ceil(2.0 * stops[n].minutes)) for n in order]
    total = sum(lengths)
    limits = [_room(due[n], begins, crew, total) for n in order]
    weights = [_weight(stops[n]) for n in order]
    late = np.full(total + 1, np.inf)
    late[0] = 0.0
    done = np.zeros((len(order), total + 1), dtype=bool)
    for k, (length, limit, weight) in enumerate(zip(lengths, limits, weights, strict=True)):
        skipped = late + weight
        if length <= limit:
            taken = np.full(total + 1, np.inf)
            taken[length : limit + 1] = late[: limit + 1 - length]
            done[k] = taken < skipped
            late = np.minimum(taken, skipped)
        else:
            late = skipped
    return tuple(sorted(order[k] for k in _walk_back(done, lengths, int(np.argmin(late)))))


def _walk_back(done: np.ndarray, lengths: Sequence[int], at: int) -> list[int]:
    kept = []
    for k in range(len(lengths) - 1, -1, -1):
        if done[k, at]:
            kept.append(k)
            at -= lengths[k]
    return kept


def deadline_of(stop: Stop, starts: datetime) -> datetime | None:
    """The hour a stop is to be done by, as far as a crew that starts then can meet it.

    Where the hour that was told has come by, the earliest harm; where that has come by too, None:
    whoever goes there looks first, and no plan can leave it out for being late.
    """
    hours = (stop.act_by, stop.earliest if stop.act_by is not None else None)
    return next((hour for hour in hours if hour is not None and hour > starts), None)


def _deadline(stop: Stop) -> float:
    return stop.act_by.timestamp() if stop.act_by is not None else math.inf


def _weight(stop: Stop) -> float:
    """What leaving it out costs; every stop is worth something, so none is left for nothing."""
    return stop.cost + 1.0


def setting_out_min(stops: int) -> float:
    """Time before the first stop of a round [min]."""
    return min(SETTING_OUT_MIN, SETTING_OUT_STOP_MIN * stops)


def _room(due: datetime | None, starts: datetime, crew: int, total: int) -> int:
    """Half minutes of one person's work from ``starts`` until a stop must be done."""
    if due is None:
        return total
    minutes = (due - starts) / timedelta(minutes=1)
    return min(total, max(0, math.floor(2.0 * minutes * crew)))


def shares(stops: Sequence[Stop], crew: int) -> tuple[tuple[Stop, ...], ...]:
    """The walk cut into one stretch for each person, the work of each about equal.

    Args:
        stops: stops in the order they are walked.
        crew: people who walk at once.
    """
    people = max(1, crew)
    total = sum(stop.minutes for stop in stops)
    parts: list[list[Stop]] = [[] for _ in range(people)]
    before = 0.0
    for stop in stops:
        middle = before + stop.minutes / 2.0
        part = min(people - 1, int(people * middle / total)) if total else 0
        parts[part].append(stop)
        before += stop.minutes
    return tuple(tuple(part) for part in parts)


def take_for(stops: Sequence[Stop]) -> tuple[tuple[Take, float], ...]:
    """What to take along: keys, containers, dose, mesh, grit, tags."""
    waste_l = max((_litres(s, Circuit.WASTE_TANK) for s in stops), default=0.0)
    traps = sum(s.dose and s.job in (Job.DRAIN_FULLY, Job.DOSE_TRAPS) for s in stops)
    outlets = sum(s.mesh and any(w.circuit is Circuit.WASTE_TANK for w in s.wet) for s in stops)
    drains = [s for s in stops if s.job is not Job.LOOK]
    found = (
        (Take.KEYS, float(sum(s.keys for s in stops))),
        (Take.CONTAINERS, float(math.ceil(waste_l / CONTAINER_L))),
        (Take.DOSE, math.ceil(2.0 * traps * TRAPS_EACH * DOSE_PER_TRAP_L) / 2.0),
        (Take.MESH, float(outlets)),
        (Take.GRIT, float(bool(drains))),
        (Take.TAGS, float(len(drains))),
    )
    return tuple((what, amount) for what, amount in found if amount > 0.0)


def _litres(stop: Stop, circuit: Circuit) -> float:
    return sum(w.litres or 0.0 for w in stop.wet if w.circuit is circuit)
