"""A vehicle's own numbers in place of its layout's, by dotted name."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches
from functools import lru_cache
from types import MappingProxyType
from typing import Any, TypeVar

from frostwatch.errors import FleetError
from frostwatch.fleet.vehicles import DumpValve, Figure, Item, Layout, Shape, Shell, Vehicle
from frostwatch.told import told
from frostwatch.units import within

OWN_NUMBER = "given for this vehicle"

ITEM_FIELDS: Mapping[str, tuple[float, float, str]] = MappingProxyType(
    {
        "capacity_l": (0.01, 1000.0, "L"),
        "left_travel_l": (0.0, 1000.0, "L"),
        "left_drained_l": (0.0, 1000.0, "L"),
        "wall_m": (0.0003, 0.05, "m"),
        "wall_w_per_m_k": (0.01, 400.0, "W/(m K)"),
        "foam_m": (0.0, 0.3, "m"),
        "ua_w_per_k": (0.005, 50.0, "W/K"),
        "dry_j_per_k": (1.0, 1e6, "J/K"),
        "cabin_share": (0.0, 1.0, ""),
        "air_space_fraction": (0.0, 0.5, ""),
        "heater_w": (0.0, 3000.0, "W"),
        "heater_on_below_c": (-20.0, 30.0, "degC"),
        "heater_off_above_c": (-20.0, 60.0, "degC"),
        "heater_needs_l": (0.0, 500.0, "L"),
    }
)
"""Numbers of an item that a vehicle may have of its own: lowest, highest, unit."""

VALVE_FIELDS: Mapping[str, tuple[float, float, str]] = MappingProxyType(
    {"opens_below_c": (-5.0, 15.0, "degC"), "closable_above_c": (-5.0, 25.0, "degC")}
)
SHELL_FIELDS: Mapping[str, tuple[float, float, str]] = MappingProxyType(
    {
        "cabin_ua_w_per_k": (5.0, 500.0, "W/K"),
        "cabin_air_j_per_k": (1e4, 2e6, "J/K"),
        "cabin_mass_j_per_k": (1e4, 2e7, "J/K"),
        "air_to_mass_w_per_k": (5.0, 2000.0, "W/K"),
        "locker_j_per_k": (1e4, 2e6, "J/K"),
        "locker_to_cabin_w_per_k": (0.1, 200.0, "W/K"),
        "locker_to_outside_w_per_k": (0.1, 200.0, "W/K"),
    }
)
HEAT_FIELDS: Mapping[str, tuple[float, float, str]] = MappingProxyType(
    {
        "space_heat_w": (0.0, 30000.0, "W"),
        "water_heat_w": (0.0, 10000.0, "W"),
        "hydronic_l": (0.0, 100.0, "L"),
    }
)


def overridden(catalogue: Mapping[str, Layout], vehicle: Vehicle) -> Layout:
    """The catalogue's layout of the vehicle with its overrides applied.

    Raises:
        FleetError: unknown layout or override, number out of range, more left than it holds.
    """
    where = f"vehicle {vehicle.key}"
    try:
        layout = catalogue[vehicle.layout]
    except KeyError:
        raise FleetError(
            told(
                "layout",
                key=vehicle.key,
                given=repr(vehicle.layout),
                mend=one_of(vehicle.layout, list(catalogue)).strip(),
            )
        ) from None
    if not vehicle.overrides:
        return layout
    try:
        return _applied(layout, tuple(sorted(vehicle.overrides, key=_capacities_first)))
    except FleetError as wrong:
        raise FleetError(f"{where}: {wrong}") from None


def _capacities_first(override: tuple[str, float]) -> tuple[bool, str]:
    """A capacity rescales sizes and residues, so it must not undo a number given beside it."""
    return not override[0].endswith(".capacity_l"), override[0]


def one_of(given: str, known: Sequence[str]) -> str:
    """How to mend a word nobody knows: the nearest one, or all of them."""
    near = get_close_matches(given, known, n=1, cutoff=0.5)
    if near:
        return f" Did you mean {near[0]!r}?"
    return f" Give one of {', '.join(known)}."


def override_names(layout: Layout) -> tuple[str, ...]:
    """Every dotted name that may stand in ``Vehicle.overrides`` for this layout."""
    names = [
        f"{item.key}.{field}"
        for item in layout.items
        for field in ITEM_FIELDS
        if _fits(item, field)
    ]
    if layout.valve is not None:
        names += [f"valve.{field}" for field in VALVE_FIELDS]
    names += [f"shell.{field}" for field in SHELL_FIELDS]
    names += [f"heat.{field}" for field in HEAT_FIELDS]
    return tuple(names)


def number_in(layout: Layout, name: str) -> float | None:
    """The number of that dotted name in a layout, in the unit of its name; None if it has none."""
    head, _, field = name.rpartition(".")
    parts: dict[str, object] = {"shell": layout.shell, "valve": layout.valve, "heat": layout}
    parts |= {item.key: item for item in layout.items}
    value = getattr(parts.get(head), field, None)
    if isinstance(value, Figure):
        return value.value
    return float(value) if isinstance(value, (int, float)) else None


def range_of(name: str) -> tuple[float, float]:
    """Lowest and highest that a number of a vehicle's own may be, in the unit of its name."""
    head, _, field = name.rpartition(".")
    spans = {"shell": SHELL_FIELDS, "valve": VALVE_FIELDS, "heat": HEAT_FIELDS}
    low, high, _ = spans.get(head, ITEM_FIELDS).get(field, (0.0, 0.0, ""))
    return low, high


