"""Propylene glycol in drinking-water systems: strength, dilution, freezing point.

Volume shares of pure propylene glycol throughout; labels state the strength of what is in the
bottle, and what was left in the circuit dilutes it.
"""

from bisect import bisect_left

from frostwatch.errors import RecordError
from frostwatch.units import within

STRENGTH_FRACTION = (0.0, 0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50)
FREEZING_POINT_C = (0.0, -1.1, -2.2, -3.9, -6.7, -8.9, -12.8, -16.1, -20.6, -26.7, -33.3)
"""Propylene glycol, volume share -> freezing point. Lange's Handbook of Chemistry, 15th ed.,
Table 5.13, p. 458 (the copy read had lost its minus signs; magnitudes agree with its degF column).
"""


def freezing_c(volume_fraction: float) -> float:
    """Freezing point [degC] of a mix, linear between the rows of the table.

    Above 50 % the table ends: no credit is given beyond its last row.

    Args:
        volume_fraction: propylene glycol, share of the volume [fraction], 0 to 1.

    Raises:
        RecordError: outside 0 to 1.

    Source: Lange's Handbook of Chemistry, 15th ed., Table 5.13.
    """
    share = within(volume_fraction, 0, 1, what="antifreeze share", unit="", error=RecordError)
    return _between(min(share, STRENGTH_FRACTION[-1]), STRENGTH_FRACTION, FREEZING_POINT_C)


def strength_for(lowest_c: float) -> float:
    """Volume share [fraction] whose freezing point is ``lowest_c`` [degC].

    Raises:
        RecordError: above 0 or below the table's last row, -33.3 degC.
    """
    within(
        lowest_c,
        FREEZING_POINT_C[-1],
        0,
        what="temperature to be good to",
        unit="degC",
        error=RecordError,
        hint="Below that no share of the table helps: drain instead.",
    )
    colder = tuple(-point_c for point_c in FREEZING_POINT_C)
    return _between(-lowest_c, colder, STRENGTH_FRACTION)


def diluted(poured_fraction: float, poured_l: float, left_l: float, left_fraction: float) -> float:
    """Volume share [fraction] after pouring antifreeze onto what was left.

    c' = (c * Va + cr * Vr) / (Va + Vr); 0 if there is nothing at all.

    Args:
        poured_fraction: strength c of what is poured [fraction].
        poured_l: litres Va of it [L].
        left_l: litres Vr that stood there before [L].
        left_fraction: strength cr of those [fraction].
    """
    whole_l = poured_l + left_l
    if whole_l <= 0.0:
        return 0.0
    return (poured_fraction * poured_l + left_fraction * left_l) / whole_l


def litres_needed(left_l: float, bottle_fraction: float, lowest_c: float) -> float:
    """Litres of bottled antifreeze [L] that make ``left_l`` litres of water good to ``lowest_c``.

    Args:
        left_l: water that stands there [L].
        bottle_fraction: strength in the bottle [fraction].
        lowest_c: freezing point wanted [degC].

    Raises:
        RecordError: the bottle itself freezes earlier, so no amount of it is enough.
    """
    wanted = strength_for(lowest_c)
    if bottle_fraction <= wanted:
        point_c = freezing_c(bottle_fraction)
        raise RecordError(
            f"antifreeze of {bottle_fraction:.0%} freezes at {point_c:.1f} degC, "
            f"so it cannot be good to {lowest_c:g} degC. Take a stronger one, or drain."
        )
    return left_l * wanted / (bottle_fraction - wanted)


def _between(x: float, xs: tuple[float, ...], ys: tuple[float, ...]) -> float:
    right = bisect_left(xs, x)
    if right == 0:
        return ys[0]
    share = (x - xs[right - 1]) / (xs[right] - xs[right - 1])
    return ys[right - 1] + share * (ys[right] - ys[right - 1])
