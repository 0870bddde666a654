"""Properties of water, mixes and air out of CoolProp, which takes two seconds to load."""

from typing import Any


def of_coolprop(*wanted: Any) -> float:
    """See ``CoolProp.CoolProp.PropsSI``: SI units."""
    from CoolProp.CoolProp import PropsSI

    return float(PropsSI(*wanted))
