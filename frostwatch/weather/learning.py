"""Learning a place: what its nights were forecast to be, what they were, and what follows. Pure.

After 30 nights the bias and the spread by lead are fitted and drawn towards the default as far as
the nights are few. The provider's own analysis may make a place colder, but hardly warmer: only
readings taken at the site may do that.
"""

import csv
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import ForecastError
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw

Series = NDArray[np.float64]

LEAST_NIGHTS = 30
"""Nights below which nothing is fitted."""
DEFAULT_WORTH_NIGHTS = 30.0
"""Nights the default counts as. Estimate."""
WARMEST_BY_ANALYSIS_K = 0.5
"""How much warmer than the default a place may become without readings of its own [K]."""
WARMEST_BY_READINGS_K = 3.0
COLDEST_K = 4.0
NARROWEST, WIDEST = 0.7, 2.0
"""Bounds of a fitted spread as a share of the default's. Estimates."""
HOURS_OF_A_NIGHT = 20
"""Least hours with a value for a night, noon to noon, to count."""
BIAS_LEAD_DAYS = 2


class Source(StrEnum):
    """Where it is known from what a night was."""

    READINGS = "readings taken at the site"
    ANALYSIS = "the provider's own analysis"


@dataclass(frozen=True, slots=True, kw_only=True)
class NightGuess:
    """What a night was forecast to be at the site.

    Attributes:
        night: date of its evening, by the sun's time.
        lead_day: 1 for the first night after the issue, and so on.
        lowest_c: lowest air forecast, site corrections included, nothing learnt [degC].
    """

    night: date
    lead_day: int
    lowest_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NightError:
    """How wrong a guess was.

    Attributes:
        night: date of its evening.
        lead_day: lead of the guess.
        error_k: guess minus what it was [K]; above 0 the forecast was too warm.
    """

    night: date
    lead_day: int
    error_k: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Learnt:
    """What the nights of a place have taught.

    Attributes:
        law: the default with this place's bias and spread.
        source: what it rests on.
        nights: how many nights.
        first: earliest night.
        last: latest night.
    """

    law: ErrorLaw
    source: Source
    nights: int
    first: date
    last: date

    @property
    def sentence(self) -> str:
        """What was learnt, for people."""
        bias = self.law.site_bias_k
        word = "too warm" if bias >= 0 else "too cold"
        return (
            f"From {self.nights} nights ({self.first} to {self.last}, {self.source}): forecast "
            f"{abs(bias):.1f} K {word} here; error of the first night {self.law.by_day_k[0]:.1f} K "
            f"instead of {DEFAULT_LAW.by_day_k[0]:.1f} K."
        )


def night_of(unix_s: Series, longitude_deg: float) -> NDArray[np.int64]:
    """Number of the night that each moment belongs to: noon to noon by the sun's time.

    Args:
        unix_s: moments [s since 1970-01-01 UTC].
        longitude_deg: WGS 84 [deg], east positive; 15 degrees are an hour.

    Returns:
        Days from 1970-01-01 to the evening's date.
    """
    noon_s = 43_200.0 - longitude_deg * 240.0
    return np.floor((unix_s - noon_s) / 86_400.0).astype(np.int64)


