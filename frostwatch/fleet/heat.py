"""What warms a vehicle that is being made ready, and where its power comes from."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from frostwatch.errors import FleetError
from frostwatch.units import within

MAINS_V = 230.0
"""Nominal voltage of a European hook-up post (EN 50160)."""


class Fuel(StrEnum):
    """What is burnt, or the hook-up."""

    GAS = "gas"
    DIESEL = "diesel"
    ELECTRIC = "electric"

    @property
    def burns(self) -> bool:
        """Combustion: outdoors only, and never unattended in storage."""
        return self is not Fuel.ELECTRIC


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatSource:
    """One way to warm a vehicle's living space.

    Attributes:
        fuel: what it runs on.
        power_w: heat it gives to the living space, rated [W].
    """

    fuel: Fuel
    power_w: float

    def __post_init__(self) -> None:
        what = f"heat source {self.fuel.value}: power"
        within(self.power_w, 100, 30000, what=what, unit="W", error=FleetError)


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """A hook-up post of a site.

    Attributes:
        name: what is written on it.
        amps: rating of its breaker [A].
    """

    name: str
    amps: float

    def __post_init__(self) -> None:
        within(self.amps, 1, 125, what=f"post {self.name}: rating", unit="A", error=FleetError)

    @property
    def power_w(self) -> float:
        """What it can give [W]."""
        return self.amps * MAINS_V


@dataclass(frozen=True, slots=True, kw_only=True)
class Handover:
    """An hour at which a vehicle must be warm, full and checked: a handover, or a trip.

    Attributes:
        at: the hour, UTC.
        fill_l: water to be put in [L]; 20 to 40 L for a test, or as much as goes in.
        heat: the source that was chosen; None takes the one proposed.
        indoors_from: it stands in a warm building from then on, UTC; None where it stays outside.
        who: who makes it ready, and stays with a burner; "" where nobody said.
        taker: whom it is handed to; "" where nobody said.
    """

    at: datetime
    fill_l: float = 40.0
    heat: HeatSource | None = None
    indoors_from: datetime | None = None
    who: str = ""
    taker: str = ""

    def __post_init__(self) -> None:
        if self.at.tzinfo is None:
            raise FleetError("handover: the hour has no time zone. Put a Z behind it for UTC.")
        within(self.fill_l, 1, 1000, what="handover: litres", unit="L", error=FleetError)
        if self.indoors_from is None:
            return
        if self.indoors_from.tzinfo is None or self.indoors_from >= self.at:
            raise FleetError(
                "handover: it comes indoors before its hour, with a time zone. Give an earlier one."
            )

    def plans_like(self, other: "Handover | None") -> bool:
        """Whether the same plans serve both: whoever works on it, and for whom, changes none."""
        return other is not None and (self.at, self.fill_l, self.heat, self.indoors_from) == (
            other.at,
            other.fill_l,
            other.heat,
            other.indoors_from,
        )
