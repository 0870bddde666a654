"""Hours as people write them: ``mon-fri 08:00-16:30``, ``sat 10:00-16:00``, ``21:00-06:30``."""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import time

from frostwatch.errors import FleetError
from frostwatch.fleet.people import Language
from frostwatch.told import told

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")

IN_OTHER_WORDS: Mapping[str, int] = {
    word: number
    for names in (
        ("mo", "di", "mi", "do", "fr", "sa", "so"),
        ("montag", "dienstag", "mittwoch", "donnerstag", "freitag", "samstag", "sonntag"),
        ("lun", "mar", "mer", "jeu", "ven", "sam", "dim"),
        ("lundi", "mardi", "mercredi", "jeudi", "vendredi", "samedi", "dimanche"),
    )
    for number, word in enumerate(names)
}
"""German and French names of the days, whole or shortened."""
DAYS_IN: Mapping[Language, Sequence[str]] = {
    Language.EN: DAYS,
    Language.DE: ("mo", "di", "mi", "do", "fr", "sa", "so"),
    Language.FR: ("lun", "mar", "mer", "jeu", "ven", "sam", "dim"),
}

Span = tuple[int, time, time]
"""Weekday (0 is Monday), start, end."""


def spans_from(text: str) -> tuple[Span, ...]:
    """``mon-fri,sun 08:00-16:30`` as one span a day.

    Raises:
        FleetError: it cannot be read.
    """
    days, _, hours = text.strip().partition(" ")
    if not hours:
        raise FleetError(told("hours", given=repr(text.strip())))
    starts, ends = range_from(hours)
    return tuple((day, starts, ends) for part in days.split(",") for day in _days_from(part))


def range_from(text: str) -> tuple[time, time]:
    """``08:00-16:30`` as two times of day.

    Raises:
        FleetError: it cannot be read.
    """
    starts, dash, ends = text.strip().replace("–", "-").partition("-")
    if not dash:
        raise FleetError(told("hours", given=repr(text)))
    return clock_from(starts), clock_from(ends)


def clock_from(text: str) -> time:
    """``07:40`` as a time of day.

    Raises:
        FleetError: it cannot be read.
    """
    found = re.fullmatch(r"\s*(\d{1,2}):(\d{2})\s*", text)
    if not found or int(found[1]) > 23 or int(found[2]) > 59:
        raise FleetError(told("clock", given=repr(text.strip())))
    return time(int(found[1]), int(found[2]))


def _days_from(text: str) -> Iterable[int]:
    first, dash, last = text.strip().casefold().partition("-")
    start = _day_from(first)
    end = _day_from(last) if dash else start
    return range(start, end + 1) if end >= start else (*range(start, 7), *range(end + 1))


def _day_from(text: str) -> int:
    word = text.strip().rstrip(".").casefold()
    if word in IN_OTHER_WORDS:
        return IN_OTHER_WORDS[word]
    for number, day in enumerate(DAYS):
        if text.strip().startswith(day):
            return number
    raise FleetError(told("day", given=repr(text)))


def spans_text(spans: Sequence[Span], language: Language = Language.EN) -> list[str]:
    """Spans as text: days that follow each other with the same hours become one line."""
    days = DAYS_IN[language]
    lines: list[tuple[int, int, time, time]] = []
    for day, starts, ends in spans:
        if lines and (lines[-1][1] + 1, *lines[-1][2:]) == (day, starts, ends):
            lines[-1] = (lines[-1][0], day, starts, ends)
        else:
            lines.append((day, day, starts, ends))
    return [
        f"{days[first]}{'' if first == last else '-' + days[last]} {starts:%H:%M}-{ends:%H:%M}"
        for first, last, starts, ends in lines
    ]
