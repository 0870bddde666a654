"""After the event: the forecast that was acted on, beside what came."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from frostwatch.advice.reminders import Reminder, Said
from frostwatch.messages.wording.draft import Kind
from frostwatch.weather.site_air import SiteAir

LOOKS_BACK = timedelta(hours=36)
"""One night and the day before it. Estimate."""
ACTED_ON = (Kind.WORK_ORDER, Kind.LAST_CALL, Kind.CHECK_REQUEST, Kind.OUTLOOK)
"""What sends people out, the surest first: a last call comes when the work order's hour passed."""
RECENT = timedelta(days=5)
"""What was told longer ago belongs to another frost. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """What the air did in the hours that have been.

    Attributes:
        lowest_c: lowest air [degC].
        lowest_at: when that was, UTC.
        onset: when it passed 0 degC, UTC: straight between whole hours, or the first reading
            below; None where it stayed above, or was below from the beginning of what is known.
        since: beginning of what is known, UTC.
        thermometer: by a thermometer there; otherwise by the forecast provider's own analysis,
            corrected to the place.
    """

    lowest_c: float
    lowest_at: datetime
    onset: datetime | None
    since: datetime
    thermometer: bool = False


def looked_back_to(now: datetime, acted: Said | None) -> datetime:
    """Where the hours that are looked at begin: the call that was acted on lies within them."""
    night = now - LOOKS_BACK
    return min(night, acted.at) if acted is not None else night


def came_of(air: SiteAir | None, since: datetime, analysed_from: datetime | None) -> Came | None:
    """What came, from the past hours of the newest frame; None where nobody analysed them.

    Args:
        air: air at the site, past hours included.
        since: no hour before this is looked at, UTC.
        analysed_from: first hour that the provider itself tells of, UTC; what lies before was
            laid in front of it from an earlier forecast. None where it tells no past hours.
    """
    if air is None or analysed_from is None:
        return None
    begin = max(since, analysed_from)
    first = max(0, int(np.ceil((begin - air.start) / timedelta(hours=1))))
    if first >= air.now_index:
        return None
    middle_c = np.median(air.air_c[:, first : air.now_index + 1], axis=0)
    moments = [air.start + timedelta(hours=first + n) for n in range(len(middle_c))]
    return came_from(list(zip(moments, middle_c.tolist(), strict=True)))


def came_from(values: list[tuple[datetime, float]], *, thermometer: bool = False) -> Came | None:
    """The same from values in order of time; None without any."""
    if not values:
        return None
    at, lowest_c = min(values, key=lambda pair: pair[1])
    below = [moment for moment, air_c in values if air_c < 0.0]
    onset = below[0] if below and below[0] > values[0][0] else None
    if onset is not None and not thermometer:
        number = next(n for n, (moment, _) in enumerate(values) if moment == onset)
        (before, before_c), (_, after_c) = values[number - 1 : number + 1]
        onset = before + (onset - before) * (before_c / (before_c - after_c))
    return Came(
        lowest_c=lowest_c,
        lowest_at=at,
        onset=onset,
        since=values[0][0],
        thermometer=thermometer,
    )


def not_before(began: datetime | None, came: Came | None) -> datetime | None:
    """A likely hour of harm that was reckoned from a forecast, beside what the air did since.

    It was reckoned before the frost came: where the air is known by then to have passed 0 degC
    later, nothing can have frozen sooner. Under a clear sky a cabin may lie a little below the air
    in the heat model too, in one member of forty; the likely hour never rests on that.
    """
    if began is None or came is None or came.onset is None or began < came.since:
        return began
    return max(began, came.onset)


def acted_on(matters: Iterable[Reminder], now: datetime) -> Said | None:
    """The newest call that told how cold it would get, a work order before all others; None where
    nobody was called lately."""
    said = [
        one
        for matter in matters
        if matter.vehicle and not matter.about
        for one in matter.said
        if one.kind in ACTED_ON and one.min_c is not None and now - one.at < RECENT
    ]
    return max(said, key=lambda one: (-ACTED_ON.index(one.kind), one.at), default=None)
