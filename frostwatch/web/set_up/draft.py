"""A place that is being entered: every step as it was typed, and what the steps mean together."""

import json
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.people import Language, Person
from frostwatch.fleet.sites import Site, SiteKind
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.storage.file_rows import Problem
from frostwatch.storage.vehicle_list import VehicleList, key_from, read_vehicle_list
from frostwatch.told import Told, told
from frostwatch.web.set_up.fault import Fault
from frostwatch.web.set_up.people_list import PeopleList, read_people_list
from frostwatch.web.set_up.place_form import site_from

MOST_FAULTS = 40
"""Faults shown at once; the rest are counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """What was typed so far.

    Attributes:
        place: fields of the step Place; empty before it was kept.
        ground_m: height of the ground there by a model [m]; None where nobody knows.
        vehicles: the list of vehicles.
        people: the list of people.
        mail_server: address of the mail server for plain e-mail addresses.
    """

    place: Mapping[str, str] = field(default_factory=dict)
    ground_m: float | None = None
    vehicles: str = ""
    people: str = ""
    mail_server: str = ""

    def as_text(self) -> str:
        """JSON."""
        return json.dumps(asdict(self), ensure_ascii=False)


def draft_from(text: str) -> Draft:
    """A draft out of its JSON; fields that are new since it was written are empty."""
    known = json.loads(text)
    return Draft(**{name: known[name] for name in Draft.__dataclass_fields__ if name in known})


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """What a draft means, as far as it can be understood.

    Attributes:
        site: the place, with its bays and its operator; None if the step holds a fault.
        vehicles: what the list of vehicles says; None if the step holds a fault.
        people: what the list of people says; None if the step holds a fault.
        faults: step -> what must be put right there.
    """

    site: Site | None
    vehicles: tuple[Vehicle, ...] | None
    people: PeopleList | None
    keepers: Mapping[str, str]
    faults: Mapping[str, tuple[Fault, ...]]

    @property
    def first_open(self) -> str:
        """The first step that is not done, ``"look"`` if all are."""
        for step in ("place", "vehicles", "people"):
            if self.faults.get(step):
                return step
        return "look"


def meaning_of(
    draft: Draft,
    known: Fleet,
    language: Language,
    *,
    address_fault: Callable[[str], str],
    may_change: Callable[[Person], bool],
    key: str = "",
) -> Meant:
    """Work out what a draft means.

    Args:
        draft: what was typed.
        known: everything entered already.
        language: in which it was typed.
        address_fault: why nothing could be sent to an address, "" if it looks right.
        may_change: whether somebody entered already may be changed by whoever types.
        key: key of the site that is being changed, "" for a new one.
    """
    faults: dict[str, tuple[Fault, ...]] = {}
    site_key = key or free_key(draft.place.get("name", ""), [site.key for site in known.sites])
    site = site_from(draft.place, key=site_key, language=language, ground_m=draft.ground_m)
    if not isinstance(site, Site):
        faults["place"] = site
        # the lists are read all the same, so that all their faults show
        stand_in = known.site(key) if key else _any_site(site_key)
    else:
        site = stand_in = _as_before(site, known.site(key)) if key else site
    vehicles = _vehicles(draft, stand_in, known, faults)
    keepers = vehicles.keepers if vehicles is not None else {}
    people = _people(draft, stand_in, known, keepers, faults, address_fault, may_change, language)
    return Meant(
        site=_whole(site, vehicles, people) if isinstance(site, Site) else None,
        vehicles=vehicles.vehicles if vehicles is not None else None,
        people=people,
        keepers=keepers,
        faults=faults,
    )


def free_key(name: str, taken: Sequence[str]) -> str:
    """A key out of a name that nothing else has."""
    key = key_from(name)
    number = 2
    while (key if number == 2 else f"{key}-{number - 1}") in taken:
        number += 1
    return key if number == 2 else f"{key}-{number - 1}"


def _vehicles(
    draft: Draft, site: Site, known: Fleet, faults: dict[str, tuple[Fault, ...]]
) -> VehicleList | None:
    if not draft.vehicles.strip():
        faults["vehicles"] = (Fault(field="list", key="set.list_empty"),)
        return None
    read = read_vehicle_list(draft.vehicles, site, known)
    if isinstance(read, VehicleList):
        return read
    faults["vehicles"] = faults_of(read)
    return None


def _people(
    draft: Draft,
    site: Site,
    known: Fleet,
    keepers: Mapping[str, str],
    faults: dict[str, tuple[Fault, ...]],
    address_fault: Callable[[str], str],
    may_change: Callable[[Person], bool],
    language: Language,
) -> PeopleList | None:
    if not draft.people.strip():
        faults["people"] = (Fault(field="list", key="set.people_empty"),)
        return None
    server = draft.mail_server.strip()
    if server and "://" not in server:
        faults["people"] = (Fault(field="mail_server", key="set.mail_server_unread"),)
        return None
    read = read_people_list(
        draft.people,
        site,
        mail_server=server,
        address_fault=address_fault,
        keepers=keepers,
        language=language,
    )
    if not isinstance(read, PeopleList):
        faults["people"] = faults_of(read)
        return None
    there = {person.key: person for person in known.people}
    others = [p for p in read.people if p.key in there and not may_change(there[p.key])]
    if others:
        faults["people"] = tuple(
            Fault(field="list", key="set.person_taken", values={"name": person.name})
            for person in others
        )
        return None
    return replace(read, people=tuple(_also_here(p, there.get(p.key)) for p in read.people))


def _also_here(person: Person, before: Person | None) -> Person:
    """Somebody known from another place keeps working there, and stays reachable."""
    if before is None:
        return person
    sites = tuple(dict.fromkeys((*before.sites, *person.sites)))
    return replace(person, sites=sites, channels=person.channels or before.channels)


def _as_before(site: Site, before: Site) -> Site:
    """A place that is there already keeps what the form does not ask."""
    return replace(
        site,
        bays=before.bays,
        posts=before.posts,
        supply_w=before.supply_w,
        roofs=before.roofs,
    )


def _whole(site: Site, vehicles: VehicleList | None, people: PeopleList | None) -> Site:
    return replace(
        site,
        bays=vehicles.bays if vehicles is not None else site.bays,
        operator=people.operator if people is not None else "",
    )


def _any_site(key: str) -> Site:
    return Site(
        key=key,
        name=key,
        kind=SiteKind.YARD,
        latitude_deg=0.0,
        longitude_deg=0.0,
        height_m=None,
        time_zone="UTC",
    )


def faults_of(problems: Sequence[Problem]) -> tuple[Fault, ...]:
    """Problems of a list as faults of the page; the first of them, and how many there are more."""
    shown = tuple(_fault_of(problem) for problem in problems[:MOST_FAULTS])
    more = len(problems) - len(shown)
    return (*shown, Fault(field="list", key="set.more", values={"n": more})) if more else shown


def _column(column: str) -> str:
    """Where in its line: the column's letter and head; a head of ours in the reader's language."""
    found = re.fullmatch(r"([A-Z]+) \((\w+)\)", column)
    if found is not None:
        return told("column", letter=found[1], field=found[2])
    return f", {column}" if column else ""


def _said(text: str) -> str:
    """A sentence that pages can say in their reader's language, or tell word for word."""
    return text if not text or isinstance(text, Told) else told("verbatim", what=text)


def _fault_of(problem: Problem) -> Fault:
    key = "set.problem" if problem.line else "set.problem_whole"
    values = {
        "line": problem.line,
        "column": _column(problem.column),
        "what": _said(problem.what),
        "mend": _said(problem.mend),
    }
    return Fault(field="list", key=key, values=values)
