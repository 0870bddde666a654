"""What people call a circuit on the command line and in files."""

from collections.abc import Mapping
from difflib import get_close_matches
from types import MappingProxyType

from frostwatch.errors import FleetError
from frostwatch.fleet.vehicles import Circuit

CIRCUITS_BY_WORD: Mapping[str, tuple[Circuit, ...]] = MappingProxyType(
    {
        "fresh": (Circuit.FRESH_TANK,),
        "pump": (Circuit.PUMP,),
        "cold": (Circuit.COLD_PIPES,),
        "hot": (Circuit.HOT_PIPES,),
        "pipes": (Circuit.COLD_PIPES, Circuit.HOT_PIPES),
        "outside": (Circuit.OUTSIDE_POINT,),
        "filter": (Circuit.FILTER,),
        "heater": (Circuit.HEATER_TANK,),
        "taps": (Circuit.HOT_PIPES,),
        "shower": (Circuit.SHOWER,),
        "traps": (Circuit.TRAPS,),
        "waste-pipes": (Circuit.WASTE_PIPES,),
        "waste": (Circuit.WASTE_TANK,),
        "outlet": (Circuit.OUTLET_STUB,),
        "stub": (Circuit.OUTLET_STUB,),
        "flush": (Circuit.FLUSH_TANK,),
        "flush-valve": (Circuit.FLUSH_VALVE,),
        "cassette": (Circuit.CASSETTE,),
        "hydronic": (Circuit.HYDRONIC,),
        "containers": (Circuit.CONTAINERS,),
        "macerator": (Circuit.MACERATOR,),
        "carriers": (Circuit.CARRIERS,),
    }
)
"""Short words for circuits on the command line and in files, beside the codes themselves."""


def circuits_named(word: str) -> tuple[Circuit, ...]:
    """The circuits a person means by a code (``"W3"``) or a short word (``"waste"``, ``"pipes"``).

    Raises:
        FleetError: nobody knows the word; the message offers the nearest one.
    """
    asked = word.strip().casefold().replace(" ", "-").replace("_", "-")
    by_code = {circuit.value.casefold(): circuit for circuit in Circuit}
    if asked in by_code:
        return (by_code[asked],)
    if asked in CIRCUITS_BY_WORD:
        return CIRCUITS_BY_WORD[asked]
    near = get_close_matches(asked, CIRCUITS_BY_WORD, n=1, cutoff=0.5)
    hint = (
        f"Did you mean {near[0]!r}?"
        if near
        else f"Give a code such as W3, or one of {', '.join(CIRCUITS_BY_WORD)}."
    )
    raise FleetError(f"circuit {word.strip()!r} is not known. {hint}")
