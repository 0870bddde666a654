"""Where handbooks differ: what the trade does, and what a vehicle's own handbook says instead.

The rules on which handbooks contradict each other, the trade's default for each, and what may be
entered in its place. A vehicle's handbook goes before every default; who read it, when, and on
which page stands with it. Defaults are common practice, no source, unless they say otherwise.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from difflib import get_close_matches
from enum import StrEnum
from types import MappingProxyType

from frostwatch.errors import FleetError
from frostwatch.units import within

LONGEST_PAGE = 60
LONGEST_SOURCE = 120


class Rule(StrEnum):
    """What handbooks disagree about."""

    WASTE_VALVE = "waste valve"
    PUMP_ORDER = "pump order"
    PUMP_RUN = "pump run"
    ANTIFREEZE = "antifreeze"
    SALT = "salt"
    CONTAINER = "container"
    AIR = "air pressure"


WORDS: Mapping[Rule, tuple[str, ...]] = MappingProxyType(
    {
        Rule.WASTE_VALVE: ("open", "shut"),
        Rule.PUMP_ORDER: ("off first", "runs dry first"),
        Rule.ANTIFREEZE: ("traps", "nowhere", "pipes too"),
        Rule.SALT: ("no", "allowed"),
        Rule.CONTAINER: ("open over a container", "kept empty"),
    }
)
"""Rules answered by a word; the first is the trade's default.

