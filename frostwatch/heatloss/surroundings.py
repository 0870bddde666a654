"""The air around each vehicle of a site: outdoors, under a roof, in a building."""

from dataclasses import dataclass, field

from frostwatch.fleet.roofs import INDOORS, Under
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.weather.site_air import SiteAir
from frostwatch.weather.under_roof import Cover, air_under


def around(vehicle: Vehicle, air: SiteAir) -> SiteAir:
    """The air around one vehicle; the site's own where nothing is over it.

    Args:
        vehicle: as it stands; see ``fleet.sites.as_it_stands``.
        air: the air at its site.
    """
    under = under_of(vehicle)
    if under is None:
        return air
    cover = Cover(has_walls=under.has_walls, heated_to_c=under.heated_to_c, until=under.until)
    return air_under(air, cover)


def under_of(vehicle: Vehicle) -> Under | None:
    """What is over a vehicle; None outdoors."""
    return vehicle.under or (INDOORS if vehicle.indoors else None)


@dataclass(slots=True)
class Surroundings:
    """The same for many vehicles, one air for all that stand alike at a site."""

    _known: dict[tuple[int, Under | None], tuple[SiteAir, SiteAir]] = field(default_factory=dict)

    def of(self, vehicle: Vehicle, air: SiteAir) -> SiteAir:
        """The air around a vehicle; the same object for the same air and roof."""
        alike = id(air), under_of(vehicle)
        if alike not in self._known:
            # the site's air is kept along, so that its id is not given away meanwhile
            self._known[alike] = air, around(vehicle, air)
        return self._known[alike][1]
