"""What stands over a vehicle: nothing, a roof, a building, a building that is heated.

Nobody knows of a roof by itself: somebody said so. That a building is heated is told with a name
and holds to an hour; from then on, and wherever nothing is known, a vehicle stands outdoors.
"""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from frostwatch.errors import FleetError
from frostwatch.units import within


class Roof(StrEnum):
    """What stands over a vehicle."""

    NONE = "outdoors"
    ROOFED = "roofed"
    UNHEATED = "unheated"
    HEATED = "heated"


@dataclass(frozen=True, slots=True, kw_only=True)
class Under:
    """Where a vehicle stands, as somebody said.

    Attributes:
        kind: what is over it: a roof alone, an unheated or a heated building.
        heated_to_c: what a heated building is kept at, at the vehicle [degC].
        by: who said so, in words; a heated building needs a name.
        until: until when it holds, UTC: the hour it leaves, or the end of what was said; a heated
            building needs one. None holds for good.
        said_at: when it was said, UTC: a happening that takes the vehicle away later ends it. None
            where a file says it, which holds until the file is changed.
    """

    kind: Roof
    heated_to_c: float | None = None
    by: str = ""
    until: datetime | None = None
    said_at: datetime | None = None

    def __post_init__(self) -> None:
        if any(at is not None and at.tzinfo is None for at in (self.until, self.said_at)):
            raise FleetError("until: the hour has no time zone. Put a Z behind it for UTC.")
        if self.kind is not Roof.HEATED:
            if self.heated_to_c is not None:
                raise FleetError(
                    f"heated: {self.kind.value} is not heated. Leave heated_to_c out, or say "
                    "heated."
                )
            return
        if self.heated_to_c is None or not self.by.strip() or self.until is None:
            raise FleetError(
                "heated: it is not told what it is kept at, who says so and until when. Give "
                "heated_to_c, by and until."
            )
        within(self.heated_to_c, 0, 30, what="heated: warmth", unit="degC", error=FleetError)

    @property
    def has_walls(self) -> bool:
        """A building: no wind, no sky, and nothing may burn in it."""
        return self.kind in (Roof.UNHEATED, Roof.HEATED)

    def holds(self, now: datetime) -> bool:
        """Whether it still holds at a moment."""
        return self.until is None or now < self.until


INDOORS = Under(kind=Roof.UNHEATED)
"""What "indoors" says: nobody told of any heating."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofedBays:
    """Bays of a site that stand under one roof.

    Attributes:
        bays: their names.
        under: the roof.
    """

    bays: tuple[str, ...]
    under: Under
