"""Learning a place: what its nights were forecast to be, what they were, and what follows. Pure.

After 30 nights the bias and the spread by lead are fitted and drawn towards the default as far as
the nights are few. The provider's own analysis may make a place colder, but hardly warmer: only
readings taken at the site may do that. An analysis shares the faults of its forecasts, so it is
held against the forecast before the warmth of still nights was taken off, and it never makes
anybody surer.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

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
"""Bounds of a fitted spread as a share of the default's. Estimates. Only readings narrow it."""
HOURS_OF_A_NIGHT = 20
"""Least hours with a value for a night, noon to noon, to count."""
BIAS_LEAD_DAYS = 2
DAWN_H = 18.0
"""Hours from a night's noon to its usual minimum [h]."""
LEAST_LEAD_H = 8.0
"""A night whose usual minimum is nearer than this is no forecast any more [h]. Estimate."""


class Source(StrEnum):
    """Where it is known from what a night was."""

    READINGS = "readings taken at the site"
    ANALYSIS = "the provider's own analysis"


@dataclass(frozen=True, slots=True, kw_only=True)
class NightGuess:
    """What a night was forecast to be at the site.

    Attributes:
        night: date of its evening, by the sun's time.
        lead_day: 1 where its dawn lies up to 24 h after the issue, 2 up to 48 h, and so on.
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
        mean_error_k: how much too warm the forecasts of these nights were on average [K].
        nights: how many nights.
        first: earliest night.
        last: latest night.
    """

    law: ErrorLaw
    source: Source
    mean_error_k: float
    nights: int
    first: date
    last: date

    @property
    def sentence(self) -> str:
        """What was learnt, for people."""
        return (
            f"From {self.nights} nights ({self.first} to {self.last}, {self.source}): the lowest "
            f"air was forecast {_off(self.mean_error_k)}, {abs(self.law.site_bias_k):.1f} K of "
            f"which is corrected; error of the first night {self.law.by_day_k[0]:.1f} K, by "
            f"default {DEFAULT_LAW.by_day_k[0]:.1f} K."
        )


def _off(error_k: float) -> str:
    return f"{abs(error_k):.1f} K too {'warm' if error_k >= 0 else 'cold'}"


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
    """The nights that a forecast speaks of in whole and that still lay ahead when it was issued.

    Args:
        start: time of index 0, UTC.
        guess_c: air at the site as forecast [degC], hourly; see ``site_air.guess_at_site``.
        issued_at: when it was issued, UTC.
        longitude_deg: WGS 84 [deg].
    """
    unix_s = start.timestamp() + 3600.0 * np.arange(len(guess_c), dtype=np.float64)
    found = []
    for evening, lowest_c in night_minima(unix_s, guess_c, longitude_deg).items():
        noon_h = 24.0 * (evening - date(1970, 1, 1)).days + 12.0 - longitude_deg / 15.0
        lead_h = noon_h + DAWN_H - issued_at.timestamp() / 3600.0
        if lead_h >= LEAST_LEAD_H:
            lead_day = math.ceil(lead_h / 24.0)
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
    near: dict[date, list[float]] = {}
    for one in errors:
        if one.lead_day <= BIAS_LEAD_DAYS:
            near.setdefault(one.night, []).append(one.error_k)
    if len(near) < LEAST_NIGHTS:
        return None
    worth = len(near) / (len(near) + DEFAULT_WORTH_NIGHTS)
    mean_k = float(np.mean([np.mean(own) for own in near.values()]))
    own = source is Source.READINGS
    warmest = WARMEST_BY_READINGS_K if own else WARMEST_BY_ANALYSIS_K
    law = replace(
        default,
        by_day_k=_spread_by_day(errors, mean_k, default, narrowest=NARROWEST if own else 1.0),
        site_k=default.site_k * float(np.sqrt(1.0 - worth)) if own else default.site_k,
        site_bias_k=min(COLDEST_K, max(-warmest, mean_k * worth)),
    )
    return Learnt(
        law=law,
        source=source,
        mean_error_k=mean_k,
        nights=len(near),
        first=min(near),
        last=max(near),
    )


def _spread_by_day(
    errors: Sequence[NightError], mean_k: float, default: ErrorLaw, *, narrowest: float
) -> tuple[float, ...]:
    """Standard deviation for every lead day [K], drawn towards the default, never shrinking."""
    found: list[float] = []
    for day, usual_k in enumerate(default.by_day_k, start=1):
        off_k = np.array([one.error_k - mean_k for one in errors if one.lead_day == day])
        variance = float(np.sum(off_k**2)) + DEFAULT_WORTH_NIGHTS * usual_k**2
        sigma_k = float(np.sqrt(variance / (len(off_k) + DEFAULT_WORTH_NIGHTS)))
        sigma_k = min(WIDEST * usual_k, max(narrowest * usual_k, sigma_k))
        found.append(max([sigma_k, *found[-1:]]))
    return tuple(found)
