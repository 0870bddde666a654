"""A change to what is entered, worked out from how it stands and kept all of it or not at all."""

from dataclasses import dataclass

from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.records.entries import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """Everything that is entered at one moment; it need not hold together.

    Attributes:
        sites: in order of their keys.
        people: everybody, with channels, in order of their keys.
        vehicles: in order of their keys.
    """

    sites: tuple[Site, ...]
    people: tuple[Person, ...]
    vehicles: tuple[Vehicle, ...]

    def site(self, key: str) -> Site | None:
        """The site of that key; None if there is none."""
        return next((one for one in self.sites if one.key == key), None)

    def person(self, key: str) -> Person | None:
        """The person of that key; None if there is none."""
        return next((one for one in self.people if one.key == key), None)

    def vehicle(self, key: str) -> Vehicle | None:
        """The vehicle of that key; None if there is none."""
        return next((one for one in self.vehicles if one.key == key), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetChange:
    """A change to what is entered.

    Attributes:
        sites: added, or put in the place of those of the same key.
        people: the same.
        vehicles: the same.
        gone_people: keys of people who are taken out.
        gone_vehicles: keys of vehicles that are taken out; their record stays.
        entries: what the change says about the water, recorded with it.
    """

    sites: tuple[Site, ...] = ()
    people: tuple[Person, ...] = ()
    vehicles: tuple[Vehicle, ...] = ()
    gone_people: tuple[str, ...] = ()
    gone_vehicles: tuple[str, ...] = ()
    entries: tuple[Entry, ...] = ()

    def applied_to(self, before: Entered) -> Entered:
        """What is entered afterwards."""
        people = {one.key: one for one in (*before.people, *self.people)}
        vehicles = {one.key: one for one in (*before.vehicles, *self.vehicles)}
        return Entered(
            sites=tuple({one.key: one for one in (*before.sites, *self.sites)}.values()),
            people=tuple(one for key, one in people.items() if key not in self.gone_people),
            vehicles=tuple(one for key, one in vehicles.items() if key not in self.gone_vehicles),
        )
