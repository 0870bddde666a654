"""Conversions and range guards. A unit suffix changes here and nowhere else."""

import math
from collections.abc import Callable

KELVIN_AT_0_C = 273.15
STEFAN_BOLTZMANN_W_PER_M2_K4 = 5.670374419e-8
"""CODATA 2018, exact since the 2019 SI."""


def celsius_from_fahrenheit(air_f: float) -> float:
    """Temperature [degC] from degrees Fahrenheit."""
    return (air_f - 32.0) / 1.8


def within(
    value: float,
    low: float,
    high: float,
    *,
    what: str,
    unit: str,
    error: Callable[[str], Exception],
    hint: str = "",
) -> float:
    """Return ``value`` if it is a finite number in [low, high], else raise ``error``.

    Args:
        value: the number to check, in ``unit``.
        low: smallest value allowed, in ``unit``.
        high: largest value allowed, in ``unit``.
        what: where the number stands, e.g. ``"sites.north: latitude"``.
        unit: unit shown to the user, e.g. ``"m"``.
        error: exception class raised with the finished sentence.
        hint: how to mend it, one sentence; added behind the range.
    """
    if not math.isfinite(value) or not low <= value <= high:
        span = f"between {low:g} and {high:g} {unit}".rstrip()
        raise error(f"{what} is {value:g}, it must be {span}. {hint}".rstrip())
    return value
