"""Water, ice and propylene glycol mixes: enthalpy <-> temperature and ice fraction.

Enthalpy E [J] is counted above liquid at the freezing point of the mix, so that E = 0 is the
moment at which the first ice forms. No credit is given for supercooling: equilibrium freezing is
the early and the worse case.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

WATER_J_PER_KG_K = 4200.0
"""Specific heat of water near 0 degC, rounded. IAPWS R6-95: 4219 (0 degC) to 4195 (10 degC)."""
ICE_J_PER_KG_K = 2050.0
"""Specific heat of ice. IAPWS R10-06 gives 2097 (0 degC) to 2023 (-10 degC); rounded."""
FUSION_J_PER_KG = 333_500.0
"""Latent heat at 0 degC. IAPWS-95 liquid minus IAPWS R10-06 ice is 333 427; rounded."""
ICE_W_PER_M_K = 2.2
"""Conductivity of ice; 2.07 to 2.24 in handbooks (from memory, not verified)."""
WATER_KG_PER_L = 1.0

# Freezing point of propylene glycol in water against mass fraction: polynomial of the
# incompressible-liquid model "MPG" of CoolProp 8 (Melinder 2010, Properties of Secondary Working
# Fluids for Indirect Systems, IIR), read off the library to 1e-12 K; highest power first.
_MPG_FREEZING_C = (146.5, -565.800207, 328.470143, -134.332108, -17.7195008, -0.0250712761)
_MPG_LOWEST_FRACTION = 0.01
_MPG_HIGHEST_FRACTION = 0.60
_SHELL_CAP = 0.99
"""Ice fraction at which the ice shell stops resisting more; the round form diverges at 1."""


def glycol_freezing_c(mass_fraction: Array | float) -> Array:
    """Freezing point [degC] of a propylene glycol mix of that mass fraction, 0 to 0.60.

    Below 1 % the fitted polynomial misses 0 degC by 0.025 K; there a straight line to pure water
    takes over. Above 60 % the value at 60 % (-50 degC) is held: the fit ends there.

    Source: CoolProp 8, INCOMP::MPG (Melinder 2010).
    """
    fraction = np.clip(np.asarray(mass_fraction, float), 0.0, _MPG_HIGHEST_FRACTION)
    low = np.polyval(_MPG_FREEZING_C, _MPG_LOWEST_FRACTION) / _MPG_LOWEST_FRACTION
    fitted = np.polyval(_MPG_FREEZING_C, fraction)
    return np.asarray(np.where(fraction < _MPG_LOWEST_FRACTION, low * fraction, fitted))


_LIQUIDUS_FRACTION = np.linspace(0.0, _MPG_HIGHEST_FRACTION, 2401)
_LIQUIDUS_C = glycol_freezing_c(_LIQUIDUS_FRACTION)


def liquidus_fraction(mix_c: Array | float) -> Array:
    """Glycol mass fraction of the liquid that is in equilibrium with ice at ``mix_c`` [degC]."""
    return np.asarray(np.interp(-np.asarray(mix_c, float), -_LIQUIDUS_C, _LIQUIDUS_FRACTION))


def slush_fraction(mix_c: Array | float, glycol_mass_fraction: float) -> Array:
    """Share of the whole mass that is ice at equilibrium, f = 1 - w0 / w_liquid(T).

    Args:
        mix_c: temperature of the mix [degC].
        glycol_mass_fraction: glycol share w0 of the whole mass [fraction], above 0.
    """
    liquid = np.maximum(liquidus_fraction(mix_c), glycol_mass_fraction)
    return np.asarray(1.0 - glycol_mass_fraction / liquid)


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
        table_j: enthalpies of the slush curve, falling temperature, empty for pure water [J].
        table_c: temperatures at ``table_j`` [degC].
    """

    water_kg: float
    dry_j_per_k: float
    glycol_mass_fraction: float
    freezing_c: float
    liquid_j_per_k: float
    solid_j_per_k: float
    fusion_j: float
    table_j: Array
    table_c: Array

    def temperature_c(self, enthalpy_j: float) -> float:
        """Temperature [degC] at that enthalpy."""
        if enthalpy_j >= 0.0:
            return self.freezing_c + enthalpy_j / self.liquid_j_per_k
        if self.table_j.size:
            return float(np.interp(-enthalpy_j, -self.table_j, self.table_c))
        if enthalpy_j > -self.fusion_j:
            return self.freezing_c
        return self.freezing_c + (enthalpy_j + self.fusion_j) / self.solid_j_per_k

    def slope_k_per_j(self, enthalpy_j: float) -> float:
        """dT/dE [K/J]; 0 while pure water freezes."""
        if enthalpy_j >= 0.0:
            return 1.0 / self.liquid_j_per_k
        if self.table_j.size:
            above = min(
                max(int(np.searchsorted(-self.table_j, -enthalpy_j)), 1), self.table_j.size - 1
            )
            fall = self.table_c[above] - self.table_c[above - 1]
            return float(fall / (self.table_j[above] - self.table_j[above - 1]))
        return 0.0 if enthalpy_j > -self.fusion_j else 1.0 / self.solid_j_per_k

    def ice_fraction(self, enthalpy_j: float) -> float:
        """Share of the mass that is ice, 0 to 1."""
        if enthalpy_j >= 0.0 or self.fusion_j == 0.0:
            return 0.0
        if self.table_j.size:
            return float(slush_fraction(self.temperature_c(enthalpy_j), self.glycol_mass_fraction))
        return min(1.0, -enthalpy_j / self.fusion_j)

    def ice_slope_per_j(self, enthalpy_j: float) -> float:
        """df/dE [1/J]; 0 outside the freezing range (and left out for mixes, where it is small)."""
        freezing = -self.fusion_j < enthalpy_j < 0.0 and not self.table_j.size
        return -1.0 / self.fusion_j if freezing else 0.0

    def enthalpy_j(self, water_c: float, ice_fraction: float) -> float:
        """Enthalpy [J] of a body with that much ice; the temperature counts where it is free.

        Args:
            water_c: temperature [degC]; ignored while ice and liquid stand together.
            ice_fraction: 0 liquid, 1 solid, between them at the freezing point.
        """
        if self.fusion_j == 0.0 or ice_fraction <= 0.0:
            return (water_c - self.freezing_c) * self.liquid_j_per_k
        if self.table_j.size:
            return self._slush_enthalpy_j(ice_fraction)
        if ice_fraction < 1.0:
            return -ice_fraction * self.fusion_j
        return -self.fusion_j + (min(water_c, self.freezing_c) - self.freezing_c) * (
            self.solid_j_per_k
        )

    def _slush_enthalpy_j(self, ice_fraction: float) -> float:
        fractions = slush_fraction(self.table_c, self.glycol_mass_fraction)
        return float(np.interp(ice_fraction, fractions, self.table_j))


