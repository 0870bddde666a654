"""Photographs of a vehicle: proof of what was seen, and of damage after frost."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Protocol

from frostwatch.errors import PhotoError, RecordError
from frostwatch.told import told

MOST_OF_A_VEHICLE = 40
"""Photographs of one vehicle in one season: some 16 MB. Estimate."""
SEASON = timedelta(days=240)


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A photograph without its picture.

    Attributes:
        id: made by whoever took it; the same one twice is one photograph.
        vehicle: key of the vehicle.
        by: who took it.
        at: when, UTC; the time of arrival where the phone's clock was off or said nothing.
        received_at: when it arrived, UTC.
        entry: number of the first entry of the statement it belongs to, from 1; 0 for none.
        round: code of the round on which it was taken, "" for none.
        note: what was off about the phone's clock, "" for nothing.
        width_px: width of the kept picture [pixel].
        height_px: height of it [pixel].
        size_bytes: size of it [byte].
        digest: SHA-256 of it, hexadecimal (FIPS 180-4).
    """

    id: str
    vehicle: str
    by: str
    at: datetime
    received_at: datetime
    entry: int = 0
    round: str = ""
    note: str = ""
    width_px: int
    height_px: int
    size_bytes: int
    digest: str

    def __post_init__(self) -> None:
        plain = self.id.isascii() and self.id.replace("-", "").replace("_", "").isalnum()
        if not 8 <= len(self.id) <= 64 or not plain:
            raise RecordError(told("photo_id"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A picture as it is kept: upright JPEG (ITU-T T.81) without any words or places in it.

    Attributes:
        jpeg: the picture.
        small: the same, small, for a list.
        width_px: width [pixel].
        height_px: height [pixel].
    """

    jpeg: bytes
    small: bytes
    width_px: int
    height_px: int


class WhyNot(StrEnum):
    """Why a photograph is not kept."""

    NONE = "none"
    EMPTY = "empty"
    HEAVY = "heavy"
    LARGE = "large"
    KIND = "kind"
    BROKEN = "broken"
    ENOUGH = "enough"
    ELSEWHERE = "elsewhere"


class NoPhotoError(PhotoError):
    """A photograph that is not kept.

    Attributes:
        why: why not.
    """

    def __init__(self, why: WhyNot) -> None:
        filled = {"most": MOST_OF_A_VEHICLE} if why is WhyNot.ENOUGH else {}
        super().__init__(told(f"photo_{why.value}", **filled))
        self.why = why


class Photos(Protocol):
    """Where photographs are kept; no pass reads them. Raises LedgerError."""

    def add(self, photo: Photo, picture: Picture) -> bool:
        """Keep a photograph once; False if it was known already.

        Raises:
            NoPhotoError: the vehicle has enough of this season.
            RecordError: another vehicle has a photograph of that id.
        """
        ...

    def site_of(self, vehicle: str) -> str | None:
        """Where a vehicle stands; None if it is not entered (any more)."""
        ...

    def has(self, vehicle: str, photo: str) -> bool:
        """Whether the vehicle has a photograph of that id."""
        ...

    def of_vehicle(self, vehicle: str) -> tuple[Photo, ...]:
        """A vehicle's photographs without their pictures, in the order they were taken."""
        ...

    def jpeg(self, vehicle: str, photo: str, *, small: bool = False) -> bytes | None:
        """One picture of a vehicle; None if it has none of that id."""
        ...

    def entry_of(self, vehicle: str, at: datetime, received_at: datetime) -> int:
        """Number of the first entry about a moment that arrived at another; 0 for none."""
        ...

    def belong(self, vehicle: str, *, round: str, by: str, entry: int) -> None:
        """What somebody took at a stop before they pressed belongs to what they then recorded."""
        ...
