"""Sun height and sun on level ground against pvlib, and against a measured year."""

from datetime import UTC, datetime

import numpy as np
import pandas as pd
import pytest
from pvlib import clearsky, solarposition

from frostwatch.weather.sun import (
    clear_sun_w_per_m2,
    estimated_sun_w_per_m2,
    sun_height_deg,
)
from tests.weather.observed import typical_year

PLACES = [(54.4, -2.9), (69.6, 18.9), (40.7, -74.2), (-41.3, 174.8), (0.0, 0.0)]
YEAR_S = datetime(2026, 1, 1, tzinfo=UTC).timestamp() + 3600.0 * np.arange(0.0, 8760.0, 7.0)


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_sun_height_agrees_with_pvlib(latitude: float, longitude: float) -> None:
    """pvlib ``solarposition.get_solarposition`` (NREL SPA), true elevation without refraction.
    Tolerance 0.02 deg: twice what the low-precision formulas of the almanac promise."""
    times = pd.to_datetime(YEAR_S, unit="s", utc=True)
    reference = solarposition.get_solarposition(times, latitude, longitude)["elevation"]
    ours = sun_height_deg(YEAR_S, latitude, longitude)
    assert ours == pytest.approx(reference.to_numpy(), abs=0.02)


def test_clear_sun_agrees_with_pvlib() -> None:
    """pvlib ``clearsky.haurwitz``; below 0.1 deg ours is cut off to avoid a division by zero."""
    heights = np.arange(0.1, 90.0, 0.5)
    reference = clearsky.haurwitz(pd.Series(90.0 - heights))["ghi"].to_numpy()
    assert clear_sun_w_per_m2(heights) == pytest.approx(reference, abs=0.5)


def test_no_sun_below_the_horizon() -> None:
    assert (clear_sun_w_per_m2(np.array([-60.0, -0.1, 0.0])) == 0.0).all()


@pytest.mark.parametrize("name", ["sand-point", "greensboro"])
def test_estimated_sun_is_close_to_that_of_a_typical_year(name: str) -> None:
    """TMY3 hours of November to March (stamps cover the hour before). Mean within 20 %, and the
    hours below 5 W/m2, which count as night, agree in 19 of 20. Tolerances: cloud in tenths says
    nothing of its thickness."""
    year = typical_year(name)
    hours = slice(year.index_at(datetime(2012, 11, 1, tzinfo=UTC)), None)
    ends_s = year.start.timestamp() + 3600.0 * np.arange(year.hours)
    ours = estimated_sun_w_per_m2(
        ends_s, year.cloud_fraction, year.latitude_deg, year.longitude_deg
    )[hours][: 24 * 150]
    theirs = year.sun_w_per_m2[hours][: 24 * 150]
    assert ours.mean() == pytest.approx(theirs.mean(), rel=0.2)
    assert ((ours <= 5.0) == (theirs <= 5.0)).mean() > 0.95


def test_unknown_cloud_leaves_the_day_unknown_and_the_night_dark() -> None:
    midday = datetime(2026, 12, 1, 12, tzinfo=UTC).timestamp()
    midnight = datetime(2026, 12, 1, 0, tzinfo=UTC).timestamp()
    found = estimated_sun_w_per_m2(
        np.array([midday, midnight]), np.array([np.nan, np.nan]), 54.4, -2.9
    )
    assert np.isnan(found[0])
    assert found[1] == 0.0