def make_body(water_kg: float, dry_j_per_k: float, glycol_mass_fraction: float = 0.0) -> Body:
    """Set up a body.

    A mix keeps one specific heat for liquid and slush, E = (m c + C)(T - Tf) - m L f(T): its ice
    comes slowly and the latent heat outweighs the difference.

    Args:
        water_kg: mass of water or mix [kg], 0 for a dry mass.
        dry_j_per_k: capacity of wall and fittings [J/K].
        glycol_mass_fraction: propylene glycol in the whole mass [fraction].
    """
    glycol = glycol_mass_fraction if water_kg > 0.0 else 0.0
    freezing_c = float(glycol_freezing_c(glycol)) if glycol > 0.0 else 0.0
    liquid_j_per_k = water_kg * WATER_J_PER_KG_K + dry_j_per_k
    table_j = table_c = np.empty(0)
    if glycol > 0.0:
        table_c = np.concatenate(
            [
                np.linspace(freezing_c, min(freezing_c, _LIQUIDUS_C[-1]), 1200),
                [_LIQUIDUS_C[-1] - 60.0],
            ]
        )
        table_j = liquid_j_per_k * (table_c - freezing_c) - water_kg * FUSION_J_PER_KG * (
            slush_fraction(table_c, glycol)
        )
    return Body(
        water_kg=water_kg,
        dry_j_per_k=dry_j_per_k,
        glycol_mass_fraction=glycol,
        freezing_c=freezing_c,
        liquid_j_per_k=liquid_j_per_k,
        solid_j_per_k=water_kg * ICE_J_PER_KG_K + dry_j_per_k,
        fusion_j=water_kg * FUSION_J_PER_KG,
        table_j=table_j,
        table_c=table_c,
    )


def round_shell_growth(ice_fraction: Array | float) -> Array:
    """ln(1 / sqrt(1 - f)): the shape factor of a growing ring of ice, capped near f = 1."""
    capped = np.minimum(np.asarray(ice_fraction, float), _SHELL_CAP)
    return np.asarray(-0.5 * np.log1p(-capped))


def round_shell_slope(ice_fraction: Array | float) -> Array:
    """Derivative of ``round_shell_growth`` by the ice fraction; 0 beyond the cap."""
    fraction = np.asarray(ice_fraction, float)
    return np.where(fraction < _SHELL_CAP, 0.5 / (1.0 - np.minimum(fraction, _SHELL_CAP)), 0.0)
