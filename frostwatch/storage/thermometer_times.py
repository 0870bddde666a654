"""Times as thermometers write them -> moments in UTC."""

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from enum import StrEnum


class DayOrder(StrEnum):
    """Which of two numbers comes first in 03/04/2026."""

    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"


_SLASHED = re.compile(
    r"(\d{1,2})([./-])(\d{1,2})\2(\d{4}|\d{2})[ ,T]+(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?"
    r"\s*(am|pm)?",
    re.IGNORECASE,
)
_UNIX = re.compile(r"\d{10}(?:\d{3})?(?:\.\d+)?")
MILLISECONDS_FROM = 1e11


def day_order_of(stamps: Sequence[str]) -> DayOrder | None:
    """What the dates of a whole file say about their order; None if they could be either.

    Dots are written day first wherever they are written.
    """
    for stamp in stamps:
        found = _SLASHED.match(stamp)
        if found is None:
            continue
        first, sign, second = int(found[1]), found[2], int(found[3])
        if sign == "." or first > 12:
            return DayOrder.DAY_FIRST
        if second > 12:
            return DayOrder.MONTH_FIRST
    return None


def naive_time(stamp: str, order: DayOrder | None) -> datetime:
    """A time, with its offset if it names one.

    Raises:
        ValueError: it is not understood, in words for people.
    """
    if _UNIX.fullmatch(stamp):
        number = float(stamp)
        seconds = number / 1000.0 if number >= MILLISECONDS_FROM else number
        return datetime.fromtimestamp(seconds, UTC)
    found = _SLASHED.fullmatch(stamp)
    if found is None:
        try:
            return datetime.fromisoformat(re.sub(r"\s+(?=[+-]\d\d:?\d\d$|Z$)", "", stamp))
        except ValueError:
            raise ValueError(
                f"{stamp!r} is no time. Write 2026-12-01 06:10, or 2026-12-01T06:10:00+01:00."
            ) from None
    if order is None:
        raise ValueError(
            f"{stamp!r} may be day or month first. Say --dates day-first or month-first."
        )
    one, two = int(found[1]), int(found[3])
    day, month = (one, two) if order is DayOrder.DAY_FIRST else (two, one)
    year = int(found[4]) + (2000 if len(found[4]) == 2 else 0)
    hour = int(found[5])
    if found[8]:
        hour = hour % 12 + (12 if found[8].casefold() == "pm" else 0)
    try:
        iso = f"{year:04}-{month:02}-{day:02}T{hour:02}:{found[6]}:{found[7] or '00'}"
        return datetime.fromisoformat(iso)
    except ValueError as wrong:
        raise ValueError(f"{stamp!r} is no time: {wrong}.") from None


class Clock:
    """Local times in the order of a file -> UTC, through both changes of the clock.

    In autumn an hour comes twice: where the times step back in it, the second one has begun. An
    hour that spring leaves out is refused: the thermometer's clock does not follow the law.

    Args:
        zone: time zone of times that do not name their own.
    """

    def __init__(self, zone: tzinfo) -> None:
        self._zone = zone
        self._last: datetime | None = None
        self._fold = 0

    def moment(self, said: datetime) -> datetime:
        """A time in UTC.

        Raises:
            ValueError: there was no such hour, in words for people.
        """
        if said.tzinfo is not None:
            return said.astimezone(UTC)
        if self._is_twice(said):
            if self._last is not None and said < self._last <= said + timedelta(hours=1):
                self._fold = 1
        else:
            self._fold = 0
        self._last = said
        at = said.replace(tzinfo=self._zone, fold=self._fold).astimezone(UTC)
        if at.astimezone(self._zone).replace(tzinfo=None) != said:
            raise ValueError(
                f"{said:%Y-%m-%d %H:%M} does not exist in {self._zone}: the clocks went forward. "
                "If the thermometer keeps winter time, say --clock +01:00 or what it is."
            )
        return at

    def _is_twice(self, said: datetime) -> bool:
        offsets = {said.replace(tzinfo=self._zone, fold=fold).utcoffset() for fold in (0, 1)}
        early, late = (said.replace(tzinfo=self._zone, fold=fold) for fold in (0, 1))
        back = early.astimezone(UTC).astimezone(self._zone).replace(tzinfo=None) == said
        return len(offsets) == 2 and back and late.utcoffset() is not None
