"""A list out of a spreadsheet's own file: values alone, bounded, faults by row and column."""

import io
import zipfile
from datetime import datetime
from typing import Any

import pytest
from openpyxl import Workbook

from frostwatch.storage.file_rows import Problem
from frostwatch.storage.workbooks import (
    MOST_BYTES,
    MOST_ROWS,
    is_workbook,
    list_from_workbook,
)

MOMENTS = [datetime.fromisoformat(text) for text in ("2026-12-01", "2026-12-01T08:30")]


def a_workbook(*rows: list[Any], empty_first: bool = False) -> bytes:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    if empty_first:
        sheet = book.create_sheet("Vans")
    for row in rows:
        sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def told(data: bytes) -> list[Problem]:
    read = list_from_workbook(data)
    assert isinstance(read, list)
    return read


def changed(data: bytes, name: str, old: bytes, new: bytes) -> bytes:
    """The same file with one part of it changed."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as before, zipfile.ZipFile(out, "w") as after:
        for part in before.infolist():
            body = before.read(part)
            after.writestr(part.filename, body.replace(old, new) if part.filename == name else body)
    return out.getvalue()


def test_a_row_of_the_sheet_is_a_line_of_the_text() -> None:
    data = a_workbook(
        ["bay", "plate", "type"], [], ["A-01", 481, "van"], ["A, 2", 4.5, "two\nwords"]
    )

    assert is_workbook(data)
    assert list_from_workbook(data) == 'bay,plate,type\n\nA-01,481,van\n"A, 2",4.5,two words\n'


def test_numbers_dates_and_ticks_are_as_somebody_would_type_them() -> None:
    data = a_workbook([1.0, 0.1 + 0.2, True, *MOMENTS])

    assert list_from_workbook(data) == "1,0.3,yes,2026-12-01,2026-12-01T08:30:00\n"


def test_the_first_sheet_that_holds_anything_is_read() -> None:
    assert list_from_workbook(a_workbook(["A-01"], empty_first=True)) == "A-01\n"
    assert "empty" in told(a_workbook())[0].what


def test_of_a_formula_its_value_is_read_and_one_without_is_named_by_row_and_column() -> None:
    data = a_workbook(["bay", "plate"], ["A-01", "=1+1"])
    assert [(one.line, one.column) for one in told(data)] == [(2, "B")]
    assert "formula without its value" in told(data)[0].what

    # ECMA-376, part 1, 18.3.1.96: the value that was worked out stands in <v> beside <f>
    valued = changed(data, "xl/worksheets/sheet1.xml", b"<f>1+1</f><v />", b"<f>1+1</f><v>2</v>")
    valued = changed(
        valued, "xl/worksheets/sheet1.xml", b"<f>1+1</f><v></v>", b"<f>1+1</f><v>2</v>"
    )
    assert list_from_workbook(valued) == "bay,plate\nA-01,2\n"


def test_a_failed_formula_is_named_by_row_and_column() -> None:
    (problem,) = told(a_workbook(["bay"], ["A-01"], ["#REF!"]))

    assert (problem.line, problem.column) == (3, "A")
    assert "#REF!" in problem.what


def test_text_that_a_spreadsheet_would_run_is_handed_on_as_text_and_refused_later() -> None:
    data = a_workbook(["bay"], ["+1"])

    assert list_from_workbook(data) == "bay\n+1\n"


@pytest.mark.parametrize(
    "data",
    [
        b"PK\x03\x04 and nothing more",
        b"PK\x03\x04" + bytes(500),
        a_workbook(["x"])[:-30],
        changed(a_workbook(["x"]), "xl/workbook.xml", b"<workbook", b"<!DOCTYPE x><workbook"),
        changed(a_workbook(["x"]), "xl/worksheets/sheet1.xml", b"</row>", b"</raw>"),
    ],
)
def test_a_broken_or_hostile_file_is_refused_with_a_reason(data: bytes) -> None:
    (problem,) = told(data)

    assert "cannot be read as a workbook" in problem.what
    assert problem.mend


def test_a_file_that_unpacks_beyond_measure_is_refused_before_it_is_unpacked() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b"<workbook/>")
        archive.writestr("xl/worksheets/sheet1.xml", bytes(80 * 1024 * 1024))
    assert len(out.getvalue()) < MOST_BYTES

    assert "unpacks to more" in told(out.getvalue())[0].what
    assert "more than 4 MB" in told(bytes(MOST_BYTES + 1))[0].what


def test_more_rows_than_a_list_can_have_are_refused() -> None:
    book = Workbook(write_only=True)
    sheet = book.create_sheet()
    for n in range(MOST_ROWS + 2):
        sheet.append([n])
    out = io.BytesIO()
    book.save(out)

    assert "more than 10000 rows" in told(out.getvalue())[0].what
