"""What got wet again: demonstrations, test fills, part-exchanges; until somebody saw it drained."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.advice.jobs import is_open, minutes_of
from frostwatch.fleet.people import Duty
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.events import Effect, effect_of
from frostwatch.records.standing_water import CircuitWater

LOOK_MIN = 3.0
"""A look at valve, taps and tag. Estimate of the trade."""
MADE_READY = timedelta(hours=12)
"""A vehicle is made ready within so long before its hour. Estimate."""
STILL_ASKED = timedelta(days=30)
"""So long after a handover somebody is still asked how it went. Estimate."""
MEANT_TO_BE_WET = frozenset({State.OPEN_RUNNING, State.HEATED_HOLD})


@dataclass(frozen=True, slots=True, kw_only=True)
class WetAgain:
    """One vehicle of the evening's list.

    Attributes:
        vehicle: key of the vehicle.
        event: what made it wet, a word of the record; "" where it is wet without one.
        at: when that was, UTC; None where nobody recorded anything.
        by: who recorded it, "".
        unknown: nobody knows what is in it: a look comes first.
        told_only: somebody said it is drained, and nobody has seen it.
        minutes: the work [min].
        may_wait_for: hour of its own handover, UTC, before which it may stay as it is; None.
        passed: hour of its handover, UTC, that is over and of which nobody said anything; None.
    """

    vehicle: str
    event: str
    at: datetime | None
    by: str
    unknown: bool
    told_only: bool
    minutes: float
    may_wait_for: datetime | None
    passed: datetime | None = None


def wet_again(
    vans: Sequence[tuple[Vehicle, Sequence[CircuitWater], Sequence[Entry]]], now: datetime
) -> tuple[WetAgain, ...]:
    """Vehicles that must go back to drained, those re-wetted last first.

    One that was only told to be drained after a re-wetting stays on the list until it was seen.

    Args:
        vans: vehicle, its water, its entries in the order they arrived.
        now: aware UTC time.
    """
    found = []
    for vehicle, water, entries in vans:
        event = last_wetting(entries)
        told = _told_only(water, event)
        if vehicle.hold is not None or any(e.state in MEANT_TO_BE_WET for e in water):
            continue
        if not is_open(water) and not told and _passed(vehicle, entries, now) is None:
            continue
        wet = [entry for entry in water if entry.is_wet and entry.state is not State.DOSED]
        found.append(
            wet_row(
                vehicle,
                entries,
                now,
                unknown=all(entry.state is State.UNKNOWN for entry in wet) and bool(wet),
                told_only=told,
                minutes=minutes_of(tuple(wet), Duty.CREW) if wet else LOOK_MIN,
            )
        )
    return last_first(found)


def wet_row(
    vehicle: Vehicle,
    entries: Sequence[Entry],
    now: datetime,
    *,
    unknown: bool,
    told_only: bool,
    minutes: float,
) -> WetAgain:
    """One vehicle of the list, where it is known already how it stands."""
    event, handover = (last_doubt if unknown else last_wetting)(entries), vehicle.handover
    return WetAgain(
        vehicle=vehicle.key,
        event=event.event if event is not None else "",
        at=event.at if event is not None else None,
        by=event.by if event is not None else "",
        unknown=unknown,
        told_only=told_only,
        minutes=minutes,
        may_wait_for=handover.at if handover and handover.at > now else None,
        passed=_passed(vehicle, entries, now),
    )


def last_first(found: Iterable[WetAgain]) -> tuple[WetAgain, ...]:
    """Those re-wetted last first."""
    return tuple(
        sorted(found, key=lambda one: (-(one.at.timestamp() if one.at else 0.0), one.vehicle))
    )


def last_wetting(entries: Sequence[Entry]) -> Entry | None:
    """What made it wet last, or left nobody knowing."""
    return next((e for e in reversed(entries) if effect_of(e.event) is Effect.REWETS), None)


def last_doubt(entries: Sequence[Entry]) -> Entry | None:
    """What left nobody knowing: it was re-wetted, or moved since it was drained."""
    doubts = (Effect.REWETS, Effect.MOVES)
    return next((e for e in reversed(entries) if effect_of(e.event) in doubts), None)


def _passed(vehicle: Vehicle, entries: Sequence[Entry], now: datetime) -> datetime | None:
    """The hour of a handover that is over, and since which nobody said what is in it."""
    at = vehicle.handover.at if vehicle.handover is not None else None
    if at is None or not at <= now < at + STILL_ASKED:
        return None
    said = any(
        entry.at >= at - MADE_READY and entry.evidence is not Evidence.PREDICTED
        for entry in entries
    )
    return None if said else at


def _told_only(water: Sequence[CircuitWater], event: Entry | None) -> bool:
    """It was re-wetted, and what is said of it since nobody saw."""
    if event is None:
        return False
    after = [e for e in water if e.since is not None and e.since > event.at]
    return bool(after) and any(
        e.evidence is Evidence.ASSERTED and e.state is State.DRAINED for e in after
    )
