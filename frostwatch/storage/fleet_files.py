"""Fleet files: a TOML text in, a checked fleet with its first entries out, or every problem.

Nothing is half imported: one fault anywhere and the whole file is answered with its problems. The
form, with every field, is shown by ``config/example-fleet.toml``.
"""

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from frostwatch.errors import FleetError
from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.mismatches import Mismatch, mismatches
from frostwatch.fleet.people import Person
from frostwatch.fleet.roofs import Under
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import HeatedHold, Vehicle
from frostwatch.records.entries import Entry
from frostwatch.storage.file_rows import Made, Problem, Row
from frostwatch.storage.fleet_tables import (
    handover_from,
    hold_from,
    own_numbers,
    person_from,
    site_from,
    under_from,
    vehicle_from,
)
from frostwatch.storage.handbook_text import handbook_from, own_sources_from
from frostwatch.storage.toml_lines import Path, TomlLines
from frostwatch.storage.water_rows import entries_from


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetFile:
    """What a fleet file says.

    Attributes:
        fleet: sites, people and vehicles, checked.
        entries: what is known about the water, from ``[[vehicle.water]]``.
        anchor: the moment an example's times are told from, UTC; None in a real file.
    """

    fleet: Fleet
    entries: tuple[Entry, ...] = ()
    anchor: datetime | None = None


def read_fleet_toml(text: str) -> FleetFile | list[Problem]:
    """Read a fleet file.

    Args:
        text: the file's text; a byte order mark is ignored.

    Returns:
        The fleet with its entries, or every problem in order of its line.
    """
    text = text.removeprefix("\ufeff")
    try:
        tables = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as wrong:
        return [_not_toml(str(wrong))]
    reading = _Reading(tables, TomlLines(text))
    made = reading.everything()
    return made or sorted(reading.problems, key=lambda problem: problem.line)


def _not_toml(said: str) -> Problem:
    what, _, place = said.rpartition(" (at ")
    digits = "".join(sign if sign.isdigit() else " " for sign in place).split()
    return Problem(
        line=int(digits[0]) if digits else 0,
        column=f"column {digits[1]}" if len(digits) > 1 else "",
        what=f"this is no TOML: {what or said}.",
        mend="Look for a missing quote or bracket on this line or the one before.",
    )


class _Reading:
    """One pass over the tables of a file, noting problems as it goes."""

    def __init__(self, tables: dict[str, Any], lines: TomlLines) -> None:
        self._tables = tables
        self._lines = lines
        self.problems: list[Problem] = []

    def everything(self) -> FleetFile | None:
        whole = self._row(self._tables, ())
        anchor = whole.moment("anchor") if whole.has("anchor") else None
        whole.take("anchor")
        sites = [self._site(*found) for found in self._each(whole, (), "site")]
        people = [self._person(*found) for found in self._each(whole, (), "person")]
        vehicles: list[Vehicle] = []
        water: list[Sequence[Row]] = []
        for row, table, path in self._each(whole, (), "vehicle"):
            vehicle, rows = self._vehicle(row, table, path)
            vehicles.append(vehicle)
            water.append(rows)
        whole.leftovers()
        self._cross_check(sites, people, vehicles)
        entries = [
            entry
            for vehicle, rows in zip(vehicles, water, strict=True)
            for entry in self._entries(vehicle, rows)
        ]
        if self.problems:
            return None
        fleet = Fleet(sites=_whole(sites), people=_whole(people), vehicles=tuple(vehicles))
        return FleetFile(fleet=fleet, entries=tuple(entries), anchor=anchor)

    def _row(self, table: dict[str, Any], path: Path) -> Row:
        def where(field: str) -> tuple[int, str]:
            return self._lines.line(path, field), field

        return Row(table, where, self.problems)

    def _each(self, row: Row, path: Path, name: str) -> Iterable[tuple[Row, dict[str, Any], Path]]:
        """Every table of a list of tables; a fault if it is no such list."""
        tables = row.take(name) or []
        if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
            whole = ".".join([*(str(part) for part in path if isinstance(part, str)), name])
            row.problem(name, f"{name} must be a list of tables.", f"Write [[{whole}]].")
            return
        for position, table in enumerate(tables):
            inner = (*path, name, position)
            yield self._row(table, inner), table, inner

    def _site(self, row: Row, table: dict[str, Any], path: Path) -> Site | None:
        return site_from(row, [one for one, _, _ in self._each(row, path, "roof")])

    def _person(self, row: Row, table: dict[str, Any], path: Path) -> Person | None:
        return person_from(row, [one for one, _, _ in self._each(row, path, "channel")])

    def _vehicle(
        self, row: Row, table: dict[str, Any], path: Path
    ) -> tuple[Vehicle, Sequence[Row]]:
        hold: HeatedHold | None = None
        overrides: tuple[tuple[str, float], ...] = ()
        if (inner := self._inner(row, path, "hold")) is not None:
            hold = hold_from(inner[0])
            inner[0].leftovers()
        if (inner := self._inner(row, path, "own")) is not None:
            overrides = own_numbers(*inner)
        handover: Handover | None = None
        if (inner := self._inner(row, path, "handover")) is not None:
            handover = handover_from(inner[0])
            inner[0].leftovers()
        under: Under | None = None
        if (inner := self._inner(row, path, "under")) is not None:
            under = under_from(inner[0])
            inner[0].leftovers()
        rows = [one for one, _, _ in self._each(row, path, "water")]
        handbook = handbook_from([one for one, _, _ in self._each(row, path, "handbook")])
        own_from = own_sources_from([one for one, _, _ in self._each(row, path, "own_from")])
        vehicle = vehicle_from(row, hold, overrides, handover, under)
        return replace(vehicle, handbook=handbook, own_from=own_from), rows

    def _inner(self, row: Row, path: Path, name: str) -> tuple[Row, dict[str, Any]] | None:
        table = row.take(name)
        if table is None:
            return None
        if not isinstance(table, dict):
            row.problem(name, f"{name} must be a table.", f"Write [vehicle.{name}].")
            return None
        return self._row(table, (*path, name)), table

    def _entries(self, vehicle: Vehicle, rows: Sequence[Row]) -> Iterable[Entry]:
        try:
            layout = layout_of(vehicle)
        except FleetError:
            return
        for row in rows:
            yield from entries_from(row, vehicle.key, layout)
            row.leftovers()

    def _cross_check(
        self,
        sites: Sequence[Site | None],
        people: Sequence[Person | None],
        vehicles: Sequence[Vehicle],
    ) -> None:
        if None in sites or None in people:
            return
        for found in mismatches(_whole(sites), _whole(people), vehicles):
            line = self._line_of(found)
            if any(p.line == line and p.column == found.field for p in self.problems):
                continue
            self.problems.append(
                Problem(
                    line=line,
                    column=found.field,
                    what=f"{found.kind} {found.key}: {found.what}",
                    mend=found.mend,
                )
            )

    def _line_of(self, found: Mismatch) -> int:
        path: Path = (found.kind, found.position)
        if found.field != "own":
            return self._lines.line(path, found.field)
        name = found.what.split(" ", 1)[0].strip("'")
        return self._lines.line((*path, "own"), name)


def _whole(made: Sequence[Made | None]) -> tuple[Made, ...]:
    return tuple(one for one in made if one is not None)
