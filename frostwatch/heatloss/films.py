"""Surface coefficients: wind, still air, radiation, and the roof under the night sky."""

import numpy as np
from numpy.typing import NDArray

from frostwatch.units import KELVIN_AT_0_C, STEFAN_BOLTZMANN_W_PER_M2_K4

Array = NDArray[np.float64]

EMISSIVITY = 0.9
"""Painted, plastic and wet surfaces. Estimate; EN ISO 6946 uses 0.9."""
INSIDE_W_PER_M2_K = 7.7
"""Inside film 1/0.13, horizontal heat flow. EN ISO 6946 / EN ISO 13789 Table 8."""
PIPE_STILL_W_PER_M2_K = 9.0
"""Thin pipe in still air, convection 5.1 and radiation 4 (computed with ht 1.2.0)."""
CALM_M_PER_S = 0.3
"""Least air movement reckoned with outdoors. Estimate."""

_AIR_W_PER_M_K = 0.0241
_AIR_VISCOSITY_M2_PER_S = 1.29e-5
_AIR_PRANDTL = 0.715
"""Air near -2 degC, 101 325 Pa (CoolProp: k 0.0242, nu 1.31e-5, Pr 0.712; rounded)."""


def radiative_w_per_m2_k(mean_c: Array | float = 0.0) -> Array:
    """Radiative coefficient 4 e sigma T^3 [W/(m2 K)] at a mean temperature [degC]."""
    kelvin = np.asarray(mean_c, float) + KELVIN_AT_0_C
    return np.asarray(4.0 * EMISSIVITY * STEFAN_BOLTZMANN_W_PER_M2_K4 * kelvin**3)


def face_w_per_m2_k(wind_m_per_s: Array | float) -> Array:
    """Flat outdoor face: 4 + 4 v and radiation at 0 degC [W/(m2 K)].

    The rough, turbulent and so the upper value (ISO 6946:2007 Table A.2).

    Args:
        wind_m_per_s: air movement at the face [m/s], any shape.
    """
    wind = np.maximum(np.asarray(wind_m_per_s, float), CALM_M_PER_S)
    return np.asarray(4.0 + 4.0 * wind + radiative_w_per_m2_k())


def cylinder_w_per_m2_k(wind_m_per_s: Array | float, diameter_m: float) -> Array:
    """Cylinder in cross flow, convection only [W/(m2 K)]; air near 0 degC.

    Source: Churchill & Bernstein 1977, J. Heat Transfer 99, 300. The pipe formula of ISO 12241
    jumps down near v D = 0.0086 m2/s, where small pipes live, and is not used.
    """
    reynolds = np.asarray(wind_m_per_s, float) * diameter_m / _AIR_VISCOSITY_M2_PER_S
    spread = (1.0 + (0.4 / _AIR_PRANDTL) ** (2.0 / 3.0)) ** 0.25
    core = 0.62 * np.sqrt(reynolds) * _AIR_PRANDTL ** (1.0 / 3.0) / spread
    nusselt = 0.3 + core * (1.0 + (reynolds / 282_000.0) ** 0.625) ** 0.8
    return np.asarray(nusselt * _AIR_W_PER_M_K / diameter_m)


def pipe_w_per_m2_k(wind_m_per_s: Array | float, diameter_m: float) -> Array:
    """Whole outdoor film of a pipe [W/(m2 K)]: cross flow and radiation, never below still air."""
    wind = np.maximum(np.asarray(wind_m_per_s, float), CALM_M_PER_S)
    film = cylinder_w_per_m2_k(wind, diameter_m) + radiative_w_per_m2_k()
    return np.maximum(film, PIPE_STILL_W_PER_M2_K)
