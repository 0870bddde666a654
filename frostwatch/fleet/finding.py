"""Finding the vehicle, person or site somebody means, however they write it."""

from collections.abc import Callable, Sequence
from difflib import get_close_matches
from typing import Protocol, TypeVar

from frostwatch.errors import FleetError
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle


def vehicle_meant(word: str, vehicles: Sequence[Vehicle]) -> Vehicle:
    """The vehicle of that key, bay, own name or end of its number plate; letter case aside.

    Raises:
        FleetError: there is none, or the word fits several; the message names what to give.
    """
    ways: tuple[Callable[[Vehicle], str], ...] = (
        lambda one: one.key,
        lambda one: one.bay,
        lambda one: one.name,
        lambda one: one.plate_end,
    )
    asked = _plain(word)
    for way in ways:
        found = [one for one in vehicles if asked and _plain(way(one)) == asked]
        exact = [one for one in found if way(one) == word.strip()]
        found = exact if len(exact) == 1 else found
        if len(found) == 1:
            return found[0]
        if found:
            keys = ", ".join(one.key for one in found)
            raise FleetError(f"{word!r} fits several vehicles: {keys}. Give one of these keys.")
    raise FleetError(f"vehicle {word!r} is not entered. {_hint(word, [v.key for v in vehicles])}")


def person_meant(word: str, people: Sequence[Person]) -> Person:
    """The person of that key or name; letter case aside.

    Raises:
        FleetError: there is none, or the word fits several; the message names what to give.
    """
    return _by_key_or_name(word, people, one="person", several="people")


def site_meant(word: str, sites: Sequence[Site]) -> Site:
    """The site of that key or name; letter case aside.

    Raises:
        FleetError: there is none, or the word fits several; the message names what to give.
    """
    return _by_key_or_name(word, sites, one="site", several="sites")


class _Named(Protocol):
    @property
    def key(self) -> str: ...

    @property
    def name(self) -> str: ...


T = TypeVar("T", bound=_Named)


def _by_key_or_name(word: str, among: Sequence[T], *, one: str, several: str) -> T:
    asked = _plain(word)
    found = [each for each in among if asked and asked in (_plain(each.key), _plain(each.name))]
    exact = [each for each in found if each.key == word.strip()]
    found = exact or found
    if len(found) == 1:
        return found[0]
    if found:
        keys = ", ".join(each.key for each in found)
        raise FleetError(f"{word!r} fits several {several}: {keys}. Give one of these keys.")
    raise FleetError(f"{one} {word!r} is not entered. {_hint(word, [a.key for a in among])}")


def _plain(word: str) -> str:
    return "".join(word.split()).replace("-", "").casefold()


def _hint(word: str, keys: Sequence[str]) -> str:
    near = get_close_matches(word, keys, n=1, cutoff=0.5)
    if near:
        return f"Did you mean {near[0]!r}?"
    return f"Give one of {', '.join(keys[:12])}." if keys else "Import a fleet first."
