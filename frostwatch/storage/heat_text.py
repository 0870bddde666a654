"""Heat sources and hook-up posts as people write them: ``gas 6000 W``, ``1..6 16 A``."""

import re
from collections.abc import Sequence

from frostwatch.errors import FleetError
from frostwatch.fleet.heat import Fuel, HeatSource, Post
from frostwatch.storage.bay_ranges import bays_from, bays_text

_SOURCE = re.compile(r"(\w+)\s+(\d+(?:[.,]\d+)?)\s*(k?w)", re.IGNORECASE)
_POST = re.compile(r"(.*\S)\s+(\d+(?:[.,]\d+)?)\s*a", re.IGNORECASE)
_FUELS = {
    "gas": Fuel.GAS,
    "gaz": Fuel.GAS,
    "diesel": Fuel.DIESEL,
    "gazole": Fuel.DIESEL,
    "electric": Fuel.ELECTRIC,
    "strom": Fuel.ELECTRIC,
    "elektrisch": Fuel.ELECTRIC,
    "electrique": Fuel.ELECTRIC,
    "électrique": Fuel.ELECTRIC,
}


def source_from(text: str) -> HeatSource:
    """``gas 6000 W``, ``electric 1.8 kW``.

    Raises:
        FleetError: it cannot be read.
    """
    found = _SOURCE.fullmatch(text.strip())
    fuel = _FUELS.get(found[1].casefold()) if found else None
    if found is None or fuel is None:
        raise FleetError(
            f"{text!r} is no heat source. Write gas, diesel or electric and its power, "
            "such as gas 6000 W."
        )
    factor = 1000.0 if found[3].casefold() == "kw" else 1.0
    return HeatSource(fuel=fuel, power_w=factor * float(found[2].replace(",", ".")))


def source_text(source: HeatSource) -> str:
    """The same, written."""
    return f"{source.fuel.value} {source.power_w:g} W"


def posts_from(text: str) -> tuple[Post, ...]:
    """``3 16 A`` or ``1..6 16 A``: posts of one rating.

    Raises:
        FleetError: it cannot be read.
    """
    found = _POST.fullmatch(text.strip())
    if found is None:
        raise FleetError(
            f"{text!r} is no post. Write its name or a range and its rating, such as 1..6 16 A."
        )
    amps = float(found[2].replace(",", "."))
    return tuple(Post(name=name, amps=amps) for name in bays_from([found[1]]))


def posts_text(posts: Sequence[Post]) -> list[str]:
    """Posts written short, neighbours of one rating together."""
    runs: list[list[Post]] = []
    for post in posts:
        if runs and runs[-1][-1].amps == post.amps:
            runs[-1].append(post)
        else:
            runs.append([post])
    return [
        f"{name} {run[0].amps:g} A"
        for run in runs
        for name in bays_text([post.name for post in run])
    ]
