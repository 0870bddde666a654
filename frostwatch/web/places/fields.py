"""Fields of a form as typed, read one by one; what cannot be is noted at its field."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from enum import StrEnum
from typing import TypeVar

from starlette.datastructures import FormData

from frostwatch.errors import FleetError
from frostwatch.fleet.sites import COST_RATIO, Caution
from frostwatch.told import Told, told, told_by
from frostwatch.web.rights.names import doubt_about
from frostwatch.web.set_up.fault import Fault

LONGEST = 20_000
LONGEST_LINE = 500
OWN_RATIO = "own"
"""Of the choice how much a call too many weighs: a figure of one's own."""

Words = TypeVar("Words", bound=StrEnum)
Read = TypeVar("Read")


def typed_of(form: FormData, names: Iterable[str]) -> dict[str, str]:
    """Fields as they were typed, cut only where no screen could show them."""
    found = {}
    for name in names:
        value = form.get(name, "")
        found[name] = value[:LONGEST] if isinstance(value, str) else ""
    return found


class Fields:
    """One reading of a form's fields.

    Attributes:
        faults: what must be put right, in the order it was asked for.
    """

    def __init__(self, typed: Mapping[str, str]) -> None:
        self._typed = typed
        self.faults: list[Fault] = []

    def fault(self, field: str, key: str, **values: object) -> None:
        """Note something to be put right."""
        self.faults.append(Fault(field=field, key=key, values=values))

    def refused(self, field: str, why: Exception) -> None:
        """Note what a record or a reader refuses."""
        said = told_by(why)
        what = said if isinstance(said, Told) else told("verbatim", what=said)
        self.fault(field, "set.problem_whole", what=what, mend="")

    def raw(self, field: str) -> str:
        """What was typed, without blanks at both ends."""
        return self._typed.get(field, "").strip()

    def text(self, field: str, *, needed: bool = False, longest: int = 120) -> str:
        """Words for people to read."""
        text = self.raw(field)
        doubt = doubt_about(text, longest=longest) if text or needed else None
        if doubt is not None:
            self.fault(field, f"set.text_{doubt.value}")
        return text

    def word(self, field: str, words: type[Words]) -> Words:
        """One of a list of words."""
        given = self.raw(field)
        for word in words:
            if word.value == given:
                return word
        self.fault(field, "set.choose")
        return next(iter(words))

    def one_of(self, field: str, known: Iterable[str]) -> str:
        """One of some keys, or none."""
        given = self.raw(field)
        if given and given not in set(known):
            self.fault(field, "set.choose")
        return given

    def number(self, field: str, least: float, most: float) -> float | None:
        """A number between two, None for none."""
        text = re.sub(r"[\s\u00a0\u202f]", "", self.raw(field)).replace(",", ".")
        if not text:
            return None
        if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{0,6})?", text) or not least <= float(text) <= most:
            self.fault(field, "change.number_range", least=f"{least:.9g}", most=f"{most:.9g}")
            return None
        return float(text)

    def each(self, field: str, reader: Callable[[str], Read], parting: str = "\n;") -> list[Read]:
        """A list, one thing a line or between semicolons."""
        return list(self.one_by_one(field, reader, parting))

    def one_by_one(self, field: str, reader: Callable[[str], Read], parting: str) -> Iterator[Read]:
        """The same as it is read, so that whoever asks may stop."""
        for part in re.split(f"[{re.escape(parting)}]", self._typed.get(field, "")):
            plain = part.strip()
            if not plain:
                continue
            doubt = doubt_about(plain, longest=LONGEST_LINE)
            if doubt is not None:
                self.fault(field, f"set.text_{doubt.value}")
                continue
            try:
                yield reader(plain)
            except FleetError as wrong:
                self.refused(field, wrong)

    def cost_ratio(self) -> float | None:
        """How much a call too many weighs: by word, by a figure, or None where nothing is said."""
        given = self.raw("caution")
        if given == OWN_RATIO:
            if not self.raw("cost_ratio"):
                self.fault("cost_ratio", "change.ratio_missing")
            return self.number("cost_ratio", 0.005, 0.9)
        if not given:
            return None
        return COST_RATIO[self.word("caution", Caution)]


def caution_of(cost_ratio: float | None) -> tuple[str, str]:
    """The choice and the figure that a ratio is shown as."""
    if cost_ratio is None:
        return "", ""
    word = next((word.value for word, ratio in COST_RATIO.items() if ratio == cost_ratio), "")
    return (word, "") if word else (OWN_RATIO, f"{cost_ratio:g}")
