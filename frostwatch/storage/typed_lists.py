"""Lists as people type or paste them: with or without a row of heads, and one row more."""

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from frostwatch.storage.file_rows import Problem
from frostwatch.storage.sheets import DELIMITERS, Sheet, read_sheet, write_sheet
from frostwatch.told import Told

Heads = Mapping[str, str]
"""Head, lower case and with single spaces -> our field."""


def read_typed(
    text: str, columns: Sequence[str], heads: Heads
) -> tuple[Sheet, int] | list[Problem]:
    """Read a list.

    Args:
        text: comma, semicolon or tab between the columns.
        columns: what the columns are where no row of heads says so.
        heads: heads that are understood.

    Returns:
        The sheet, and by how many lines its lines are ahead of those typed; or problems.
    """
    if _has_heads(text, heads):
        sheet = read_sheet(text, heads)
        return sheet if isinstance(sheet, list) else (sheet, 0)
    delimiter = _delimiter(text)
    wide = min(widest(text), len(columns))
    sheet = read_sheet(f"{delimiter.join(columns[:wide])}\n{text}", heads)
    return as_typed(sheet, 1) if isinstance(sheet, list) else (sheet, 1)


def as_typed(problems: Sequence[Problem], ahead: int) -> list[Problem]:
    """Problems at the lines that were typed, in their order; those of the whole list first."""
    moved = [
        replace(
            one,
            line=max(one.line - ahead, 1) if one.line else 0,
            what=_moved(one.what, ahead),
        )
        for one in problems
    ]
    return sorted(moved, key=lambda one: one.line)


def _moved(what: str, ahead: int) -> str:
    """The same sentence where it names another line."""
    if not isinstance(what, Told) or not isinstance(line := what.values.get("line"), int):
        return what
    return Told(what.key, {**what.values, "line": line - ahead})


def with_row(
    text: str, columns: Sequence[str], heads: Heads, row: Mapping[str, str]
) -> str | list[Problem]:
    """A list with one row more, written anew with commas and a row of heads.

    Args:
        text: the list as typed, "" for none.
        columns: its columns where no row of heads says so.
        heads: heads that are understood.
        row: field -> what it says.

    Returns:
        The list, or the problems for which it cannot be read.
    """
    fields: tuple[str, ...] = tuple(columns)
    before: list[Sequence[str]] = []
    if text.strip():
        read = read_typed(text, columns, heads)
        if isinstance(read, list):
            return read
        sheet, _ = read
        more = tuple(field for field, said in row.items() if said and field not in sheet.fields)
        fields = (*sheet.fields, *more)
        before = [[*cells, *[""] * (len(fields) - len(cells))] for _, cells in sheet.rows]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(fields)
    writer.writerows(before)  # as they were typed: what is wrong in them is told, not changed
    _, _, added = write_sheet(fields, [[row.get(field, "") for field in fields]]).partition("\n")
    return out.getvalue() + added


def widest(text: str) -> int:
    """Columns of the line that has most of them."""
    delimiter = _delimiter(text)
    return max((line.count(delimiter) for line in text.splitlines()), default=0) + 1


def _delimiter(text: str) -> str:
    return max(DELIMITERS, key=_first_line(text).count)


def _first_line(text: str) -> str:
    lines = text.removeprefix("\ufeff").splitlines()
    return next((line for line in lines if line.strip()), "")


def _has_heads(text: str, heads: Heads) -> bool:
    """Whether the first line names a column; a list names none by chance."""
    first = _first_line(text)
    if first.strip().casefold().startswith("sep="):
        return True
    cells = re.split(f"[{DELIMITERS}]", first)
    words = (" ".join(re.sub("[_-]", " ", cell.strip(" \"'").casefold()).split()) for cell in cells)
    return any(word in heads for word in words)
