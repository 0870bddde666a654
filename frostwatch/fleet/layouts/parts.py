"""Short constructors for the entries of the catalogue, and the defaults they share.

Every volume, size and conductance here is a default that a vehicle may override. Where no published
figure exists the source says so: "estimate", "common practice, no source" or "computed from ...".
"""

import math

from frostwatch.fleet.vehicles import Circuit, DumpValve, Figure, Item, Place, Shape, Shell

ESTIMATE = "estimate"
PRACTICE = "common practice, no source"
GEOMETRY = "computed from the sizes given"

PIPE_BORE_M = 0.012
PIPE_WALL_M = 0.0015
PIPE_WALL_W_PER_M_K = 0.22
PIPE_WALL_J_PER_K_M = 132.0
"""Wall of a 12 mm bore plastic pipe, about 30 % of its water's heat capacity. Estimate."""

POLYETHYLENE_J_PER_M3_K = 950.0 * 1900.0
"""Density [kg/m3] times heat capacity [J/(kg K)]; handbook values from memory, not verified."""

TANK_WALL_M = 0.004


def estimate(value: float, low: float, high: float) -> Figure:
    """A figure nobody published: our own judgement, with its range."""
    return Figure(value=value, low=low, high=high, source=ESTIMATE)


def practice(value: float, low: float, high: float) -> Figure:
    """A figure the trade works with and nobody wrote down."""
    return Figure(value=value, low=low, high=high, source=PRACTICE)


def none_left() -> Figure:
    """Nothing stays behind."""
    return Figure(value=0.0, low=0.0, high=0.0, source=ESTIMATE)


def _circuit(key: str) -> Circuit:
    return Circuit(key.partition(".")[0])


def _volume(capacity_l: float) -> Figure:
    return Figure(value=capacity_l, low=0.7 * capacity_l, high=1.4 * capacity_l, source=GEOMETRY)


def _wall(area_m2: float, wall_m: float) -> Figure:
    j_per_k = area_m2 * wall_m * POLYETHYLENE_J_PER_M3_K
    return Figure(
        value=round(j_per_k, 1),
        low=0.6 * j_per_k,
        high=1.5 * j_per_k,
        source="computed from wall area and thickness; polyethylene 950 kg/m3, 1900 J/(kg K), "
        "from memory, not verified",
    )


def tank(
    key: str,
    place: Place,
    size_m: tuple[float, float, float],
    *,
    capacity_l: Figure,
    left_drained_l: Figure,
    left_travel_l: Figure | None = None,
    foam_m: float = 0.0,
    air_space_fraction: float = 0.05,
    could_split: str = "",
    lets_go: str = "",
    heater_w: float = 0.0,
    heater_needs_l: float = 0.0,
) -> Item:
    """A vented plastic box of length, width and height [m], wall 4 mm."""
    long_m, wide_m, high_m = size_m
    area_m2 = 2 * (long_m * wide_m + long_m * high_m + wide_m * high_m)
    return Item(
        key=key,
        circuit=_circuit(key),
        place=place,
        shape=Shape.TANK,
        capacity_l=capacity_l,
        left_travel_l=left_travel_l or capacity_l,
        left_drained_l=left_drained_l,
        size_m=size_m,
        wall_m=TANK_WALL_M,
        foam_m=foam_m,
        dry_j_per_k=_wall(area_m2, TANK_WALL_M),
        air_space_fraction=air_space_fraction,
        could_split=could_split,
        lets_go=lets_go,
        heater_w=heater_w,
        heater_needs_l=heater_needs_l,
    )


def heater_tank(
    place: Place, *, diameter_m: float = 0.20, length_m: float = 0.32, lets_go: str
) -> Item:
    """The water heater's tank: a stiff steel drum in 20 mm of foam (0.035 W/(m K)), 10 L."""
    capacity_l = 1000 * math.pi / 4 * diameter_m**2 * length_m
    return Item(
        key="H1",
        circuit=Circuit.HEATER_TANK,
        place=place,
        shape=Shape.DRUM,
        capacity_l=practice(float(round(capacity_l)), 6.0, 14.0),
        left_travel_l=practice(float(round(capacity_l)), 6.0, 14.0),
        left_drained_l=estimate(0.3, 0.1, 0.5),
        size_m=(diameter_m, length_m),
        wall_m=0.0015,
        wall_w_per_m_k=15.0,
        foam_m=0.020,
        dry_j_per_k=estimate(1500.0, 1000.0, 3000.0),
        closed=True,
        could_split="heater tank",
        lets_go=lets_go,
    )


