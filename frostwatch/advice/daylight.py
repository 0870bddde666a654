"""Daylight at a place: when somebody can see what he is doing."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from astral import Observer
from astral.sun import dawn, dusk, elevation, noon, sunrise, sunset

EARLIEST = time(6, 30)
LATEST = time(21, 0)
"""Nobody is sent out before or after, however light it is."""
POLAR_NIGHT = (time(10, 0), time(14, 0))
"""Hours taken where neither sun nor twilight comes. Estimate."""


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of time, UTC, ``start`` before ``end``."""

    start: datetime
    end: datetime

    def meets(self, other: "Span") -> "Span | None":
        """What both have in common, None if nothing."""
        start, end = max(self.start, other.start), min(self.end, other.end)
        return Span(start, end) if start < end else None


def local(day: date, at: time, zone: ZoneInfo) -> datetime:
    """A local time of day as UTC. An hour that the clock skips counts as just after the change;
    of an hour that it repeats the first is meant."""
    return datetime.combine(day, at, tzinfo=zone).astimezone(UTC)


@lru_cache(maxsize=16384)
def daylight(latitude_deg: float, longitude_deg: float, zone_name: str, day: date) -> Span:
    """From sunrise to sunset on a local date, within waking hours.

    Where the sun does not rise: civil twilight (sun at most 6 degrees below the horizon), and where
    even that is missing four hours about noon. Where it does not set: all waking hours.

    Args:
        latitude_deg: WGS 84 [deg].
        longitude_deg: WGS 84 [deg].
        zone_name: IANA name.
        day: local date.
    """
    zone = ZoneInfo(zone_name)
    waking = Span(local(day, EARLIEST, zone), local(day, LATEST, zone))
    observer = Observer(latitude_deg, longitude_deg)
    light = _sun(observer, day, zone)
    if light is None:
        light = Span(local(day, POLAR_NIGHT[0], zone), local(day, POLAR_NIGHT[1], zone))
    return light.meets(waking) or waking


def _sun(observer: Observer, day: date, zone: ZoneInfo) -> Span | None:
    """The sun's day, or twilight where it stays below; None where there is neither."""
    midday = noon(observer, day, tzinfo=zone)
    for rises, sets, horizon_deg in ((sunrise, sunset, -0.833), (dawn, dusk, -6.0)):
        try:
            start, end = (_event(one, observer, day, zone) for one in (rises, sets))
        except ValueError:
            if elevation(observer, midday) > horizon_deg:
                return Span(local(day, EARLIEST, zone), local(day, LATEST, zone))
            continue
        # Near the poles the sun may set after midnight, which astral books to the day's beginning.
        return Span(start, end if end > start else start + timedelta(days=1))
    return None


def _event(
    event: Callable[..., datetime], observer: Observer, day: date, zone: ZoneInfo
) -> datetime:
    """When the sun passes a height on a local date, UTC.

    Where it does so about midnight UTC, astral finds nothing on single days (Toronto on 27 August,
    Edmonton on 1 November): the hour of the day before is taken then, which is minutes off.

    Raises:
        ValueError: the sun does not pass it.
    """
    try:
        return event(observer, day, tzinfo=zone).astimezone(UTC)
    except ValueError as nothing:
        if not str(nothing).startswith("Unable to find"):
            raise
    before = event(observer, day - timedelta(days=1), tzinfo=zone).astimezone(UTC)
    return before + timedelta(days=1)
