"""Photographs as the record shows them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from frostwatch.fleet.people import Person
from frostwatch.ports.photos import Photo
from frostwatch.records.entries import Entry
from frostwatch.web.pages.rows import named
from frostwatch.web.words import Tongue

SHOWN_PX = 160
"""Longest side in a list [pixel]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPhoto:
    """One photograph in a list.

    Attributes:
        id: of the photograph.
        at: when it was taken, UTC.
        entry: number of the entry it belongs to, 0 for none.
        who: who took it.
        alt: what it is, for those who do not see it.
        note: that its hour is that of its arrival, "" where the phone's clock was right.
        width: as shown [pixel].
        height: as shown [pixel].
    """

    id: str
    at: datetime
    entry: int
    who: str
    alt: str
    note: str
    width: int
    height: int


def shown_photos(
    photos: Sequence[Photo], people: Mapping[str, Person], tongue: Tongue
) -> tuple[ShownPhoto, ...]:
    """Photographs of one vehicle in words, in the order they were taken."""
    return tuple(_shown(photo, named(photo.by, people), tongue) for photo in photos)


def _shown(photo: Photo, who: str, t: Tongue) -> ShownPhoto:
    scale = min(1.0, SHOWN_PX / max(photo.width_px, photo.height_px))
    alt = t("photo.alt", who=who, at=t.plain_hour(photo.at))
    return ShownPhoto(
        id=photo.id,
        at=photo.at,
        entry=photo.entry,
        who=who,
        alt=alt.unescape(),
        note=str(t("photo.clock")) if photo.note else "",
        width=round(photo.width_px * scale),
        height=round(photo.height_px * scale),
    )


def by_statement(
    groups: Sequence[Sequence[Entry]], photos: Sequence[ShownPhoto]
) -> list[tuple[ShownPhoto, ...]]:
    """The photographs that belong to each of a record's statements.

    Args:
        groups: the statements, one after the other as they were taken in.
        photos: photographs of the same vehicle.
    """
    found, first = [], 1
    for group in groups:
        last = first + len(group)
        found.append(tuple(photo for photo in photos if first <= photo.entry < last))
        first = last
    return found
