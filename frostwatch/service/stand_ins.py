"""Who is told of vehicles that nobody who could be told looks after.

Such vehicles freeze in silence otherwise. So whoever runs any other place of this service is told
in their stead, as if they worked there, until somebody is entered; and the log and the checks name
the place.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import structlog

from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.ports import Book
from frostwatch.service.nights import Memory

log = structlog.get_logger()

NAMED_EVERY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unattended:
    """A site with vehicles of which nobody entered could be told.

    Attributes:
        site: the site.
        count: how many vehicles.
        told: people who are told in their stead, as if they worked there; may be empty.
    """

    site: Site
    count: int
    told: tuple[Person, ...]

    def __str__(self) -> str:
        words = f"nobody is entered who could be told about {self.count} of its vehicles"
        if not self.told:
            return f"{words}, and nobody runs another place who could be told instead."
        return f"{words}; told instead: {', '.join(person.name for person in self.told)}."


def unattended(book: Book) -> Mapping[str, Unattended]:
    """Key of each such site -> what is missing there, and who is told instead."""
    reachable = {person.key: person for person in book.people if person.channels}
    staffed = {
        key
        for person in reachable.values()
        if person.duty is not Duty.OWNER
        for key in person.sites
    }
    owners = {key for key, person in reachable.items() if person.duty is Duty.OWNER}
    left = Counter(vehicle.site for vehicle in book.vehicles if vehicle.keeper not in owners)
    instead = _operators(book, reachable)
    return {
        site.key: Unattended(
            site=site,
            count=left[site.key],
            told=tuple(_working_at(site, person) for person in instead),
        )
        for site in book.sites
        if left[site.key] and site.key not in staffed and site.operator not in reachable
    }


def _operators(book: Book, reachable: Mapping[str, Person]) -> Sequence[Person]:
    """Whoever runs any place: operators first; dealers where there are none."""
    runs = {site.operator for site in book.sites}
    people = [p for p in reachable.values() if p.duty in (Duty.OPERATOR, Duty.DEALER)]
    own = [p for p in people if p.key in runs or p.duty is Duty.OPERATOR]
    return sorted(own or people, key=lambda person: person.key)


def _working_at(site: Site, person: Person) -> Person:
    return replace(person, sites=(*person.sites, site.key), slots=())


def with_stand_ins(people: Sequence[Person], missing: Unattended | None) -> Sequence[Person]:
    """The people of a site and whoever is told instead of nobody."""
    if missing is None:
        return people
    told = {person.key: person for person in missing.told}
    return (*(person for person in people if person.key not in told), *told.values())


def name_them(missing: Mapping[str, Unattended], memory: Memory, now: datetime) -> None:
    """Say it in the log, once a day for each site."""
    for key, one in missing.items():
        last = memory.named.get(key)
        if last is None or now - last >= NAMED_EVERY:
            memory.named[key] = now
            log.error("nobody to tell", site=key, cause=str(one))
