"""Who and what belongs to each site, out of everything that is entered."""

from collections import defaultdict
from collections.abc import Mapping, Sequence, Set
from datetime import datetime

import structlog

from frostwatch.errors import FrostwatchError
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import as_it_stands
from frostwatch.ports import Book
from frostwatch.service.nights import Memory, Van

log = structlog.get_logger()


def vans_of(
    book: Book, sites: Set[str], memory: Memory, now: datetime
) -> tuple[Mapping[str, Sequence[Van]], Mapping[str, Sequence[str]]]:
    """Site -> its vehicles, and site -> those left out with the cause.

    A vehicle that does not hold together must not silence a whole yard.
    """
    vans: dict[str, list[Van]] = defaultdict(list)
    left_out: dict[str, list[str]] = defaultdict(list)
    by_key = {site.key: site for site in book.sites}
    for vehicle in book.vehicles:
        if vehicle.site not in sites:
            continue
        try:
            here = as_it_stands(vehicle, by_key.get(vehicle.site))
            entries, south = book.entries.get(vehicle.key, ()), by_key[vehicle.site].is_south
            van = memory.van(here, entries, now, south=south)
        except FrostwatchError as fault:
            log.error("vehicle left out", vehicle=vehicle.key, cause=str(fault))
            left_out[vehicle.site].append(f"{vehicle.key}: {fault}")
        else:
            vans[vehicle.site].append(van)
    return vans, left_out


def people_of(book: Book) -> Mapping[str, Sequence[Person]]:
    """Site -> people who may have to be told something about it."""
    by_key = {person.key: person for person in book.people}
    found: dict[str, dict[str, Person]] = defaultdict(dict)
    wanted = [(person.key, site) for person in book.people for site in person.sites]
    wanted += [(site.operator, site.key) for site in book.sites]
    wanted += [(vehicle.keeper, vehicle.site) for vehicle in book.vehicles]
    for key, site in wanted:
        if key in by_key:
            found[site][key] = by_key[key]
    return defaultdict(tuple, {site: tuple(own.values()) for site, own in found.items()})
