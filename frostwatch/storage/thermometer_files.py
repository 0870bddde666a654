"""A thermometer's CSV as loggers and weather stations really write it.

Any common separator, a header in English, German or French or none at all, lines of talk before
it, local time or UTC, decimal comma, degrees Celsius or Fahrenheit. What is not understood is
refused by its line, and then nothing of the file is taken.
"""

import csv
import io
import math
import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timezone, tzinfo

from frostwatch.ports import AirReading
from frostwatch.storage.file_rows import Problem
from frostwatch.storage.thermometer_times import Clock, DayOrder, day_order_of, naive_time
from frostwatch.units import celsius_from_fahrenheit

SEPARATORS = ";\t|,"
HEADER_WITHIN = 40
"""Lines in which the header is looked for: loggers write their settings first. Estimate."""
COLDEST_C, WARMEST_C = -60.0, 50.0
MOST_PROBLEMS = 10
NOTHING = frozenset({"", "-", "--", "---", "na", "n/a", "nan", "null", "none", "err", "error"})
"""What loggers write where they have no value."""

AIR_WORDS = ("air", "temp", "temperature", "temperatur", "t", "luft", "lufttemperatur")
OUTDOOR_WORDS = ("outdoor", "outside", "out", "aussen", "aussentemperatur", "draussen", "exterieur")
OTHER_WORDS = frozenset(
    {"dew", "taupunkt", "rosee", "indoor", "inside", "innen", "interieur", "soil", "boden", "sol"}
    | {"min", "max", "feels", "gefuehlt", "ressentie", "chill", "water", "wasser", "eau", "alarm"}
)
CLOCK_WORDS = ("time", "uhrzeit", "heure", "zeit")
DATE_WORDS = ("date", "datum", "day", "tag", "jour")
BOTH_WORDS = ("timestamp", "datetime", "zeitstempel", "zeitpunkt", "horodatage", "recorded", "at")
FAHRENHEIT = re.compile(r"°\s*f\b|\bdeg\s*f\b|[\[(]\s*f\s*[\])]|fahrenheit|_f$")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingsFile:
    """What a file held.

    Attributes:
        readings: in the order of the file.
        without_value: rows in which the thermometer had nothing to say.
        column: header of the column that was taken for the air, "" without a header.
    """

    readings: tuple[AirReading, ...]
    without_value: int
    column: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Columns:
    """Where in a row the values stand."""

    day: int
    clock: int | None
    air: int
    fahrenheit: bool = False
    utc: bool = False
    header: str = ""
    width: int = 0


def read_thermometer_csv(
    text: str, zone: tzinfo, *, column: str = "", day_order: DayOrder | None = None
) -> ReadingsFile | list[Problem]:
    """Read a thermometer's CSV.

    Args:
        text: the file's text.
        zone: time zone of times that do not name their own.
        column: header of the column to take, where there are several temperatures; "" finds it.
        day_order: whether 03/04 is a day and a month or a month and a day; None finds it out.
    """
    text = text.removeprefix("\ufeff").replace("\x00", "")
    rows = _rows(text)
    if isinstance(rows, Problem):
        return [rows]
    start, columns = _find_header(rows, column)
    if isinstance(columns, Problem):
        return [columns]
    body = [(line, cells) for line, cells in rows[start:] if any(cell.strip() for cell in cells)]
    if not body:
        return [Problem(line=0, column="", what="there is no reading below the header.")]
    return _read(body, columns, zone, day_order)


def _rows(text: str) -> list[tuple[int, list[str]]] | Problem:
    """Line number and cells of each row, by the separator that gives the most even table."""
    best: list[tuple[int, list[str]]] = []
    best_score = -1.0
    for separator in SEPARATORS:
        rows = []
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
        line = 1
        try:
            for cells in reader:
                rows.append((line, cells))
                line = reader.line_num + 1
        except csv.Error as wrong:
            return Problem(line=line, column="", what=f"the row cannot be read: {wrong}.")
        widths = [len(cells) for _, cells in rows if any(cells)]
        usual = max(set(widths), key=widths.count, default=1)
        score = widths.count(usual) / max(len(widths), 1) if usual > 1 else 0.0
        if score > best_score:
            best, best_score = rows, score
    if not any(cell.strip() for _, cells in best for cell in cells):
        return Problem(line=0, column="", what="the file is empty.")
    return best


