"""When a handover plan is told: the evening before, when it moves or is off, and at heating-on.

Plans count against no budget of frost messages, and nothing is told in quiet hours: whoever must
switch the heating on then was told the evening before.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from frostwatch.advice.drafts import facts_of_one, voice_of
from frostwatch.advice.going import going
from frostwatch.advice.handover import Plan
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.plan_off import TOLD_AHEAD, hour_of, is_untold, offs_are_due, say_offs
from frostwatch.advice.reminders import Reason, Reminder, Said, Status
from frostwatch.advice.slots import Diary
from frostwatch.advice.view import HANDOVER, Book, SiteView, VehicleView
from frostwatch.advice.ways_out import WaysOut
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.people import Duty
from frostwatch.messages.wording.draft import Draft, Kind, Level
from frostwatch.messages.wording.warm_facts import Warm

MOVED = timedelta(minutes=30)
"""A heating-on hour that moves so far is told again."""
ON_TIME = timedelta(minutes=45)
"""So long after heating-on somebody is still reminded of it. Estimate."""
MOST_TOLD = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Proposed:
    """The plan proposed for a vehicle, ways out of it, and whether it clashes with others."""

    plan: Plan
    out: WaysOut | None = None
    clashes: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Turn:
    """One person, one vehicle with a handover, one moment."""

    view: SiteView
    diary: Diary
    van: VehicleView
    handover: Handover
    now: datetime

    @property
    def key(self) -> str:
        """Key of what was told about it."""
        at = f"{self.handover.at.astimezone(UTC):%Y-%m-%dT%H%MZ}"
        return f"{self.view.site.key}/{self.diary.person.key}/{self.van.vehicle.key}/handover/{at}"

    @property
    def matter(self) -> Reminder | None:
        """What was told already."""
        return self.view.handover_matters.get(self.key)

    @property
    def was_told(self) -> bool:
        """They were told a plan for another hour, which somebody has moved since."""
        return any(
            matter.recipient == self.diary.person.key
            and matter.vehicle == self.van.vehicle.key
            and matter.key != self.key
            and matter.status is Status.STANDING
            and bool(matter.said)
            for matter in self.view.handover_matters.values()
        )

    @property
    def reads(self) -> datetime | None:
        """The reading they are at; None between readings."""
        return self.diary.has_read(self.view.judged_to, self.now)


def plans_are_due(view: SiteView, now: datetime) -> bool:
    """Whether a plan could be told now; if not, none need be made."""
    return offs_are_due(view, now) or any(
        turn.reads or _must_heat(turn) or (turn.matter is None and turn.was_told)
        for turn in _turns(view, now)
    )


def begun_at(view: SiteView, now: datetime) -> dict[str, datetime]:
    """Vehicle -> the hour at which somebody was told to begin, where that has just come.

    Its plan is the one they were told, not the one of somebody who would begin only now.
    """
    found: dict[str, datetime] = {}
    for turn in _turns(view, now):
        last = turn.matter.last() if turn.matter is not None else None
        if last is not None and last.act_by is not None and _must_heat(turn):
            key = turn.van.vehicle.key
            found[key] = min(last.act_by, found.get(key, last.act_by))
    return found


def say_plans(
    view: SiteView, proposed: Mapping[str, Proposed], now: datetime
) -> tuple[list[Draft], list[Reminder]]:
    """Plans to be told now, and what stands told afterwards.

    Args:
        view: the site.
        proposed: vehicle -> its plan; vehicles without one are passed over.
        now: aware UTC time.
    """
    drafts, changed = say_offs(view, now)
    changed += [
        replace(matter, status=Status.CLEARED)
        for matter in view.handover_matters.values()
        if not _stands(view, matter, now) and not is_untold(view, matter, now)
    ]
    for turn in _turns(view, now):
        one = proposed.get(turn.van.vehicle.key)
        if one is None:
            continue
        reason = _reason(turn, one)
        if reason is None:
            continue
        draft = _draft(turn, one, reason)
        drafts.append(draft)
        changed.append(_told(turn, draft))
    return drafts, changed


def _stands(view: SiteView, matter: Reminder, now: datetime) -> bool:
    """Its handover is still ahead, and still entered for that hour."""
    hours = {
        van.vehicle.key: van.vehicle.handover.at for van in view.vehicles if van.vehicle.handover
    }
    at = hours.get(matter.vehicle)
    return at is not None and at == hour_of(matter) and at > now


def _turns(view: SiteView, now: datetime) -> Iterator[_Turn]:
    """Everybody who is told of a plan, with each of their vehicles."""
    for book in view.books:
        if not _hears_plans(view, book) or book.diary.is_quiet(now) or book.diary.is_off(now):
            continue
        for van in book:
            wanted = van.vehicle.handover
            if wanted is not None and now < wanted.at <= now + TOLD_AHEAD:
                yield _Turn(view=view, diary=book.diary, van=van, handover=wanted, now=now)


def _hears_plans(view: SiteView, book: Book) -> bool:
    """Owners and those who run the place; a crew where nobody does."""
    if book.person.duty is not Duty.CREW:
        return True
    return not any(b.person.duty in (Duty.OPERATOR, Duty.DEALER) for b in view.books)


def _must_heat(turn: _Turn) -> bool:
    """They were told an hour at which to begin, and it has come."""
    matter = turn.matter
    last = matter.last() if matter is not None else None
    if last is None or last.act_by is None or last.reason is Reason.HEATING_ON:
        return False
    return last.at < last.act_by <= turn.now <= last.act_by + ON_TIME


def _reason(turn: _Turn, one: Proposed) -> Reason | None:
    """Why a plan is told now; None where it is not."""
    matter, plan = turn.matter, one.plan
    last = matter.last() if matter is not None else None
    if last is None and turn.was_told:
        return Reason.HOUR_MOVED
    if last is None:
        return Reason.PLANNED if _first_time(turn, plan) else None
    if matter is not None and len(matter.said) >= MOST_TOLD:
        return None
    if _must_heat(turn) and plan.fits:
        return Reason.HEATING_ON
    if last.reason is Reason.HEATING_ON:
        return None
    if (last.act_by is None) is not (plan.begins is None or not plan.fits):
        return Reason.HOUR_MOVED
    moved = plan.begins and last.act_by and plan.fits and abs(plan.begins - last.act_by) >= MOVED
    return Reason.HOUR_MOVED if moved else None


def _first_time(turn: _Turn, plan: Plan) -> bool:
    """The evening before, or any reading where that is too late or something must be done."""
    if turn.reads is None:
        return False
    if not plan.fits or plan.begins is None:
        return True
    later = turn.diary.next_reading(turn.reads)
    evening = turn.diary.day(turn.reads) < turn.diary.day(plan.begins)
    last_before = later is None or turn.diary.day(later) > turn.diary.day(turn.reads)
    eve = turn.diary.day(plan.begins) - turn.diary.day(turn.reads) <= timedelta(days=1)
    return not evening or (eve and last_before)


def _draft(turn: _Turn, one: Proposed, reason: Reason) -> Draft:
    view, plan = turn.view, one.plan
    matter = turn.matter
    return Draft(
        key=turn.key,
        revision=len(matter.said) + 1 if matter is not None else 1,
        site=view.site.key,
        recipient=turn.diary.person.key,
        kind=Kind.WARM_UP,
        level=Level.ACT if plan.fits else Level.URGENT,
        reason=reason.value,
        voice=voice_of(turn.diary.person, view.site),
        vehicles=(turn.van.vehicle.key,),
        at=turn.now,
        act_by=plan.begins if plan.fits else None,
        facts=replace(
            facts_of_one(view, turn.van),
            warm=replace(_with_list(warm_of(one), turn), frozen=_is_frozen(turn)),
        ),
    )


def _is_frozen(turn: _Turn) -> bool:
    """They were told to leave it alone."""
    matter = turn.view.matters.get((turn.diary.person.key, turn.van.vehicle.key))
    return matter is not None and matter.times(Kind.LEAVE_ALONE) > 0


def _with_list(warm: Warm, turn: _Turn) -> Warm:
    """What is put back first, for whoever does it all: a crew has it on the sheet of its plan."""
    if turn.diary.is_staff:
        return warm
    van = turn.van
    found = going(van.layout, van.water, turn.handover.at, van.vehicle.practice)
    return replace(
        warm,
        put_back=tuple(one.undo.value for one in found.put_back),
        disinfect=found.disinfect,
    )


def warm_of(one: Proposed) -> Warm:
    """A plan as the facts of a message."""
    plan, out = one.plan, one.out
    plain = Warm(at=plan.at, fuel=plan.source.fuel.value, power_w=plan.source.power_w)
    if not plan.fits:
        other = out.other if out is not None else None
        return replace(
            plain,
            indoors_by=out.indoors_by if out is not None else None,
            other_fuel=other.source.fuel.value if other is not None else "",
            other_w=other.source.power_w if other is not None else 0.0,
            other_on=other.on_by if other is not None else None,
            later_at=out.later if out is not None else None,
            dry=out is not None and out.dry,
        )
    shut, fill, hot, spare = (
        plan.step(step) for step in (Step.SHUT, Step.FILL, Step.WATER_HEAT, Step.SPARE)
    )
    return replace(
        plain,
        on_at=plan.on_by,
        indoors_by=plan.indoors_from,
        begins=plan.begins,
        shut_at=shut.starts if shut is not None else None,
        fill_at=fill.starts if fill is not None else None,
        hot_at=hot.ends if hot is not None else None,
        spare_min=spare.minutes if spare is not None else 0.0,
        soak_c=plan.soak_c[0] if plan.soak_c is not None else None,
        clashes=one.clashes,
    )


def _told(turn: _Turn, draft: Draft) -> Reminder:
    """What stands told after a message."""
    matter = turn.matter or Reminder(
        key=turn.key,
        site=turn.view.site.key,
        recipient=turn.diary.person.key,
        vehicle=turn.van.vehicle.key,
        kind=None,
        status=Status.STANDING,
        spell=f"{turn.handover.at.astimezone(UTC):%Y-%m-%d}",
        raised_at=turn.now,
        about=HANDOVER,
    )
    said = Said(
        kind=Kind.WARM_UP,
        at=turn.now,
        reason=Reason(draft.reason),
        level=draft.level,
        act_by=draft.act_by,
    )
    return replace(matter, kind=Kind.WARM_UP, said=(*matter.said, said))
