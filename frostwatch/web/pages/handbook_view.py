"""What a vehicle's handbook says, and figures of its own, in words: with who says so and when."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from frostwatch.advice.handbook_words import clause, default_clause
from frostwatch.advice.plan_words import PlanWords, words_for
from frostwatch.errors import FleetError
from frostwatch.fleet.handbook import HandbookLine, Rule
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.layouts.overrides import number_in, override_names
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.messages.wording.say import NBSP
from frostwatch.service.handbook import DEFAULT
from frostwatch.web.pages.rows import named
from frostwatch.web.words import Tongue

OFFERED = (
    "F1.capacity_l",
    "F1.left_travel_l",
    "F1.foam_m",
    "H1.capacity_l",
    "W3.capacity_l",
    "W3.foam_m",
    "T1.capacity_l",
    "valve.opens_below_c",
    "valve.closable_above_c",
    "heat.space_heat_w",
)
"""Figures that people know of their vehicle; others can be given in the fleet file."""
SCALES: Mapping[str, tuple[float, str, int]] = {
    "foam_m": (1000.0, "mm", 0),
    "wall_m": (1000.0, "mm", 1),
    "_c": (1.0, "°C", 1),
    "_w_per_m_k": (1.0, "W/(m K)", 2),
    "_w_per_k": (1.0, "W/K", 1),
    "_j_per_k": (1.0, "J/K", 0),
    "_w": (1.0, "W", 0),
}
"""End of a name -> factor, unit and decimals in which people are told; litres have their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookLine:
    """One thing in which a vehicle differs.

    Attributes:
        what: what it says.
        usual: what would hold otherwise; None where it says the same.
        source: where it stands, or comes from.
        who: who says so, and when.
    """

    what: str
    usual: Markup | None
    source: Markup
    who: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class BookView:
    """What the page shows of it.

    Attributes:
        rules: what its handbook says.
        figures: figures of its own.
        others: what holds for rules that nobody entered.
    """

    rules: tuple[BookLine, ...]
    figures: tuple[BookLine, ...]
    others: tuple[str, ...]


def book_view(vehicle: Vehicle, site: Site, people: Mapping[str, Person], t: Tongue) -> BookView:
    """What is entered from a vehicle's handbook, and of its own figures."""
    words = words_for(t.language, site, t.now)
    said = {line.rule for line in vehicle.handbook}
    return BookView(
        rules=tuple(_rule(line, people, t, words) for line in vehicle.handbook),
        figures=tuple(_figures(vehicle, people, t)),
        others=tuple(capital(default_clause(r, words)) for r in Rule if r not in said),
    )


def capital(text: str) -> str:
    """With a capital first letter."""
    return text[:1].upper() + text[1:]


def _rule(
    line: HandbookLine, people: Mapping[str, Person], t: Tongue, words: PlanWords
) -> BookLine:
    usual = default_clause(line.rule, words)
    return BookLine(
        what=capital(clause(line.rule, line.says, words)),
        usual=t("hb.usual", what=usual) if line.differs else None,
        source=t("hb.from_page", page=line.page) if line.page else t("hb.from_book"),
        who=_who(line.by, line.at, people, t),
    )


def _figures(vehicle: Vehicle, people: Mapping[str, Person], t: Tongue) -> Iterator[BookLine]:
    layout = CATALOGUE.get(vehicle.layout)
    sources = {source.number: source for source in vehicle.own_from}
    for name, number in vehicle.overrides:
        source = sources.get(name)
        before = number_in(layout, name) if layout is not None else None
        where = source.source if source is not None else ""
        yield BookLine(
            what=str(
                t("hb.figure", what=figure_name(name, layout, t), number=told(name, number, t))
            ),
            usual=t("hb.figure.usual", number=told(name, before, t))
            if before is not None
            else None,
            source=t("hb.figure.source", source=where) if where else t("hb.figure.no_source"),
            who=_who(source.by, source.at, people, t) if source is not None else Markup(),
        )


def _who(by: str, at: datetime | None, people: Mapping[str, Person], t: Tongue) -> Markup:
    if not by or at is None:
        return t("hb.by_nobody")
    return t("hb.by", who=named(by, people), at=t.hour(at))


def entered_words(what: str, says: str, vehicle: Vehicle, site: Site, t: Tongue) -> str:
    """What was entered, as its record tells it; as it was written where that is not understood."""
    try:
        if "." in what:
            name = figure_name(what, CATALOGUE.get(vehicle.layout), t)
            if says == DEFAULT:
                return str(t("hb.log.default", what=name).unescape())
            return str(t("hb.figure", what=name, number=told(what, float(says), t)).unescape())
        rule = Rule(what)
        if says == DEFAULT:
            return str(t("hb.log.default", what=t(f"hb.rule.{rule.value}")).unescape())
        return clause(rule, says, words_for(t.language, site, t.now))
    except (ValueError, KeyError, FleetError):
        return f"{what} = {says}" if says else what


def figure_name(name: str, layout: Layout | None, t: Tongue) -> str:
    """What a figure is called by people."""
    head, _, field = name.rpartition(".")
    items = {item.key: item for item in layout.items} if layout is not None else {}
    part = t.words.circuits[items[head].circuit] if head in items else head
    if not t.has(f"hb.of.{field}"):
        return name
    return str(t(f"hb.of.{field}", part=part).unescape())


def scale_of(name: str) -> tuple[float, str, int]:
    """Factor, unit and decimals in which a figure is told."""
    return next((scale for end, scale in SCALES.items() if name.endswith(end)), (1.0, "L", 0))


def told(name: str, number: float, t: Tongue) -> str:
    """A figure with its unit."""
    if name.endswith("_l"):
        return t.litres(number)
    factor, unit, decimals = scale_of(name)
    scaled = factor * number
    whole = float(f"{scaled:.{decimals}f}") == round(scaled)
    return f"{t.speech.number(scaled, 0 if whole else decimals)}{NBSP}{unit}"


def offered(vehicle: Vehicle, layout: Layout) -> Sequence[str]:
    """Figures that can be entered on the page: the usual ones, and those that are entered."""
    known = set(override_names(layout))
    own = [name for name, _ in vehicle.overrides]
    return list(dict.fromkeys([*(name for name in OFFERED if name in known), *own]))
