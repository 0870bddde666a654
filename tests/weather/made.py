"""Forecasts made from observed hours with a known law of error, shaped like real replies.

The truth is what was observed. With ``a`` the observed departure from the usual air of that hour
of the day, ``s`` its standard deviation, ``sigma`` the law's error at that lead and ``z`` unit
noise that runs along the issue and is mostly shared with the next one, a forecast is

``usual + rho a + sigma sqrt(1 - sigma^2 / 4 s^2) z``,  ``rho = 1 - sigma^2 / 2 s^2``.

Its error has the standard deviation ``sigma``, and it swings as much as the weather does, as the
forecasts of weather models do. Plain noise on top of the truth would swing more, and every made
night minimum would be too cold. Replays and benchmarks import this.
"""

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw
from tests.weather.observed import Observed

Series = NDArray[np.float64]

PAST_H = 120
AHEAD_H = 168
BETWEEN_H = 36.0
"""Time over which errors of the same night lose a factor e of their correlation between issues."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Issue:
    """One made forecast of the air.

    Attributes:
        at: time of issue, a whole hour, UTC.
        index: its hour in the observed series.
        air_c: forecast air from ``index - PAST_H`` (analysis) to ``index + AHEAD_H``, both in.
    """

    at: datetime
    index: int
    air_c: Series


def made_forecasts(
    observed: Observed,
    rng: np.random.Generator,
    *,
    first: datetime,
    last: datetime,
    every_h: int = 3,
    law: ErrorLaw = DEFAULT_LAW,
    site_k: float | None = None,
) -> Iterator[Issue]:
    """Issues from ``first`` to ``last``, whole hours with enough observed hours around them.

    Args:
        observed: the truth at the site.
        rng: where chance comes from.
        first: first time of issue, UTC.
        last: last time of issue, UTC.
        every_h: hours between issues.
        law: the error; its warm bias is applied where wind and cloud were observed.
        site_k: what the site adds to every forecast of it [K]; None draws it.
    """
    begin, end = observed.index_at(first), observed.index_at(last)
    if begin < PAST_H or end + AHEAD_H >= observed.hours:
        raise ValueError(f"{observed.name}: no hours observed around {first} to {last}")
    span = end + AHEAD_H + 1 - begin
    kept = math.exp(-every_h / BETWEEN_H)
    if site_k is None:
        site_k = law.site_k * rng.standard_normal()
    usual_c = usual_air_c(observed)
    departure_k = observed.air_c - usual_c
    variance = float(np.var(departure_k[begin : end + 1]))
    sigma_k = np.minimum(law.sigma_k(np.arange(AHEAD_H + 1.0)), math.sqrt(2.0 * variance))
    rho = 1.0 - sigma_k**2 / (2.0 * variance)
    noise_k = sigma_k * np.sqrt(1.0 - sigma_k**2 / (4.0 * variance))
    too_warm_k = law.warm_bias_k * _still_frost(observed)
    field = _along(rng, span, law.along_h)
    for index in range(begin, end + 1, every_h):
        ahead = slice(index, index + AHEAD_H + 1)
        z = field[index - begin : index - begin + AHEAD_H + 1]
        forecast_c = usual_c[ahead] + rho * departure_k[ahead] + noise_k * z + too_warm_k[ahead]
        past_c = observed.air_c[index - PAST_H : index]
        yield Issue(
            at=observed.start + timedelta(hours=index),
            index=index,
            air_c=np.concatenate([past_c, forecast_c]) + site_k,
        )
        field = kept * field + math.sqrt(1.0 - kept**2) * _along(rng, span, law.along_h)


def usual_air_c(observed: Observed, days: int = 21) -> Series:
    """Mean of the air at that hour over the days around it, shape (N,)."""
    usual = np.empty(observed.hours)
    window = np.ones(days)
    for hour in range(24):
        daily = observed.air_c[hour::24]
        count = np.convolve(np.ones(len(daily)), window, mode="same")
        usual[hour::24] = np.convolve(daily, window, mode="same") / count
    return usual


def made_replies(
    observed: Observed,
    rng: np.random.Generator,
    *,
    first: datetime,
    last: datetime,
    every_h: int = 3,
    law: ErrorLaw = DEFAULT_LAW,
    delay: timedelta = timedelta(minutes=5),
) -> Iterator[tuple[datetime, bytes]]:
    """Time of arrival and body of every reply, in the shape of the Open-Meteo forecast API."""
    for issue in made_forecasts(observed, rng, first=first, last=last, every_h=every_h, law=law):
        yield issue.at + delay, json.dumps(open_meteo_body(observed, issue)).encode()


def open_meteo_body(observed: Observed, issue: Issue) -> dict[str, Any]:
    """A made forecast as the body of one place: numbers rounded as the server rounds them."""
    begin, end = issue.index - PAST_H, issue.index + AHEAD_H
    start_s = int((observed.start + timedelta(hours=begin)).timestamp())
    hours = slice(begin, end)
    air_c = issue.air_c[: end - begin]
    shift_k = air_c - observed.air_c[hours]
    dew_c = np.minimum(observed.dew_c[hours] + shift_k, air_c)
    hourly: dict[str, Any] = {"time": [start_s + 3600 * hour for hour in range(end - begin)]}
    units = {"time": "unixtime"}
    for name, unit, digits, values in (
        ("temperature_2m", "°C", 1, air_c),
        ("dew_point_2m", "°C", 1, dew_c),
        ("relative_humidity_2m", "%", 0, 100.0 * observed.humidity_fraction[hours]),
        ("wind_speed_10m", "m/s", 2, observed.wind_m_per_s[hours]),
        ("wind_gusts_10m", "m/s", 1, 1.6 * observed.wind_m_per_s[hours]),
        ("shortwave_radiation", "W/m²", 1, observed.sun_w_per_m2[hours]),
        ("cloud_cover", "%", 0, 100.0 * observed.cloud_fraction[hours]),
        ("precipitation", "mm", 2, np.zeros(end - begin)),
        ("snowfall", "cm", 2, np.zeros(end - begin)),
        ("soil_temperature_0cm", "°C", 1, np.full(end - begin, np.nan)),
    ):
        units[name] = unit
        hourly[name] = [round(v, digits) if v == v else None for v in values.tolist()]  # no nan
    return {
        "latitude": round(observed.latitude_deg + 0.013, 4),
        "longitude": round(observed.longitude_deg - 0.021, 4),
        "generationtime_ms": 0.31,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "timezone_abbreviation": "GMT",
        "elevation": observed.height_m,
        "hourly_units": units,
        "hourly": hourly,
    }


def _along(rng: np.random.Generator, hours: int, along_h: float) -> Series:
    """Noise of unit variance: first-order autoregressive noise, filtered once more.

    Its autocorrelation is 0.98, 0.93, 0.79, 0.49 after 3, 6, 12 and 24 hours, that of observed air
    about its usual course 0.95, 0.88, 0.74, 0.52 (Newark, winter of 2013). That much smoother it
    must be: weather is no Gaussian noise, and noise with the very numbers of the observed air has
    daily minima 0.4 K colder than observed; see ``test_observed.py``.
    """
    from scipy.signal import lfilter  # it takes a second to load

    settling_h = 200
    decay = math.exp(-2.1462 / along_h)
    twice = lfilter([1.0], [1.0, -decay], [1.0, *[0.0] * 500])
    twice = lfilter([1.0], [1.0, -decay], twice)
    draws = rng.standard_normal(hours + settling_h)
    for _ in range(2):
        draws = lfilter([1.0], [1.0, -decay], draws)
    settled: Series = draws[settling_h:] / math.sqrt(float(twice @ twice))
    return settled


def _still_frost(observed: Observed) -> Series:
    """1 on calm clear nights near or below zero, 0 elsewhere and where nobody knows."""
    dark = observed.sun_w_per_m2 <= 0.0
    calm = observed.wind_m_per_s < 3.0
    clear = observed.cloud_fraction < 0.5
    return (dark & calm & clear & (observed.air_c < 2.0)).astype(np.float64)
