"""One node a vessel against finite volumes, which have as many as they need.

Bands, negative = early: 10 % ice within -12..+5 %, half frozen within -10..+5 % with the shell of
ice and -25..+5 % without, pipes 5 %; peaks within 0.05 while they stay below 0.75. One node errs on
the early side: it has no resistance inside the water.
"""

import math
from typing import Any

import numpy as np
import pytest

from tests.heatloss.cases import estimate, first, flat, ring, water
from tests.heatloss.finite_volumes import Vessel, hour_of

AIR_C = -6.0
TANKS = {
    "20 L under the floor": Vessel(shape="slab", depth_m=0.03, u=11.5),
    "60 L under the floor": Vessel(shape="slab", depth_m=0.09, u=11.5),
    "120 L under the floor": Vessel(shape="slab", depth_m=0.14, u=11.5),
    "120 L in foam": Vessel(shape="slab", depth_m=0.14, u=1.35),
    "fresh tank indoors": Vessel(shape="slab", depth_m=0.08, u=7.0),
    "heater tank in foam": Vessel(shape="cylinder", depth_m=0.10, u=1.55),
    "heater tank, bare": Vessel(shape="cylinder", depth_m=0.10, u=7.0),
    "round container": Vessel(shape="sphere", depth_m=0.12, u=11.5),
}


def hours_to_half(vessel: Vessel, start_c: float, air_c: float) -> float:
    """Somewhat longer than the vessel takes to freeze half through [h]."""
    heat = vessel.litres_per_m2 * (4200.0 * start_c + 0.5 * 333_500.0)
    thick = 0.5 * vessel.litres_per_m2 / 1000.0
    return 1.5 * heat * (1.0 / vessel.u + thick / 2.2) / -air_c / 3600


def as_faces(vessel: Vessel, start_c: float, *, shell: bool = True) -> dict[str, Any]:
    """A square metre of the cooled face as a body of a case."""
    way = flat(1.0, vessel.u) if shell else {"to": "out", "ua_w_per_k": vessel.u}
    return water(vessel.litres_per_m2, start_c, way)


def as_pipe(vessel: Vessel, start_c: float) -> dict[str, Any]:
    """A metre of pipe as a body of a case."""
    litres = 1000 * math.pi * vessel.depth_m**2
    return water(litres, start_c, ring(1.0, vessel.depth_m, vessel.u))


@pytest.mark.parametrize("name", TANKS)
def test_a_tank_freezes_within_the_bands(name: str) -> None:
    vessel, start_c = TANKS[name], 5.0
    hours = math.ceil(hours_to_half(vessel, start_c, AIR_C))
    ice = vessel.ice_by_minute(np.full(2, AIR_C), start_c, hours)
    with_shell = first(estimate(hours, AIR_C, as_faces(vessel, start_c)))
    plain = first(estimate(hours, AIR_C, as_faces(vessel, start_c, shell=False)))
    tenth, half = hour_of(ice, 0.1), hour_of(ice, 0.5)
    assert -0.12 <= with_shell["ice_10_percent_h"] / tenth - 1 <= 0.05
    assert -0.10 <= with_shell["ice_50_percent_h"] / half - 1 <= 0.05
    assert -0.25 <= plain["ice_50_percent_h"] / half - 1 <= 0.05


PIPES = {
    "bare pipe": Vessel(shape="cylinder", depth_m=0.006, u=25.0, cells=10),
    "pipe in foam": Vessel(shape="cylinder", depth_m=0.006, u=5.3, cells=10),
    "wide waste pipe": Vessel(shape="cylinder", depth_m=0.014, u=17.0, cells=10),
}


@pytest.mark.parametrize("name", PIPES)
def test_a_pipe_freezes_within_five_per_cent(name: str) -> None:
    vessel, start_c = PIPES[name], 3.0
    hours = math.ceil(hours_to_half(vessel, start_c, -5.0))
    ice = vessel.ice_by_minute(np.full(2, -5.0), start_c, hours)
    body = first(estimate(hours, -5.0, as_pipe(vessel, start_c)))
    for level, name_h in ((0.1, "ice_10_percent_h"), (0.5, "ice_50_percent_h")):
        assert body[name_h] == pytest.approx(hour_of(ice, level), rel=0.05)


@pytest.mark.parametrize(
    ("name", "mean_c", "swing_k"),
    [("20 L under the floor", -1.0, 5.0), ("60 L under the floor", -3.0, 6.0)],
)
def test_the_peaks_of_nights_and_days_are_met_within_a_twentieth(
    name: str, mean_c: float, swing_k: float
) -> None:
    hours = 60
    air_c = mean_c + swing_k * np.cos(2 * np.pi * np.arange(hours + 1) / 24)
    ice = TANKS[name].ice_by_minute(air_c, 3.0, hours)
    body = first(estimate(hours, air_c, as_faces(TANKS[name], 3.0)))
    for night in (slice(10, 30), slice(34, 54)):
        of_reference = ice[60 * night.start : 60 * night.stop].max()
        assert 0.02 < of_reference < 0.75
        assert max(body["ice_fraction"][night]) == pytest.approx(of_reference, abs=0.05)
