"""``entries.csv``: what was recorded about the water, one statement a row.

Columns ``at, vehicle, circuit, state, evidence, by, litres, dose_percent, event, photo, note``;
times are ISO 8601 in UTC. ``circuit`` is a code (``W3``), a word (``waste``, ``pipes``), or one of
``all``, ``F``, ``H``, ``W``, ``T``, ``X`` for many at once. A sealed export has two columns more,
``received_at`` and ``link``: SHA-256 over the link of the row before and the row's own statement,
so that a changed, added or missing row shows. Where photographs are kept, ``photos`` says how many
belong to the row; it is not sealed, as they may arrive later, and not read back. Nor are
``at_local`` and ``received_local``, the same times by the clock of the place.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from difflib import get_close_matches
from zoneinfo import ZoneInfo

from frostwatch.errors import FleetError
from frostwatch.fleet.fleet import Fleet
from frostwatch.records.chain import Linked, chained, verify
from frostwatch.records.entries import Entry
from frostwatch.storage.entry_text import entry_fields, local_text, number_text, utc_text
from frostwatch.storage.file_rows import Problem, Row
from frostwatch.storage.sheets import Where, read_sheet, write_sheet
from frostwatch.storage.water_rows import entries_from

FIELDS = (
    "at",
    "vehicle",
    "circuit",
    "state",
    "evidence",
    "by",
    "litres",
    "dose_percent",
    "event",
    "photo",
    "note",
)
SEAL_FIELDS = ("received_at", "link")

PHOTOS = "photos"
LOCAL_FIELDS = ("at_local", "received_local")

HEADERS = {
    field.replace("_", " "): field for field in (*FIELDS, *SEAL_FIELDS, PHOTOS, *LOCAL_FIELDS)
}


def read_entries_csv(text: str, fleet: Fleet) -> tuple[Entry, ...] | list[Problem]:
    """Read an entries file.

    Args:
        text: the file's text.
        fleet: the vehicles it speaks of.

    Returns:
        The entries in the order of the file, or every problem in order of its line; nothing half
        imported.
    """
    sheet = read_sheet(text, HEADERS)
    if isinstance(sheet, list):
        return sheet
    problems: list[Problem] = []
    read: list[tuple[Where, Entry, str]] = []
    for where, row in sheet.each(problems):
        link = row.text("link", "")
        made = _entries(row, fleet)
        if link and len(made) > 1:
            row.problem("circuit", "a sealed row speaks of one circuit.", "Export it anew.")
        read += [(where, entry, link) for entry in made]
    if not problems and any(link for _, _, link in read):
        problems += _broken(read)
    if problems:
        return sorted(problems, key=lambda problem: problem.line)
    return tuple(entry for _, entry, _ in read)


def _entries(row: Row, fleet: Fleet) -> tuple[Entry, ...]:
    key = row.text("vehicle")
    try:
        vehicle = fleet.vehicle(key)
    except FleetError:
        if key:
            near = get_close_matches(key, [one.key for one in fleet.vehicles], n=1, cutoff=0.5)
            hint = f"Did you mean {near[0]!r}?" if near else "Import the fleet first."
            row.problem("vehicle", f"vehicle {key!r} is not in the fleet.", hint)
        return ()
    return entries_from(row, vehicle.key, fleet.layout(vehicle))


def _broken(read: Sequence[tuple[Where, Entry, str]]) -> list[Problem]:
    broken = verify([Linked(entry=entry, link=link) for _, entry, link in read])
    if broken is None:
        return []
    line, column = read[broken.position][0]("link")
    mend = "Export it again from the record, or take the two seal columns out to import it as told."
    return [Problem(line=line, column=column, what=str(broken), mend=mend)]


def write_entries_csv(
    entries: Sequence[Entry],
    *,
    sealed: bool = False,
    photos: Mapping[int, int] | None = None,
    zone: ZoneInfo | None = None,
) -> str:
    """Entries as a CSV that reads back as the same.

    Args:
        entries: in the order they are to stand.
        sealed: add time of arrival and the hash chain over the rows.
        photos: place of an entry, from 1 -> how many photographs belong to it; only with sealed.
        zone: tell both times in the place's own time too, for people; only with sealed.
    """
    if not sealed:
        return write_sheet(FIELDS, (_cells(entry) for entry in entries))
    rows = [
        [*_cells(linked.entry), utc_text(linked.entry.received_at), linked.link]
        for linked in chained(entries)
    ]
    fields: tuple[str, ...] = (*FIELDS, *SEAL_FIELDS)
    if photos is not None:
        fields = (*fields, PHOTOS)
        rows = [[*row, str(photos.get(n, 0))] for n, row in enumerate(rows, start=1)]
    if zone is not None:
        fields = (*fields, *LOCAL_FIELDS)
        rows = [
            [*row, local_text(entry.at, zone), local_text(entry.received_at, zone)]
            for row, entry in zip(rows, entries, strict=True)
        ]
    return write_sheet(fields, rows)


def _cells(entry: Entry) -> list[str]:
    fields = entry_fields(entry) | {"at": utc_text(entry.at), "vehicle": entry.vehicle}
    return [_text(fields[name]) for name in FIELDS]


def _text(value: str | float | None) -> str:
    if value is None:
        return ""
    return value if isinstance(value, str) else number_text(value)


def shifted(entries: Sequence[Entry], by: timedelta) -> tuple[Entry, ...]:
    """The same entries told from another day: how an example's fixed dates become recent ones."""
    return tuple(
        replace(entry, at=entry.at + by, received_at=entry.received_at + by) for entry in entries
    )
