"""Moments and spans as people write them on a command line."""

import re
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from frostwatch.errors import FrostwatchError
from frostwatch.fleet.finding import vehicle_meant
from frostwatch.ports import Book

_SPAN = re.compile(r"(\d+(?:\.\d+)?)\s*(min|m|h|d)")
_UNIT_S = {"min": 60.0, "m": 60.0, "h": 3600.0, "d": 86400.0}


def moment_from(text: str, option: str) -> datetime:
    """A moment from ISO 8601; without an offset it is UTC.

    Raises:
        FrostwatchError: it is not understood.
    """
    try:
        moment = datetime.fromisoformat(text)
        return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)
    except (ValueError, OverflowError) as wrong:
        raise FrostwatchError(
            f"{option}: {text!r} is not a moment. Write 2026-12-01 or 2026-12-01T07:40Z."
        ) from wrong


def moment_there(text: str, option: str, *, book: Book, vehicle: str, now: datetime) -> datetime:
    """A moment as people write it where a vehicle stands: without an offset in its place's time.

    Raises:
        FrostwatchError: it is not understood, or there is no such vehicle.
    """
    key = vehicle_meant(vehicle, book.vehicles).site
    zone = next(site.zone for site in book.sites if site.key == key)
    return local_moment(text, option, zone, now)


def span_from(text: str, option: str) -> timedelta:
    """A length of time such as ``30min``, ``2h`` or ``1d``.

    Raises:
        FrostwatchError: it is not understood.
    """
    found = _SPAN.fullmatch(text.strip())
    if found is None:
        raise FrostwatchError(f"{option}: {text!r} is not a length of time. Write 2h or 30min.")
    return timedelta(seconds=float(found[1]) * _UNIT_S[found[2]])


def local_moment(text: str, option: str, zone: ZoneInfo, now: datetime) -> datetime:
    """A moment as people write it at a place: ``16:30`` of today, or a day with or without hour.

    Without an offset it is the place's own time.

    Raises:
        FrostwatchError: it is not understood.
    """
    words = text.strip()
    today = now.astimezone(zone)
    if re.fullmatch(r"\d{1,2}:\d{2}", words):
        words = f"{today:%Y-%m-%d}T{words.zfill(5)}"
    try:
        moment = datetime.fromisoformat(words)
        return (moment if moment.tzinfo else moment.replace(tzinfo=zone)).astimezone(UTC)
    except (ValueError, OverflowError) as wrong:
        raise FrostwatchError(
            f"{option}: {text!r} is not a moment. Write 16:30, 2026-12-01 16:30, or with an "
            "offset 2026-12-01T16:30+01:00."
        ) from wrong
