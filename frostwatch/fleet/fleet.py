"""The whole fleet: sites, people and vehicles that hold together."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import TypeVar

from frostwatch.errors import FleetError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.told import told

SHOWN_AT_MOST = 20
"""Mismatches named in one error; the rest are counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mismatch:
    """Two things of a fleet that do not fit each other.

    Attributes:
        kind: ``"site"``, ``"person"`` or ``"vehicle"``.
        position: index among those of its kind, as given.
        key: key of the one to mend.
        field: name of the field to mend, as in the dataclass.
        what: what does not fit.
        mend: how to mend it, one sentence.
    """

    kind: str
    position: int
    key: str
    field: str
    what: str
    mend: str

    def __str__(self) -> str:
        return f"{self.kind} {self.key}: {self.what} {self.mend}".rstrip()


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

    def crew_at(self, site: Site) -> tuple[Person, ...]:
        """Those who walk its rounds."""
        return tuple(p for p in self.people if p.duty is Duty.CREW and site.key in p.sites)

    def keeper_of(self, vehicle: Vehicle) -> Person | None:
        """Who acts on it: its keeper, else the operator of its site, else nobody."""
        key = vehicle.keeper or self.site(vehicle.site).operator
        return self._people.get(key)


def mismatches(
    sites: Sequence[Site], people: Sequence[Person], vehicles: Sequence[Vehicle]
) -> tuple[Mismatch, ...]:
    """Everything in which sites, people and vehicles do not fit each other, all of it at once."""
    return (
        *_twice("site", sites),
        *_twice("person", people),
        *_twice("vehicle", vehicles),
        *_of_sites(sites, people),
        *_of_people(sites, people),
        *_of_vehicles(sites, people, vehicles),
    )


Keyed = TypeVar("Keyed", Site, Person, Vehicle)


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
        raise FleetError(f"{kind} {key!r} is not entered. {_hint(key, known)}") from None


def _hint(key: str, known: Mapping[str, object] | Sequence[str]) -> str:
    near = get_close_matches(key, list(known), n=1, cutoff=0.5)
    if near:
        return told("near", near=repr(near[0]))
    some = ", ".join(list(known)[:12])
    return told("known", known=some) if some else told("enter_first")


def _twice(kind: str, entered: Sequence[Keyed]) -> Iterator[Mismatch]:
    seen: set[str] = set()
    for position, one in enumerate(entered):
        if one.key in seen:
            yield Mismatch(
                kind=kind,
                position=position,
                key=one.key,
                field="key",
                what=told("key_twice", given=repr(one.key)),
                mend=told("key_own"),
            )
        if not one.key or one.key != one.key.strip() or any(c in one.key for c in " \t\r\n,;"):
            yield Mismatch(
                kind=kind,
                position=position,
                key=one.key,
                field="key",
                what=told("not_key", given=repr(one.key)),
                mend=told("key_mend"),
            )
        seen.add(one.key)


def _of_sites(sites: Sequence[Site], people: Sequence[Person]) -> Iterator[Mismatch]:
    names = {person.key: person for person in people}
    for position, site in enumerate(sites):
        if site.operator and site.operator not in names:
            yield Mismatch(
                kind="site",
                position=position,
                key=site.key,
                field="operator",
                what=f"its operator {site.operator!r} is not among the people.",
                mend=_hint(site.operator, names),
            )
        again = sorted(n for n, times in Counter(p.name for p in site.posts).items() if times > 1)
        if again:
            yield Mismatch(
                kind="site",
                position=position,
                key=site.key,
                field="posts",
                what=f"post {', '.join(again)} is listed twice.",
                mend="List every post once.",
            )
        roofed = Counter(bay for roof in site.roofs for bay in roof.bays)
        wrong = sorted(bay for bay, times in roofed.items() if times > 1 or bay not in site.bays)
        if wrong:
            yield Mismatch(
                kind="site",
                position=position,
                key=site.key,
                field="roof",
                what=f"bay {', '.join(wrong)} stands under two roofs, or is not among the bays.",
                mend="List every bay among the bays, and under one roof at most.",
            )
        twice = sorted(bay for bay, times in Counter(site.bays).items() if times > 1)
        odd = sorted(bay for bay in site.bays if not bay.strip() or ".." in bay)
        if twice or odd:
            yield Mismatch(
                kind="site",
                position=position,
                key=site.key,
                field="bays",
                what=f"bay {', '.join(twice)} is listed twice."
                if twice
                else f"{odd[0]!r} cannot be the name of a bay.",
                mend="List every bay once, in walking order, by names without '..'.",
            )


