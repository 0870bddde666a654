"""Forecast air -> air at the vehicle: height, hollow, night sky, shelter."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.weather.forecast import Forecast
from frostwatch.weather.members import (
    DEFAULT_LAW,
    ErrorLaw,
    best_guess,
    error_members,
    lead_hours,
    sigma_total_k,
    window,
)
from frostwatch.weather.night_sky import (
    column,
    dew_from_humidity_c,
    roof_k,
    sky_c,
    still_night_fraction,
)

Series = NDArray[np.float64]

AIR_LAPSE_K_PER_M = 0.0065
"""ICAO standard atmosphere, Doc 7488; also what forecast servers use."""
DEW_LAPSE_K_PER_M = 0.0012
"""Fall of the dew point with height; value used by public verification tools."""
UNKNOWN_WIND_M_PER_S = 5.0
"""Wind taken where none is known [m/s]: on the windy side, which cools faster. Estimate."""
COARSE_DIP_K = 1.3
"""How far six-hourly instants miss the minimum between them [K].

Mean of seven 00-06 UTC windows of one recorded London forecast, 0.2 to 2.3 K."""


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
        error_k: standard deviation of the members [K], shape (H + 1,).
        coarse_from: first index from which the provider's own values lie more than an hour
            apart; None if they never do.
        notes: what was assumed, for people to read.
    """

    start: datetime
    air_c: NDArray[np.float64]
    wind_m_per_s: NDArray[np.float64]
    roof_k: NDArray[np.float64]
    now_index: int
    error_k: NDArray[np.float64] | None = None
    coarse_from: int | None = None
    notes: tuple[str, ...] = ()


def air_at_site(
    forecast: Forecast,
    *,
    site_key: str,
    now: datetime,
    height_m: float | None,
    lie_offset_k: float,
    shelter_factor: float,
    colder_k: float = 0.0,
    count: int = 40,
    past_h: int = 120,
    ahead_h: int = 168,
    law: ErrorLaw = DEFAULT_LAW,
    recent_c: Series | None = None,
    sky_fraction: float = 1.0,
    sun_fraction: float = 0.0,
) -> SiteAir:
    """The air at a site, as members, from the first past hour used to the end of what is known.

    Args:
        forecast: one provider's frame.
        site_key: short name of the site; seeds the members.
        now: aware UTC time.
        height_m: height of the site [m]; None leaves the forecast's own height.
        lie_offset_k: what the ground adds to the air [K]: open 0, hollow -2, town +0.5. A warm
            offset is kept from the colder members, so that it alone never silences a call.
        shelter_factor: share of the 10 m wind that reaches the vehicle.
        colder_k: what all forecast hours are lowered by because the forecast is old [K].
        count: number of members M.
        past_h: hours before now to keep, as far as there are any.
        ahead_h: hours after now to keep, as far as there are any.
        law: how wrong forecasts are, the site's own if it was learnt.
        recent_c: hourly air up to the issue [degC], newest last; see ``make_members``.
        sky_fraction: share of the night sky the roof sees; 0 under a roof.
        sun_fraction: share of the sun the roof gets; 0 by default, since yards are shaded.

    Raises:
        NoForecastError: the forecast does not reach ``now``.
    """
    first, now_index, end = window(forecast, now, past_h=past_h, ahead_h=ahead_h)
    guess_c = guess_at_site(forecast, height_m=height_m, law=law, recent_c=recent_c)
    guess_c = guess_c - np.where(lead_hours(forecast) >= 0.0, colder_k, 0.0)
    error_k = sigma_total_k(forecast, law=law)[1][first:end]
    error = error_members(forecast, first, end, site_key=site_key, count=count, law=law)
    wind = known_wind(forecast) * shelter_factor
    sky = _sky(forecast, guess_c, height_m)
    sky = guess_c + sky_fraction * (sky - guess_c)
    sun = sun_fraction * column(forecast, "sun_w_per_m2") if sun_fraction else None
    return SiteAir(
        start=forecast.start + timedelta(hours=first),
        air_c=guess_c[first:end] + error + _lie_k(error, error_k, lie_offset_k),
        wind_m_per_s=wind[first:end],
        roof_k=roof_k(guess_c, sky, wind, sun_w_per_m2=sun)[first:end],
        now_index=now_index - first,
        error_k=error_k,
        coarse_from=_coarse_from(forecast, first, end),
        notes=_notes(forecast, height_m, first, end),
    )


def guess_at_site(
    forecast: Forecast,
    *,
    height_m: float | None,
    law: ErrorLaw = DEFAULT_LAW,
    recent_c: Series | None = None,
) -> Series:
    """The single likeliest air at the site's height [degC], shape (H,); for learning and charts.

    Known faults are taken off, coarse steps bent to their minima; the ground's offset is left out.
    """
    guess_c = bent_to_minima(best_guess(forecast, law=law, recent_c=recent_c), forecast)
    return guess_c + height_correction_k(forecast, height_m)


