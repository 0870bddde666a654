"""The catalogue of typical layouts, and one vehicle's own layout with its overrides.

To add a layout: one entry in ``motorhomes``, ``vans`` or ``caravans``, built from ``groups`` and
``parts``, and its name in ``CATALOGUE``. A test refuses any number without a source.
"""

from collections.abc import Mapping
from types import MappingProxyType

from frostwatch.fleet.layouts.caravans import (
    CARAVAN_CONTAINERS,
    CARAVAN_INBOARD,
    CARAVAN_NO_VALVE,
)
from frostwatch.fleet.layouts.motorhomes import (
    A_CLASS_DOUBLE_FLOOR,
    ALCOVE_FAMILY,
    COACHBUILT_HEATED_WASTE,
    COACHBUILT_SEAT_TANK,
    COACHBUILT_UNDERSLUNG_FRESH,
    LARGE_A_CLASS,
)
from frostwatch.fleet.layouts.overrides import overridden
from frostwatch.fleet.layouts.vans import PANEL_VAN, PANEL_VAN_INDOOR_VALVE, SMALL_CAMPER
from frostwatch.fleet.vehicles import Layout, Vehicle

CATALOGUE: Mapping[str, Layout] = MappingProxyType(
    {
        layout.key: layout
        for layout in (
            COACHBUILT_SEAT_TANK,
            COACHBUILT_UNDERSLUNG_FRESH,
            COACHBUILT_HEATED_WASTE,
            ALCOVE_FAMILY,
            A_CLASS_DOUBLE_FLOOR,
            LARGE_A_CLASS,
            PANEL_VAN,
            PANEL_VAN_INDOOR_VALVE,
            SMALL_CAMPER,
            CARAVAN_INBOARD,
            CARAVAN_CONTAINERS,
            CARAVAN_NO_VALVE,
        )
    }
)


def layout_of(vehicle: Vehicle) -> Layout:
    """The vehicle's layout from the catalogue with its own numbers in place.

    Vehicles without overrides share the catalogue's object; equal overrides share one object too.

    Raises:
        FleetError: the layout is unknown, or an override names nothing or does not fit.
    """
    return overridden(CATALOGUE, vehicle)


__all__ = ["CATALOGUE", "layout_of"]
