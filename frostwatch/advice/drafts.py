"""From what was decided to the facts of a message."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from frostwatch.advice.act_by import act_by, last_slot_before
from frostwatch.advice.air_facts import AirFacts, worth_looking
from frostwatch.advice.desk import Desk, Thought
from frostwatch.advice.harm import Chance
from frostwatch.advice.in_use import CONTAINER_L, LITRES_A_DAY, container_for, in_use_and_shut
from frostwatch.advice.jobs import job_of, told_wet
from frostwatch.advice.matters import harm_begins
from frostwatch.advice.reminders import ACT_KINDS, stamp_of
from frostwatch.advice.verdict import TOO_LATE, Numbers
from frostwatch.advice.view import SiteView, VehicleView
from frostwatch.advice.walks import round_of
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site, SiteKind
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Draft, Facts, Kind, Level, Voice, Wet
from frostwatch.messages.wording.warm_facts import LivedIn

OUTLOOK_REACH = timedelta(hours=96)
_RANK = {level: rank for rank, level in enumerate(Level)}


def voice_of(person: Person, site: Site) -> Voice:
    """To whom a text speaks; owners of vehicles at a dealer's are the dealer's customers."""
    if person.duty is not Duty.OWNER:
        return Voice.CREW
    return Voice.CUSTOMER if site.kind is SiteKind.FORECOURT else Voice.OWNER


def facts_of_one(view: SiteView, van: VehicleView, *, all_count: int = 1) -> Facts:
    """What a message about one vehicle tells, before what it is about."""
    basis = view.forecast
    return Facts(
        place=view.site.name,
        zone=view.site.time_zone,
        vans=(van.name,),
        count=1,
        all_count=all_count,
        issue_at=basis.issued_at,
        colder_k=basis.standing.colder_k,
        credit=basis.credit,
    )


def draft_for(desk: Desk, kind: Kind, group: Sequence[Thought]) -> Draft:
    """One message of a kind about these vehicles.

    Args:
        desk: whose message it is.
        kind: its class.
        group: what it calls for, in walking order; each with its numbers.
    """
    chances = [_chance(thought, kind) for thought in group]
    soonest = min(range(len(group)), key=lambda n: (chances[n].earliest_h, n))
    lead = group[soonest]
    numbers, chance = _numbers(lead), chances[soonest]
    by = _by(desk, kind, group)
    facts = _FACTS[kind](desk, group, lead, by)
    if kind in ACT_KINDS and all(in_use_and_shut(t.stand.van.water) for t in group):
        facts = replace(facts, lived_in=_lived_in())
    earliest, likely = numbers.time(chance.earliest_h), numbers.time(chance.likely_h)
    if kind is Kind.LEAVE_ALONE:
        earliest = likely = facts.onset
    key, revision = _name(desk, kind, group)
    return Draft(
        key=key,
        revision=revision,
        site=desk.view.site.key,
        recipient=desk.book.person.key,
        kind=kind,
        level=max((t.call.level for t in group), key=_RANK.__getitem__),
        reason=lead.call.reason.value,
        voice=voice_of(desk.book.person, desk.view.site),
        vehicles=tuple(t.stand.van.vehicle.key for t in group),
        at=desk.now,
        act_by=by if kind is not Kind.LAST_CALL else None,
        earliest=earliest,
        likely=likely,
        probability=max(c.probability for c in chances),
        facts=facts,
    )


def _lived_in() -> LivedIn:
    """A bucket against the waste water of two careful people."""
    box = container_for(CONTAINER_L, LITRES_A_DAY, None)
    return LivedIn(
        holds_l=box.holds_l,
        a_day_l=box.a_day_l,
        times_a_day=box.times_a_day,
        lasts_h=box.lasts_h,
    )


def _numbers(thought: Thought) -> Numbers:
    assert thought.numbers is not None
    return thought.numbers


def _chance(thought: Thought, kind: Kind) -> Chance:
    """The chance that a kind of message rests on."""
    numbers = _numbers(thought)
    if kind in (Kind.LEAVE_ALONE, Kind.THAW_CHECK):
        return numbers.begun
    if kind is Kind.LAST_CALL:
        return numbers.before
    if kind is Kind.WORK_ORDER:
        return numbers.window
    return numbers.ahead if kind is Kind.OUTLOOK else numbers.week


def _name(desk: Desk, kind: Kind, group: Sequence[Thought]) -> tuple[str, int]:
    """Key and revision: of the one matter, or of the group's message."""
    if len(group) == 1:
        matter = desk.matter_of(group[0].stand)
        return matter.key, len(matter.said) + 1
    site, person = desk.view.site.key, desk.book.person.key
    stamp = stamp_of(desk.now)
    return f"{site}/{person}/{kind.value}/{stamp}", 1


