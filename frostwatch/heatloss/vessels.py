"""An item with so many litres in it -> heat capacity, ways out for its heat, growth of its ice."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frostwatch.fleet.vehicles import Item, Place, Shape
from frostwatch.heatloss import films
from frostwatch.heatloss.water import ICE_W_PER_M_K

Array = NDArray[np.float64]

DRY_W_PER_M2_K = 1.2
"""From the surface of the water up through air gap and top, by area of the surface; the top lies
against floor or seat and takes no foam. Estimate."""
FOAM_W_PER_M_K = 0.038
"""Closed-cell foam sleeves and boards; 0.033 to 0.040. Estimate."""
DRUM_FOAM_W_PER_M_K = 0.035
"""Foam shell of a water heater. Estimate."""
FLOOR_WIND_SHARE = 0.4
"""Air movement under the floor as a share of the 10 m wind; 0.2 to 0.8. Estimate."""
OUTSIDE_WIND_SHARE = 0.7
"""Air movement at the outer skin as a share of the 10 m wind. Estimate."""
REFERENCE_WIND_M_PER_S = 1.2
"""Air movement under the floor for which fixed conductances are given (3 m/s at 10 m)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Exposure:
    """Ways out of one item: a conductance to each air, and how ice slows the heat.

    Attributes:
        cabin_w_per_k: to the cabin air [W/K].
        locker_w_per_k: to the locker air [W/K].
        outside_w_per_k: to the outside air [W/K], one value for each wind given.
        flat_shell: slowing by a flat layer, whole loss / (1 + flat_shell * f) [-].
        round_shell: slowing by a ring, whole loss / (1 + round_shell * ln(1/sqrt(1-f))) [-].
    """

    cabin_w_per_k: float
    locker_w_per_k: float
    outside_w_per_k: Array
    flat_shell: float = 0.0
    round_shell: float = 0.0


def local_wind_m_per_s(place: Place, wind_m_per_s: Array) -> Array:
    """Air movement at an item outdoors [m/s] from the 10 m wind at the site, same shape."""
    share = FLOOR_WIND_SHARE if place is Place.FLOOR else OUTSIDE_WIND_SHARE
    return np.maximum(share * wind_m_per_s, films.CALM_M_PER_S)


def wetted_area_m2(item: Item, litres_l: float) -> tuple[float, float]:
    """Wetted wall and surface of the water [m2] in a box tank that holds that much."""
    length_m, width_m, height_m = item.size_m
    surface_m2 = length_m * width_m
    depth_m = min(litres_l / 1000.0 / surface_m2, height_m)
    return surface_m2 + 2.0 * (length_m + width_m) * depth_m, surface_m2


def _tank(item: Item, litres_l: float, film: Array) -> tuple[Array, float]:
    """Conductance [W/K] of a box tank under that film, and its flat ice shell [-]."""
    wet_m2, surface_m2 = wetted_area_m2(item, litres_l)
    resistance = item.wall_m / item.wall_w_per_m_k + item.foam_m / FOAM_W_PER_M_K
    wet_u = 1.0 / (1.0 / film + resistance)
    whole = wet_m2 * wet_u + surface_m2 * DRY_W_PER_M2_K
    return whole, _flat_shell(wet_m2 * wet_u, whole, wet_m2, litres_l)


def _drum(item: Item, litres_l: float, film: Array) -> tuple[Array, float]:
    """Conductance [W/K] of a drum in its foam, whatever its filling, and its flat ice shell [-].

    Round side by cylinder layers, ends as flat faces of the bore.
    """
    diameter_m, length_m = item.size_m
    radii_m = np.cumsum([diameter_m / 2.0, item.wall_m, item.foam_m])
    layers = np.log(radii_m[1] / radii_m[0]) / item.wall_w_per_m_k
    layers += np.log(radii_m[2] / radii_m[1]) / DRUM_FOAM_W_PER_M_K
    side = 2.0 * math.pi * length_m / (layers + 1.0 / (film * radii_m[2]))
    resistance = item.wall_m / item.wall_w_per_m_k + item.foam_m / DRUM_FOAM_W_PER_M_K
    ends_m2 = math.pi / 2.0 * diameter_m**2
    whole = side + ends_m2 / (1.0 / film + resistance)
    return whole, _flat_shell(whole, whole, ends_m2 + math.pi * diameter_m * length_m, litres_l)


