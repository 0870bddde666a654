"""What somebody read in a vehicle's handbook, or measured on it: entered, taken out, recorded.

The vehicle carries what holds now; the record says for good who entered it and when.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from frostwatch.fleet.handbook import HandbookLine, OwnSource, Rule, with_line, without_rule
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.records.entries import Entry
from frostwatch.service.fleet_changes import noted

HANDBOOK = "handbook"
FIGURE = "own figure"
DEFAULT = "default"
"""Said of a rule or a figure for which the trade's or the layout's word holds again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """One thing entered about a vehicle.

    Attributes:
        change: makes the vehicle as it is from then on; raises FleetError where that cannot be.
        entry: what goes on record.
    """

    change: Callable[[Vehicle], Vehicle]
    entry: Entry


def line_entered(vehicle: Vehicle, line: HandbookLine, *, by: str, now: datetime) -> Entered:
    """What the handbook says about a rule.

    Args:
        vehicle: whose handbook it is.
        line: what it says; who and when are filled in.
        by: who enters it.
        now: when, UTC.
    """
    whole = replace(line, by=by, at=now)

    def change(one: Vehicle) -> Vehicle:
        return replace(one, handbook=with_line(one.handbook, whole))

    note = said_of(line.rule.value, line.says, line.page)
    return Entered(change=change, entry=noted(vehicle, HANDBOOK, note, now, by=by))


def rule_cleared(vehicle: Vehicle, rule: Rule, *, by: str, now: datetime) -> Entered:
    """What the handbook said about a rule no longer counts: the trade's default holds."""

    def change(one: Vehicle) -> Vehicle:
        return replace(one, handbook=without_rule(one.handbook, rule))

    note = said_of(rule.value, DEFAULT)
    return Entered(change=change, entry=noted(vehicle, HANDBOOK, note, now, by=by))


def number_entered(
    vehicle: Vehicle, name: str, number: float | None, *, source: str, by: str, now: datetime
) -> Entered:
    """A number of the vehicle's own in place of its layout's.

    Args:
        vehicle: the vehicle.
        name: dotted name such as ``"F1.capacity_l"``.
        number: the number in the unit of the name; None for the layout's again.
        source: where it comes from, "" where nobody said.
        by: who enters it.
        now: when, UTC.

    Raises:
        FleetError: the source is too long.
    """
    said = OwnSource(number=name, source=source, by=by, at=now)

    def change(one: Vehicle) -> Vehicle:
        overrides = tuple(pair for pair in one.overrides if pair[0] != name)
        sources = tuple(known for known in one.own_from if known.number != name)
        if number is not None:
            overrides, sources = (*overrides, (name, number)), (*sources, said)
        changed = replace(one, overrides=overrides, own_from=sources)
        layout_of(changed)  # refuses a number that cannot be, or a name that nobody knows
        return changed

    change(vehicle)
    note = said_of(name, DEFAULT if number is None else f"{number:g}", source)
    return Entered(change=change, entry=noted(vehicle, FIGURE, note, now, by=by))


def said_of(what: str, says: str, where: str = "") -> str:
    """The note under which it goes on record, e.g. ``"waste valve = shut; p. 88"``."""
    return f"{what} = {says}" + (f"; {where}" if where else "")


def read_note(note: str) -> tuple[str, str, str]:
    """What, its word, and where it stands, from such a note; the whole note first if it is none."""
    what, equals, rest = note.partition(" = ")
    says, _, where = rest.partition("; ")
    return (what, says, where) if equals else (note, "", "")
