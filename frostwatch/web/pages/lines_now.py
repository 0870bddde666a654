"""One vehicle as it stands this minute, and how far the forecast under it can be leaned on."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from frostwatch.advice.board import Board, Standing
from frostwatch.advice.by_handbook import wants_dose, wants_mesh
from frostwatch.advice.jobs import all_unknown, is_open, job_of, minutes_of, still_wet, told_wet
from frostwatch.advice.marks import marks_of
from frostwatch.advice.passing import Passing, passing_when_dry
from frostwatch.advice.record import newest_record, weakest_record
from frostwatch.advice.rounds import Stop
from frostwatch.advice.walk import Press
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.people import Duty
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.wording.draft import Job, Level
from frostwatch.ports.pages import Yard
from frostwatch.records.standing_water import CircuitWater, water_of
from frostwatch.told import told_by
from frostwatch.weather.forecast import FRESH_H, OLDEST_H


class Sky(StrEnum):
    """How far the forecast can be leaned on this minute."""

    FRESH = "fresh"
    OLDER = "older"
    NONE = "none"
    NOT_READ = "not read yet"


UNREAD = (Sky.NONE, Sky.NOT_READ)
"""Without a forecast nobody can say that nothing freezes, and no hour is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One vehicle on a list.

    Attributes:
        vehicle: as it is entered now.
        standing: how it stands.
        stop: what there is to do; None where nobody need go.
        press: what was pressed at it on the round that is walked; None for nothing.
        recorded: something was recorded since the pass, so its hours are not worked out yet.
        broken: why it cannot be reckoned with, "" if it can.
    """

    vehicle: Vehicle
    standing: Standing
    stop: Stop | None
    press: Press | None = None
    recorded: bool = False
    broken: str = ""

    @property
    def name(self) -> str:
        """What people call it."""
        return self.vehicle.name or self.vehicle.bay or self.vehicle.key

    @property
    def is_unlooked(self) -> bool:
        """Nobody recorded it, and no pass looked at it since it was entered."""
        return self.recorded and self.standing.record is None

    @property
    def is_late(self) -> bool:
        """It is to be left alone."""
        return self.standing.level is Level.TOO_LATE


def sky_of(board: Board | None, now: datetime) -> Sky:
    """How far a board's forecast can be leaned on by now; it ages between passes too."""
    if board is None:
        return Sky.NOT_READ
    if board.air is None:
        return Sky.NONE
    issued = board.basis.issued_at or board.at
    age_h = (now - issued) / timedelta(hours=1)
    if age_h > OLDEST_H or now >= board.air.end:
        return Sky.NONE
    return Sky.OLDER if age_h > FRESH_H or board.basis.standing.colder_k > 0.0 else Sky.FRESH


def line_of(
    yard: Yard, vehicle: Vehicle, standing: Standing | None, place: int, now: datetime
) -> Line:
    """A vehicle as it stands this minute.

    Args:
        yard: its site as it was read.
        vehicle: as it is entered now.
        standing: how it stood at the last pass; None where no pass looked at it yet.
        place: its place in walking order, from 0.
        now: the minute, UTC.
    """
    entries = yard.fresh.get(vehicle.key)
    if standing is not None and entries is None:
        stop = standing.stop
        if stop is not None and standing.likely is not None and stop.likely is None:
            stop = replace(stop, likely=standing.likely)
        if stop is not None and stop.earliest is None:
            stop = replace(stop, earliest=standing.earliest)
        named = replace(stop, bay=_name(vehicle)) if stop is not None else None
        return Line(vehicle=vehicle, standing=standing, stop=named)
    try:
        return _recorded(yard, vehicle, standing, place, now)
    except FrostwatchError as fault:
        nothing = Standing(
            vehicle=vehicle.key,
            place=place,
            level=Level.NONE,
            work=None,
            passing=Passing.LITTLE,
            marks=(),
            record=None,
            unknown=True,
        )
        return Line(vehicle=vehicle, standing=nothing, stop=None, broken=told_by(fault))


def _recorded(
    yard: Yard, vehicle: Vehicle, before: Standing | None, place: int, now: datetime
) -> Line:
    """A vehicle that the board does not know, or about which something was recorded since."""
    layout = layout_of(vehicle)
    entries = yard.fresh.get(vehicle.key, ())
    water = water_of(vehicle, layout, entries, now, south=yard.site.is_south)
    wet = still_wet(water)
    work = _work(vehicle, wet, before, place) if is_open(wet) else None
    passing = None if work is not None else passing_when_dry(water)
    if work is not None and before is not None:
        # what was left to others, or to itself, still is
        passing = before.passing if before.passing in _STAYS else None
    standing = Standing(
        vehicle=vehicle.key,
        place=place,
        level=before.level if before is not None and work is not None else Level.NONE,
        work=work,
        passing=passing,
        marks=marks_of(water, layout),
        record=newest_record(water),
        rests_on=weakest_record(water),
        unknown=all_unknown(wet),
        owner=before.owner if before is not None else "",
        answer=before.answer if before is not None else None,
        valve_at=before.valve_at if before is not None and work is not None else None,
        began_at=before.began_at if before is not None and work is not None else None,
    )
    return Line(vehicle=vehicle, standing=standing, stop=standing.stop, recorded=True)


_STAYS = (Passing.OWNER, Passing.FROZEN, Passing.THAWED)


def _work(
    vehicle: Vehicle, wet: Sequence[CircuitWater], before: Standing | None, place: int
) -> Stop:
    known = before.work if before is not None else None
    stop = Stop(
        vehicle=vehicle.key,
        bay=_name(vehicle),
        place=place,
        job=job_of(wet),
        minutes=minutes_of(wet, Duty.CREW),
        level=Level.NONE,
        wet=told_wet(wet),
        keys=bool(vehicle.key_place),
        held_w=vehicle.hold.power_w if vehicle.hold else 0.0,
        mesh=wants_mesh(vehicle),
        dose=wants_dose(vehicle),
    )
    if known is None:
        return stop
    return replace(
        stop,
        act_by=known.act_by,
        earliest=known.earliest,
        likely=known.likely,
        level=known.level,
        cost=known.cost,
        breaks=tuple(c for c in known.breaks if c in {entry.circuit for entry in wet}),
    )


def under(sky: Sky, line: Line) -> Line:
    """A line as it may be told: without a forecast all that is wet is a stop without an hour."""
    if sky not in UNREAD:
        return line
    standing = line.standing
    work = line.stop or standing.work
    if work is None:
        return line
    left = standing.passing is Passing.OWNER
    if standing.passing in _STAYS and not left:
        # nobody can say whether it is still frozen: look, before anything is touched
        work = replace(work, job=Job.LOOK)
    bare = replace(work, act_by=None, earliest=None, likely=None, level=Level.NONE, breaks=())
    calm = replace(
        standing,
        level=Level.NONE,
        passing=Passing.OWNER if left else None,
        work=bare,
        earliest=None,
        likely=None,
        valve_at=None,
    )
    return replace(line, stop=None if left else bare, standing=calm)


def _name(vehicle: Vehicle) -> str:
    return vehicle.name or vehicle.bay or vehicle.key