def _flat_shell(wet_w_per_k: Array, whole: Array, wet_m2: float, litres_l: float) -> float:
    """How a layer of ice of even thickness on the wetted wall slows the whole loss [-]."""
    wet = float(np.mean(wet_w_per_k))
    depth_m = litres_l / 1000.0 / wet_m2
    return wet / wet_m2 * depth_m / ICE_W_PER_M_K * wet / float(np.mean(whole))


def _pipe(item: Item, film_of_wind: Array | None) -> tuple[Array, float]:
    """Conductance of a pipe run [W/K] and the slowing by its ring of ice [-].

    ``film_of_wind`` is the local air movement [m/s]; None for still air indoors.
    """
    bore_m, length_m = item.size_m
    wall_m = bore_m / 2.0 + item.wall_m
    outer_m = wall_m + item.foam_m
    layers = math.log(wall_m / (bore_m / 2.0)) / item.wall_w_per_m_k
    layers += math.log(outer_m / wall_m) / FOAM_W_PER_M_K
    film = (
        np.full(1, films.PIPE_STILL_W_PER_M2_K)
        if film_of_wind is None
        else films.pipe_w_per_m2_k(film_of_wind, 2.0 * outer_m)
    )
    per_m = 1.0 / (layers / (2.0 * math.pi) + 1.0 / (2.0 * math.pi * outer_m * film))
    growth = float(np.mean(per_m)) / (2.0 * math.pi * ICE_W_PER_M_K)
    return per_m * length_m, growth


def _indoors(item: Item, litres_l: float) -> tuple[float, float, float]:
    """Conductance to the air of cabin or locker [W/K] and both shells."""
    if item.ua_w_per_k is not None:
        return item.ua_w_per_k.value, 0.0, 0.0
    if item.shape is Shape.PIPE:
        ua, ring = _pipe(item, None)
        return float(ua[0]), 0.0, ring
    vessel = _drum if item.shape is Shape.DRUM else _tank
    ua, flat = vessel(item, litres_l, np.full(1, films.INSIDE_W_PER_M2_K))
    return float(ua[0]), flat, 0.0


def _outdoors(item: Item, litres_l: float, wind_m_per_s: Array) -> Exposure:
    local = local_wind_m_per_s(item.place, wind_m_per_s)
    if item.ua_w_per_k is not None:
        windy = films.face_w_per_m2_k(local) / films.face_w_per_m2_k(REFERENCE_WIND_M_PER_S)
        return Exposure(
            cabin_w_per_k=0.0, locker_w_per_k=0.0, outside_w_per_k=item.ua_w_per_k.value * windy
        )
    if item.shape is Shape.PIPE:
        ua, ring = _pipe(item, local)
        return Exposure(cabin_w_per_k=0.0, locker_w_per_k=0.0, outside_w_per_k=ua, round_shell=ring)
    vessel = _drum if item.shape is Shape.DRUM else _tank
    ua, flat = vessel(item, litres_l, films.face_w_per_m2_k(local))
    return Exposure(cabin_w_per_k=0.0, locker_w_per_k=0.0, outside_w_per_k=ua, flat_shell=flat)


def exposure_of(item: Item, litres_l: float, wind_m_per_s: Array) -> Exposure:
    """How an item with that much water loses its heat.

    Args:
        item: the item of the layout.
        litres_l: water in it [L], above 0.
        wind_m_per_s: 10 m wind at the site after shelter [m/s], shape (H + 1,).

    Source: wetted area and films; checks against worked values in tests/heatloss.
    """
    if item.place in (Place.FLOOR, Place.OUTSIDE):
        return _outdoors(item, litres_l, wind_m_per_s)
    ua, flat, ring = _indoors(item, litres_l)
    inner = 1.0 if item.cabin_share is None else item.cabin_share
    in_cabin = item.place is Place.CABIN
    return Exposure(
        cabin_w_per_k=ua * inner if in_cabin else 0.0,
        locker_w_per_k=0.0 if in_cabin else ua * inner,
        outside_w_per_k=np.full(len(wind_m_per_s), ua * (1.0 - inner)),
        flat_shell=flat,
        round_shell=ring,
    )
