"""Propylene glycol in water: freezing point, equilibrium liquid, share that is ice."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

STRONGEST_MASS_FRACTION = 0.60
"""Where the fitted curve ends."""

# Freezing point of propylene glycol in water against mass fraction: polynomial of the
# incompressible-liquid model "MPG" of CoolProp 8 (Melinder 2010, Properties of Secondary Working
# Fluids for Indirect Systems, IIR), read off the library to 1e-12 K; highest power first.
_MPG_FREEZING_C = (146.5, -565.800207, 328.470143, -134.332108, -17.7195008, -0.0250712761)
_MPG_LOWEST_FRACTION = 0.01


def glycol_freezing_c(mass_fraction: Array | float) -> Array:
    """Freezing point [degC] of a propylene glycol mix of that mass fraction, 0 to 0.60.

    Below 1 % the fitted polynomial misses 0 degC by 0.025 K; there a straight line to pure water
    takes over. Above 60 % the value at 60 % (-50 degC) is held: the fit ends there.

    Source: CoolProp 8, INCOMP::MPG (Melinder 2010).
    """
    fraction = np.clip(np.asarray(mass_fraction, float), 0.0, STRONGEST_MASS_FRACTION)
    low = np.polyval(_MPG_FREEZING_C, _MPG_LOWEST_FRACTION) / _MPG_LOWEST_FRACTION
    fitted = np.polyval(_MPG_FREEZING_C, fraction)
    return np.asarray(np.where(fraction < _MPG_LOWEST_FRACTION, low * fraction, fitted))


_LIQUIDUS_FRACTION = np.linspace(0.0, STRONGEST_MASS_FRACTION, 2401)
_LIQUIDUS_C = glycol_freezing_c(_LIQUIDUS_FRACTION)
LOWEST_FREEZING_C = float(_LIQUIDUS_C[-1])
"""Freezing point of the strongest mix; below it no more ice forms in this model [degC]."""


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
