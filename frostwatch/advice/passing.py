"""Why a round walks past a vehicle."""

from collections.abc import Sequence
from enum import StrEnum

from frostwatch.advice.desk import Stand
from frostwatch.advice.jobs import is_open
from frostwatch.advice.reminders import AnswerKind
from frostwatch.messages.wording.draft import Level
from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater


class Passing(StrEnum):
    """Why nobody need stop at a vehicle."""

    DRAINED = "drained"
    DOSED = "dosed"
    IN_USE = "in use"
    HELD = "heated"
    LITTLE = "wet, and no frost in sight that could harm it"
    OWNER = "its owner sees to it"
    CANNOT = "cannot be done"
    FROZEN = "leave alone"
    THAWED = "look after the frost"


def passing_of(stand: Stand, level: Level, *, kept: bool) -> Passing:
    """The reason, where nobody need go; ``kept``: its owner sees to it."""
    if level is Level.TOO_LATE:
        return Passing.FROZEN
    if level is Level.THAW:
        return Passing.THAWED
    if is_open(stand.wet):
        if kept:
            return Passing.OWNER
        answered = stand.answer is not None and stand.answer.kind is AnswerKind.CANNOT
        return Passing.CANNOT if answered else Passing.LITTLE
    return passing_when_dry(stand.van.water)


def passing_when_dry(water: Sequence[CircuitWater]) -> Passing:
    """Why nobody need stop at a vehicle that holds nothing frost could harm."""
    states = {entry.state for entry in water}
    for state, passing in (
        (State.HEATED_HOLD, Passing.HELD),
        (State.OPEN_RUNNING, Passing.IN_USE),
        (State.DOSED, Passing.DOSED),
    ):
        if state in states:
            return passing
    return Passing.DRAINED
