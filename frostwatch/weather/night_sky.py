"""Still nights: when the ground cools under an open sky, and what that does to a roof."""

import numpy as np
from numpy.typing import NDArray

from frostwatch.units import KELVIN_AT_0_C, STEFAN_BOLTZMANN_W_PER_M2_K4
from frostwatch.weather.forecast import Forecast

Series = NDArray[np.float64]

DARK_W_PER_M2 = 5.0
"""Sun on level ground below which an hour counts as night [W/m2]. Estimate."""
STILL_WIND_M_PER_S = 3.0
"""Wind at 10 m that mixes the cold air away [m/s]; faded over 1 m/s to either side. Estimate."""
OPEN_CLOUD_FRACTION = 0.5
"""Cloud that closes the sky; faded over 0.2 to either side. Estimate."""

ROOF_EMISSIVITY = 0.9
ROOF_WIND_FRACTION = 0.7
"""Share of the site's wind that sweeps the roof. Estimate."""
ROOF_ABSORPTANCE = 0.5
"""Share of the sun a pale roof takes up. Estimate."""
SKY_BELOW_AIR_K = 15.0
"""Air minus sky where neither cloud nor dew point is known [K].

Mean of the frost hours of two German test reference years (14.8 and 15.5 K)."""
SKY_CORRECTION_W_PER_M2 = -10.0
"""Walton's formula is 9 to 11 W/m2 too warm in frost hours of the same two years."""


def column(forecast: Forecast, name: str) -> Series:
    """One column of a forecast, NaN throughout if the provider does not give it."""
    values = forecast.columns.get(name)
    return np.full(forecast.hours, np.nan) if values is None else values


def night(forecast: Forecast) -> NDArray[np.bool_]:
    """Hours without sun, shape (H,).

    Where the provider gives no sun, the hours colder than the mean of the day around them: at
    night that is nearly always so, and a wrong hour is a cold one.
    """
    sun = column(forecast, "sun_w_per_m2")
    dark = sun <= DARK_W_PER_M2
    unknown = np.isnan(sun)
    if unknown.any():
        air_c = forecast.columns["air_c"]
        padded = np.pad(air_c, (12, 12), mode="reflect" if len(air_c) > 12 else "edge")
        day_mean = np.convolve(padded, np.full(25, 1 / 25), mode="valid")
        dark = np.where(unknown, air_c < day_mean, dark)
    return dark


def still_night_fraction(forecast: Forecast, *, unknown: float) -> Series:
    """How far each hour is a calm, clear night, 0 to 1, shape (H,).

    Args:
        forecast: with sun, wind and cloud as far as they are known.
        unknown: what an unknown wind or cloud counts as, 1 being calm or clear.
    """
    wind = column(forecast, "wind_m_per_s")
    cloud = column(forecast, "cloud_fraction")
    calm = np.clip((STILL_WIND_M_PER_S + 1.0 - wind) / 2.0, 0.0, 1.0)
    clear = np.clip((OPEN_CLOUD_FRACTION + 0.2 - cloud) / 0.4, 0.0, 1.0)
    calm = np.where(np.isnan(wind), unknown, calm)
    clear = np.where(np.isnan(cloud), unknown, clear)
    return night(forecast) * calm * clear


def dew_from_humidity_c(air_c: Series, humidity_fraction: Series) -> Series:
    """Dew point over water [degC], as weather services report it, also below 0 degC.

    Source:
        Magnus form with the coefficients of Alduchov and Eskridge 1996 (17.625, 243.04 degC).
    """
    humid = np.clip(humidity_fraction, 0.01, 1.0)
    gamma = np.log(humid) + 17.625 * air_c / (243.04 + air_c)
    return 243.04 * gamma / (17.625 - gamma)


def sky_c(air_c: Series, dew_c: Series, cloud_fraction: Series) -> Series:
    """Temperature of a black sky with the same longwave [degC], shape (H,).

    Args:
        air_c: air [degC], no NaN.
        dew_c: dew point over water [degC], NaN where unknown.
        cloud_fraction: cover, NaN where unknown.

    Source:
        Walton 1983 / Clark and Allen 1978: emissivity 0.787 + 0.764 ln(dew / 273 K), times
        1 + 0.0224 N - 0.0035 N^2 + 0.00028 N^3 with N in tenths (unit of N from memory).
    """
    tenths = 10.0 * np.clip(cloud_fraction, 0.0, 1.0)
    emissivity = 0.787 + 0.764 * np.log((dew_c + KELVIN_AT_0_C) / 273.0)
    emissivity *= 1.0 + 0.0224 * tenths - 0.0035 * tenths**2 + 0.00028 * tenths**3
    flux = emissivity * STEFAN_BOLTZMANN_W_PER_M2_K4 * (air_c + KELVIN_AT_0_C) ** 4
    flux = np.maximum(flux + SKY_CORRECTION_W_PER_M2, 50.0)
    known = (flux / STEFAN_BOLTZMANN_W_PER_M2_K4) ** 0.25 - KELVIN_AT_0_C
    return np.where(np.isnan(known), air_c - SKY_BELOW_AIR_K, np.minimum(known, air_c))


def roof_k(
    air_c: Series,
    sky: Series,
    wind_m_per_s: Series,
    *,
    sun_w_per_m2: Series | None = None,
) -> Series:
    """Roof minus air [K], from the roof's own balance of sky, wind and sun, shape (H,).

    Args:
        air_c: air [degC].
        sky: black sky temperature [degC].
        wind_m_per_s: wind at the site [m/s].
        sun_w_per_m2: sun on level ground [W/m2], NaN counts as none; None leaves it out, which
            is the default of the service, since yards are shaded and sun is the optimistic side.

    Source:
        (absorptance G + h (sky - air)) / (4 + 4 u + h), h = 4 * 0.9 * sigma * Tm^3, with the
        outside film 4 + 4 u of ISO 6946.
    """
    middle_k = 0.5 * (air_c + sky) + KELVIN_AT_0_C
    radiative = 4.0 * ROOF_EMISSIVITY * STEFAN_BOLTZMANN_W_PER_M2_K4 * middle_k**3
    gain = radiative * (sky - air_c)
    if sun_w_per_m2 is not None:
        gain = gain + ROOF_ABSORPTANCE * np.nan_to_num(np.maximum(sun_w_per_m2, 0.0))
    return gain / (4.0 + 4.0 * ROOF_WIND_FRACTION * wind_m_per_s + radiative)
