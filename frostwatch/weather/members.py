"""One forecast -> M equally likely airs.

Nobody knows tonight's air, so nothing is decided on a single path. A member is the forecast, with
its known faults taken off, plus one draw of the error that forecasts of this age have:

``air[m, h] = central[h] + sqrt(sigma[h]^2 + site^2) * q[rank of member m at hour h]``

- ``sigma`` grows with the hours since the **issue**. Hours before the issue are the provider's
  analysis and carry the site term alone; hours between issue and now are still forecast, even
  though the clock has passed them.
- The ranks come from noise that runs smoothly through a night, so a member that is cold at dusk
  is cold at dawn, and likely to be cold tomorrow. Most of that noise belongs to the valid hour
  and returns in the next issue: a pass does not flicker because a new reply came in.
- ``q`` are the M middle quantiles of the normal distribution: at every hour the members are
  stratified, and their mean and spread are exact.
- The same site and issue always give the same members.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import NoForecastError
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.night_sky import still_night_fraction
from frostwatch.weather.noise import generator, normal_quantiles, ranks, valid_hour_noise

Series = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class ErrorLaw:
    """How wrong the forecast of a night minimum is. Estimates, from published scores.

    Attributes:
        analysis_k: error at the moment of issue [K].
        growth_h: time in which the first day's error builds up after the issue [h].
        by_day_k: standard deviation of the night minimum for lead days 1, 2, ... [K]; day d is
            centred on 24 d - 12 hours after the issue, linear in between and beyond.
        site_k: what differs between the forecast's square and the site [K], constant in time.
        along_h: time over which errors along one issue lose a factor e of their correlation [h].
        issues_fraction: share of the variance that the next issue has in common with this one.
        dressing_k: what an ensemble's own spread leaves out [K], added in quadrature; in the
            first hours no more than four fifths of the error itself.
        warm_bias_k: how much too warm calm clear frost nights are forecast [K].
        bias_taken_off_fraction: share of that bias which is corrected.
        site_bias_k: how much too warm this site is forecast, as far as its nights have taught [K].

    Source:
        UK Met Office accuracy page: first night minimum within 2 degC in 86.5 % of cases (1.34 K
        if Gaussian), same-day three-hourly values in 95.1 % (1.02 K). Kendzierski et al. 2018,
        doi 10.15233/gfz.2018.35.5: 1.9 to 2.6 K over three days, marked decrease after the
        fourth. ECMWF Forecast User Guide: night 2 m temperatures 1 to 2 K too warm.
    """

    analysis_k: float = 0.8
    growth_h: float = 4.0
    by_day_k: tuple[float, ...] = (1.5, 1.7, 1.9, 2.2, 2.5, 2.8, 3.1)
    site_k: float = 0.8
    along_h: float = 30.0
    issues_fraction: float = 0.9
    dressing_k: float = 1.2
    warm_bias_k: float = 1.4
    bias_taken_off_fraction: float = 0.75
    site_bias_k: float = 0.0

    def sigma_k(self, lead_h: NDArray[np.floating]) -> Series:
        """Standard deviation of the air's error at each lead [K], the site term left out.

        Within the first half day it grows from the analysis error towards the first day's
        number, most of it in the first hours: what goes wrong with a night goes wrong at dusk.

        Args:
            lead_h: hours since the issue, shape (H,); 0 K before it.
        """
        days = np.asarray(self.by_day_k)
        middles_h = 24.0 * np.arange(1, len(days) + 1) - 12.0
        slope = (days[-1] - days[-2]) / 24.0
        sigma = np.interp(lead_h, middles_h, days)
        sigma += slope * np.maximum(0.0, lead_h - middles_h[-1])
        grown = (1.0 - np.exp(-np.maximum(lead_h, 0.0) / self.growth_h)) / (
            1.0 - np.exp(-middles_h[0] / self.growth_h)
        )
        early = np.sqrt(
            self.analysis_k**2 + (days[0] ** 2 - self.analysis_k**2) * np.clip(grown, 0.0, 1.0)
        )
        sigma = np.where(lead_h < middles_h[0], early, sigma)
        known: Series = np.where(lead_h >= 0.0, sigma, 0.0)
        return known


DEFAULT_LAW = ErrorLaw()

RECENT_DAYS = 20
"""Days whose mean a later forecast is pulled towards. Estimate."""
LEAST_RECENT_DAYS = 3
USUAL_SPREAD_K = 4.5
"""Usual standard deviation of winter air about its mean at that hour of the day [K]. Estimate."""
USUAL_SPREAD_DAYS = 10.0
"""Days of observation the usual spread counts as. Estimate."""
SPELL_DAYS = 5.0
"""Days after which weather counts as independent; two e-folding times of 2 to 3 days. Estimate."""


def make_members(
    forecast: Forecast,
    *,
    site_key: str,
    now: datetime,
    count: int = 40,
    past_h: int = 120,
    ahead_h: int = 168,
    law: ErrorLaw = DEFAULT_LAW,
    recent_c: Series | None = None,
) -> Series:
    """Equally likely airs at the height the forecast holds for.

    Args:
        forecast: one provider's frame; its age shows in the error by itself.
        site_key: short name of the site; the same site keeps its own term from issue to issue.
        now: aware UTC time.
        count: number of members M.
        past_h: hours before now to keep, as far as there are any.
        ahead_h: hours after now to keep, as far as there are any.
        law: how wrong forecasts are.
        recent_c: hourly air up to the issue [degC], newest last, up to 20 days of it; None takes
            what the forecast knows.

    Returns:
        Air [degC], shape (M, H); hour 0 is ``window(forecast, now, past_h, ahead_h)[0]``.

    Raises:
        NoForecastError: the forecast does not reach ``now``.
    """
    first, _, end = window(forecast, now, past_h=past_h, ahead_h=ahead_h)
    central_c = best_guess(forecast, law=law, recent_c=recent_c)[first:end]
    error_k = error_members(forecast, first, end, site_key=site_key, count=count, law=law)
    return central_c + error_k


def window(
    forecast: Forecast, now: datetime, *, past_h: int = 120, ahead_h: int = 168
) -> tuple[int, int, int]:
    """Index of the first hour used, of the hour in which now lies, and one past the last.

    Raises:
        NoForecastError: the forecast does not reach ``now``.
    """
    now_index = forecast.index_at(now)
    if not 0 <= now_index < forecast.hours:
        raise NoForecastError(
            f"The forecast of {forecast.provider} runs from {forecast.start:%Y-%m-%d %H:%M} to "
            f"{forecast.valid_to:%Y-%m-%d %H:%M} UTC and does not reach {now:%Y-%m-%d %H:%M}."
        )
    return max(0, now_index - past_h), now_index, min(forecast.hours, now_index + ahead_h + 1)


def lead_hours(forecast: Forecast) -> Series:
    """Hours between the issue and each hour of the forecast, negative before it, shape (H,)."""
    start_h = (forecast.start - forecast.known_since) / timedelta(hours=1)
    return start_h + np.arange(forecast.hours, dtype=np.float64)


def best_guess(
    forecast: Forecast, *, law: ErrorLaw = DEFAULT_LAW, recent_c: Series | None = None
) -> Series:
    """The forecast with its known faults taken off [degC], shape (H,).

    Calm clear nights near or below zero are forecast too warm: three quarters of that comes off.
    From the second day on the air is pulled towards the mean of the last 20 days at that hour of
    the day, by what the error is worth: ``mean + (air - mean) s^2 / (s^2 + sigma^2)``. Hours
    before the issue stay as they are.
    """
    air_c = forecast.columns["air_c"]
    lead_h = lead_hours(forecast)
    pulled = _pulled(forecast, lead_h, law, recent_c)
    cold = np.clip((4.0 - pulled) / 3.0, 0.0, 1.0)
    still = still_night_fraction(forecast, unknown=0.5)
    off_k = law.site_bias_k + law.warm_bias_k * law.bias_taken_off_fraction * cold * still
    return np.where(lead_h >= 0.0, pulled - off_k, air_c)


def _pulled(forecast: Forecast, lead_h: Series, law: ErrorLaw, recent_c: Series | None) -> Series:
    """Air pulled towards its recent mean from the second day on, shape (H,)."""
    air_c = forecast.columns["air_c"]
    issue = int(np.searchsorted(lead_h, 0.0))
    recent = forecast.recent_c if recent_c is None else recent_c
    if recent is None:
        recent = air_c[:issue]
    days = min(len(recent) // 24, RECENT_DAYS)
    if days < LEAST_RECENT_DAYS:
        return air_c
    by_day = recent[len(recent) - 24 * days :].reshape(days, 24)
    if np.isnan(by_day).all(axis=0).any():
        return air_c
    mean_c = np.nanmean(by_day, axis=0)
    seen = float(np.nanvar(by_day - mean_c)) * days / (days - 1)
    weight = USUAL_SPREAD_DAYS / (USUAL_SPREAD_DAYS + days)
    variance = weight * USUAL_SPREAD_K**2 + (1.0 - weight) * seen
    variance *= 1.0 + SPELL_DAYS / days
    since_issue = np.arange(forecast.hours) - issue
    usual_c = mean_c[since_issue % 24]
    # a place that is hard to forecast is not thought milder for it: no pull beyond the default's
    doubt_k = np.minimum(law.sigma_k(lead_h), DEFAULT_LAW.sigma_k(lead_h))
    worth = variance / (variance + doubt_k**2)
    worth = 1.0 - (1.0 - worth) * np.clip((lead_h - 24.0) / 12.0, 0.0, 1.0)
    pulled: Series = usual_c + (air_c - usual_c) * worth
    return pulled


def sigma_total_k(forecast: Forecast, *, law: ErrorLaw = DEFAULT_LAW) -> tuple[Series, Series]:
    """Standard deviation of the error without and with the site term [K], each of shape (H,).

    An ensemble's spread widens it, dressed with what an ensemble leaves out; it never narrows it.
    """
    lead_h = lead_hours(forecast)
    sigma = law.sigma_k(lead_h)
    spread = forecast.columns.get("air_spread_k")
    if spread is not None:
        dressing = np.minimum(law.dressing_k, 0.8 * sigma)
        dressed = np.sqrt(np.nan_to_num(spread) ** 2 + dressing**2)
        sigma = np.where((lead_h >= 0.0) & ~np.isnan(spread), np.maximum(sigma, dressed), sigma)
    return sigma, np.sqrt(sigma**2 + law.site_k**2)


def error_members(
    forecast: Forecast, first: int, end: int, *, site_key: str, count: int, law: ErrorLaw
) -> Series:
    """Errors of the hours ``first`` to ``end`` [K], shape (M, end - first)."""
    quantiles = normal_quantiles(count)
    site = generator(site_key).permutation(quantiles)
    sigma, total = (values[first:end] for values in sigma_total_k(forecast, law=law))
    ahead = int(np.searchsorted(sigma, 0.0, side="right"))
    error = np.empty((end - first, count))
    error[:ahead] = law.site_k * site
    if ahead < end - first:
        hour = int(forecast.start.timestamp()) // 3600 + first + ahead
        issue = f"{site_key}|{forecast.provider}|{forecast.known_since.astimezone(UTC).isoformat()}"
        noise = valid_hour_noise(
            {site_key: law.issues_fraction, issue: 1.0 - law.issues_fraction},
            hour,
            end - first - ahead,
            count=count,
            along_h=law.along_h,
        )
        mixed = sigma[ahead:, None] * noise + law.site_k * site
        error[ahead:] = total[ahead:, None] * quantiles[ranks(mixed)]
    return np.ascontiguousarray(error.T)
