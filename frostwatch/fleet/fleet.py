"""The whole fleet: sites, people and vehicles that hold together."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from frostwatch.errors import FleetError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.mismatches import Keyed, hint, mismatches
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout, Vehicle

SHOWN_AT_MOST = 20
"""Mismatches named in one error; the rest are counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fleet:
    """Sites, people and vehicles that were checked against each other.

    Attributes:
        sites: in the order entered.
        people: in the order entered.
        vehicles: in the order entered.

    Raises:
        FleetError: they do not hold together; every mismatch is named.
    """

    sites: tuple[Site, ...] = ()
    people: tuple[Person, ...] = ()
    vehicles: tuple[Vehicle, ...] = ()
    _sites: Mapping[str, Site] = field(init=False, repr=False, compare=False)
    _people: Mapping[str, Person] = field(init=False, repr=False, compare=False)
    _vehicles: Mapping[str, Vehicle] = field(init=False, repr=False, compare=False)
    _at: Mapping[str, tuple[Vehicle, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        found = mismatches(self.sites, self.people, self.vehicles)
        if found:
            lines = [str(mismatch) for mismatch in found[:SHOWN_AT_MOST]]
            if len(found) > SHOWN_AT_MOST:
                lines.append(f"and {len(found) - SHOWN_AT_MOST} more.")
            raise FleetError("\n".join(lines))
        object.__setattr__(self, "_sites", {site.key: site for site in self.sites})
        object.__setattr__(self, "_people", {person.key: person for person in self.people})
        object.__setattr__(self, "_vehicles", {one.key: one for one in self.vehicles})
        object.__setattr__(self, "_at", _in_walking_order(self.sites, self.vehicles))

    def site(self, key: str) -> Site:
        """The site of that key.

        Raises:
            FleetError: nobody entered it; the message offers the nearest key.
        """
        return _found(self._sites, key, "site")

    def person(self, key: str) -> Person:
        """The person of that key.

        Raises:
            FleetError: nobody entered them; the message offers the nearest key.
        """
        return _found(self._people, key, "person")

    def vehicle(self, key: str) -> Vehicle:
        """The vehicle of that key.

        Raises:
            FleetError: nobody entered it; the message offers the nearest key.
        """
        return _found(self._vehicles, key, "vehicle")

    def layout(self, vehicle: Vehicle) -> Layout:
        """The vehicle's layout with its overrides applied."""
        return layout_of(vehicle)

    def vehicles_at(self, site: Site) -> tuple[Vehicle, ...]:
        """Its vehicles in walking order: by bay, then those without a bay by key."""
        return self._at.get(site.key, ())

    def people_at(self, site: Site) -> tuple[Person, ...]:
        """Its operator first, then everybody who works there or keeps a vehicle there."""
        keepers = {vehicle.keeper for vehicle in self.vehicles_at(site)}
        there = [
            person
            for person in self.people
            if person.key == site.operator or site.key in person.sites or person.key in keepers
        ]
        return tuple(sorted(there, key=lambda person: person.key != site.operator))


def _in_walking_order(
    sites: Sequence[Site], vehicles: Sequence[Vehicle]
) -> Mapping[str, tuple[Vehicle, ...]]:
    order = {(site.key, bay): place for site in sites for place, bay in enumerate(site.bays)}
    there: dict[str, list[Vehicle]] = defaultdict(list)
    for vehicle in vehicles:
        there[vehicle.site].append(vehicle)

    def walk(vehicle: Vehicle) -> tuple[int, str]:
        return order.get((vehicle.site, vehicle.bay), len(order)), vehicle.key

    return {key: tuple(sorted(those, key=walk)) for key, those in there.items()}


def _found(known: Mapping[str, Keyed], key: str, kind: str) -> Keyed:
    try:
        return known[key]
    except KeyError:
        raise FleetError(f"{kind} {key!r} is not entered. {hint(key, known)}") from None
