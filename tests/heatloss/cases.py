"""Small estimate cases, and what their answers say."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.case import read_case
from frostwatch.heatloss.integrate import answer

Path = float | Sequence[float] | NDArray[np.float64]
Body = dict[str, Any]
Answer = dict[str, Any]


def a_series(value: Path, hours: int) -> list[float]:
    """One value for each hour boundary."""
    return [float(value)] * (hours + 1) if isinstance(value, int | float) else [*map(float, value)]


def a_case(
    hours: int,
    air_c: Path,
    *bodies: Body,
    events: Sequence[dict[str, Any]] = (),
    sensors: Sequence[dict[str, Any]] = (),
    **airs_c: Path,
) -> dict[str, Any]:
    """A case in the air ``out``, steady or by hour, with further airs by name."""
    airs = {"out": air_c, **airs_c}
    return {
        "step_h": 1.0,
        "airs": {name: {"temperature_c": a_series(path, hours)} for name, path in airs.items()},
        "bodies": list(bodies),
        "events": list(events),
        "sensors": list(sensors),
    }


def estimate(hours: int, air_c: Path, *bodies: Body, **more: Any) -> Answer:
    """The answer to ``a_case``."""
    return answer(read_case(a_case(hours, air_c, *bodies, **more)))


def first(result: Answer) -> Body:
    """The first body of an answer."""
    body: Body = result["bodies"][0]
    return body


def water(
    litres: float, start_c: float, *losses: dict[str, Any], ua: float = 0.0, **more: Any
) -> Body:
    """A body of water called ``water``, losing to ``out`` unless other ways are given."""
    ways = list(losses) or [{"to": "out", "ua_w_per_k": ua}]
    return {"name": "water", "water_l": litres, "start_c": start_c, "losses": ways, **more}


def dry(j_per_k: float, start_c: float, ua: float, **more: Any) -> Body:
    """A dry mass called ``dry`` that loses to ``out``."""
    return {
        "name": "dry",
        "water_l": 0,
        "dry_capacity_j_per_k": j_per_k,
        "start_c": start_c,
        "losses": [{"to": "out", "ua_w_per_k": ua}],
        **more,
    }


def flat(area_m2: float, u: float, to: str = "out") -> dict[str, Any]:
    """A loss through a flat face."""
    return {"to": to, "shape": "flat", "area_m2": area_m2, "u_w_per_m2_k": u}


def ring(length_m: float, radius_m: float, u: float, to: str = "out") -> dict[str, Any]:
    """A loss through the wall of a pipe."""
    return {
        "to": to,
        "shape": "round",
        "length_m": length_m,
        "radius_m": radius_m,
        "u_w_per_m2_k": u,
    }


def hours_to(body: Body, level_c: float) -> float:
    """First time a falling or rising temperature passes a level, straight between whole hours."""
    for hour, (before, after) in enumerate(pairwise(body["temperature_c"])):
        if (before - level_c) * (after - level_c) <= 0 and before != after:
            return float(hour + (before - level_c) / (before - after))
    raise AssertionError(f"{body['name']} never passes {level_c} degC")