def height_correction_k(forecast: Forecast, height_m: float | None) -> Series:
    """What 6.5 K/km adds to the forecast's air at the site's height [K], shape (H,).

    Inversion guard: on calm clear nights cold air runs downhill, so a site below the model's own
    ground is then not warmed at all, and what the provider has warmed it by is taken back, where
    the height of the model's ground is known. Cooling always holds.
    """
    if forecast.height_m is None or height_m is None:
        return np.zeros(forecast.hours)
    ground_m = forecast.height_m if forecast.grid_height_m is None else forecast.grid_height_m
    done_k = AIR_LAPSE_K_PER_M * (ground_m - forecast.height_m)
    wanted_k = AIR_LAPSE_K_PER_M * (ground_m - height_m)
    still = still_night_fraction(forecast, unknown=1.0)
    guarded_k = wanted_k - max(0.0, wanted_k) * still
    return guarded_k - done_k


def bent_to_minima(air_c: Series, forecast: Forecast) -> Series:
    """Bend a coarse path down to the minima the provider gives for its steps, shape (H,).

    Between six-hourly instants a straight line misses the coldest hour. The ends of each step
    stay; the middle sinks until the lowest hour meets the step's minimum. Where the provider
    gives none, it sinks by what such lines miss on average.
    """
    step_h = column(forecast, "step_h")
    coarse = np.flatnonzero(step_h > 1.0)
    if len(coarse) == 0:
        return air_c
    minimum_c = column(forecast, "air_min_c") + (air_c - forecast.columns["air_c"])
    bent = air_c.copy()
    end = int(coarse[0])
    while end < len(bent):
        hours = int(step_h[end]) if step_h[end] > 1.0 else 1
        begin, last = end - 1, min(end + hours - 1, len(bent) - 1)
        if hours > 2 and begin >= 0 and last > begin + 1:
            _bend(bent, begin, last, minimum_c[last], hours)
        end = last + 1
    return bent


def _bend(bent: Series, begin: int, last: int, minimum_c: float, hours: int) -> None:
    """Sink the hours between ``begin`` and ``last``, in place."""
    along = np.linspace(0.0, 1.0, last - begin + 1)[1:-1]
    bump = 4.0 * along * (1.0 - along)
    inner = bent[begin + 1 : last]
    if np.isnan(minimum_c):
        bent[begin + 1 : last] = inner - COARSE_DIP_K * bump * (hours / 6.0)
        return
    depth = float(((inner - minimum_c) / bump).min())
    if min(bent[begin], bent[last]) > minimum_c and depth > 0.0:
        bent[begin + 1 : last] = inner - depth * bump


def known_wind(forecast: Forecast) -> Series:
    """Wind at 10 m [m/s], cautious where it is not known, shape (H,)."""
    wind = column(forecast, "wind_m_per_s")
    return np.where(np.isnan(wind), UNKNOWN_WIND_M_PER_S, wind)


def _sky(forecast: Forecast, air_c: Series, height_m: float | None) -> Series:
    """Temperature of the sky over the site [degC], shape (H,)."""
    dew = column(forecast, "dew_c")
    humidity = column(forecast, "humidity_fraction")
    given = forecast.columns["air_c"]
    dew = np.where(np.isnan(dew), dew_from_humidity_c(given, humidity), dew)
    if forecast.height_m is not None and height_m is not None:
        dew = dew + DEW_LAPSE_K_PER_M * (forecast.height_m - height_m)
    return sky_c(air_c, np.minimum(dew, air_c), column(forecast, "cloud_fraction"))


def _lie_k(error: Series, error_k: Series, lie_offset_k: float) -> Series | float:
    """What the ground adds to each member [K]: cold to all, warm only to the milder ones.

    A warm offset fades from the median member to the lower quartile and leaves the coldest
    quarter as it is.
    """
    if lie_offset_k <= 0.0:
        return lie_offset_k
    level = error / np.where(error_k > 0.0, error_k, 1.0)
    share: Series = lie_offset_k * np.clip(1.0 + level / 0.6745, 0.0, 1.0)
    return share


def _coarse_from(forecast: Forecast, first: int, end: int) -> int | None:
    coarse = np.flatnonzero(column(forecast, "step_h")[first:end] > 1.0)
    return int(coarse[0]) if len(coarse) else None


def _notes(forecast: Forecast, height_m: float | None, first: int, end: int) -> tuple[str, ...]:
    """What was assumed because the provider does not say."""
    notes = []
    if np.isnan(column(forecast, "wind_m_per_s")[first:end]).any():
        notes.append(f"Wind is not known for every hour: {UNKNOWN_WIND_M_PER_S:.0f} m/s is taken.")
    if forecast.height_m is None or height_m is None:
        notes.append("Height is not known: the air is not corrected for it.")
    coarse = _coarse_from(forecast, first, end)
    if coarse is not None:
        at = forecast.start + timedelta(hours=first + coarse)
        notes.append(
            f"From {at:%Y-%m-%d %H:%M} UTC the provider's values lie more than an hour apart; "
            "the air between them is bent down to their minima."
        )
    return tuple(notes)
