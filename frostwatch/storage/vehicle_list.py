"""A site's vehicles as somebody types or pastes them: bay, plate ending, kind, where its key hangs.

Less is asked than of a vehicle sheet, and what is missing is filled in: the site is known, a
vehicle without a key of its own is called by its bay, bays stand in the order of the list, and a
keeper is named as people name them. A header row is understood, but need not be there.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.storage.file_rows import Problem
from frostwatch.storage.kind_words import layout_meant, word_near
from frostwatch.storage.sheets import FORMULA_SIGNS, Sheet, Where
from frostwatch.storage.typed_lists import as_typed, read_typed, widest, with_row
from frostwatch.storage.vehicle_sheet import HEADERS, fleet_with
from frostwatch.told import told

COLUMNS = ("bay", "plate_end", "layout", "key_place", "keeper")
"""What the columns of a list without a header are ..."""
LEAST = ("bay", "layout")
"""... and where it has no more than two: all that is needed."""
UNASKED = (
    "name",
    "indoors",
    "hold",
    "overrides",
    "heat",
    "post",
    "handover",
    "handbook",
    "own_from",
    "under",
)
"""What a list leaves as it was where it has no word of it."""
ANY_LAYOUT = "coachbuilt-seat-tank"
LONGEST_CELL = 120
MOST_ROWS = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleList:
    """What a list says.

    Attributes:
        vehicles: in the order of the list.
        bays: bays of the site in walking order, new ones last.
        keepers: key -> name of each keeper that the list names.
    """

    vehicles: tuple[Vehicle, ...]
    bays: tuple[str, ...]
    keepers: Mapping[str, str]


def read_vehicle_list(text: str, site: Site, known: Fleet) -> VehicleList | list[Problem]:
    """Read a list of one site's vehicles.

    Args:
        text: comma, semicolon or tab between the columns, with or without a header row.
        site: where they stand.
        known: everything entered already; a vehicle of another site keeps its key.

    Returns:
        The vehicles, or every problem in order of its line.
    """
    read = read_typed(text, _columns(text), HEADERS)
    if isinstance(read, list):
        return read
    sheet, ahead = read
    if len(sheet.rows) > MOST_ROWS:
        what = told("rows", most=MOST_ROWS)
        return [Problem(line=0, column="", what=what, mend=told("rows_mend"))]
    problems = [*_cells_that_cannot_be(sheet), *_unknown_kinds(sheet)]
    keepers: dict[str, str] = {}
    filled = _filled(sheet, site, keepers)
    listed = (bay for bay in _column(filled, "bay") if bay and ".." not in bay)
    bays = tuple(dict.fromkeys((*site.bays, *listed)))
    people = {person.key for person in known.people}
    standing_in = tuple(
        Person(key=key, name=name, duty=Duty.OWNER)
        for key, name in keepers.items()
        if key not in people
    )
    others = tuple(one for one in known.sites if one.key != site.key)
    around = Fleet(
        sites=(*others, replace(site, bays=bays, operator="")),
        people=(*known.people, *standing_in),
        vehicles=known.vehicles,
    )
    problems += _taken(filled, sheet, site, known)
    made = fleet_with(filled, around)
    if isinstance(made, list):
        problems += [_seen_by(one, filled, sheet) for one in made]
    if problems or isinstance(made, list):
        return as_typed(problems, ahead)
    before = {vehicle.key: vehicle for vehicle in known.vehicles}
    typed = [made.vehicle(key.strip()) for key in _column(filled, "key")]
    return VehicleList(
        vehicles=tuple(_as_before(one, before.get(one.key)) for one in typed),
        bays=bays,
        keepers=keepers,
    )


def _as_before(vehicle: Vehicle, before: Vehicle | None) -> Vehicle:
    """A vehicle that is there already keeps what the list does not ask."""
    if before is None or before.layout != vehicle.layout:
        return vehicle
    kept = {field: getattr(before, field) for field in UNASKED if not getattr(vehicle, field)}
    return replace(vehicle, **kept)


def with_vehicle(text: str, row: Mapping[str, str]) -> str | list[Problem]:
    """A list with one vehicle more; see ``typed_lists.with_row``."""
    return with_row(text, _columns(text), HEADERS, row)


def _columns(text: str) -> Sequence[str]:
    return LEAST if text.strip() and widest(text) <= len(LEAST) else COLUMNS


def key_from(name: str) -> str:
    """A key out of a name: ``"Frau Dr. Müller-Lüdenscheidt"`` -> ``"frau-dr-mueller-..."``."""
    spelt = name.casefold()
    for letter, letters in (("ä", "ae"), ("ö", "oe"), ("ü", "ue"), ("ß", "ss")):
        spelt = spelt.replace(letter, letters)
    latin = unicodedata.normalize("NFKD", spelt)
    words = re.findall(r"\w+", "".join(sign for sign in latin if not unicodedata.combining(sign)))
    return "-".join(words)[:60].strip("-") or "x"


def _filled(sheet: Sheet, site: Site, keepers: dict[str, str]) -> Sheet:
    """The sheet with site and key in columns behind those that were given."""
    fields = sheet.fields
    more = tuple(name for name in ("site", "key", "layout") if name not in fields)
    standard = {"site": site.key, "layout": ANY_LAYOUT}
    rows = []
    for line, cells in sheet.rows:
        row = [*cells[: len(fields)], *[""] * (len(fields) - len(cells))]
        beyond = cells[len(fields) :]
        given = dict(zip(fields, row, strict=True))
        for place, field in enumerate(fields):
            row[place] = _cell(field, row[place], keepers)
        row += [standard.get(name) or given.get("bay", "").strip() for name in more]
        rows.append((line, (*row, *beyond)))
    return replace(
        sheet, fields=(*fields, *more), headers=(*sheet.headers, *more), rows=tuple(rows)
    )


def _cell(field: str, cell: str, keepers: dict[str, str]) -> str:
    plain = cell.strip().lstrip("'")
    if field == "layout":
        return layout_meant(plain) or ANY_LAYOUT
    if field == "keeper" and plain and not cell.strip().startswith(FORMULA_SIGNS):
        key = key_from(plain)
        keepers.setdefault(key, plain)
        return key
    return cell


def _unknown_kinds(sheet: Sheet) -> Iterator[Problem]:
    """Kinds nobody knows; they are told here, and reckoned as any layout from here on."""
    if "layout" not in sheet.fields:
        yield Problem(line=0, column="", what=told("no_kind"), mend=told("kinds"))
        return
    lines = [line for line, _ in sheet.rows]
    for line, word in zip(lines, _column(sheet, "layout"), strict=True):
        if not layout_meant(word):
            where = Where(line=line, fields=sheet.fields, headers=sheet.headers)
            what = told("kind", given=repr(word[:40])) if word else told("kind_missing")
            near = word_near(word)
            mend = told("near", near=near) if near else told("kinds_more")
            yield Problem(line=line, column=where("layout")[1], what=what, mend=mend)


def _seen_by(problem: Problem, filled: Sheet, sheet: Sheet) -> Problem:
    """A problem at a column that was filled in stands where that came from."""
    where = Where(line=problem.line, fields=filled.fields, headers=filled.headers)
    if "key" in sheet.fields or problem.column != where("key")[1]:
        return problem
    return replace(problem, column=where("bay")[1] if "bay" in sheet.fields else "")


def _column(sheet: Sheet, field: str) -> list[str]:
    """What the rows say there, blank for the short ones."""
    if field not in sheet.fields:
        return [""] * len(sheet.rows)
    place = sheet.fields.index(field)
    return [(*cells, *[""] * place)[place].strip().lstrip("'") for _, cells in sheet.rows]


def _taken(filled: Sheet, sheet: Sheet, site: Site, known: Fleet) -> Iterator[Problem]:
    elsewhere = {one.key for one in known.vehicles if one.site != site.key}
    column = "key" if "key" in sheet.fields else "bay"
    for (line, _), key in zip(filled.rows, _column(filled, "key"), strict=True):
        if key in elsewhere:
            where = Where(line=line, fields=sheet.fields, headers=sheet.headers)
            yield Problem(
                line=line,
                column=where(column)[1],
                what=told("elsewhere", given=repr(key)),
                mend=told("elsewhere_mend"),
            )


def _cells_that_cannot_be(sheet: Sheet) -> list[Problem]:
    found = []
    for line, cells in sheet.rows:
        where = Where(line=line, fields=sheet.fields, headers=sheet.headers)
        for place, cell in enumerate(cells[: len(sheet.fields)]):
            if len(cell) > LONGEST_CELL:
                what, mend = told("letters", n=len(cell)), told("letters_mend", most=LONGEST_CELL)
            elif any(unicodedata.bidirectional(c) in _TURNS for c in cell):
                what, mend = told("turned"), told("anew")
            elif sheet.fields[place] == "bay" and ".." in cell:
                what, mend = told("not_bay", given=repr(cell.strip())), told("own_row")
            else:
                continue
            found.append(Problem(line=line, column=where.column(place), what=what, mend=mend))
    return found


_TURNS = frozenset(("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"))
