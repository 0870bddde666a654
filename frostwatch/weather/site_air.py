"""Forecast air -> air at the vehicle: height, hollow, night sky, shelter."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SiteAir:
    """The air at one site over consecutive hours, as M equally likely members.

    All series are instants at hour boundaries; between them the air runs straight.

    Attributes:
        start: time of index 0, a whole hour, UTC.
        air_c: air at the vehicle [degC], shape (M, H + 1), no NaN.
        wind_m_per_s: 10 m wind reduced by the site's shelter [m/s], shape (H + 1,), no NaN.
        roof_k: roof surface minus air [K] by night sky and sun, shape (H + 1,).
        now_index: index of the hour in which ``now`` lies; earlier indices are the past.
    """

    start: datetime
    air_c: NDArray[np.float64]
    wind_m_per_s: NDArray[np.float64]
    roof_k: NDArray[np.float64]
    now_index: int
