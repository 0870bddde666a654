"""Statements about the water as people type them: ``drained``, ``waste=full``, ``traps=35%``.

A word alone speaks of the whole vehicle. ``circuit=what`` speaks of one circuit (``waste``,
``W3``), of several (``waste,fresh``) or of all whose code begins with a letter (``W``). What it
holds is a state, litres (``20``, ``20L``), the strength found in it (``35%``), or what was poured
in (``0.5L@50%``).
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from types import MappingProxyType

from frostwatch.errors import FleetError, RecordError
from frostwatch.fleet.circuit_words import circuits_named
from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.records.checks import Doubt, doubts_about, name_of
from frostwatch.records.entries import Entry, State
from frostwatch.records.holding import holdings

STATES = MappingProxyType(
    {
        **{state.value: state for state in State},
        "part": State.PART_FULL,
        "travel": State.TRAVEL_LEVEL,
        "quick-drained": State.TRAVEL_LEVEL,
        "empty": State.DRAINED,
        "emptied": State.DRAINED,
        "dry": State.DRAINED,
        "leer": State.DRAINED,
        "vide": State.DRAINED,
        "voll": State.FULL,
        "plein": State.FULL,
        "filled": State.FULL,
        "wet": State.FULL,
        "rest": State.RESIDUAL,
        "open": State.OPEN_RUNNING,
        "running": State.OPEN_RUNNING,
        "bucket": State.OPEN_RUNNING,
        "held": State.HEATED_HOLD,
        "heated": State.HEATED_HOLD,
        "new": State.DRY_NEW,
        "factory-dry": State.DRY_NEW,
        "?": State.UNKNOWN,
    }
)
"""Words for the states; letter case, spaces, hyphens and underscores make no difference."""

_LITRES = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:l|litres?|liters?)?", re.IGNORECASE)
_FOUND = re.compile(r"(\d+(?:[.,]\d+)?)\s*%")
_POURED = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*(?:l|litres?|liters?)?\s*(?:@|of|at)\s*(\d+(?:[.,]\d+)?)\s*%",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """What somebody says of some circuits.

    Attributes:
        circuits: those meant, in the order of the record.
        state: what they hold.
        litres_l: water in it, or antifreeze poured in [L]; None where the state says it.
        dose_fraction: strength [volume fraction]; None if not dosed.
    """

    circuits: tuple[Circuit, ...]
    state: State
    litres_l: float | None = None
    dose_fraction: float | None = None


def statement_from(word: str, layout: Layout) -> Statement:
    """One typed statement.

    Raises:
        RecordError: it is not understood, or the vehicle has no such circuit.
    """
    who, equals, what = word.partition("=") if "=" in word else word.partition(":")
    if not equals:
        who, what = "all", word
    state, litres_l, dose = _held(what, word)
    circuits = _circuits(who, layout)
    if litres_l is not None and litres_l > 0.0 and len(circuits) > 1:
        raise RecordError(f"{word!r}: litres for several circuits at once. Write one for each.")
    return Statement(circuits=circuits, state=state, litres_l=litres_l, dose_fraction=dose)


def entries_stated(
    statements: Sequence[Statement], told: Entry, layout: Layout
) -> tuple[Entry, ...]:
    """Entries that say it; of a circuit named twice the narrower word counts.

    Args:
        statements: what is said.
        told: an entry with everything but circuit, state, litres and dose as it is to stand.
        layout: the vehicle's layout.

    Raises:
        RecordError: something in it cannot be right; everything wrong is named, with its mend.
    """
    said: dict[Circuit, Statement] = {}
    for one in sorted(statements, key=lambda one: -len(one.circuits)):
        said.update(dict.fromkeys(one.circuits, one))
    made = tuple(
        replace(
            told,
            circuit=circuit,
            state=said[circuit].state,
            litres_l=said[circuit].litres_l,
            dose_fraction=said[circuit].dose_fraction,
        )
        for circuit in Circuit
        if circuit in said
    )
    wrong = dict.fromkeys(_lines(made, layout))
    if wrong:
        raise RecordError("\n".join(wrong))
    return made


def _lines(entries: Sequence[Entry], layout: Layout) -> Iterator[str]:
    for entry in entries:
        for doubt in doubts_about(entry, layout):
            yield f"{_where(doubt, entry)}{doubt.what} {doubt.mend}".strip()


def _where(doubt: Doubt, entry: Entry) -> str:
    return "" if doubt.field == "event" else f"{name_of(entry.circuit)}: "


def _held(what: str, word: str) -> tuple[State, float | None, float | None]:
    plain = what.strip()
    if found := _POURED.fullmatch(plain):
        return State.DOSED, _number(found[1]), _number(found[2]) / 100.0
    if found := _FOUND.fullmatch(plain):
        return State.DOSED, None, _number(found[1]) / 100.0
    if found := _LITRES.fullmatch(plain):
        litres_l = _number(found[1])
        return (State.PART_FULL, litres_l, None) if litres_l else (State.DRAINED, None, None)
    name, at, rest = plain.partition("@")
    if at and (found := _FOUND.fullmatch(rest.strip())) and _state(name, word) is State.DOSED:
        return State.DOSED, None, _number(found[1]) / 100.0
    if at and (found := _LITRES.fullmatch(rest.strip())):
        return _state(name, word), _number(found[1]), None
    return _state(plain, word), None, None


def _state(name: str, word: str) -> State:
    asked = _bare(name)
    for known, state in STATES.items():
        if _bare(known) == asked:
            return state
    near = get_close_matches(name.strip().casefold(), STATES, n=1, cutoff=0.6)
    hint = (
        f"Did you mean {near[0]!r}?"
        if near
        else f"Give a state ({', '.join(State)}), litres such as 20L, or a strength such as 35%."
    )
    raise RecordError(f"{word!r} is not understood. {hint}")


def _bare(word: str) -> str:
    return word.strip().casefold().replace(" ", "").replace("-", "").replace("_", "")


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _circuits(who: str, layout: Layout) -> tuple[Circuit, ...]:
    here = list(holdings(layout))
    meant: set[Circuit] = set()
    for name in filter(None, (part.strip() for part in who.split(","))):
        meant.update(_named(name, here, layout))
    if not meant:
        raise RecordError(f"{who!r} names no circuit. Write circuit=state, such as waste=full.")
    return tuple(circuit for circuit in here if circuit in meant)


def _named(name: str, here: Sequence[Circuit], layout: Layout) -> Sequence[Circuit]:
    letter = "" if name.casefold() in ("all", "everything", "whole") else name.upper()
    if letter == "" or letter in ("F", "H", "W", "T", "X"):
        # the hydronic circuit is filled for good; nobody means it who says "all"
        return [c for c in here if c.value.startswith(letter) and c is not Circuit.HYDRONIC]
    try:
        named = circuits_named(name)
    except FleetError as unknown:
        raise RecordError(f"{unknown} Or all, F, H, W, T, X for many at once.") from unknown
    found = [circuit for circuit in named if circuit in here]
    if not found:
        asked = " and ".join(name_of(circuit) for circuit in named)
        has = ", ".join(name_of(circuit) for circuit in here)
        raise RecordError(f"layout {layout.key} has no {asked}. It has {has}.")
    return found
