"""Use cases of photographs: keep one, and believe by it what its taker told.

Whoever calls decides who may.
"""

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Protocol

from frostwatch.advice.walk import Press, PressKind
from frostwatch.ports.photos import Photo, Photos
from frostwatch.records.chain import Linked
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.service.open_links import OpenVan
from frostwatch.storage.pictures import picture_from

EVENT = "photo"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """A photograph as it arrives.

    Attributes:
        id: made by whoever took it.
        vehicle: key of the vehicle.
        by: who took it.
        at: when, UTC.
        data: the file.
        entry: number of the entry it belongs to, 0 for none.
        round: code of the round on which it was taken, "" for none.
        note: what was off about the phone's clock.
    """

    id: str
    vehicle: str
    by: str
    at: datetime
    data: bytes
    entry: int = 0
    round: str = ""
    note: str = ""


class ProofStore(Protocol):
    """What is asked of the ledger where a photograph proves something."""

    def record_of(self, vehicle: str) -> tuple[Linked, ...]:
        """A vehicle's whole record."""
        ...

    def add_entries(self, entries: Sequence[Entry]) -> tuple[Linked, ...]:
        """Add to the record."""
        ...


def take_photo(photos: Photos, sent: Sent, now: datetime) -> bool:
    """Keep a photograph; the same one twice is kept once.

    Args:
        photos: where photographs are kept.
        sent: what arrived.
        now: moment of arrival, UTC.

    Returns:
        Whether it was new.

    Raises:
        NoPhotoError: it is none, or cannot be kept; with the reason.
        RecordError: its id is none, or another vehicle's.
        LedgerError: it could not be kept.
    """
    if photos.has(sent.vehicle, sent.id):
        return False
    picture = picture_from(sent.data)
    photo = Photo(
        id=sent.id,
        vehicle=sent.vehicle,
        by=sent.by,
        at=min(sent.at, now),
        received_at=now,
        entry=sent.entry,
        round=sent.round,
        note=sent.note,
        width_px=picture.width_px,
        height_px=picture.height_px,
        size_bytes=len(picture.jpeg),
        digest=hashlib.sha256(picture.jpeg).hexdigest(),
    )
    return photos.add(photo, picture)


def entry_pressed(photos: Photos, presses: Sequence[Press], vehicle: str, by: str) -> int:
    """Number of the first entry of what somebody pressed last at a stop; 0 where nothing stands.

    What they took before they pressed is joined to it when the press arrives.
    """
    gone = {press.undoes for press in presses}
    own = [p for p in presses if (p.vehicle, p.by) == (vehicle, by) and p.id not in gone]
    last = next((p for p in reversed(own) if p.kind is not PressKind.UNDO), None)
    return 0 if last is None else photos.entry_of(vehicle, last.at, last.received_at)


def proves(ledger: ProofStore, photo: str, told: Iterable[Entry], now: datetime) -> int:
    """A photograph makes seen what its taker told: the same is said again, with its evidence.

    Args:
        ledger: where the record is kept.
        photo: id of the photograph.
        told: what its taker told and did not take back.
        now: moment, UTC.

    Returns:
        How many statements became seen; none where they were by this photograph already.
    """
    entries = tuple(_seen(told, photo, now))
    if not entries:
        return 0
    record = ledger.record_of(entries[0].vehicle)
    if any(linked.entry.photo == photo for linked in record):
        return 0
    return len(ledger.add_entries(entries))


def of_owner(photos: Photos, ledger: ProofStore, van: OpenVan, sent: Sent, now: datetime) -> bool:
    """Keep a photograph that came by a link, and believe by it what its sender told.

    Args:
        photos: where photographs are kept.
        ledger: where the record is kept.
        van: the vehicle as the link opens it.
        sent: what arrived.
        now: moment of arrival, UTC.

    Returns:
        Whether it was new.

    Raises:
        NoPhotoError: it is none, or cannot be kept; with the reason.
        RecordError: its id is none, or another vehicle's.
    """
    proof = van.proof
    if proof is not None:
        entry = photos.entry_of(sent.vehicle, proof.at, proof.received_at)
        return take_photo(photos, replace(sent, entry=entry), now)
    new = take_photo(photos, sent, now)
    if van.own_entries and proves(ledger, sent.id, van.own_entries, now):
        entry = photos.entry_of(sent.vehicle, van.own_entries[-1].at, now)
        photos.belong(sent.vehicle, round="", by=sent.by, entry=entry)
    return new


def _seen(told: Iterable[Entry], photo: str, now: datetime) -> Iterator[Entry]:
    for entry in told:
        if entry.state is State.DRAINED and entry.evidence is Evidence.ASSERTED:
            yield replace(entry, evidence=Evidence.SEEN, event=EVENT, photo=photo, received_at=now)
