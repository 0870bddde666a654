"""The night of one vehicle as people are shown it: what the drawing and the table are made from.

It is worked out once, in the pass that stepped the heat model, and kept; pages only read it.
"""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from frostwatch.advice.band import Band
from frostwatch.fleet.vehicles import Circuit, Place


class Fate(StrEnum):
    """What the night would do to one item."""

    NOTHING = "nothing"
    ICE = "ice"
    HARM = "harm"
    LEAVES = "leaves by itself"
    RUNS_OUT = "outlet stands open"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """The courses of one item; they end where its water likely leaves.

    Attributes:
        water_c: its temperature [degC].
        ice: share turned to ice, likely [fraction].
        ice_most: the same in the cold reading [fraction].
    """

    water_c: Band
    ice: tuple[float, ...]
    ice_most: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemNight:
    """One thing that holds water, over the night.

    Attributes:
        key: key of the item in its layout.
        circuit: circuit of the record it belongs to.
        place: the air around it.
        litres: water in it [L].
        capacity_l: water when full [L].
        ice_early: first ice in the cold reading, UTC; None for never.
        ice_likely: likely first ice, UTC.
        harm_early: first harm in the cold reading, UTC.
        harm_likely: likely first harm, UTC.
        probability: chance of harm within what is shown.
        ice_by: share of ice on the coldest morning, likely [fraction].
        ice_by_most: the same in the cold reading [fraction].
        opens_early: earliest hour at which its frost-opening valve lets it go, UTC.
        opens_likely: the likely one, UTC.
        fate: what the night would do to it.
        drawn: its courses; one item of each circuit has them, the first to freeze.
    """

    key: str
    circuit: Circuit
    place: Place
    litres: float
    capacity_l: float
    ice_early: datetime | None
    ice_likely: datetime | None
    harm_early: datetime | None
    harm_likely: datetime | None
    probability: float
    ice_by: float
    ice_by_most: float
    opens_early: datetime | None
    opens_likely: datetime | None
    fate: Fate
    drawn: Drawn | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NightView:
    """The night of one vehicle.

    Attributes:
        vehicle: key of the vehicle.
        made_at: the pass that worked it out, UTC.
        issued_at: issue of the forecast it rests on, UTC; None if the provider gives none.
        air: air at the vehicle, over what is shown.
        coldest_at: likely coldest hour, UTC.
        morning_at: moment for which the table tells the ice, UTC.
        items: everything that holds water, the first to freeze first.
    """

    vehicle: str
    made_at: datetime
    issued_at: datetime | None
    air: Band
    coldest_at: datetime
    morning_at: datetime
    items: tuple[ItemNight, ...]

    @property
    def lanes(self) -> tuple[ItemNight, ...]:
        """Items that have courses to draw."""
        return tuple(item for item in self.items if item.drawn is not None)
