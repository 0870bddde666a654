"""A hash chain over entries: what was once written cannot be changed or taken out unnoticed.

Each link is SHA-256 (FIPS 180-4) over the link before it and the entry in a canonical JSON form:
keys sorted, no spaces, UTC times with microseconds, litres as plain decimal numbers.
"""

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from frostwatch.records.entries import Entry

FIRST_LINK = "0" * 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Linked:
    """An entry with its link.

    Attributes:
        entry: what was said.
        link: hexadecimal SHA-256 over the link before and this entry.
    """

    entry: Entry
    link: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BrokenLink:
    """The first place at which a chain does not hold.

    Attributes:
        position: index of the entry in the chain, 0 for the first.
        entry: the entry as it stands now.
        expected: the link that would belong there.
        found: the link that stands there.
    """

    position: int
    entry: Entry
    expected: str
    found: str

    def __str__(self) -> str:
        moment = self.entry.at.astimezone(UTC)
        return (
            f"entry {self.position + 1} ({self.entry.vehicle} {self.entry.circuit.value}, "
            f"{moment:%Y-%m-%d %H:%M} UTC, by {self.entry.by}) does not fit the chain: it or an "
            "entry before it was changed, added or taken out after it was written."
        )


def canonical(entry: Entry) -> str:
    """The one written form of an entry: the same bytes whatever store it comes back from."""
    return json.dumps(
        {
            "at": _utc(entry.at),
            "by": entry.by,
            "circuit": entry.circuit.value,
            "dose_fraction": _number(entry.dose_fraction),
            "event": entry.event,
            "evidence": entry.evidence.value,
            "litres_l": _number(entry.litres_l),
            "note": entry.note,
            "photo": entry.photo,
            "received_at": _utc(entry.received_at),
            "state": entry.state.value,
            "vehicle": entry.vehicle,
        },
        sort_keys=True,
        separators=(",", ":"),
        allow_nan=False,
    )


def link_after(previous: str, entry: Entry) -> str:
    """The link of an entry that follows ``previous`` (``FIRST_LINK`` for the first entry)."""
    return hashlib.sha256(f"{previous}\n{canonical(entry)}".encode()).hexdigest()


def chained(entries: Iterable[Entry], *, after: str = FIRST_LINK) -> tuple[Linked, ...]:
    """Entries with their links, in the order given, continuing a chain that ended at ``after``."""
    links: list[Linked] = []
    for entry in entries:
        after = link_after(after, entry)
        links.append(Linked(entry=entry, link=after))
    return tuple(links)


def verify(links: Sequence[Linked], *, after: str = FIRST_LINK) -> BrokenLink | None:
    """The first broken link of a chain, None if all hold.

    Entries cut off at the end leave a shorter chain that holds: keep the last link elsewhere (the
    roll prints it) and compare.
    """
    for position, linked in enumerate(links):
        expected = link_after(after, linked.entry)
        if linked.link != expected:
            return BrokenLink(
                position=position, entry=linked.entry, expected=expected, found=linked.link
            )
        after = linked.link
    return None


def _utc(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def _number(value: float | None) -> float | None:
    return None if value is None else float(value) + 0.0
