"""What handbooks say, and where a vehicle's own numbers come from, as tables of a fleet file."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from frostwatch.fleet.handbook import HandbookLine, OwnSource, Rule
from frostwatch.storage.file_rows import Row

Table = dict[str, Any]


def handbook_from(rows: Sequence[Row]) -> tuple[HandbookLine, ...]:
    """The ``[[vehicle.handbook]]`` tables of a vehicle."""
    made = [_line(row) for row in rows]
    return tuple(line for line in made if line is not None)


def _line(row: Row) -> HandbookLine | None:
    rule = row.choice("rule", Rule)
    says, page, by = row.text("says"), row.text("page", ""), row.text("by", "")
    at = _at(row)
    row.leftovers()
    if not says:
        return None
    return row.make(
        lambda: HandbookLine(rule=rule, says=says, page=page, by=by, at=at),
        {"page has": "page", rule.value: "says"},
    )


def own_sources_from(rows: Sequence[Row]) -> tuple[OwnSource, ...]:
    """The ``[[vehicle.own_from]]`` tables of a vehicle."""
    made = [_source(row) for row in rows]
    return tuple(source for source in made if source is not None)


def _source(row: Row) -> OwnSource | None:
    number = row.text("number")
    source, by, at = row.text("source", ""), row.text("by", ""), _at(row)
    row.leftovers()
    if not number:
        return None
    return row.make(
        lambda: OwnSource(number=number, source=source, by=by, at=at), {"source": "source"}
    )


def _at(row: Row) -> datetime | None:
    if row.has("at"):
        return row.moment("at")
    row.take("at")
    return None


def handbook_tables(lines: Sequence[HandbookLine]) -> list[Table]:
    """The same, written."""
    return [
        _filled({"rule": one.rule.value, "says": one.says, "page": one.page}, one.by, one.at)
        for one in lines
    ]


def own_source_tables(sources: Sequence[OwnSource]) -> list[Table]:
    """The same, written."""
    return [_filled({"number": s.number, "source": s.source}, s.by, s.at) for s in sources]


def _filled(table: Table, by: str, at: datetime | None) -> Table:
    whole = table | {"by": by, "at": at}
    return {name: value for name, value in whole.items() if value not in (None, "")}
