"""A spreadsheet's CSV as spreadsheets really write it: marks, separators, formulas."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from frostwatch.storage.file_rows import Problem, Row
from frostwatch.told import told

DELIMITERS = ",;\t"

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
"""First characters that make a spreadsheet run a cell as a formula."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """Line and column of a field of one row, as shown to the user."""

    line: int
    fields: Sequence[str]
    headers: Sequence[str]

    def __call__(self, field: str) -> tuple[int, str]:
        """Line, and the column's letter with its header."""
        if field not in self.fields:
            return self.line, field
        return self.line, self.column(self.fields.index(field))

    def column(self, place: int) -> str:
        """The column's letter with its header."""
        return f"{letter(place)} ({self.headers[place].strip()})"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Rows of a CSV, each with the line it begins on.

    Attributes:
        fields: our name of each column, in order; "" for one without header and content.
        headers: the header as written, in the same order.
        rows: (line, cells) of every row that is not empty.
    """

    fields: tuple[str, ...]
    headers: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]

    def each(self, problems: list[Problem]) -> Iterator[tuple[Where, Row]]:
        """Place and reader of every row; a row with a hostile or a stray cell becomes a problem."""
        for line, cells in self.rows:
            where = Where(line=line, fields=self.fields, headers=self.headers)
            found = [
                *_formulas(where, cells),
                *_beyond_the_header(line, cells[len(self.fields) :], len(self.fields)),
            ]
            problems += found
            values = {
                field: _plain(cell)
                for field, cell in zip(self.fields, cells, strict=False)
                if field
            }
            if not found:
                yield where, Row(values, where, problems)


def read_sheet(text: str, names: Mapping[str, str]) -> Sheet | list[Problem]:
    """Read a CSV with a header row.

    Comma, semicolon or tab; a byte order mark and a first line ``sep=;`` are understood.

    Args:
        text: the file's text.
        names: header, lower case and with single spaces -> our field; what is missing here but
            has a dot in it is taken as it is.
    """
    text = text.removeprefix("\ufeff").replace("\x00", "")
    skipped = 0
    first = text.split("\n", 1)[0].strip().strip('"')
    if first.casefold().startswith("sep=") and len(first) == 5:
        text, skipped, delimiter = text.partition("\n")[2], 1, first[4]
    else:
        delimiter = max(DELIMITERS, key=first.count)
    rows: list[tuple[int, tuple[str, ...]]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((line + skipped, tuple(cells)))
            line = reader.line_num + 1
    except csv.Error as wrong:
        return [_not_csv(line + skipped, str(wrong))]
    if not rows:
        return [Problem(line=0, column="", what=told("empty_file"), mend=told("empty_mend"))]
    return _with_header(rows, names)


def _plain(cell: str) -> str:
    """Text of a cell without the apostrophe that keeps it from running; a lone dash is nothing."""
    text = cell.strip(" \u00a0")
    if text == "-":
        return ""
    return text[1:] if text[:1] == "'" and text[1:2] in ("'", *FORMULA_SIGNS) else text


def _formulas(where: Where, cells: Sequence[str]) -> Iterator[Problem]:
    for place, cell in enumerate(cells[: len(where.fields)]):
        text = cell.strip(" \u00a0")
        if text.startswith(FORMULA_SIGNS) and text != "-" and not _is_number(text):
            yield Problem(
                line=where.line,
                column=where.column(place),
                what=told("formula", sign=repr(text[0])),
                mend=told("formula_mend"),
            )


def _beyond_the_header(line: int, cells: Sequence[str], place: int) -> Iterator[Problem]:
    if any(cell.strip() for cell in cells):
        yield Problem(
            line=line,
            column=letter(place),
            what=told("beyond"),
            mend=told("beyond_mend"),
        )


def _not_csv(line: int, said: str) -> Problem:
    return Problem(
        line=line,
        column="",
        what=told("not_csv", said=told("verbatim", what=said)),
        mend=told("not_csv_mend"),
    )


def _with_header(
    rows: Sequence[tuple[int, tuple[str, ...]]], names: Mapping[str, str]
) -> Sheet | list[Problem]:
    line, header = rows[0]
    problems: list[Problem] = []
    fields: list[str] = []
    for place, cell in enumerate(header):
        said = cell.strip().lstrip("'")
        word = " ".join(said.casefold().replace("_", " ").replace("-", " ").split())
        field = names.get(word, said if "." in said else "")
        column = f"{letter(place)} ({said})"
        if field and field in fields:
            what = told("two_columns", field=field)
            problems.append(_header(line, column, what, told("keep_one")))
        elif said and not field:
            known = ", ".join(dict.fromkeys(names.values()))
            what = told("header", given=repr(said))
            problems.append(_header(line, column, what, told("header_mend", fields=known)))
        elif not said and any(cells[place].strip() for _, cells in rows[1:] if place < len(cells)):
            what = told("no_header")
            problems.append(_header(line, letter(place), what, told("no_header_mend")))
        fields.append(field)
    if problems:
        return problems
    return Sheet(fields=tuple(fields), headers=header, rows=tuple(rows[1:]))


def _header(line: int, column: str, what: str, mend: str) -> Problem:
    return Problem(line=line, column=column, what=what, mend=mend)


def write_sheet(fields: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A CSV with commas and quotes where needed; no cell can run as a formula."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(fields)
    for row in rows:
        writer.writerow([_harmless(cell) for cell in row])
    return out.getvalue()


def _harmless(cell: str) -> str:
    dangerous = cell.startswith(FORMULA_SIGNS) and not _is_number(cell)
    doubled = cell.startswith("'") and cell[1:2] in ("'", *FORMULA_SIGNS)
    return f"'{cell}" if dangerous or doubled else cell


def _is_number(text: str) -> bool:
    """A number with its sign; what begins with = or @ is run, digits or not."""
    digits = text[1:].replace(",", ".", 1)
    return text[:1] in ("+", "-") and digits.replace(".", "", 1).isdecimal()


def letter(place: int) -> str:
    """The column's letter in a spreadsheet: A for 0, AA for 26."""
    name = ""
    while place >= 0:
        name = chr(65 + place % 26) + name
        place = place // 26 - 1
    return name


def decoded(data: bytes) -> str | list[Problem]:
    """Text of a file as spreadsheets save it: UTF-8, UTF-16 with a mark, or Windows-1252."""
    has_mark = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    for coding in ["utf-16"] if has_mark else ["utf-8-sig", "cp1252"]:
        try:
            return data.decode(coding)
        except UnicodeDecodeError:
            continue
    return [
        Problem(
            line=0,
            column="",
            what=told("encoding"),
            mend=told("encoding_mend"),
        )
    ]
