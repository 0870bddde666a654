"""What does not fit together in what is entered."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TypeVar

from frostwatch.errors import FleetError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.told import told

Keyed = TypeVar("Keyed", Site, Person, Vehicle)


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


def hint(key: str, known: Mapping[str, object] | Sequence[str]) -> str:
    """What may have been meant by a key that is not among the known ones."""
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
        for name, what, mend in (*_operator_of(site, names), *_posts_of(site), *_bays_of(site)):
            yield Mismatch(
                kind="site", position=position, key=site.key, field=name, what=what, mend=mend
            )


def _operator_of(site: Site, names: Mapping[str, Person]) -> Iterator[tuple[str, str, str]]:
    if site.operator and site.operator not in names:
        what = f"its operator {site.operator!r} is not among the people."
        yield "operator", what, hint(site.operator, names)


def _posts_of(site: Site) -> Iterator[tuple[str, str, str]]:
    again = sorted(n for n, times in Counter(p.name for p in site.posts).items() if times > 1)
    if again:
        yield "posts", f"post {', '.join(again)} is listed twice.", "List every post once."


def _bays_of(site: Site) -> Iterator[tuple[str, str, str]]:
    roofed = Counter(bay for roof in site.roofs for bay in roof.bays)
    wrong = sorted(bay for bay, times in roofed.items() if times > 1 or bay not in site.bays)
    if wrong:
        what = f"bay {', '.join(wrong)} stands under two roofs, or is not among the bays."
        yield "roof", what, "List every bay among the bays, and under one roof at most."
    twice = sorted(bay for bay, times in Counter(site.bays).items() if times > 1)
    odd = sorted(bay for bay in site.bays if not bay.strip() or ".." in bay)
    mend = "List every bay once, in walking order, by names without '..'."
    if twice:
        yield "bays", f"bay {', '.join(twice)} is listed twice.", mend
    elif odd:
        yield "bays", f"{odd[0]!r} cannot be the name of a bay.", mend


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
                    mend=hint(key, known),
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
        yield "site", what, hint(vehicle.site, places)
    elif vehicle.bay and vehicle.bay not in bays[site.key]:
        what = told("bay_not_there", given=repr(vehicle.bay), site=site.key)
        first = told("bays_first", site=site.key)
        mend = hint(vehicle.bay, site.bays) if site.bays else first
        yield "bay", what, mend


def _post_of(vehicle: Vehicle, posts: Set[tuple[str, str]]) -> Iterator[tuple[str, str, str]]:
    if vehicle.post and (vehicle.site, vehicle.post) not in posts:
        there = [name for site, name in sorted(posts) if site == vehicle.site]
        what = f"post {vehicle.post!r} is not at site {vehicle.site}."
        yield "post", what, hint(vehicle.post, there)


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
            yield "own_from", what, hint(source.number, sorted(own))


def _keeper_and_layout(
    vehicle: Vehicle, names: Mapping[str, Person]
) -> Iterator[tuple[str, str, str]]:
    if vehicle.keeper and vehicle.keeper not in names:
        what = told("keeper", given=repr(vehicle.keeper))
        yield "keeper", what, hint(vehicle.keeper, names)
    try:
        layout_of(vehicle)
    except FleetError as wrong:
        said = str(wrong).removeprefix(f"vehicle {vehicle.key}: ")
        field_name = "layout" if said.startswith("layout ") else "own"
        yield field_name, said, ""