def pipe(
    key: str,
    place: Place,
    length_m: float,
    *,
    bore_m: float = PIPE_BORE_M,
    foam_m: float = 0.0,
    cabin_share: float | None = None,
    left_drained_l: Figure | None = None,
    closed: bool = True,
    could_split: str = "push-fit elbow",
    lets_go: str = "low-point drains, taps open",
) -> Item:
    """A plastic pipe run of that length and bore [m]; volume and wall follow from them."""
    capacity_l = round(1000 * math.pi / 4 * bore_m**2 * length_m, 3)
    wall_j_per_k = PIPE_WALL_J_PER_K_M * length_m * bore_m / PIPE_BORE_M
    return Item(
        key=key,
        circuit=_circuit(key),
        place=place,
        shape=Shape.PIPE,
        capacity_l=_volume(capacity_l),
        left_travel_l=_volume(capacity_l),
        left_drained_l=left_drained_l
        or estimate(0.2 * capacity_l, 0.05 * capacity_l, 0.4 * capacity_l),
        size_m=(bore_m, length_m),
        wall_m=PIPE_WALL_M,
        wall_w_per_m_k=PIPE_WALL_W_PER_M_K,
        foam_m=foam_m,
        dry_j_per_k=Figure(
            value=wall_j_per_k,
            low=0.6 * wall_j_per_k,
            high=1.4 * wall_j_per_k,
            source="computed from 132 J/(K m) of a 12 mm bore plastic pipe (estimate)",
        ),
        cabin_share=cabin_share,
        closed=closed,
        could_split=could_split,
        lets_go=lets_go,
    )


def fitting(
    key: str,
    place: Place,
    capacity_l: Figure,
    *,
    ua_w_per_k: Figure,
    dry_j_per_k: Figure,
    left_drained_l: Figure | None = None,
    cabin_share: float | None = None,
    closed: bool = True,
    could_split: str = "",
    lets_go: str = "",
) -> Item:
    """A small thing known by its conductance alone; what it holds stays unless cleared."""
    return Item(
        key=key,
        circuit=_circuit(key),
        place=place,
        shape=Shape.FITTING,
        capacity_l=capacity_l,
        left_travel_l=capacity_l,
        left_drained_l=left_drained_l or capacity_l,
        ua_w_per_k=ua_w_per_k,
        dry_j_per_k=dry_j_per_k,
        cabin_share=cabin_share,
        closed=closed,
        could_split=could_split,
        lets_go=lets_go,
    )


def dump_valve(place: Place) -> DumpValve:
    """A valve that lets go near 3 degC and can be shut by hand above about 7 degC.

    Source: opening and closing temperature as printed in one caravan handbook; other published
    openings are 4 and 5 degC. The tolerances are estimates.
    """
    printed = "printed in one caravan handbook; tolerance is an estimate"
    return DumpValve(
        drains="H1",
        place=place,
        opens_below_c=Figure(value=3.0, low=1.0, high=5.0, source=printed),
        closable_above_c=Figure(value=7.0, low=6.0, high=8.0, source=printed),
    )


WALL_U, ROOF_U, FLOOR_U, GLASS_U = 0.92, 0.78, 0.63, 2.9
"""Sandwich wall, roof and floor, double acrylic window [W/(m2 K)]. Estimates from 30 to 40 mm foam
panels."""


def shell(
    body_m: tuple[float, float, float],
    *,
    glazing_m2: float,
    cab_and_vents_w_per_k: float,
    bridges: float = 1.25,
    locker_to_outside_w_per_k: float = 7.3,
) -> Shell:
    """Heat loss from panel areas; heat capacities by floor area from a 12.1 m2 coachbuilt.

    Args:
        body_m: living body, length, width, height [m].
        glazing_m2: windows and rooflights [m2].
        cab_and_vents_w_per_k: cab and fixed ventilation [W/K].
        bridges: factor for frames and joints; 1.25 for sandwich bodies, 1.5 for steel vans.
        locker_to_outside_w_per_k: 7.3 W/K gives the locker a time constant of 2.5 h.
    """
    long_m, wide_m, high_m = body_m
    floor_m2 = long_m * wide_m
    wall_m2 = 2 * high_m * (long_m + wide_m) - glazing_m2
    panels = WALL_U * wall_m2 + (ROOF_U + FLOOR_U) * floor_m2 + GLASS_U * glazing_m2
    ua = round(bridges * panels + cab_and_vents_w_per_k, 1)
    share = floor_m2 / 12.1
    loss = Figure(
        value=ua,
        low=0.63 * ua,
        high=1.58 * ua,
        source=f"computed from panel areas: body {long_m:g} x {wide_m:g} x {high_m:g} m, "
        f"U {WALL_U:g}/{ROOF_U:g}/{FLOOR_U:g}, glazing {glazing_m2:g} m2 at {GLASS_U:g}, "
        f"x {bridges:g} for bridges, + {cab_and_vents_w_per_k:g} W/K cab and vents (estimates)",
    )
    return Shell(
        cabin_ua_w_per_k=loss,
        cabin_air_j_per_k=estimate(0.15e6 * share, 0.10e6 * share, 0.25e6 * share),
        cabin_mass_j_per_k=estimate(1.10e6 * share, 0.80e6 * share, 1.65e6 * share),
        air_to_mass_w_per_k=estimate(200.0, 100.0, 300.0),
        locker_j_per_k=estimate(0.12e6, 0.08e6, 0.20e6),
        locker_to_cabin_w_per_k=estimate(6.0, 3.0, 12.0),
        locker_to_outside_w_per_k=estimate(
            locker_to_outside_w_per_k,
            0.5 * locker_to_outside_w_per_k,
            2.0 * locker_to_outside_w_per_k,
        ),
    )