def night_minima(unix_s: Series, air_c: Series, longitude_deg: float) -> dict[date, float]:
    """Night -> lowest air [degC], for nights known in at least 20 of their 24 hours.

    Args:
        unix_s: moments in order [s since 1970-01-01 UTC], any spacing.
        air_c: air [degC], NaN where unknown.
        longitude_deg: WGS 84 [deg].
    """
    known = ~np.isnan(air_c)
    unix_s, air_c = unix_s[known], air_c[known]
    nights = night_of(unix_s, longitude_deg)
    found: dict[date, float] = {}
    for number in np.unique(nights):
        inside = nights == number
        if len(np.unique(unix_s[inside] // 3600)) >= HOURS_OF_A_NIGHT:
            evening = date(1970, 1, 1) + timedelta(days=int(number))
            found[evening] = float(air_c[inside].min())
    return found


def night_guesses(
    start: datetime, guess_c: Series, issued_at: datetime, longitude_deg: float
) -> tuple[NightGuess, ...]:
    """The nights that a forecast speaks of in whole.

    Args:
        start: time of index 0, UTC.
        guess_c: air at the site as forecast [degC], hourly; see ``site_air.guess_at_site``.
        issued_at: when it was issued, UTC; nights that had begun by then are left out.
        longitude_deg: WGS 84 [deg].
    """
    unix_s = start.timestamp() + 3600.0 * np.arange(len(guess_c), dtype=np.float64)
    minima = night_minima(unix_s, guess_c, longitude_deg)
    issue_night = int(night_of(np.array([issued_at.timestamp()]), longitude_deg)[0])
    found = []
    for evening, lowest_c in minima.items():
        lead_day = (evening - date(1970, 1, 1)).days - issue_night
        if lead_day >= 1:
            found.append(NightGuess(night=evening, lead_day=lead_day, lowest_c=lowest_c))
    return tuple(found)


def night_errors(
    guesses: Iterable[NightGuess], minima: Mapping[date, float]
) -> tuple[NightError, ...]:
    """Guesses held against what the nights were."""
    return tuple(
        NightError(night=one.night, lead_day=one.lead_day, error_k=one.lowest_c - minima[one.night])
        for one in guesses
        if one.night in minima
    )


def learn(
    errors: Sequence[NightError], source: Source, *, default: ErrorLaw = DEFAULT_LAW
) -> Learnt | None:
    """Fit a place's bias and spread, None before 30 nights are known.

    With n nights a fitted bias counts n / (n + 30), a variance ``(n v + 30 sigma^2) / (n + 30)``.

    Args:
        errors: guesses held against what was.
        source: what the nights are known from.
        default: the law that is drawn towards.
    """
    nights = sorted({one.night for one in errors if one.lead_day <= BIAS_LEAD_DAYS})
    if len(nights) < LEAST_NIGHTS:
        return None
    worth = len(nights) / (len(nights) + DEFAULT_WORTH_NIGHTS)
    near = [one for one in errors if one.lead_day <= BIAS_LEAD_DAYS]
    by_night = [np.mean([one.error_k for one in near if one.night == night]) for night in nights]
    mean_k = float(np.mean(by_night))
    warmest = WARMEST_BY_READINGS_K if source is Source.READINGS else WARMEST_BY_ANALYSIS_K
    bias_k = min(COLDEST_K, max(-warmest, mean_k * worth))
    site_k = default.site_k
    if source is Source.READINGS:
        site_k *= float(np.sqrt(1.0 - worth))
    return Learnt(
        law=replace(
            default,
            by_day_k=_spread_by_day(errors, mean_k, default),
            site_k=site_k,
            site_bias_k=bias_k,
        ),
        source=source,
        nights=len(nights),
        first=nights[0],
        last=nights[-1],
    )


def _spread_by_day(
    errors: Sequence[NightError], mean_k: float, default: ErrorLaw
) -> tuple[float, ...]:
    """Standard deviation for every lead day [K], drawn towards the default, never shrinking."""
    found: list[float] = []
    for day, usual_k in enumerate(default.by_day_k, start=1):
        off_k = np.array([one.error_k - mean_k for one in errors if one.lead_day == day])
        variance = float(np.sum(off_k**2)) + DEFAULT_WORTH_NIGHTS * usual_k**2
        sigma_k = float(np.sqrt(variance / (len(off_k) + DEFAULT_WORTH_NIGHTS)))
        sigma_k = min(WIDEST * usual_k, max(NARROWEST * usual_k, sigma_k))
        found.append(max([sigma_k, *found[-1:]]))
    return tuple(found)


def parse_readings(text: str) -> tuple[Series, Series]:
    """A thermometer's CSV -> moments [s since 1970 UTC] and air [degC], in order of time.

    Args:
        text: a head line with the columns ``time`` and ``air_c``, then one reading a line; times
            in ISO 8601 with their offset, such as ``2026-12-01T06:10:00+01:00``.

    Raises:
        ForecastError: a line that cannot be read, by its number, and how to mend it.
    """
    rows = csv.DictReader(text.splitlines())
    if rows.fieldnames is None or not {"time", "air_c"} <= set(rows.fieldnames):
        raise ForecastError(
            "Readings: the first line must name the columns time and air_c, such as 'time,air_c'."
        )
    found: dict[float, float] = {}
    for row in rows:
        where = f"Readings, line {rows.line_num}"
        try:
            moment = datetime.fromisoformat(str(row["time"]).strip())
            air_c = float(str(row["air_c"]).strip())
        except ValueError as wrong:
            raise ForecastError(
                f"{where}: {wrong}. Write a time such as 2026-12-01T06:10:00+01:00 and degrees "
                "Celsius such as -2.4."
            ) from wrong
        if moment.tzinfo is None:
            raise ForecastError(f"{where}: the time has no offset. Add Z for UTC, or +01:00.")
        if not -60.0 <= air_c <= 50.0:
            raise ForecastError(f"{where}: {air_c:g} is no air temperature in degrees Celsius.")
        found[moment.astimezone(UTC).timestamp()] = air_c
    unix_s = np.array(sorted(found))
    return unix_s, np.array([found[moment] for moment in unix_s])