def _find_header(
    rows: Sequence[tuple[int, list[str]]], wanted: str
) -> tuple[int, _Columns | Problem]:
    """Index of the first row below the header, and what the columns are."""
    for index, (line, cells) in enumerate(rows[:HEADER_WITHIN]):
        if _number(cells[-1] if cells else "") is None:
            columns = _columns(line, cells, wanted)
            if columns is not None:
                return index + 1, columns
        elif len(cells) in (2, 3) and _looks_like_time(cells[0]) and not wanted:
            clock = 1 if len(cells) == 3 else None
            return index, _Columns(day=0, clock=clock, air=len(cells) - 1, width=len(cells))
    missing = f"no column is called {wanted!r}" if wanted else "no header names a time and an air"
    return 0, Problem(
        line=0,
        column="",
        what=f"{missing}.",
        mend="Begin with a line such as time,air_c and write 2026-12-01T06:10:00+01:00,-2.4 below.",
    )


def _columns(line: int, cells: Sequence[str], wanted: str) -> _Columns | Problem | None:
    """What a header's columns are; None if it is no header of ours."""
    words = [_words(cell) for cell in cells]
    both = [n for n, own in enumerate(words) if own and own[0] in BOTH_WORDS]
    days = [n for n, own in enumerate(words) if own and own[0] in DATE_WORDS]
    clocks = [n for n, own in enumerate(words) if n not in days and set(own[:2]) & set(CLOCK_WORDS)]
    day, clock = _time_columns(both, days, clocks)
    if day is None:
        return None
    airs = _air_columns(cells, words, wanted, taken={day, clock})
    if not airs:
        return None
    if len(airs) > 1:
        names = ", ".join(repr(cells[n].strip()) for n in airs)
        return Problem(
            line=line,
            column="",
            what=f"several columns could be the air outdoors: {names}.",
            mend="Name the right one with --column.",
        )
    (air,) = airs
    return _Columns(
        day=day,
        clock=clock,
        air=air,
        fahrenheit=FAHRENHEIT.search(cells[air].strip().casefold()) is not None,
        utc=bool({"utc", "gmt"} & set(words[day] + (words[clock] if clock is not None else []))),
        header=cells[air].strip(),
        width=len(cells),
    )


def _time_columns(
    both: Sequence[int], days: Sequence[int], clocks: Sequence[int]
) -> tuple[int | None, int | None]:
    """Column of the day, or of day and clock, and that of a clock of its own."""
    if both:
        return both[0], None
    if days:
        return days[0], clocks[0] if clocks else None
    return (clocks[0], None) if clocks else (None, None)


def _air_columns(
    cells: Sequence[str], words: Sequence[list[str]], wanted: str, *, taken: set[int | None]
) -> list[int]:
    if wanted:
        return [n for n, cell in enumerate(cells) if cell.strip().casefold() == wanted.casefold()]
    airs = [
        n
        for n, own in enumerate(words)
        if n not in taken
        and not set(own) & OTHER_WORDS
        and any(word.startswith(AIR_WORDS[1:4]) or word in AIR_WORDS for word in own)
    ]
    airs += [
        n
        for n, own in enumerate(words)
        if n not in taken and n not in airs and set(own) & {"aussentemperatur", "celsius"}
    ]
    outdoors = [n for n in airs if set(words[n]) & set(OUTDOOR_WORDS)]
    return outdoors if len(outdoors) == 1 else airs


