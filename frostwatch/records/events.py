"""Happenings that change what can still be believed about a vehicle's water."""

from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType


class Effect(StrEnum):
    """What a happening does to every earlier statement about the vehicle."""

    REWETS = "re-wets"
    MOVES = "moves"
    WORK = "work"
    NONE = "none"
    NOTED = "noted"
    WITHDRAWS = "withdraws"


EFFECTS: Mapping[str, Effect] = MappingProxyType(
    {
        "demonstration": Effect.REWETS,
        "wash-down": Effect.REWETS,
        "leak test": Effect.REWETS,
        "air test": Effect.REWETS,
        "service": Effect.REWETS,
        "customer visit": Effect.REWETS,
        "hire": Effect.REWETS,
        "trip": Effect.REWETS,
        "borrowed": Effect.REWETS,
        "handover": Effect.REWETS,
        "warm-up": Effect.REWETS,
        "part-exchange": Effect.REWETS,
        "factory water": Effect.REWETS,
        "keeper change": Effect.REWETS,
        "left": Effect.REWETS,
        "moved": Effect.MOVES,
        "drain-down": Effect.WORK,
        "dosing": Effect.WORK,
        "filling": Effect.WORK,
        "answer": Effect.WORK,
        "settled": Effect.WORK,
        "round": Effect.NONE,
        "api": Effect.NONE,
        "second look": Effect.NONE,
        "photo": Effect.NONE,
        "thaw check": Effect.NONE,
        "could not": Effect.NOTED,
        "looked": Effect.NOTED,
        "handbook": Effect.NOTED,
        "own figure": Effect.NOTED,
        "stands": Effect.NOTED,
        "taken back": Effect.WITHDRAWS,
    }
)
"""Known happenings. Re-wetting ones make every circuit unknown until somebody says what is in it;
"moved" lets residues run out of baffles and sags; "work" (an answered reminder too) says that the
writer changed the state, so it does not contradict what another person saw just before; so does
"settled", which says who of two is right. What is only noted says nothing about the water. What is
taken back never counted: it stands for the writer's own entry of the same circuit and moment.
Common practice, no source."""


TAKES_AWAY = frozenset({"moved", "trip", "hire", "borrowed"})
"""Happenings after which a vehicle need not stand where somebody put it. Common practice, no
source."""

FILLS = frozenset(
    {
        "demonstration",
        "wash-down",
        "leak test",
        "hire",
        "trip",
        "borrowed",
        "handover",
        "warm-up",
        "factory water",
        "filling",
    }
)
"""Happenings in which water runs through the vehicle, so that what stands in it afterwards is new.
The others that re-wet (a service, a change of keeper, a word nobody knows) only say that nobody
knows any more what is in it: that alone thaws no ice. Common practice, no source."""


@lru_cache(maxsize=1024)
def effect_of(event: str) -> Effect:
    """The effect of a happening; a word nobody knows counts as re-wetting, the cautious reading."""
    word = event.strip().casefold()
    return EFFECTS.get(word, Effect.REWETS) if word else Effect.NONE


def fills(event: str) -> bool:
    """Whether a happening brings new water."""
    return event.strip().casefold() in FILLS
