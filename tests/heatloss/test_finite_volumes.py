"""One node a vessel against a finite-volume solution of conduction and freezing, written for this.

Bands, negative = early: 10 % ice within -12..+5 %, half frozen -10..+5 % with the shell of ice,
pipes 5 %; peak ice fraction within 0.05 while it stays below 0.75.
"""

import math
from typing import Any

import numpy as np
import pytest

from frostwatch.heatloss.case import read_case
from frostwatch.heatloss.integrate import answer

RHO, C_W, C_I, L, K_I = 1000.0, 4200.0, 2050.0, 333_500.0, 2.2
STIRRED_W_PER_M_K = 6.0
"""Convection keeps the liquid nearly even: ten times the conductivity of still water. Estimate."""


def finite_volumes(mesh: Any, u: Any, air_c: Any, start_c: Any, hours: Any, step_s: Any) -> Any:
    """Ice fraction at the end of each step; the outer face is the last edge; enthalpy method."""
    edges_m, areas_m2 = mesh
    volumes = areas_m2["volume"]
    centre = 0.5 * (edges_m[1:] + edges_m[:-1])
    enthalpy = np.full(len(volumes), RHO * C_W * start_c)
    ices = []
    for step in range(int(hours * 3600 / step_s)):
        outside = np.interp(step * step_s / 3600, np.arange(len(air_c)), air_c)
        ice = np.clip(-enthalpy / (RHO * L), 0.0, 1.0)
        temperature = np.where(
            enthalpy >= 0,
            enthalpy / (RHO * C_W),
            np.minimum(enthalpy + RHO * L, 0.0) / (RHO * C_I),
        )
        k = np.where(ice > 0.5, K_I, STIRRED_W_PER_M_K)
        between = np.diff(centre) / 2
        resist = between / k[:-1] + between / k[1:]
        flow = areas_m2["inner"] * (temperature[1:] - temperature[:-1]) / resist
        wall = 1 / u + (edges_m[-1] - centre[-1]) / k[-1]
        out = areas_m2["outer"] * (outside - temperature[-1]) / wall
        change = np.zeros(len(volumes))
        change[:-1] += flow
        change[1:] -= flow
        change[-1] += out
        enthalpy = enthalpy + step_s * change / volumes
        frozen = np.clip(-enthalpy / (RHO * L), 0.0, 1.0)
        ices.append(float((frozen * volumes).sum() / volumes.sum()))
    return np.array(ices)


def slab(depth_m: float, cells: int) -> Any:
    edges = np.linspace(0.0, depth_m, cells + 1)
    one = np.ones(cells)
    return edges, {"volume": np.diff(edges), "inner": one[1:], "outer": 1.0}


def cylinder(radius_m: Any, cells: Any) -> Any:
    edges = np.linspace(0.0, radius_m, cells + 1)
    return edges, {
        "volume": math.pi * np.diff(edges**2),
        "inner": 2 * math.pi * edges[1:-1],
        "outer": 2 * math.pi * radius_m,
    }


def hour_of(ices: Any, fraction: Any, step_s: Any) -> Any:
    return (int(np.argmax(ices >= fraction)) + 1) * step_s / 3600


def estimate(body: Any, air_c: Any) -> Any:
    case: dict[str, Any] = {
        "step_h": 1.0,
        "airs": {"out": {"temperature_c": list(air_c)}},
        "bodies": [body],
    }
    found: Any = answer(read_case(case))
    return found["bodies"][0]


@pytest.mark.parametrize(("depth_m", "u"), [(0.03, 11.5), (0.09, 11.5), (0.18, 11.5), (0.10, 3.0)])
def test_a_tank_freezes_within_the_bands(depth_m: Any, u: Any) -> None:
    step_s = 0.35 * (depth_m / 8) ** 2 / (STIRRED_W_PER_M_K / (RHO * C_W))
    hours = 2.0 * RHO * depth_m * (0.55 * L + C_W * 5) / (u * 10) / 3600
    air_c = np.full(math.ceil(hours) + 1, -10.0)
    ices = finite_volumes(slab(depth_m, 8), u, air_c, 5.0, hours, step_s)
    body = estimate(
        {
            "name": "tank",
            "water_l": 1000 * depth_m,
            "start_c": 5.0,
            "losses": [{"to": "out", "shape": "flat", "area_m2": 1.0, "u_w_per_m2_k": u}],
        },
        air_c,
    )
    for fraction, name, early in (
        (0.1, "ice_10_percent_h", -0.12),
        (0.5, "ice_50_percent_h", -0.10),
    ):
        reference = hour_of(ices, fraction, step_s)
        assert early <= body[name] / reference - 1 <= 0.05


@pytest.mark.parametrize("radius_m", [0.005, 0.0058, 0.02])
def test_a_pipe_freezes_within_five_per_cent(radius_m: Any) -> None:
    air_c = np.full(13, -5.0)
    step_s = 0.35 * (radius_m / 6) ** 2 / (STIRRED_W_PER_M_K / (RHO * C_W))
    hours = 2.0 * RHO * radius_m / 2 * (0.55 * L + C_W * 5) / (15 * 5) / 3600
    ices = finite_volumes(cylinder(radius_m, 6), 15.0, air_c, 3.0, hours, step_s)
    body = estimate(
        {
            "name": "pipe",
            "water_l": 1000 * math.pi * radius_m**2,
            "start_c": 3.0,
            "losses": [
                {
                    "to": "out",
                    "shape": "round",
                    "length_m": 1.0,
                    "radius_m": radius_m,
                    "u_w_per_m2_k": 15.0,
                }
            ],
        },
        air_c,
    )
    for fraction, name in ((0.1, "ice_10_percent_h"), (0.5, "ice_50_percent_h")):
        assert body[name] == pytest.approx(hour_of(ices, fraction, step_s), rel=0.05)


def test_the_peak_of_a_night_is_met_within_a_twentieth() -> None:
    """20 L under the floor through one hard night and its day."""
    hours = np.arange(37)
    air_c = -3.0 - 5.0 * np.cos(2 * np.pi * (hours - 30) / 24)
    depth_m, step_s = 0.03, 0.35 * (0.03 / 8) ** 2 / (STIRRED_W_PER_M_K / (RHO * C_W))
    ices = finite_volumes(slab(depth_m, 8), 11.5, air_c, 3.0, 36.0, step_s)
    body = estimate(
        {
            "name": "tank",
            "water_l": 30.0,
            "start_c": 3.0,
            "losses": [{"to": "out", "shape": "flat", "area_m2": 1.0, "u_w_per_m2_k": 11.5}],
        },
        air_c,
    )
    peak = ices.max()
    assert peak < 0.75
    assert max(body["ice_fraction"]) == pytest.approx(peak, abs=0.05)