def _of_people(sites: Sequence[Site], people: Sequence[Person]) -> Iterator[Mismatch]:
    known = {site.key: site for site in sites}
    for position, person in enumerate(people):
        for key in person.sites:
            if key not in known:
                yield Mismatch(
                    kind="person",
                    position=position,
                    key=person.key,
                    field="sites",
                    what=f"works at {key!r}, which is not among the sites.",
                    mend=_hint(key, known),
                )


def _of_vehicles(
    sites: Sequence[Site], people: Sequence[Person], vehicles: Sequence[Vehicle]
) -> Iterator[Mismatch]:
    places = {site.key: site for site in sites}
    bays = {site.key: frozenset(site.bays) for site in sites}
    posts = {(site.key, post.name) for site in sites for post in site.posts}
    names = {person.key: person for person in people}
    for position, vehicle in enumerate(vehicles):
        for name, what, mend in (
            *_place_of(vehicle, places, bays),
            *_keeper_and_layout(vehicle, names),
            *_post_of(vehicle, posts),
            *_handbook_of(vehicle),
        ):
            yield Mismatch(
                kind="vehicle",
                position=position,
                key=vehicle.key,
                field=name,
                what=what,
                mend=mend,
            )


def _place_of(
    vehicle: Vehicle, places: Mapping[str, Site], bays: Mapping[str, frozenset[str]]
) -> Iterator[tuple[str, str, str]]:
    site = places.get(vehicle.site)
    if site is None:
        what = f"its site {vehicle.site!r} is not among the sites."
        yield "site", what, _hint(vehicle.site, places)
    elif vehicle.bay and vehicle.bay not in bays[site.key]:
        what = told("bay_not_there", given=repr(vehicle.bay), site=site.key)
        first = told("bays_first", site=site.key)
        mend = _hint(vehicle.bay, site.bays) if site.bays else first
        yield "bay", what, mend


def _post_of(vehicle: Vehicle, posts: Set[tuple[str, str]]) -> Iterator[tuple[str, str, str]]:
    if vehicle.post and (vehicle.site, vehicle.post) not in posts:
        there = [name for site, name in sorted(posts) if site == vehicle.site]
        what = f"post {vehicle.post!r} is not at site {vehicle.site}."
        yield "post", what, _hint(vehicle.post, there)


def _handbook_of(vehicle: Vehicle) -> Iterator[tuple[str, str, str]]:
    rules = Counter(line.rule.value for line in vehicle.handbook)
    twice = sorted(rule for rule, times in rules.items() if times > 1)
    if twice:
        what = f"its handbook speaks of {', '.join(twice)} twice."
        yield "handbook", what, "Keep one line for each rule."
    own = {name for name, _ in vehicle.overrides}
    for source in vehicle.own_from:
        if source.number not in own:
            what = f"a source is named for {source.number!r}, which is no number of its own."
            yield "own_from", what, _hint(source.number, sorted(own))


def _keeper_and_layout(
    vehicle: Vehicle, names: Mapping[str, Person]
) -> Iterator[tuple[str, str, str]]:
    if vehicle.keeper and vehicle.keeper not in names:
        what = told("keeper", given=repr(vehicle.keeper))
        yield "keeper", what, _hint(vehicle.keeper, names)
    try:
        layout_of(vehicle)
    except FleetError as wrong:
        said = str(wrong).removeprefix(f"vehicle {vehicle.key}: ")
        field_name = "layout" if said.startswith("layout ") else "own"
        yield field_name, said, ""
