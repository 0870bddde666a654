"""How things stand with one vehicle for one person: the numbers, and the level they come to.

The window is what the coming slot alone can meet: from the soonest its work could be finished to
the end of the slot after it. Deciding earlier would be deciding on a worse forecast; deciding later
would be too late. What lies before the window no slot can meet any more.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.advice.act_by import Plan, act_by, plan_for
from frostwatch.advice.daylight import Span
from frostwatch.advice.harm import NO_CHANCE, Chance, VehicleNight
from frostwatch.messages.wording.draft import Level

TOO_LATE = 0.5
"""Probability of harm already begun above which a vehicle is left alone."""
NOTICE_H = 96.0
"""How far ahead a notice looks [h]."""
CHECK_H = 168.0
"""How far ahead frost makes an unknown vehicle worth a look [h]."""
ACTIVE_H = 48.0
"""Harm within this time keeps a spell going [h]."""
QUIET_SHARE = 0.5
"""A spell is quiet while the chance of harm stays below this share of the cost ratio. The gap to
the full ratio is the dead band in which nothing is raised and nothing is cleared."""
NO_SLOT_RATIO = 3.0
"""Going out without a slot, in the dark and at once, costs about this many planned visits; so much
surer must the harm be before anybody is asked to, unless water was recorded just now. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbers:
    """What one vehicle's night means for one person.

    Attributes:
        plan: the coming slot, the one after it.
        window_from: start of the window, UTC; None without any slot.
        window_to: its end, UTC; no later than what is known.
        begun: chance that harm has begun.
        before: chance that it begins before the coming slot can be used.
        window: chance that it begins in the window.
        by_active: chance that it has begun within two days.
        ahead: chance that it has begun within four days.
        week: chance that it has begun within seven days.
        ice_now: chance of ice now.
        ice_ahead: chance that ice becomes possible within four days.
        valve: chance that the heater tank empties itself within four days.
        act_by: hour to work to, UTC; None where the coming slot cannot meet the harm.
        night: the night they were read from.
    """

    plan: Plan
    window_from: datetime | None
    window_to: datetime
    begun: Chance
    before: Chance
    window: Chance
    by_active: Chance
    ahead: Chance
    week: Chance
    ice_now: Chance
    ice_ahead: Chance
    valve: Chance
    act_by: datetime | None
    night: VehicleNight

    @property
    def first(self) -> Chance:
        """The chance that matters first: before the window, or in it."""
        return self.before if self.before.probability > self.window.probability else self.window

    @property
    def valve_will_open(self) -> bool:
        """The heater tank will more likely than not empty itself within four days."""
        return self.valve.probability > TOO_LATE and self.valve.likely_h > 0.0

    def time(self, hour: float) -> datetime | None:
        """An hour of the night as UTC."""
        return self.night.at(hour)


def numbers_for(
    night: VehicleNight,
    slots: Iterable[Span],
    now: datetime,
    *,
    travel_min: float,
    job_min: float,
) -> Numbers:
    """Read off a night what it means for a person with these slots.

    Args:
        night: what frost could do to the vehicle.
        slots: the person's slots that have not ended, in order.
        now: aware UTC time.
        travel_min: their way to the vehicle [min].
        job_min: the work [min].
    """
    plan = plan_for(slots, now, travel_min=travel_min, job_min=job_min)
    now_h = night.hour_of(now)
    known_to = night.start + timedelta(hours=night.hours)
    window_to = min(plan.after.end, known_to) if plan.after else known_to
    ready_h = night.hour_of(plan.ready_at) if plan.ready_at else night.hours
    window_to_h = max(ready_h, night.hour_of(window_to))
    window = night.harm_between(ready_h, window_to_h) if plan.slot else NO_CHANCE
    by_hour = None
    if plan.slot is not None:
        by_hour = act_by(
            plan.slot,
            night.at(window.earliest_h),
            now,
            travel_min=travel_min,
            job_min=job_min,
        )
    return Numbers(
        plan=plan,
        window_from=plan.ready_at,
        window_to=window_to,
        begun=night.harm_by(now_h),
        before=night.harm_between(now_h, ready_h),
        window=window,
        by_active=night.harm_by(min(max(window_to_h, 24.0), now_h + ACTIVE_H)),
        ahead=night.harm_by(now_h + NOTICE_H),
        week=night.harm_by(now_h + CHECK_H),
        ice_now=night.ice_by(now_h),
        ice_ahead=night.possible_ice_by(now_h + NOTICE_H),
        valve=night.valve_opens(now_h + NOTICE_H),
        act_by=by_hour,
        night=night,
    )


def level_of(numbers: Numbers, ratio: float) -> Level:
    """The level word, thaw left aside: that needs to know what was said before.

    Args:
        numbers: what the night means.
        ratio: cost ratio: the probability above which a call is worth its work.
    """
    if numbers.begun.probability > TOO_LATE:
        return Level.TOO_LATE
    if numbers.before.probability > ratio:
        return Level.URGENT
    if numbers.window.probability > ratio:
        return Level.URGENT if _is_last_slot(numbers) else Level.ACT
    notice = (
        numbers.ahead.probability > ratio * QUIET_SHARE
        or numbers.ice_ahead.probability > TOO_LATE
        or numbers.valve_will_open
    )
    return Level.NOTICE if notice else Level.NONE


def _is_last_slot(numbers: Numbers) -> bool:
    """No later slot could still meet the earliest harm."""
    after = numbers.plan.ready_after
    earliest = numbers.time(numbers.window.earliest_h)
    return after is None or (earliest is not None and earliest <= after)