def _fits(item: Item, field: str) -> bool:
    is_fitting = item.shape is Shape.FITTING
    if field == "ua_w_per_k":
        return is_fitting
    return not (is_fitting and field in {"wall_m", "wall_w_per_m_k", "foam_m"})


@lru_cache(maxsize=4096)
def _applied(layout: Layout, overrides: tuple[tuple[str, float], ...]) -> Layout:
    known = override_names(layout)
    for name, number in overrides:
        if name not in known:
            raise FleetError(_unknown(layout, name, known))
        layout = _with(layout, name, number)
    for item in layout.items:
        _check_left(item)
    return layout


def _unknown(layout: Layout, name: str, known: Sequence[str]) -> str:
    said = f"{name!r} is no number of layout {layout.key}."
    head, _, field = name.rpartition(".")
    several = [item.key for item in layout.items if item.key.startswith(f"{head}.")]
    if head and several:
        return f"{said} {head} is made of {', '.join(several)}: write {several[0]}.{field}."
    return said + (one_of(name, known) if _near(name, known) else _heads(layout))


def _near(name: str, known: Sequence[str]) -> bool:
    return bool(get_close_matches(name, known, n=1, cutoff=0.5))


def _heads(layout: Layout) -> str:
    keys = ", ".join(item.key for item in layout.items)
    return f" Names look like F1.capacity_l; this layout has {keys}, valve, shell, heat."


def _with(layout: Layout, name: str, number: float) -> Layout:
    head, _, field = name.rpartition(".")
    spans = {"shell": SHELL_FIELDS, "valve": VALVE_FIELDS, "heat": HEAT_FIELDS}
    low, high, unit = spans.get(head, ITEM_FIELDS)[field]
    within(number, low, high, what=name, unit=unit, error=FleetError)
    if head == "shell":
        return replace(layout, shell=_set(layout.shell, field, number))
    if head == "valve" and layout.valve is not None:
        return replace(layout, valve=_set(layout.valve, field, number))
    if head == "heat":
        return _set(layout, field, number)
    items = tuple(
        _item_with(item, field, number) if item.key == head else item for item in layout.items
    )
    return replace(layout, items=items)


Part = TypeVar("Part", Item, Shell, DumpValve, Layout)


def _set(part: Part, field: str, number: float) -> Part:
    """The part with one number replaced, as a figure where the field is one."""
    new: dict[str, Any] = {field: number}
    if isinstance(getattr(part, field), Figure):
        new[field] = Figure(value=number, low=number, high=number, source=OWN_NUMBER)
    return replace(part, **new)


def _item_with(item: Item, field: str, number: float) -> Item:
    if field == "capacity_l":
        item = _resized(item, number)
    elif field in {"wall_m", "wall_w_per_m_k", "foam_m"}:
        item = replace(item, sizes_source=OWN_NUMBER)
    return _set(item, field, number)


def _resized(item: Item, capacity_l: float) -> Item:
    """Sizes and wall follow the volume: a tank by its footprint, a drum all over, a pipe by
    length. What stays behind is never more than it holds."""
    ratio = capacity_l / item.capacity_l.value
    if item.shape is Shape.TANK:
        side = ratio**0.5
        factors: tuple[float, ...] = (side, side, 1.0)
    elif item.shape is Shape.DRUM:
        factors = (ratio ** (1 / 3),) * 2
    else:
        factors = (1.0, ratio)
    wall = ratio if item.shape is Shape.PIPE else ratio ** (2 / 3)
    full_after_travel = item.left_travel_l.value >= item.capacity_l.value
    return replace(
        item,
        size_m=tuple(size * factor for size, factor in zip(item.size_m, factors, strict=False)),
        dry_j_per_k=_scaled(item.dry_j_per_k, wall),
        left_travel_l=_scaled(item.left_travel_l, ratio)
        if full_after_travel
        else _at_most(item.left_travel_l, capacity_l),
        left_drained_l=_at_most(item.left_drained_l, capacity_l),
        sizes_source="scaled to the capacity given for this vehicle",
    )


def _scaled(figure: Figure, factor: float) -> Figure:
    return replace(
        figure,
        value=figure.value * factor,
        low=figure.low * factor,
        high=figure.high * factor,
        source=f"{figure.source}; scaled to the capacity given for this vehicle",
    )


def _at_most(figure: Figure, limit: float) -> Figure:
    if figure.high <= limit:
        return figure
    return replace(
        figure,
        value=min(figure.value, limit),
        low=min(figure.low, limit),
        high=limit,
    )


def _check_left(item: Item) -> None:
    for name, left in (
        ("left_travel_l", item.left_travel_l),
        ("left_drained_l", item.left_drained_l),
    ):
        if left.value > item.capacity_l.value + 1e-9:
            raise FleetError(
                f"{item.key}.{name} is {left.value:g} L, more than its capacity of "
                f"{item.capacity_l.value:g} L. Lower it, or set {item.key}.capacity_l."
            )
