"""Water, ice and propylene glycol mixes: enthalpy <-> temperature and ice fraction.

Enthalpy E [J] is counted above liquid at the freezing point of the mix, so that E = 0 is the
moment at which the first ice forms. No credit is given for supercooling: equilibrium freezing is
the early and the worse case.
"""

import math
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.slush import LOWEST_FREEZING_C, glycol_freezing_c, slush_fraction

Array = NDArray[np.float64]
Real = TypeVar("Real", np.float32, np.float64)

WATER_J_PER_KG_K = 4200.0
"""Specific heat of water near 0 degC, rounded. IAPWS R6-95: 4219 (0 degC) to 4195 (10 degC)."""
ICE_J_PER_KG_K = 2050.0
"""Specific heat of ice. IAPWS R10-06 gives 2097 (0 degC) to 2023 (-10 degC); rounded."""
FUSION_J_PER_KG = 333_500.0
"""Latent heat at 0 degC. IAPWS-95 liquid minus IAPWS R10-06 ice is 333 427; rounded."""
ICE_W_PER_M_K = 2.2
"""Conductivity of ice; 2.07 to 2.24 in handbooks (from memory, not verified)."""
WATER_KG_PER_L = 1.0

_CURVE_POINTS = 1200
_BEYOND_K = 1000.0
"""The curve goes on straight below the coldest mix: no more ice forms there."""