def _words(cell: str) -> list[str]:
    """Words of a header, without accents, units and signs."""
    plain = cell.strip().casefold().replace("ß", "ss").replace("ä", "ae").replace("ö", "oe")
    plain = unicodedata.normalize("NFKD", plain.replace("ü", "ue"))
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return re.findall(r"[a-z]+", plain)


def _looks_like_time(cell: str) -> bool:
    return re.match(r"\s*\d{1,4}[-./]\d{1,2}[-./]\d{1,4}|\s*\d{10,13}\s*$", cell) is not None


def _number(cell: str) -> float | None:
    """A number with decimal point or comma and perhaps its unit; None if it is none."""
    text = cell.strip().replace("\u2212", "-").replace("\u00a0", "")
    text = re.sub(r"\s*°?\s*[cCfF]?$", "", text)
    if "," in text and "." not in text:
        text = text.replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _read(
    body: Sequence[tuple[int, list[str]]],
    columns: _Columns,
    zone: tzinfo,
    day_order: DayOrder | None,
) -> ReadingsFile | list[Problem]:
    stamps = [(line, _stamp(cells, columns)) for line, cells in body]
    order = day_order or day_order_of([stamp for _, stamp in stamps])
    clock = Clock(UTC if columns.utc else zone)
    problems: list[Problem] = []
    readings: list[AirReading] = []
    without = 0
    for (line, cells), (_, stamp) in zip(body, stamps, strict=True):
        said = cells[columns.air].strip() if columns.air < len(cells) else ""
        if len(cells) > columns.width and any(cell.strip() for cell in cells[columns.width :]):
            what = f"there are {len(cells)} cells, the header has {columns.width}."
            problems.append(_problem(line, what, "A decimal comma needs ; between the columns."))
        elif said.casefold() in NOTHING:
            without += 1
        else:
            problems += _one(line, stamp, said, columns, order, clock, readings)
        if len(problems) >= MOST_PROBLEMS:
            break
    if problems:
        return problems
    if not readings:
        return [_problem(0, "no row has a value.", "")]
    return ReadingsFile(readings=tuple(readings), without_value=without, column=columns.header)


def _stamp(cells: Sequence[str], columns: _Columns) -> str:
    places = [columns.day] if columns.clock is None else [columns.day, columns.clock]
    return " ".join(cells[n].strip() for n in places if n < len(cells))


def _one(
    line: int,
    stamp: str,
    said: str,
    columns: _Columns,
    order: DayOrder | None,
    clock: Clock,
    readings: list[AirReading],
) -> Iterator[Problem]:
    """Read one row into ``readings``, or say what is wrong with it."""
    value = _number(said)
    if value is None:
        yield _problem(line, f"{said!r} is no temperature.", "Write degrees such as -2.4.")
        return
    air_c = celsius_from_fahrenheit(value) if columns.fahrenheit else value
    if not COLDEST_C <= air_c <= WARMEST_C:
        hint = "" if columns.fahrenheit else "Is it Fahrenheit? Then name the column temp_f."
        yield _problem(line, f"{said} is no air temperature in degrees Celsius.", hint)
        return
    try:
        at = clock.moment(naive_time(stamp, order))
    except ValueError as wrong:
        yield _problem(line, str(wrong), "")
        return
    except OverflowError:
        yield _problem(line, f"{stamp!r} lies beyond any calendar.", "")
        return
    readings.append(AirReading(at=at, air_c=air_c))


def _problem(line: int, what: str, mend: str) -> Problem:
    return Problem(line=line, column="", what=what, mend=mend)


def zone_of(word: str, local: tzinfo) -> tzinfo | None:
    """The clock of a thermometer: ``local``, ``utc``, or an offset such as ``+01:00``."""
    if word == "local":
        return local
    if word == "utc":
        return UTC
    found = re.fullmatch(r"[+-]\d\d:?\d\d", word)
    if found is None:
        return None
    offset = datetime.strptime(word, "%z").utcoffset()
    return None if offset is None else timezone(offset)
