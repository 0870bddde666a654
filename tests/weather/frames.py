"""Small forecasts for tests of the weather, made from a few words."""

from datetime import datetime, timedelta

import numpy as np

from frostwatch.weather.forecast import Forecast
from frostwatch.weather.mending import Column

PAST_H = 120
HOURS = PAST_H + 169


def daily_air_c(mean_c: float = 3.0, swing_k: float = 4.0, hours: int = HOURS) -> Column:
    """A daily wave that is lowest at 05:00 and highest at 17:00 if it starts at 06:00."""
    return mean_c + swing_k * np.sin((np.arange(hours) - 5.0) * np.pi / 12)


def a_frame(
    now: datetime,
    *,
    age_h: float = 0.0,
    issued_at: datetime | None = None,
    height_m: float | None = 100.0,
    grid_height_m: float | None = None,
    **columns: Column | float,
) -> Forecast:
    """A forecast received ``age_h`` ago that reaches 168 h beyond ``now``."""
    fetched_at = now - timedelta(hours=age_h)
    start = now.replace(minute=0, second=0, microsecond=0) - timedelta(hours=PAST_H)
    columns.setdefault("air_c", daily_air_c())
    return Forecast(
        start=start,
        columns={
            name: np.full(HOURS, float(value)) if isinstance(value, int | float) else value
            for name, value in columns.items()
        },
        provider="made",
        fetched_at=fetched_at,
        issued_at=issued_at,
        height_m=height_m,
        grid_height_m=grid_height_m,
    )
