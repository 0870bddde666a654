"""Use cases of a round that is walked: release it, press at a stop, hand it back.

Whoever calls decides who may.
"""

import secrets
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from frostwatch.advice.board import Board
from frostwatch.advice.release import joined, release
from frostwatch.advice.rounds import Stop
from frostwatch.advice.walk import (
    NOTE_MOST,
    Obstacle,
    Press,
    PressKind,
    WalkRound,
    stops_now,
)
from frostwatch.advice.walk_entries import at_arrival, entries_of, settled, taken_back
from frostwatch.errors import LedgerError, RecordError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.vehicles import Circuit, Vehicle
from frostwatch.ports.pages import Rounds
from frostwatch.records.entries import Entry
from frostwatch.told import told

TRIES = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressed:
    """A press as it arrives.

    Attributes:
        id: made by whoever pressed.
        vehicle: key of the vehicle.
        kind: what was pressed.
        at: when, by the device's clock, UTC.
        sent_at: when it was sent, by the same clock, UTC.
        circuits: circuits that were emptied or dosed.
        obstacle: why it could not be done.
        note: free words.
        undoes: id of the press taken back.
    """

    id: str
    vehicle: str
    kind: PressKind
    at: datetime
    sent_at: datetime
    circuits: tuple[Circuit, ...] = ()
    obstacle: Obstacle | None = None
    note: str = ""
    undoes: str = ""


def release_round(
    rounds: Rounds,
    board: Board,
    stops: Sequence[Stop],
    *,
    by: str,
    now: datetime,
    crew: int | None = None,
) -> WalkRound:
    """Make a round to be walked, under a code nobody else has.

    Raises:
        LedgerError: it cannot be kept.
    """
    for _ in range(TRIES):
        code = f"{secrets.randbelow(900_000) + 100_000}"
        walk = release(board, stops, code=code, by=by, now=now, crew=crew)
        if rounds.add_round(walk):
            return walk
    raise LedgerError(told("no_code"))


def go_on(rounds: Rounds, walk: WalkRound, board: Board | None, now: datetime) -> WalkRound:
    """The round under the newest board: stops that joined since are kept with it."""
    if board is None or walk.handed_back_at is not None or board.at <= walk.made_at:
        return walk
    presses = rounds.presses(walk.code)
    if joined(walk, board, presses, now) is walk:
        return walk
    newer = rounds.change_round(walk.code, lambda there: joined(there, board, presses, now))
    return newer or walk


def take_press(
    rounds: Rounds, walk: WalkRound, pressed: Pressed, vehicle: Vehicle, *, by: str, now: datetime
) -> bool:
    """Keep a press and what it records; the same press twice is kept once.

    Args:
        rounds: where rounds are kept.
        walk: the round.
        pressed: what arrived.
        vehicle: the vehicle it is about.
        by: who pressed.
        now: moment of arrival, UTC.

    Returns:
        Whether it was new.

    Raises:
        RecordError: it does not hold together, or the vehicle is not on this round.
    """
    stop = walk.stop_of(pressed.vehicle)
    if stop is None:
        raise RecordError(told("not_on_round", vehicle=pressed.vehicle, code=walk.code))
    at, clock = at_arrival(pressed.at, pressed.sent_at, now)
    press = Press(
        id=pressed.id,
        round=walk.code,
        vehicle=pressed.vehicle,
        kind=pressed.kind,
        by=by,
        at=at,
        received_at=now,
        circuits=pressed.circuits,
        obstacle=pressed.obstacle,
        note="; ".join(part for part in (pressed.note.strip(), clock) if part)[:NOTE_MOST],
        undoes=pressed.undoes,
    )
    layout = layout_of(vehicle)
    if press.kind is not PressKind.UNDO:
        return rounds.add_press(press, entries_of(press, stop.stop, layout))
    earlier = next((p for p in rounds.presses(walk.code) if p.id == press.undoes), None)
    if earlier is None or earlier.vehicle != press.vehicle or earlier.kind is PressKind.UNDO:
        raise RecordError(told("never_recorded", vehicle=press.vehicle))
    undone: tuple[Entry, ...] = taken_back(press, entries_of(earlier, stop.stop, layout))
    return rounds.add_press(press, undone)


def settle(
    rounds: Rounds,
    walk: WalkRound,
    presses: Sequence[Press],
    vehicle: Vehicle,
    *,
    emptied: bool,
    by: str,
    now: datetime,
) -> None:
    """Say which of two people's records of one stop is so; both stay in the record.

    Args:
        rounds: where rounds are kept.
        walk: the round.
        presses: what was pressed on it.
        vehicle: the vehicle.
        emptied: whoever emptied it is right.
        by: who settles it.
        now: moment, UTC.

    Raises:
        RecordError: there are no two records about it.
    """
    stop = next((s for s in stops_now(walk, presses) if s.walk.stop.vehicle == vehicle.key), None)
    if stop is None or not stop.disagrees or stop.press is None:
        raise RecordError(told("no_two", vehicle=vehicle.key))
    circuits = {wet.circuit: None for wet in stop.walk.stop.wet}
    entries = settled(vehicle.key, circuits, emptied=emptied, by=by, now=now)
    own = (PressKind.DONE,) if emptied else (PressKind.COULD_NOT, PressKind.LOOKED, PressKind.PART)
    both = (stop.press, *stop.others)
    for press in both:
        if press.kind not in own:
            undo = Press(
                id=f"settled-{press.id}"[:64],
                round=walk.code,
                vehicle=vehicle.key,
                kind=PressKind.UNDO,
                by=by,
                at=now,
                received_at=now,
                undoes=press.id,
            )
            rounds.add_press(undo, entries)
            entries = ()


def hand_back(rounds: Rounds, walk: WalkRound, now: datetime) -> WalkRound:
    """The round is over; what is still open stays open on the lists."""
    if walk.handed_back_at is not None:
        return walk
    over = rounds.change_round(walk.code, lambda there: replace(there, handed_back_at=now))
    return over or walk
