"""A list out of a spreadsheet's own file (.xlsx): its values alone, with rows and columns kept.

Nothing of the file is run: macros and links are never read, and of a formula only the value that
the spreadsheet worked out and kept beside it. Sizes are bounded before anything is unpacked.
"""

import csv
import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import Any

from frostwatch.storage.file_rows import Problem
from frostwatch.storage.sheets import letter
from frostwatch.told import told

MOST_BYTES = 4 * 1024 * 1024
"""Largest file: ten thousand vehicles have less than 1 MB. Estimate."""
MOST_UNPACKED = 64 * 1024 * 1024
"""All of its parts unpacked. Estimate: a list of that size unpacks to 10 MB."""
MOST_PARTS = 500
MOST_ROWS = 10_000
MOST_COLUMNS = 60
ERRORS = frozenset({"#N/A", "#NAME?", "#REF!", "#VALUE!", "#DIV/0!", "#NUM!", "#NULL!"})
"""What a cell shows whose formula failed (ECMA-376, part 1, 18.17.3)."""


def is_workbook(data: bytes) -> bool:
    """Whether a file begins as a workbook does: a zip archive (PKWARE APPNOTE, 4.3.7)."""
    return data[:4] == b"PK\x03\x04"


def list_from_workbook(data: bytes) -> str | list[Problem]:
    """The first sheet that holds anything, as comma-separated text line by line.

    A row of the sheet is a line of the text, so that what is wrong later is told by the row.

    Args:
        data: the file, at most one byte more than ``MOST_BYTES`` of it.

    Returns:
        The text, or why it cannot be read, by row and column of the sheet.
    """
    refused = _refused(data)
    if refused is not None:
        return [refused]
    from openpyxl import load_workbook

    try:
        values = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        formulas = load_workbook(io.BytesIO(data), read_only=True, keep_links=False)
        for name in values.sheetnames:
            rows = _rows(values[name])
            if rows:
                return _text(rows, formulas[name])
    except Exception:  # noqa: BLE001  a broken file fails in the library in many ways
        return [_whole("workbook", "workbook_mend")]
    return [_whole("empty_file", "empty_mend")]


def _refused(data: bytes) -> Problem | None:
    """What speaks against unpacking it, by the list of its parts alone."""
    if len(data) > MOST_BYTES:
        return _whole("workbook_large", "rows_mend", most=MOST_BYTES // 1024 // 1024)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED:
                return _whole("workbook_unpacked", "rows_mend")
            if "xl/workbook.xml" not in archive.namelist():
                return _whole("workbook", "workbook_mend")
            for part in parts:
                if part.filename.endswith((".xml", ".rels")) and _declares(archive, part):
                    return _whole("workbook", "workbook_mend")
    except (zipfile.BadZipFile, OSError, RuntimeError, NotImplementedError, ValueError):
        return _whole("workbook", "workbook_mend")
    return None


def _declares(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> bool:
    """Whether a part declares entities: no spreadsheet does, and they can grow without end."""
    with archive.open(part) as file:
        head = file.read(4096)
    return b"<!DOCTYPE" in head or b"<!ENTITY" in head


def _rows(sheet: Any) -> list[tuple[Any, ...]]:
    """The rows up to the last that holds anything, each cut to the widest a list can be."""
    rows = [
        tuple(row[: MOST_COLUMNS + 1])
        for row in sheet.iter_rows(
            max_row=MOST_ROWS + 2, max_col=MOST_COLUMNS + 1, values_only=True
        )
    ]
    while rows and all(cell is None for cell in rows[-1]):
        rows.pop()
    return rows


def _text(rows: list[tuple[Any, ...]], formulas: Any) -> str | list[Problem]:
    if len(rows) > MOST_ROWS + 1:
        return [_whole("rows", "rows_mend", most=MOST_ROWS)]
    problems = list(_formulas_without_values(rows, formulas))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for line, row in enumerate(rows, start=1):
        cells = []
        for place, value in enumerate(row):
            cells.append(_cell(value))
            if cells[-1] in ERRORS:
                what, mend = told("cell_failed", given=cells[-1]), told("value_mend")
                problems.append(_at(line, place, what, mend))
        while cells and not cells[-1]:
            cells.pop()
        if len(cells) > MOST_COLUMNS:
            problems.append(_at(line, MOST_COLUMNS, told("beyond"), told("beyond_mend")))
        writer.writerow(cells) if cells else out.write("\n")
    return sorted(problems, key=lambda one: one.line) if problems else out.getvalue()


def _formulas_without_values(rows: list[tuple[Any, ...]], formulas: Any) -> Iterator[Problem]:
    """Formulas whose value the spreadsheet did not keep; empty they would be read as nothing."""
    written = _rows(formulas)
    for line, row in enumerate(written, start=1):
        known = rows[line - 1] if line <= len(rows) else ()
        for place, cell in enumerate(row):
            is_formula = isinstance(cell, str) and cell.startswith("=")
            if is_formula and (place >= len(known) or known[place] is None):
                yield _at(line, place, told("no_value"), told("value_mend"))


def _cell(value: Any) -> str:
    """A value as somebody would type it; a break within a cell is a blank."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, datetime):
        return value.isoformat() if value.time() != time(0) else value.date().isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    return " ".join(str(value).split())


def _at(line: int, place: int, what: str, mend: str) -> Problem:
    return Problem(line=line, column=letter(place), what=what, mend=mend)


def _whole(what: str, mend: str, **values: object) -> Problem:
    return Problem(line=0, column="", what=told(what, **values), mend=told(mend))
