"""Sites: where vehicles stand, how the air gets at them, and when people are there."""

from dataclasses import dataclass, replace
from datetime import time
from enum import StrEnum
from zoneinfo import ZoneInfo

from frostwatch.errors import FleetError
from frostwatch.fleet.heat import Post
from frostwatch.fleet.roofs import INDOORS, RoofedBays, Under
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.units import within


class SiteKind(StrEnum):
    """Who runs the place, which sets how work is told."""

    YARD = "yard"
    FORECOURT = "forecourt"
    DRIVE = "drive"


class Lie(StrEnum):
    """How the ground lies; cold air collects in hollows."""

    OPEN = "open"
    HOLLOW = "hollow"
    TOWN = "town"


class Shelter(StrEnum):
    """What stands between the wind and the vehicle."""

    OPEN = "open"
    HEDGED = "hedged"
    WALLED = "walled"
    INDOORS = "indoors"


class Caution(StrEnum):
    """How much a call too many weighs against a frost missed."""

    CAREFUL = "careful"
    BALANCED = "balanced"
    SPARING = "sparing"


COST_RATIO: dict[Caution, float] = {
    Caution.CAREFUL: 0.05,
    Caution.BALANCED: 0.10,
    Caution.SPARING: 0.20,
}
"""Probability of harm above which a call is worth its work. Estimates; a site may set its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """Working hours of one weekday at a site, local time.

    Attributes:
        weekday: 0 is Monday, 6 is Sunday.
        opens: first minute of work, local time.
        closes: last minute of work, local time; later than ``opens``.
    """

    weekday: int
    opens: time
    closes: time

    def __post_init__(self) -> None:
        if not 0 <= self.weekday <= 6 or self.closes <= self.opens:
            raise FleetError(
                f"shift on weekday {self.weekday} {self.opens:%H:%M}-{self.closes:%H:%M}: "
                "the day is one of mon..sun and the end must be later than the start."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A yard, a forecourt or a drive.

    Attributes:
        key: short name used in files and on the command line, e.g. ``"cold-rigg"``.
        name: what people call it.
        kind: yard, forecourt or drive.
        latitude_deg: WGS 84 [deg], north positive.
        longitude_deg: WGS 84 [deg], east positive.
        height_m: height above sea level [m]; None until looked up.
        time_zone: IANA name, e.g. ``"Europe/London"``.
        lie: open ground, hollow or town; sets the offset of the night air.
        shelter: what breaks the wind.
        shifts: working hours; empty means reachable on no fixed day (an owner's drive).
        bays: bay names in walking order from the gate.
        crew: people who can walk a round at once.
        operator: key of the person who is written to about the site itself; may be "".
        cost_ratio: probability of harm above which a call is made [fraction].
        gas_allowed: whether the place lets people heat with gas.
        posts: hook-up posts.
        supply_w: what all posts together may draw [W]; None where nobody said.
        roofs: bays under a roof or in a building; all others lie outdoors.
    """

    key: str
    name: str
    kind: SiteKind
    latitude_deg: float
    longitude_deg: float
    height_m: float | None
    time_zone: str
    lie: Lie = Lie.OPEN
    shelter: Shelter = Shelter.OPEN
    shifts: tuple[Shift, ...] = ()
    bays: tuple[str, ...] = ()
    crew: int = 1
    operator: str = ""
    cost_ratio: float = COST_RATIO[Caution.BALANCED]
    gas_allowed: bool = False
    posts: tuple[Post, ...] = ()
    supply_w: float | None = None
    roofs: tuple[RoofedBays, ...] = ()

    def __post_init__(self) -> None:
        where = f"site {self.key}"
        within(
            self.latitude_deg,
            -90,
            90,
            what=f"{where}: latitude",
            unit="degrees",
            error=FleetError,
            hint="North is positive.",
        )
        within(
            self.longitude_deg,
            -180,
            180,
            what=f"{where}: longitude",
            unit="degrees",
            error=FleetError,
            hint="East is positive.",
        )
        if self.height_m is not None:
            within(
                self.height_m,
                -430,
                5500,
                what=f"{where}: height",
                unit="m",
                error=FleetError,
                hint="Give metres above sea level, or leave it out.",
            )
        within(
            self.cost_ratio,
            0.005,
            0.9,
            what=f"{where}: cost ratio",
            unit="",
            error=FleetError,
            hint="0.05 is careful, 0.1 balanced, 0.2 sparing.",
        )
        if self.supply_w is not None:
            within(self.supply_w, 100, 1e7, what=f"{where}: supply", unit="W", error=FleetError)
        try:
            ZoneInfo(self.time_zone)
        except (KeyError, ValueError, OSError) as unknown:
            raise FleetError(
                f"{where}: time zone {self.time_zone!r} is not known. "
                "Give an IANA name such as Europe/London or Europe/Berlin."
            ) from unknown

    @property
    def is_south(self) -> bool:
        """It lies south of the equator, where winter comes in June."""
        return self.latitude_deg < 0.0

    @property
    def zone(self) -> ZoneInfo:
        """The site's time zone."""
        return ZoneInfo(self.time_zone)

    def under(self, bay: str) -> Under | None:
        """What is over a bay, "" for a vehicle without one; None outdoors."""
        for roof in self.roofs:
            if bay and bay in roof.bays:
                return roof.under
        return INDOORS if self.shelter is Shelter.INDOORS else None


def as_it_stands(vehicle: Vehicle, site: Site | None) -> Vehicle:
    """A vehicle with what is over it: as was said of it itself, or else of its bay or site."""
    if vehicle.under is not None or vehicle.indoors or site is None:
        return vehicle
    under = site.under(vehicle.bay)
    return vehicle if under is None else replace(vehicle, under=under)
