"""On the road or on a carrier: the wind of the road on whatever is still wet under the floor."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from frostwatch.advice.gates import COLD
from frostwatch.errors import NoForecastError
from frostwatch.fleet.vehicles import Circuit, Item, Layout, Place
from frostwatch.heatloss.vessels import exposure_of
from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.site_air import SiteAir

ROAD_M_PER_S = 80.0 / 3.6
"""Speed of a carrier, 80 km/h."""
PARKED_M_PER_S = 3.0
LASTS_H = 8.0
"""How long a move takes where nobody says. Estimate."""
ROAD_FROST_C = 2.0
"""Below this air counts as frost for anything wet on the road. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Transport:
    """A vehicle before a move.

    Attributes:
        wet: circuits that still hold water, or of which nobody knows.
        faster: how many times faster what hangs under the floor loses heat on the road; 1 where
            nothing wet does.
        frost: the air of the move counts as frost for what is wet.
        lowest_c: lowest air of the move, cold end [degC].
    """

    wet: tuple[Circuit, ...]
    faster: float
    frost: bool
    lowest_c: float

    @property
    def ready(self) -> bool:
        """Nothing in it is known to be wet."""
        return not self.wet


def transport(
    layout: Layout,
    water: Sequence[CircuitWater],
    air: SiteAir,
    at: datetime,
    hours: float = LASTS_H,
) -> Transport:
    """Look at a vehicle that is to be moved.

    Args:
        layout: its layout.
        water: what is recorded.
        air: air along the way, taken as that of the site.
        at: begin of the move, UTC.
        hours: how long it takes [h].

    Raises:
        NoForecastError: what is known of the air does not reach over all of it.
    """
    known_to = air.start + timedelta(hours=air.air_c.shape[1] - 1)
    if not air.start <= at <= known_to - timedelta(hours=hours):
        raise NoForecastError(
            f"The forecast reaches to {known_to:%Y-%m-%d %H:%M} UTC, not over all of the move. "
            "This does not mean no frost: ask again nearer to it."
        )
    first = (at - air.start) // timedelta(hours=1)
    last = math.ceil((at - air.start) / timedelta(hours=1) + hours) + 1
    cold_c = float(np.quantile(air.air_c[:, first:last], 1.0 - COLD, axis=0).min())
    wet = tuple(e.circuit for e in water if e.is_wet and e.state is not State.DOSED)
    below = [
        item
        for item in layout.items
        if item.place in (Place.FLOOR, Place.OUTSIDE) and item.circuit in wet
    ]
    return Transport(
        wet=wet,
        faster=max((road_factor(item) for item in below), default=1.0),
        frost=cold_c < ROAD_FROST_C,
        lowest_c=cold_c,
    )


def road_factor(item: Item) -> float:
    """How many times faster an item under the floor loses heat at 80 km/h than parked."""
    parked, road = (
        float(exposure_of(item, item.capacity_l.value, np.array([wind])).outside_w_per_k[0])
        for wind in (PARKED_M_PER_S, ROAD_M_PER_S)
    )
    return road / parked if parked > 0.0 else 1.0
