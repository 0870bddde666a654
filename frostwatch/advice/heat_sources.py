"""What a vehicle can be warmed with, and what its place lets people use."""

from frostwatch.errors import FleetError
from frostwatch.fleet.heat import Fuel, HeatSource
from frostwatch.fleet.sites import Site, SiteKind
from frostwatch.fleet.vehicles import Layout, Vehicle


def sources_of(vehicle: Vehicle, layout: Layout) -> tuple[HeatSource, ...]:
    """Ways to warm it: its own, or its layout's heating.

    Raises:
        FleetError: it has none at all.
    """
    if vehicle.heat:
        return vehicle.heat
    if layout.space_heat_w.value < 100.0:
        raise FleetError(
            f"vehicle {vehicle.key}: nothing is known that warms it. "
            'Give heat = ["gas 4000 W"] in the fleet file.'
        )
    fuel = next((fuel for fuel in Fuel if fuel.value in layout.heat_source), Fuel.GAS)
    return (HeatSource(fuel=fuel, power_w=layout.space_heat_w.value),)


def is_allowed(source: HeatSource, site: Site, vehicle: Vehicle | None = None) -> bool:
    """Whether the place lets people heat with it; nothing may burn in a building."""
    if source.fuel.burns and vehicle is not None and vehicle.has_walls:
        return False
    return source.fuel is not Fuel.GAS or site.gas_allowed or site.kind is SiteKind.DRIVE
