"""One row or table of a user's file, read field by field; every fault becomes a problem.

The same reader serves TOML, whose values have types, and a spreadsheet, whose values are text.
"""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from difflib import get_close_matches
from enum import StrEnum
from typing import Any, TypeVar

from frostwatch.errors import FrostwatchError
from frostwatch.told import told, told_by


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing to mend in a file before it can be imported.

    Attributes:
        line: line in the file, from 1; 0 for the file as a whole.
        column: the field, for a spreadsheet with the column's letter, "" for the whole row.
        what: what is wrong.
        mend: how to mend it, one sentence.
    """

    line: int
    column: str
    what: str
    mend: str = ""

    def __str__(self) -> str:
        where = f"line {self.line}" if self.line else "file"
        column = f", {self.column}" if self.column else ""
        return f"{where}{column}: {self.what} {self.mend}".rstrip()


Words = TypeVar("Words", bound=StrEnum)
Made = TypeVar("Made")

YES = frozenset({"yes", "true", "1", "x", "ja", "wahr", "oui", "vrai"})
NO = frozenset({"no", "false", "0", "", "nein", "falsch", "non", "faux"})


class Row:
    """The fields of one row or table, each asked for once.

    Args:
        values: field -> value as the file gives it.
        where: field -> (line, column as shown to the user).
        problems: every fault is added here.
    """

    def __init__(
        self,
        values: Mapping[str, Any],
        where: Callable[[str], tuple[int, str]],
        problems: list[Problem],
    ) -> None:
        self._values = values
        self._where = where
        self._problems = problems
        self._asked: set[str] = set()

    def problem(self, field: str, what: str, mend: str = "") -> None:
        """Note a fault at a field."""
        line, column = self._where(field)
        self._problems.append(Problem(line=line, column=column, what=what, mend=mend))

    def has(self, field: str) -> bool:
        """Whether the field was given at all."""
        return self._values.get(field) not in (None, "")

    def take(self, field: str) -> Any:
        """The raw value, None if it was not given."""
        self._asked.add(field)
        value = self._values.get(field)
        return value.strip() if isinstance(value, str) else value

    def text(self, field: str, default: str | None = None, *, lines: bool = False) -> str:
        """Words; "" and a problem if they are missing and there is no default.

        Args:
            field: the field.
            default: what stands for a missing one; None if it must be there.
            lines: whether line breaks are allowed.
        """
        value = self.take(field)
        if value in (None, ""):
            if default is None:
                self.problem(field, told("missing", field=field), told("fill_in"))
            return default or ""
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            self.problem(field, told("text", field=field), 'Write it in quotes: "...".')
            return default or ""
        text = str(value)
        allowed = "\n\r\t" if lines else ""
        if any((ord(sign) < 32 or ord(sign) == 127) and sign not in allowed for sign in text):
            self.problem(field, told("control", field=field), told("anew"))
        return text

    def number(self, field: str, default: float | None = None) -> float | None:
        """A number, decimal point or comma; the default if it is missing or no number."""
        value = self.take(field)
        if value in (None, ""):
            return default
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            return float(value)
        if isinstance(value, str):
            return self._number_from(field, value, default)
        self.problem(field, told("number", field=field))
        return default

    def _number_from(self, field: str, text: str, default: float | None) -> float | None:
        bare = re.sub(r"[\s\u00a0\u202f]", "", text).replace("−", "-")
        if re.fullmatch(r"[+-]?[1-9]\d{0,2}([.,]\d{3})*,\d{3}", bare) or bare.count(",") > 1:
            self.problem(
                field,
                told("thousands", given=repr(text)),
                told("thousands_mend"),
            )
            return default
        if re.fullmatch(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?", bare):
            return float(bare.replace(",", "."))
        self.problem(field, told("no_number", given=repr(text)), told("digits"))
        return default

    def required_number(self, field: str) -> float:
        """A number that must be there; 0 and a problem otherwise."""
        if not self.has(field):
            self.take(field)
            self.problem(field, told("missing", field=field), told("fill_in"))
        return self.number(field) or 0.0

    def whole(self, field: str, default: int) -> int:
        """A whole number from 0."""
        value = self.number(field, float(default))
        if value is None or not math.isfinite(value) or value != int(value) or value < 0:
            self.problem(field, told("whole", field=field))
            return default
        return int(value)

    def flag(self, field: str) -> bool:
        """Yes or no; missing is no."""
        value = self.take(field)
        if isinstance(value, bool):
            return value
        word = str(value if value is not None else "").casefold()
        if word not in YES | NO:
            self.problem(field, told("flag", given=repr(value)), told("flag_mend"))
        return word in YES

    def choice(self, field: str, words: type[Words], default: Words | None = None) -> Words:
        """One of a list of words; the first of them and a problem if it is none."""
        known = [word.value for word in words]
        fallback = default or words(known[0])
        if not self.has(field) and default is not None:
            self.take(field)
            return default
        given = self.text(field)
        asked = re.sub(r"[\s_-]+", " ", given.casefold())
        for word in words:
            if re.sub(r"[\s_-]+", " ", word.value) == asked:
                return word
        if given:
            what = told("choice", field=field, given=repr(given))
            self.problem(field, what, _one_of(asked, known))
        return fallback

    def listed(self, field: str) -> tuple[str, ...]:
        """A list of words, or one text with commas between them."""
        value = self.take(field)
        if value in (None, ""):
            return ()
        parts = value.split(",") if isinstance(value, str) else value
        if not isinstance(parts, list) or not all(isinstance(part, str) for part in parts):
            self.problem(field, f"{field} must be a list of texts.", 'Write ["...", "..."].')
            return ()
        return tuple(part.strip() for part in parts if part.strip())

    def moment(self, field: str) -> datetime | None:
        """A time with its zone, as UTC; None and a problem otherwise."""
        value = self.take(field)
        if isinstance(value, str) and value:
            try:
                value = datetime.fromisoformat(value)
            except ValueError:
                self.problem(field, told("no_time", given=repr(value)), told("time_mend"))
                return None
        if not isinstance(value, datetime):
            self.problem(field, told("missing", field=field), told("time_mend"))
            return None
        if value.tzinfo is None:
            self.problem(field, told("no_zone", field=field), told("zone_mend"))
            return None
        try:
            return value.astimezone(UTC)
        except OverflowError:
            self.problem(field, told("far_off", field=field))
            return None

    def make(self, maker: Callable[[], Made], words: Mapping[str, str]) -> Made | None:
        """Build a record; what it refuses becomes a problem at the field its message names.

        Args:
            maker: builds the record from fields read before.
            words: word of the message -> field.
        """
        try:
            return maker()
        except FrostwatchError as wrong:
            said = told_by(wrong)
            field = next((name for word, name in words.items() if word in said), "")
            self.problem(field, said)
            return None

    def leftovers(self) -> None:
        """Note every field that nobody asked for."""
        for field in self._values:
            if field not in self._asked:
                self.problem(field, f"{field!r} is not known here.", _one_of(field, self._asked))


def _one_of(given: str, known: Sequence[str] | set[str]) -> str:
    near = get_close_matches(given, list(known), n=1, cutoff=0.6)
    if near:
        return told("near", near=repr(near[0]))
    return told("known", known=", ".join(sorted(known)))
