"""Lines of a list gathered by rows of bays."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from frostwatch.web.pages.rows import PassRow, StopRow
from frostwatch.web.words import Tongue


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Lines under one head."""

    head: Markup
    aside: Markup | None
    rows: tuple[StopRow | PassRow, ...]


def row_of(bay: str) -> str:
    """The row a bay belongs to: what stands before its number; "" where bays have no rows."""
    head, dash, number = bay.rpartition("-")
    return head if dash and number.isdigit() else ""


def in_rows(
    rows: Sequence[StopRow | PassRow], bays: Mapping[str, str], tongue: Tongue
) -> list[Group]:
    """Lines in walking order, gathered by rows of bays.

    Args:
        rows: the lines.
        bays: vehicle -> its bay.
        tongue: language.
    """
    groups: list[tuple[str, list[StopRow | PassRow]]] = []
    for row in rows:
        name = row_of(bays.get(row.vehicle, ""))
        if not groups or groups[-1][0] != name:
            groups.append((name, []))
        groups[-1][1].append(row)
    return [
        Group(
            head=tongue("group.row", row=name) if name else tongue("group.rest"),
            aside=None,
            rows=tuple(own),
        )
        for name, own in groups
    ]
