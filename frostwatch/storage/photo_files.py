"""Photographs as files, with a list that says what they are: ``photos.csv``."""

from collections.abc import Iterable, Iterator
from io import BytesIO
from zipfile import ZIP_STORED, ZipFile, ZipInfo

from frostwatch.ports.photos import Photo, Photos
from frostwatch.storage.entry_text import utc_text
from frostwatch.storage.sheets import write_sheet

FIELDS = (
    "file",
    "vehicle",
    "at",
    "received_at",
    "by",
    "entry",
    "width_px",
    "height_px",
    "sha256",
    "note",
    "id",
)
LIST = "photos.csv"


def file_name(photo: Photo) -> str:
    """Name of a photograph's file: its moment in UTC, then the whole id, which is plain."""
    return f"{photo.at:%Y%m%dT%H%M%SZ}-{photo.id}.jpg"


def list_of(photos: Iterable[Photo]) -> str:
    """What each file is, as a CSV; ``entry`` is the number in the sealed record, empty for none."""
    return write_sheet(FIELDS, (_cells(photo) for photo in photos))


def _cells(photo: Photo) -> list[str]:
    return [
        file_name(photo),
        photo.vehicle,
        utc_text(photo.at),
        utc_text(photo.received_at),
        photo.by,
        str(photo.entry) if photo.entry else "",
        str(photo.width_px),
        str(photo.height_px),
        photo.digest,
        photo.note,
        photo.id,
    ]


def files_of(store: Photos, vehicle: str) -> Iterator[tuple[str, bytes]]:
    """Name and content of every file: the list first, then the photographs one by one."""
    photos = store.of_vehicle(vehicle)
    yield LIST, list_of(photos).encode()
    for photo in photos:
        jpeg = store.jpeg(vehicle, photo.id)
        if jpeg is not None:
            yield file_name(photo), jpeg


def zip_of(store: Photos, vehicle: str) -> bytes:
    """All of it in one file; a photograph does not become smaller by packing."""
    out = BytesIO()
    with ZipFile(out, "w", ZIP_STORED) as packed:
        for name, content in files_of(store, vehicle):
            packed.writestr(ZipInfo(name), content)
    return out.getvalue()
