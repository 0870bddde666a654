"""Height of the sun, and the sun on level ground where a provider gives none. Pure."""

import numpy as np
from numpy.typing import NDArray

Series = NDArray[np.float64]

J2000_S = 946_728_000.0
"""2000-01-01 12:00 UTC in seconds since 1970."""


def sun_height_deg(
    unix_s: NDArray[np.floating], latitude_deg: float, longitude_deg: float
) -> Series:
    """Geometric height of the sun's centre above the horizon [deg], shape as ``unix_s``.

    Args:
        unix_s: moments [s since 1970-01-01 UTC].
        latitude_deg: WGS 84 [deg].
        longitude_deg: WGS 84 [deg], east positive.

    Source:
        Low-precision formulas of the Astronomical Almanac (Michalsky 1988, Solar Energy 40, 227),
        good to 0.01 deg from 1950 to 2050; refraction is left out.
    """
    days = (np.asarray(unix_s, dtype=np.float64) - J2000_S) / 86_400.0
    anomaly = np.radians(357.528 + 0.9856003 * days)
    longitude = np.radians(
        280.460 + 0.9856474 * days + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly)
    )
    tilt = np.radians(23.439 - 4.0e-7 * days)
    ascension = np.arctan2(np.cos(tilt) * np.sin(longitude), np.cos(longitude))
    declination = np.arcsin(np.sin(tilt) * np.sin(longitude))
    sidereal = np.radians(280.46062 + 360.98564737 * days + longitude_deg)
    hour_angle = sidereal - ascension
    latitude = np.radians(latitude_deg)
    height: Series = np.degrees(
        np.arcsin(
            np.sin(latitude) * np.sin(declination)
            + np.cos(latitude) * np.cos(declination) * np.cos(hour_angle)
        )
    )
    return height


def clear_sun_w_per_m2(height_deg: Series) -> Series:
    """Sun on level ground under a clear sky [W/m2], shape as given.

    Source:
        Haurwitz 1945: 1098 s exp(-0.059 / s) with s the sine of the sun's height.
    """
    sine = np.sin(np.radians(height_deg))
    above = np.maximum(sine, 1e-3)
    return np.where(sine > 0.0, 1098.0 * above * np.exp(-0.059 / above), 0.0)


def estimated_sun_w_per_m2(
    unix_s: NDArray[np.floating],
    cloud_fraction: Series,
    latitude_deg: float,
    longitude_deg: float,
) -> Series:
    """Mean sun on level ground over the hours that end at ``unix_s`` [W/m2].

    Args:
        unix_s: ends of the hours [s since 1970-01-01 UTC], shape (H,).
        cloud_fraction: cover, NaN where unknown, which leaves the sun unknown by day.
        latitude_deg: WGS 84 [deg].
        longitude_deg: WGS 84 [deg], east positive.

    Source:
        Kasten and Czeplak 1980, Solar Energy 24, 177: clear sun times 1 - 0.75 N^3.4.
    """
    parts = [
        clear_sun_w_per_m2(sun_height_deg(unix_s - back_s, latitude_deg, longitude_deg))
        for back_s in (3000.0, 1800.0, 600.0)
    ]
    clear = np.mean(parts, axis=0)
    dimmed: Series = clear * (1.0 - 0.75 * np.clip(cloud_fraction, 0.0, 1.0) ** 3.4)
    return np.where(clear > 0.0, dimmed, 0.0)