def _by(desk: Desk, kind: Kind, group: Sequence[Thought]) -> datetime | None:
    """The hour to work to: of a round the one that half of it is due by, else the earliest.

    What is due before that comes first on the round and carries its own hour there.
    """
    if kind is Kind.WORK_ORDER:
        due = sorted(hour for t in group if (hour := _numbers(t).act_by) is not None)
        return due[(len(due) - 1) // 2] if due else None
    if kind in (Kind.OUTLOOK, Kind.CHECK_REQUEST):
        hours = [_planned(desk, t, _chance(t, kind)) for t in group]
    elif kind is Kind.LAST_CALL:
        told = [t.stand.matter.last(*ACT_KINDS) for t in group if t.stand.matter is not None]
        hours = [said.act_by for said in told if said is not None]
    else:
        hours = []
    return min((hour for hour in hours if hour is not None), default=None)


def _planned(desk: Desk, thought: Thought, chance: Chance) -> datetime | None:
    """The hour to work to in the last slot before the earliest harm of ``chance``."""
    earliest = _numbers(thought).time(chance.earliest_h)
    if earliest is None:
        return None
    travel_min, job_min = desk.book.person.travel_min, thought.stand.job_min
    slot = last_slot_before(desk.slots, earliest, desk.now, travel_min=travel_min, job_min=job_min)
    if slot is None:
        return None
    return act_by(slot, earliest, desk.now, travel_min=travel_min, job_min=job_min)


def _base(desk: Desk, group: Sequence[Thought], air: AirFacts, **more: object) -> Facts:
    """What every message may mention."""
    basis = desk.view.forecast
    fields: dict[str, object] = {
        "place": desk.view.site.name,
        "zone": desk.view.site.time_zone,
        "vans": tuple(t.stand.van.name for t in group),
        "count": len(group),
        "all_count": len(desk.stands),
        "onset": air.onset,
        "early": air.early,
        "until": air.until,
        "min_c": air.min_c,
        "mincold_c": air.mincold_c,
        "coldest_at": air.coldest_at,
        "issue_at": basis.issued_at,
        "colder_k": basis.standing.colder_k,
        "credit": basis.credit,
    }
    return Facts(**(fields | more))  # type: ignore[arg-type]


def _wet(group: Sequence[Thought]) -> tuple[Wet, ...]:
    """What still holds water, where it is one vehicle."""
    return told_wet(group[0].stand.wet) if len(group) == 1 else ()


def _outlook(desk: Desk, group: Sequence[Thought], lead: Thought, by: datetime | None) -> Facts:
    minutes = sum(t.stand.job_min for t in group)
    air = desk.air(desk.now + OUTLOOK_REACH)
    return _base(desk, group, air, by=by, crew_h=minutes / 60.0, took_min=minutes, wet=_wet(group))


def _work_order(desk: Desk, group: Sequence[Thought], lead: Thought, by: datetime | None) -> Facts:
    numbers = _numbers(lead)
    air = desk.air(numbers.window_to)
    if desk.diary.is_staff:
        walk = round_of(desk)
        stops = walk.stops
        return _base(
            desk,
            group,
            air,
            by=by,
            count=len(stops) + len(walk.left),
            crew_h=walk.crew_h,
            ready_at=walk.ready_at,
            fits=walk.fits,
            fit_count=len(stops),
            first=tuple(stop.bay for stop in walk.first or (*stops, *walk.left)[:3]),
            take=walk.take,
            wet=_wet(group),
        )
    day = desk.diary.day(by or desk.now)
    return _base(
        desk,
        group,
        air,
        by=by,
        job=job_of(lead.stand.wet),
        took_min=sum(t.stand.job_min for t in group),
        wet=_wet(group),
        dark_at=desk.diary.light(day).end,
        valve_at=_valve_at(lead),
        breaks=_breaks(lead),
        harm_likely=numbers.window.probability > TOO_LATE,
    )


def _valve_at(thought: Thought) -> datetime | None:
    """When the heater tank likely empties itself; None where it likely does not."""
    numbers = _numbers(thought)
    wet = {entry.circuit for entry in thought.stand.wet}
    likely = numbers.valve_will_open and Circuit.HEATER_TANK in wet
    return numbers.time(numbers.valve.likely_h) if likely else None


def _breaks(thought: Thought) -> tuple[Circuit, ...]:
    """What could split in the window, more likely than not, dearest first."""
    numbers = _numbers(thought)
    until_h = numbers.night.hour_of(numbers.window_to)
    items = numbers.night.in_cost_order(until_h, above=TOO_LATE)
    return tuple(dict.fromkeys(item.circuit for item in items))


def _last_call(desk: Desk, group: Sequence[Thought], lead: Thought, by: datetime | None) -> Facts:
    numbers = _numbers(lead)
    return _base(
        desk,
        group,
        desk.air(numbers.window_to),
        by=by,
        job=job_of(lead.stand.wet),
        wet=_wet(group),
        ice_early=numbers.time(numbers.before.earliest_h),
        ice_likely=numbers.time(numbers.before.likely_h),
        looks_again=desk.budget.left_after(Kind.LAST_CALL),
    )


def _leave_alone(desk: Desk, group: Sequence[Thought], lead: Thought, by: datetime | None) -> Facts:
    assert desk.view.air is not None
    began = [harm_begins(t.stand.matter, _numbers(t), desk.now) for t in group]
    return _base(
        desk,
        group,
        desk.air(desk.now + OUTLOOK_REACH),
        onset=min((b for b in began if b is not None), default=None),
        thaw_at=worth_looking(desk.view.air, desk.view.thawed, desk.diary, desk.now),
        looks_again=desk.budget.left_after(Kind.LEAVE_ALONE),
        wet=_wet(group),
    )


def _thaw_check(desk: Desk, group: Sequence[Thought], lead: Thought, by: datetime | None) -> Facts:
    return _base(
        desk,
        group,
        desk.air(desk.now + timedelta(hours=24)),
        thaw_at=_look_at(desk),
        wet=_wet(group),
    )


def _look_at(desk: Desk) -> datetime | None:
    """Now, or when they can be there next while it is mild."""
    if desk.can_look or desk.view.air is None:
        return desk.now
    return worth_looking(desk.view.air, desk.view.thawed, desk.diary, desk.now)


def _check_request(
    desk: Desk, group: Sequence[Thought], lead: Thought, by: datetime | None
) -> Facts:
    seen = [entry.since for t in group for entry in t.stand.wet if entry.since is not None]
    return _base(
        desk,
        group,
        desk.air(desk.now + timedelta(hours=168)),
        by=by,
        took_min=sum(t.stand.job_min for t in group),
        seen_at=max(seen, default=None),
    )


_FACTS = {
    Kind.OUTLOOK: _outlook,
    Kind.WORK_ORDER: _work_order,
    Kind.LAST_CALL: _last_call,
    Kind.LEAVE_ALONE: _leave_alone,
    Kind.THAW_CHECK: _thaw_check,
    Kind.CHECK_REQUEST: _check_request,
}
