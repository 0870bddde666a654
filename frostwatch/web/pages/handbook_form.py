"""What somebody typed of a vehicle's handbook and figures, read against what is entered."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from frostwatch.errors import FleetError
from frostwatch.fleet.handbook import (
    LONGEST_PAGE,
    LONGEST_SOURCE,
    NUMBERS,
    WORDS,
    HandbookLine,
    Rule,
)
from frostwatch.fleet.layouts.overrides import range_of
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.service.handbook import Entered, line_entered, number_entered, rule_cleared
from frostwatch.web.pages.handbook_view import offered, scale_of
from frostwatch.web.rights.names import Doubt, doubt_about

LONGEST_NUMBER = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class BookFault:
    """One thing to put right.

    Attributes:
        field: name of the field.
        key: of the sentence.
        low: lowest it may be, as it is typed.
        high: highest.
    """

    field: str
    key: str
    low: float = 0.0
    high: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBook:
    """What was typed.

    Attributes:
        typed: field -> text; what is entered before anything is typed.
        faults: what is to be put right.
        entered: what changes; empty where something is wrong.
    """

    typed: Mapping[str, str]
    faults: tuple[BookFault, ...] = ()
    entered: tuple[Entered, ...] = ()

    def value(self, name: str) -> str:
        """What stands in a field."""
        return self.typed.get(name, "")

    def fault(self, name: str) -> BookFault | None:
        """What is to be put right in a field."""
        return next((fault for fault in self.faults if fault.field == name), None)


def as_entered(vehicle: Vehicle, layout: Layout) -> ReadBook:
    """The form as it is shown first."""
    typed = {}
    for line in vehicle.handbook:
        typed[f"rule-{line.rule.name}"] = line.says
        typed[f"page-{line.rule.name}"] = line.page
    sources = {source.number: source.source for source in vehicle.own_from}
    own = dict(vehicle.overrides)
    for name in offered(vehicle, layout):
        if name in own:
            typed[f"own-{name}"] = f"{scale_of(name)[0] * own[name]:g}"
            typed[f"from-{name}"] = sources.get(name, "")
    return ReadBook(typed={**typed, **{f"was-{name}": text for name, text in typed.items()}})


class Reading:
    """Reads the form once: only what differs from what its writer was shown is a change."""

    def __init__(
        self, vehicle: Vehicle, layout: Layout, typed: Mapping[str, str], by: str, now: datetime
    ) -> None:
        self._vehicle, self._layout = vehicle, layout
        self._typed = {name: text.strip() for name, text in typed.items()}
        self._by, self._now = by, now
        self._faults: list[BookFault] = []

    def read(self) -> ReadBook:
        """The whole form."""
        found = [*self._rules(), *self._figures()]
        entered = () if self._faults else tuple(found)
        return ReadBook(typed=self._typed, faults=tuple(self._faults), entered=entered)

    def _text(self, name: str) -> str:
        return self._typed.get(name, "")

    def _changed(self, *names: str) -> bool:
        return any(self._text(name) != self._text(f"was-{name}") for name in names)

    def _rules(self) -> Iterator[Entered]:
        for rule in Rule:
            says, page = f"rule-{rule.name}", f"page-{rule.name}"
            if not self._changed(says, page):
                continue
            if not self._text(says):
                if self._text(f"was-{says}"):
                    yield rule_cleared(self._vehicle, rule, by=self._by, now=self._now)
                continue
            line = self._line(rule, self._text(says), self._text(page))
            if line is not None:
                yield line_entered(self._vehicle, line, by=self._by, now=self._now)

    def _line(self, rule: Rule, says: str, page: str) -> HandbookLine | None:
        if self._doubt(page, f"page-{rule.name}", LONGEST_PAGE):
            return None
        try:
            return HandbookLine(
                rule=rule, says=says[:LONGEST_NUMBER] if rule in NUMBERS else says, page=page
            )
        except FleetError:
            low, high = NUMBERS[rule][1:3] if rule in NUMBERS else (0.0, 0.0)
            key = "hb.fault.number" if rule in NUMBERS else "hb.fault.text"
            self._fault(f"rule-{rule.name}", key, low, high)
            return None

    def _figures(self) -> Iterator[Entered]:
        for name in offered(self._vehicle, self._layout):
            own, source = f"own-{name}", f"from-{name}"
            if not self._changed(own, source):
                continue
            if self._doubt(self._text(source), source, LONGEST_SOURCE):
                continue
            number = self._number(name, self._text(own))
            if number is None and self._text(own):
                continue
            if number is None and not self._text(f"was-{own}"):
                continue
            try:
                yield number_entered(
                    self._vehicle,
                    name,
                    number,
                    source=self._text(source),
                    by=self._by,
                    now=self._now,
                )
            except FleetError:
                self._fault(own, "hb.fault.fits")

    def _number(self, name: str, text: str) -> float | None:
        """The number in the unit of its name; None for none, with a fault where it is wrong."""
        if not text:
            return None
        factor = scale_of(name)[0]
        low, high = range_of(name)
        try:
            number = float(text[:LONGEST_NUMBER].replace(",", ".").replace("−", "-")) / factor
        except ValueError:
            number = float("nan")
        if not low <= number <= high:
            self._fault(f"own-{name}", "hb.fault.number", factor * low, factor * high)
            return None
        return number

    def _doubt(self, text: str, name: str, longest: int) -> bool:
        doubt = doubt_about(text, longest=longest)
        if doubt is None or doubt is Doubt.EMPTY:
            return False
        self._fault(name, "hb.fault.text")
        return True

    def _fault(self, field: str, key: str, low: float = 0.0, high: float = 0.0) -> None:
        self._faults.append(BookFault(field=field, key=key, low=low, high=high))


def words_of(rule: Rule) -> tuple[str, ...]:
    """The words a rule can be answered by; none for a number."""
    return WORDS.get(rule, ())
