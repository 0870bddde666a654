"""A released round on its way: its stops, and what was pressed at them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from frostwatch.advice.rounds import Stop
from frostwatch.errors import RecordError
from frostwatch.fleet.vehicles import Circuit
from frostwatch.told import told

NOTE_MOST = 500
"""Longest free words with a press [characters]."""


class PressKind(StrEnum):
    """What can be pressed at a stop."""

    DONE = "done"
    PART = "part"
    COULD_NOT = "could not"
    LOOKED = "looked"
    UNDO = "undo"


class Obstacle(StrEnum):
    """Why a stop could not be done."""

    NO_KEY = "no key"
    BLOCKED = "blocked in"
    STUCK = "valve stuck, left alone"
    FROZEN = "already frozen, left alone"
    OTHER = "other"


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """One press at one stop.

    Attributes:
        id: made by whoever pressed; the same one twice is one press.
        round: code of the round.
        vehicle: key of the vehicle.
        kind: what was pressed.
        by: who pressed.
        at: when, UTC; the time of arrival where the phone's clock was off.
        received_at: when it arrived, UTC.
        circuits: circuits that were emptied or dosed; all wet ones of the stop for done.
        obstacle: why not; only with could not.
        note: free words, and what was off about the phone's clock.
        undoes: id of the press taken back; only with undo.
    """

    id: str
    round: str
    vehicle: str
    kind: PressKind
    by: str
    at: datetime
    received_at: datetime
    circuits: tuple[Circuit, ...] = ()
    obstacle: Obstacle | None = None
    note: str = ""
    undoes: str = ""

    def __post_init__(self) -> None:
        where = f"press at {self.vehicle}"
        if not 8 <= len(self.id) <= 64 or not self.id.isascii():
            raise RecordError(f"{where}: its id has 8 to 64 plain letters and digits.")
        if self.kind is PressKind.COULD_NOT and self.obstacle is None:
            raise RecordError(f"{where}: say why it could not be done.")
        if self.kind is PressKind.PART and not self.circuits:
            raise RecordError(told("part_nothing"))
        if self.kind is PressKind.UNDO and not self.undoes:
            raise RecordError(f"{where}: say which press is taken back.")
        if len(self.note) > NOTE_MOST:
            raise RecordError(f"{where}: a note has at most {NOTE_MOST} characters.")


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkStop:
    """A stop of a released round; its number keeps its place on the walk.

    Attributes:
        number: from 1.
        first: belongs to the first loop.
        stop: what there is to do, as it was when it joined the round.
        added_at: when it joined later, UTC; None for a stop released with the round.
        below: it stands below the cut line: it does not fit before its hour, and is walked last.
    """

    number: int
    first: bool
    stop: Stop
    added_at: datetime | None = None
    below: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkRound:
    """A round that somebody released.

    Attributes:
        code: six digits.
        site: key of the site.
        made_at: when it was released, UTC.
        by: who released it.
        issued_at: issue of the forecast it rests on, UTC.
        act_by: hour to work to, UTC; None where no hour is known.
        minutes: work of all stops [min].
        stops: in the order they are walked.
        left: stops that were not put on the round; rounds released by now hold every stop.
        handed_back_at: when it was handed back, UTC; None while it is walked.
        was_act_by: the hour before the present one, UTC; None if it never changed.
    """

    code: str
    site: str
    made_at: datetime
    by: str
    issued_at: datetime | None
    act_by: datetime | None
    minutes: float
    stops: tuple[WalkStop, ...]
    left: tuple[Stop, ...] = ()
    handed_back_at: datetime | None = None
    was_act_by: datetime | None = None

    def stop_of(self, vehicle: str) -> WalkStop | None:
        """The stop at a vehicle; None if it is not on this round."""
        return next((stop for stop in self.stops if stop.stop.vehicle == vehicle), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class StopNow:
    """A stop and what became of it.

    Attributes:
        walk: the stop.
        press: the press that counts; None where nothing was pressed or it was taken back.
        others: presses of other people at the same stop that still count.
        too_late: it is to be left alone by now: look, touch nothing.
    """

    walk: WalkStop
    press: Press | None
    others: tuple[Press, ...] = ()
    too_late: bool = False

    @property
    def is_open(self) -> bool:
        """Nobody was there yet."""
        return self.press is None

    @property
    def disagrees(self) -> bool:
        """People pressed different things."""
        return any(p.kind is not self.press.kind for p in self.others) if self.press else False


def stops_now(
    walk: WalkRound, presses: Sequence[Press], late: Iterable[str] = ()
) -> tuple[StopNow, ...]:
    """Every stop with what became of it, in the order of the walk.

    Of two people who agree the earlier counts. A person's later press stands for their earlier one.

    Args:
        walk: the round.
        presses: what was pressed, in any order.
        late: vehicles that are to be left alone by now.
    """
    gone = {press.undoes for press in presses if press.kind is PressKind.UNDO}
    kept: dict[str, dict[str, Press]] = {}
    for press in sorted(presses, key=lambda p: (p.at, p.received_at, p.id)):
        if press.kind is not PressKind.UNDO and press.id not in gone:
            kept.setdefault(press.vehicle, {})[press.by] = press
    too_late = frozenset(late)
    found = []
    for stop in walk.stops:
        own = sorted(kept.get(stop.stop.vehicle, {}).values(), key=lambda p: (p.at, p.id))
        found.append(
            StopNow(
                walk=stop,
                press=own[0] if own else None,
                others=tuple(own[1:]),
                too_late=stop.stop.vehicle in too_late,
            )
        )
    return tuple(found)