In lay-up the waste valve is left open, with mesh before it; the pump is off before a tap is
opened; antifreeze goes into traps alone; no salt; in use in frost the waste valve stands open over
a container where that is lawful.
"""

NUMBERS: Mapping[Rule, tuple[float, float, float, str]] = MappingProxyType(
    {
        Rule.PUMP_RUN: (5.0, 0.0, 600.0, "s"),
        Rule.AIR: (1.0, 0.0, 4.0, "bar"),
    }
)
"""Rules answered by a number: default, lowest, highest, unit. How long the pump may run dry (one
owners' page and a forum say seconds, printed advice goes up to several minutes), and the highest
pressure of air blown through (printed advice goes from 1 to 3 bar; the default is an estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandbookLine:
    """What one vehicle's handbook says about one rule.

    Attributes:
        rule: the rule.
        says: one of the rule's words, or a number in its unit.
        page: where it stands, e.g. ``"p. 88"``, "" where nobody noted it.
        by: key or initials of whoever read it, "" where nobody said.
        at: when it was entered, UTC; None where nobody said.
    """

    rule: Rule
    says: str
    page: str = ""
    by: str = ""
    at: datetime | None = None

    def __post_init__(self) -> None:
        where = f"handbook, {self.rule.value}"
        if self.rule in NUMBERS:
            _, low, high, unit = NUMBERS[self.rule]
            within(_number(self.says, where), low, high, what=where, unit=unit, error=FleetError)
        elif self.says not in WORDS[self.rule]:
            near = get_close_matches(self.says, WORDS[self.rule], n=1, cutoff=0.5)
            mend = f"Did you mean {near[0]!r}?" if near else f"Give {one_of_words(self.rule)}."
            raise FleetError(f"{where}: {self.says!r} is no answer to it. {mend}")
        if len(self.page) > LONGEST_PAGE:
            raise FleetError(f"{where}: the page has more than {LONGEST_PAGE} signs. Shorten it.")
        if self.at is not None and self.at.tzinfo is None:
            raise FleetError(f"{where}: the moment has no time zone. Give it in UTC.")

    @property
    def number(self) -> float | None:
        """The number it says; None for a word."""
        return _number(self.says, "") if self.rule in NUMBERS else None

    @property
    def differs(self) -> bool:
        """It says something else than the trade does."""
        if self.rule in NUMBERS:
            return self.number != NUMBERS[self.rule][0]
        return self.says != WORDS[self.rule][0]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnSource:
    """Where a number of a vehicle's own comes from.

    Attributes:
        number: its dotted name, e.g. ``"F1.capacity_l"``.
        source: e.g. ``"plate on the tank"``, "" where nobody said.
        by: key or initials of whoever gave it, "".
        at: when it was entered, UTC; None where nobody said.
    """

    number: str
    source: str = ""
    by: str = ""
    at: datetime | None = None

    def __post_init__(self) -> None:
        if len(self.source) > LONGEST_SOURCE:
            raise FleetError(
                f"source of {self.number}: more than {LONGEST_SOURCE} signs. Shorten it."
            )
        if self.at is not None and self.at.tzinfo is None:
            raise FleetError(f"source of {self.number}: the moment has no time zone.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """How one vehicle is treated: the trade's default, or its handbook's word.

    Attributes:
        waste_open: in lay-up the waste valve is left open.
        pump_off_first: the pump is off before any tap is opened.
        pump_run_s: longest the pump may run dry [s].
        doses_traps: antifreeze goes into the traps.
        doses_pipes: it may go into the pipes as well.
        salt: salt may go into the waste tank.
        container: in use in frost the waste valve stands open over a container.
        air_bar: highest pressure of air blown through [bar].
        lines: what its handbook says otherwise, in the order of the rules.
    """

    waste_open: bool = True
    pump_off_first: bool = True
    pump_run_s: float = 5.0
    doses_traps: bool = True
    doses_pipes: bool = False
    salt: bool = False
    container: bool = True
    air_bar: float = 1.0
    lines: tuple[HandbookLine, ...] = ()


def practice_of(handbook: Sequence[HandbookLine]) -> Practice:
    """How a vehicle with this handbook is treated."""
    said = {line.rule: line for line in handbook}

    def word(rule: Rule) -> str:
        return said[rule].says if rule in said else WORDS[rule][0]

    def number(rule: Rule) -> float:
        own = said[rule].number if rule in said else None
        return NUMBERS[rule][0] if own is None else own

    return Practice(
        waste_open=word(Rule.WASTE_VALVE) == "open",
        pump_off_first=word(Rule.PUMP_ORDER) == "off first",
        pump_run_s=number(Rule.PUMP_RUN),
        doses_traps=word(Rule.ANTIFREEZE) != "nowhere",
        doses_pipes=word(Rule.ANTIFREEZE) == "pipes too",
        salt=word(Rule.SALT) == "allowed",
        container=word(Rule.CONTAINER) == "open over a container",
        air_bar=number(Rule.AIR),
        lines=tuple(said[rule] for rule in Rule if rule in said and said[rule].differs),
    )


def with_line(handbook: Sequence[HandbookLine], line: HandbookLine) -> tuple[HandbookLine, ...]:
    """The handbook with one line more, or in place of what it said about that rule before."""
    kept = {one.rule: one for one in handbook} | {line.rule: line}
    return tuple(kept[rule] for rule in Rule if rule in kept)


def without_rule(handbook: Sequence[HandbookLine], rule: Rule) -> tuple[HandbookLine, ...]:
    """The handbook without what it said about a rule: the trade's default holds again."""
    return tuple(one for one in handbook if one.rule is not rule)


def rule_named(word: str) -> Rule:
    """The rule somebody means.

    Raises:
        FleetError: there is none of that name; the message offers the nearest one.
    """
    asked = " ".join(word.strip().casefold().replace("-", " ").replace("_", " ").split())
    found = next((rule for rule in Rule if rule.value == asked), None)
    if found is None:
        names = [rule.value for rule in Rule]
        near = get_close_matches(asked, names, n=1, cutoff=0.5)
        mend = f"Did you mean {near[0]!r}?" if near else f"Give one of {', '.join(names)}."
        raise FleetError(f"{word.strip()!r} is no rule of a handbook. {mend}")
    return found


def one_of_words(rule: Rule) -> str:
    """What may be said about a rule, for a sentence."""
    if rule in NUMBERS:
        _, low, high, unit = NUMBERS[rule]
        return f"a number from {low:g} to {high:g} ({unit})"
    return f"one of {', '.join(WORDS[rule])}"


def _number(text: str, where: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise FleetError(f"{where}: {text!r} is no number. Give one such as 1 or 0.5.") from None
