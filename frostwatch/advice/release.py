"""Releasing a round to be walked, and carrying it on while the forecast changes."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from frostwatch.advice.board import Board, Standing
from frostwatch.advice.rounds import Stop, round_for
from frostwatch.advice.walk import Press, WalkRound, WalkStop
from frostwatch.messages.wording.draft import Job, Level


def release(
    board: Board,
    stops: Sequence[Stop],
    *,
    code: str,
    by: str,
    now: datetime,
    crew: int | None = None,
) -> WalkRound:
    """Make a round to be walked: what fits, and behind it what does not, dearest first.

    Nothing that is wet and at risk is left off it: whoever is through sooner goes on.

    Args:
        board: how the site's vehicles stood at the last pass.
        stops: what there is to do by now.
        code: six digits nobody else has.
        by: who releases it.
        now: moment, UTC.
        crew: people who walk at once; the site's own number if None.
    """
    walk = round_for(stops, starts=starts_at(board, now), crew=crew or board.crew)
    numbered = [
        WalkStop(number=n, first=n <= len(walk.first), stop=stop, below=n > len(walk.stops))
        for n, stop in enumerate((*walk.stops, *walk.left), start=1)
    ]
    return WalkRound(
        code=code,
        site=board.site,
        made_at=now,
        by=by,
        issued_at=board.basis.issued_at,
        act_by=hour_to_work_to(stops, now),
        minutes=walk.minutes,
        stops=tuple(numbered),
    )


def hour_to_work_to(stops: Iterable[Stop], now: datetime) -> datetime | None:
    """The earliest act-by hour still to come; where all have come by, the earliest of them."""
    hours = [stop.act_by for stop in stops if stop.act_by is not None]
    return min((hour for hour in hours if hour > now), default=min(hours, default=None))


def starts_at(board: Board, now: datetime) -> datetime:
    """When a crew can begin: now, or at the start of its next slot."""
    slot = next((slot for slot in board.slots if slot.end > now), None)
    return max(now, slot.start) if slot is not None else now


def joined(walk: WalkRound, board: Board, presses: Sequence[Press], now: datetime) -> WalkRound:
    """The round as it goes on under a newer board: new stops join its end, done ones stay.

    A stop that nobody needs any more stays where it is as long as it was walked; otherwise it is
    left for the walker to see, since somebody was sent there.

    Args:
        walk: the round as released.
        board: how the vehicles stand now.
        presses: what was pressed so far.
        now: moment, UTC.
    """
    known = {stop.stop.vehicle for stop in walk.stops} | {stop.vehicle for stop in walk.left}
    fresh = [s.stop for s in board.vehicles if s.stop is not None and s.vehicle not in known]
    fresh = [stop for stop in fresh if stop.level is not Level.NONE or stop.job is not Job.LOOK]
    count = len(walk.stops)
    added = tuple(
        WalkStop(number=count + n, first=False, stop=stop, added_at=now)
        for n, stop in enumerate(fresh, start=1)
    )
    pressed = {press.vehicle for press in presses}
    act_by = min(
        (
            s.stop.act_by
            for s in board.vehicles
            if s.stop is not None and s.stop.act_by is not None and s.vehicle not in pressed
        ),
        default=walk.act_by,
    )
    return _with(walk, added, act_by)


def _with(walk: WalkRound, added: tuple[WalkStop, ...], act_by: datetime | None) -> WalkRound:
    earlier = act_by is not None and (walk.act_by is None or act_by < walk.act_by)
    if not added and not earlier:
        return walk
    return replace(
        walk,
        act_by=act_by if earlier else walk.act_by,
        minutes=walk.minutes + sum(stop.stop.minutes for stop in added),
        stops=(*walk.stops, *added),
        was_act_by=walk.act_by if earlier else walk.was_act_by,
    )


def late_vehicles(standings: Iterable[Standing]) -> frozenset[str]:
    """Vehicles that are to be left alone."""
    return frozenset(s.vehicle for s in standings if s.level is Level.TOO_LATE)
