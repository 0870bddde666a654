"""Entering a handover, moving its hour, choosing its heat: what is refused, and what is asked."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from frostwatch.advice.daylight import local
from frostwatch.advice.heat_sources import sources_of
from frostwatch.advice.plan_words import PlanWords
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.plans import HandoverChange, Plans

FARTHEST = timedelta(days=400)
"""Nobody enters a handover more than a year ahead. Estimate."""
NIGHT_ENDS, NIGHT_BEGINS = time(6, 30), time(21, 0)
"""Night at a place without working hours. Estimate."""
LOOKED_D = 8


class Doubt(StrEnum):
    """Why a handover is refused as it was given."""

    PAST = "past"
    FAR = "far"
    CLOSED = "closed"
    INDOORS_LATE = "indoors late"
    INDOORS_PAST = "indoors past"
    NO_POST = "no post"
    NO_HEAT = "no heat"


MAY_BE_MEANT = frozenset({Doubt.CLOSED})
"""What is asked about once, and kept where it is meant so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """One reason, with the hours that its sentence names.

    Attributes:
        doubt: what is wrong.
        at: the hour it is about, UTC.
        before: the nearest hour before it that would do, UTC; None for none.
        after: the nearest one after it.
    """

    doubt: Doubt
    at: datetime
    before: datetime | None = None
    after: datetime | None = None


def refusals(
    wished: Handover,
    vehicle: Vehicle,
    site: Site,
    now: datetime,
    *,
    post: str = "",
    meant: bool = False,
) -> tuple[Refusal, ...]:
    """What stands in the way of a handover as it is wished.

    That it cannot be ready by then is no refusal: the plan says so, with the ways out.

    Args:
        wished: the hour, the litres, the heat, where it stands.
        vehicle: the vehicle.
        site: where it stands.
        now: aware UTC time.
        post: hook-up post it is to stand at, "" for any.
        meant: an hour at night or outside working hours is meant so.
    """
    found = [*_hour(wished, site, now), *_indoors(wished, vehicle, now)]
    if post and post not in {one.name for one in site.posts}:
        found.append(Refusal(doubt=Doubt.NO_POST, at=wished.at))
    if wished.heat is not None and wished.heat not in _sources(vehicle):
        found.append(Refusal(doubt=Doubt.NO_HEAT, at=wished.at))
    return tuple(one for one in found if not (meant and one.doubt in MAY_BE_MEANT))


def _hour(wished: Handover, site: Site, now: datetime) -> Iterator[Refusal]:
    at = wished.at
    if at <= now:
        yield Refusal(doubt=Doubt.PAST, at=at)
    elif at > now + FARTHEST:
        yield Refusal(doubt=Doubt.FAR, at=at)
    elif not is_open_at(site, at):
        before, after = nearest_open(site, at, now)
        yield Refusal(doubt=Doubt.CLOSED, at=at, before=before, after=after)


def _indoors(wished: Handover, vehicle: Vehicle, now: datetime) -> Iterator[Refusal]:
    since = wished.indoors_from
    before = vehicle.handover.indoors_from if vehicle.handover is not None else None
    if since is not None and since <= now and since != before:
        yield Refusal(doubt=Doubt.INDOORS_PAST, at=since)


def _sources(vehicle: Vehicle) -> Sequence[object]:
    try:
        return sources_of(vehicle, layout_of(vehicle))
    except FrostwatchError:
        return ()


def spans_of(site: Site, day: datetime, zone: ZoneInfo) -> list[tuple[datetime, datetime]]:
    """Hours of a local date at which somebody can be at a place, UTC."""
    date = day.astimezone(zone).date()
    if not site.shifts:
        return [(local(date, NIGHT_ENDS, zone), local(date, NIGHT_BEGINS, zone))]
    return sorted(
        (local(date, shift.opens, zone), local(date, shift.closes, zone))
        for shift in site.shifts
        if shift.weekday == date.weekday()
    )


def is_open_at(site: Site, at: datetime) -> bool:
    """Whether somebody is at work then; without working hours, whether it is day."""
    return any(opens <= at <= closes for opens, closes in spans_of(site, at, site.zone))


def nearest_open(
    site: Site, at: datetime, now: datetime
) -> tuple[datetime | None, datetime | None]:
    """The last hour before, still to come, and the first after at which somebody is at work."""
    days = [at + timedelta(days=n) for n in range(-LOOKED_D, LOOKED_D + 1)]
    spans = [span for day in days for span in spans_of(site, day, site.zone)]
    before = max((closes for _, closes in spans if now < closes < at), default=None)
    after = min((opens for opens, _ in spans if opens > max(at, now)), default=None)
    return before, after


def refusal_words(one: Refusal, words: PlanWords) -> str:
    """Why a handover is refused, with the hours that would do."""
    text = words.texts.entering
    at = words.hour(one.at)
    if one.doubt is not Doubt.CLOSED:
        return text[one.doubt.value].format(at=at)
    if one.after is None:
        return text["closed plain"].format(at=at)
    if one.before is None:
        return text["closed after"].format(at=at, after=words.hour(one.after))
    before, after = words.hour(one.before), words.hour(one.after)
    return text["closed"].format(at=at, before=before, after=after)


def enter(
    plans: Plans,
    vehicle: Vehicle,
    after: Handover | None,
    *,
    by: str,
    now: datetime,
    post: str | None = None,
) -> bool:
    """Enter, move or take off a handover; False if somebody else changed it in between.

    Args:
        plans: where it is kept.
        vehicle: the vehicle as it was read.
        after: what is wished; None takes it off.
        by: who wishes it.
        now: moment, UTC.
        post: post it stands at from now on; None leaves that.
    """
    change = HandoverChange(
        vehicle=vehicle.key,
        site=vehicle.site,
        at=now,
        by=by,
        before=vehicle.handover,
        after=after,
    )
    return plans.enter(change, post=post)