_SHELL_CAP = 0.99
"""Ice fraction at which the ice shell stops resisting more; the round form diverges at 1."""


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One well-mixed body: water (or a mix), and the dry capacity that shares its temperature.

    Attributes:
        water_kg: mass of water or mix [kg].
        dry_j_per_k: heat capacity of wall and fittings [J/K].
        glycol_mass_fraction: propylene glycol in the whole mass [fraction].
        freezing_c: freezing point [degC].
        liquid_j_per_k: heat capacity while liquid [J/K].
        solid_j_per_k: heat capacity when frozen through [J/K].
        fusion_j: latent heat of the whole mass [J].
        depth_j: enthalpies of the slush curve below the first ice, rising, empty for pure
            water [J].
        depth_c: temperatures at ``depth_j``, falling [degC].
        depth_ice: ice fractions at ``depth_j``.
    """

    water_kg: float
    dry_j_per_k: float
    glycol_mass_fraction: float
    freezing_c: float
    liquid_j_per_k: float
    solid_j_per_k: float
    fusion_j: float
    depth_j: Array
    depth_c: Array
    depth_ice: Array

    @property
    def is_mix(self) -> bool:
        """Holds antifreeze."""
        return self.depth_j.size > 0

    @property
    def is_nothing(self) -> bool:
        """Neither water nor dry mass: a body that was removed."""
        return self.liquid_j_per_k <= 0.0

    @property
    def most_ice(self) -> float:
        """Ice fraction that is never exceeded."""
        return float(self.depth_ice[-1]) if self.is_mix else float(self.fusion_j > 0.0)

    def temperature_c(self, enthalpy_j: float) -> float:
        """Temperature [degC] at that enthalpy; NaN for a body that was removed."""
        if self.is_nothing:
            return math.nan
        if enthalpy_j >= 0.0:
            return self.freezing_c + enthalpy_j / self.liquid_j_per_k
        if self.is_mix:
            return float(np.interp(-enthalpy_j, self.depth_j, self.depth_c))
        return self.freezing_c + min(enthalpy_j + self.fusion_j, 0.0) / self.solid_j_per_k

    def slope_k_per_j(self, enthalpy_j: float) -> float:
        """dT/dE [K/J]; 0 while pure water freezes and for a body that was removed."""
        if self.is_nothing:
            return 0.0
        if enthalpy_j >= 0.0:
            return 1.0 / self.liquid_j_per_k
        if self.is_mix:
            return self._slope_along(self.depth_c, enthalpy_j)
        return 0.0 if enthalpy_j > -self.fusion_j else 1.0 / self.solid_j_per_k

    def ice_fraction(self, enthalpy_j: float) -> float:
        """Share of the mass that is ice, 0 to 1."""
        if enthalpy_j >= 0.0 or self.fusion_j == 0.0:
            return 0.0
        if self.is_mix:
            return float(np.interp(-enthalpy_j, self.depth_j, self.depth_ice))
        return min(1.0, -enthalpy_j / self.fusion_j)

    def ice_slope_per_j(self, enthalpy_j: float) -> float:
        """df/dE [1/J]; 0 outside the freezing range."""
        if enthalpy_j >= 0.0:
            return 0.0
        if self.is_mix:
            return self._slope_along(self.depth_ice, enthalpy_j)
        return -1.0 / self.fusion_j if enthalpy_j > -self.fusion_j else 0.0

    def _slope_along(self, curve: Array, enthalpy_j: float) -> float:
        after = int(np.searchsorted(self.depth_j, -enthalpy_j))
        after = min(max(after, 1), self.depth_j.size - 1)
        rise = curve[after] - curve[after - 1]
        return float(-rise / (self.depth_j[after] - self.depth_j[after - 1]))

    def enthalpy_j(self, water_c: float, ice_fraction: float) -> float:
        """Enthalpy [J] of a body with that much ice; the temperature counts where it is free.

        Args:
            water_c: temperature [degC]; ignored while ice and liquid stand together.
            ice_fraction: 0 liquid, 1 solid, between them at the freezing point.
        """
        if self.fusion_j == 0.0 or ice_fraction <= 0.0:
            return (water_c - self.freezing_c) * self.liquid_j_per_k
        if self.is_mix:
            return -float(np.interp(ice_fraction, self.depth_ice[:-1], self.depth_j[:-1]))
        if ice_fraction < 1.0:
            return -ice_fraction * self.fusion_j
        return min(water_c - self.freezing_c, 0.0) * self.solid_j_per_k - self.fusion_j


def make_body(water_kg: float, dry_j_per_k: float, glycol_mass_fraction: float = 0.0) -> Body:
    """Set up a body.

    A mix keeps one specific heat for liquid and slush, E = (m c + C)(T - Tf) - m L f(T): its ice
    comes slowly and the latent heat outweighs the difference.

    Args:
        water_kg: mass of water or mix [kg], 0 for a dry mass.
        dry_j_per_k: capacity of wall and fittings [J/K].
        glycol_mass_fraction: propylene glycol in the whole mass [fraction], up to 0.60.
    """
    glycol = glycol_mass_fraction if water_kg > 0.0 else 0.0
    freezing_c = float(glycol_freezing_c(glycol))
    liquid_j_per_k = water_kg * WATER_J_PER_KG_K + dry_j_per_k
    fusion_j = water_kg * FUSION_J_PER_KG
    depth_j = depth_c = depth_ice = np.empty(0)
    if glycol > 0.0:
        depth_c = _falling_c(freezing_c)
        depth_ice = slush_fraction(depth_c, glycol)
        depth_j = fusion_j * depth_ice - liquid_j_per_k * (depth_c - freezing_c)
    return Body(
        water_kg=water_kg,
        dry_j_per_k=dry_j_per_k,
        glycol_mass_fraction=glycol,
        freezing_c=freezing_c,
        liquid_j_per_k=liquid_j_per_k,
        solid_j_per_k=water_kg * ICE_J_PER_KG_K + dry_j_per_k,
        fusion_j=fusion_j,
        depth_j=depth_j,
        depth_c=depth_c,
        depth_ice=depth_ice,
    )


def _falling_c(freezing_c: float) -> Array:
    """Temperatures at which a slush curve is kept [degC]: close together where it bends most."""
    span_k = max(freezing_c - LOWEST_FREEZING_C, 0.0)
    falls = span_k * np.linspace(0.0, 1.0, _CURVE_POINTS) ** 2
    inner = freezing_c - falls if span_k > 0.0 else np.array([freezing_c])
    return np.append(inner, LOWEST_FREEZING_C - _BEYOND_K)


def round_shell_growth(ice_fraction: NDArray[Real]) -> NDArray[Real]:
    """ln(1 / sqrt(1 - f)): the shape factor of a growing ring of ice, capped near f = 1."""
    growth: NDArray[Real] = np.log1p(-np.minimum(ice_fraction, ice_fraction.dtype.type(_SHELL_CAP)))
    growth *= -0.5
    return growth


def round_shell_slope(ice_fraction: Array | float) -> Array:
    """Derivative of ``round_shell_growth`` by the ice fraction; 0 beyond the cap."""
    fraction = np.asarray(ice_fraction, float)
    return np.where(fraction < _SHELL_CAP, 0.5 / (1.0 - np.minimum(fraction, _SHELL_CAP)), 0.0)
