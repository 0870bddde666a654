"""The small strip of hours on the page of one van: dark and daylight, the hour to work to, frost.

Places are in per cent of the width, so that the drawing can be stretched and its words keep their
size. There are no temperatures on it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.advice.daylight import daylight
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording.draft import Draft

SHORTEST = timedelta(hours=24)
LONGEST = timedelta(hours=84)
AFTER = timedelta(hours=6)
"""How much of the hours after the frost's beginning is shown at least. Estimate."""
FROST_AT_LEAST = timedelta(hours=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch of the strip, from and to in per cent."""

    left: float
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """The strip, in per cent from the left.

    Attributes:
        start: left edge, UTC.
        end: right edge, UTC.
        light: daylight.
        frost: when frost is possible; None where none is in sight.
        by: the hour to work to; None where it has passed.
        days: midnight and local date of each day that begins on it, with its place.
    """

    start: datetime
    end: datetime
    light: tuple[Piece, ...]
    frost: Piece | None
    by: float | None
    days: tuple[tuple[float, datetime], ...]


def strip_of(draft: Draft, site: Site, now: datetime) -> Strip | None:
    """The hours from now to the frost; None where no frost lies ahead that could be drawn."""
    facts = draft.facts
    early = facts.ice_early or facts.early or facts.onset
    if early is None or early + FROST_AT_LEAST <= now:
        return None
    start = now.replace(minute=0, second=0, microsecond=0)
    until = facts.until if facts.until and facts.until > early else early + FROST_AT_LEAST
    end = min(max(until, early + AFTER, start + SHORTEST), start + LONGEST)
    if early >= end:
        return None
    span = end - start

    def place(moment: datetime) -> float:
        share = (min(max(moment, start), end) - start) / span
        return round(100.0 * share, 1)

    def piece(begin: datetime, stop: datetime) -> Piece:
        return Piece(left=place(begin), width=round(place(stop) - place(begin), 1))

    by = draft.act_by
    return Strip(
        start=start,
        end=end,
        light=tuple(piece(a, b) for a, b in _light(site, start, end)),
        frost=piece(early, min(until, end)),
        by=place(by) if by is not None and start <= by <= end else None,
        days=tuple((place(at), at) for at in _days(site, start, end)),
    )


def _light(site: Site, start: datetime, end: datetime) -> Iterator[tuple[datetime, datetime]]:
    day = start.astimezone(site.zone).date()
    while day <= end.astimezone(site.zone).date():
        light = daylight(site.latitude_deg, site.longitude_deg, site.time_zone, day)
        if light.end > start and light.start < end:
            yield max(light.start, start), min(light.end, end)
        day += timedelta(days=1)


def _days(site: Site, start: datetime, end: datetime) -> Iterator[datetime]:
    """The left edge, and each midnight that leaves room for the day's name."""
    yield start
    day = start.astimezone(site.zone).date() + timedelta(days=1)
    while True:
        at = datetime(day.year, day.month, day.day, tzinfo=site.zone).astimezone(start.tzinfo)
        if at >= end - (end - start) / 12:
            return
        if at - start > (end - start) / 8:
            yield at
        day += timedelta(days=1)
