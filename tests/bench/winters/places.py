"""Winters of real or reference hourly weather, each as the stretch in which fillings are counted.

Beside the places of ``tests/weather/observed.py`` two German test reference years (Essen,
Mannheim), read out of the package ``richardsonpy`` 0.2.3 where somebody has installed it (the data
are the German weather service's and come without terms, so they are never copied from there).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from importlib.util import find_spec
from pathlib import Path

import numpy as np

from tests.weather.observed import AIRPORTS, TMY3, Observed, new_york, typical_year

TRY = {
    "essen": ("TRY2010_05_Jahr.dat", 51.40, 6.97, 152.0),
    "mannheim": ("TRY2010_12_Jahr.dat", 49.51, 8.55, 96.0),
}
"""File, latitude, longitude, height; the places from memory of the stations, not verified."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Winter:
    """One stretch of cold season at one place.

    Attributes:
        name: place and stretch.
        observed: the hours.
        first: first filling may be on this day, UTC.
        last: no filling later than this, UTC.
        zone: IANA name.
    """

    name: str
    observed: Observed
    first: datetime
    last: datetime
    zone: str


def winters() -> tuple[Winter, ...]:
    """Every stretch there is, the German ones only where they are installed."""
    return (*_new_york(), *_typical(), *_german())


def _new_york() -> Iterator[Winter]:
    for origin in AIRPORTS:
        for part, first, last in (
            ("early", datetime(2013, 1, 8, tzinfo=UTC), datetime(2013, 3, 24, tzinfo=UTC)),
            ("late", datetime(2013, 10, 28, tzinfo=UTC), datetime(2013, 12, 8, tzinfo=UTC)),
        ):
            yield Winter(
                name=f"{origin.lower()} 2013 {part}",
                observed=new_york(origin),
                first=first,
                last=last,
                zone="America/New_York",
            )


def _typical() -> Iterator[Winter]:
    zones = {"sand-point": "Etc/GMT+9", "greensboro": "Etc/GMT+5"}
    for name in TMY3:
        yield Winter(
            name=name,
            observed=typical_year(name),
            first=datetime(2012, 10, 29, tzinfo=UTC),
            last=datetime(2013, 3, 25, tzinfo=UTC),
            zone=zones[name],
        )


def _german() -> Iterator[Winter]:
    spec = find_spec("richardsonpy")
    if spec is None or spec.origin is None:
        return
    for name, (file, latitude, longitude, height) in TRY.items():
        path = Path(spec.origin).parent / "inputs" / "weather" / file
        if path.is_file():
            yield Winter(
                name=name,
                observed=_reference_year(name, path, latitude, longitude, height),
                first=datetime(2010, 10, 25, tzinfo=UTC),
                last=datetime(2011, 3, 21, tzinfo=UTC),
                zone="Etc/GMT-1",
            )


def _reference_year(
    name: str, path: Path, latitude: float, longitude: float, height: float
) -> Observed:
    """A test reference year, turned so that its winter is in one piece; stamps are CET."""
    lines = path.read_text("latin-1").splitlines()
    names = next(line for line in reversed(lines) if line.startswith("RG ")).split()
    table = np.array([line.split() for line in lines[-24 * 365 :]], dtype=np.float64)
    turned = np.roll(table, -24 * 181, axis=0)

    def series(column: str) -> np.ndarray:
        return turned[:, names.index(column)]

    air_c, humidity = series("t"), series("RF") / 100.0
    log = np.log(np.clip(humidity, 0.01, 1.0)) + 17.62 * air_c / (243.12 + air_c)
    return Observed(
        name=name,
        start=datetime(2010, 7, 1, 1, tzinfo=UTC) - timedelta(hours=1),
        latitude_deg=latitude,
        longitude_deg=longitude,
        height_m=height,
        air_c=air_c,
        dew_c=243.12 * log / (17.62 - log),
        humidity_fraction=humidity,
        wind_m_per_s=series("WG"),
        cloud_fraction=np.clip(series("N"), 0.0, 8.0) / 8.0,
        sun_w_per_m2=series("B") + series("D"),
    )
