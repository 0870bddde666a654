"""What to say about one vehicle now, and why; "nothing" is an answer with a reason too."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.advice.budget import ACT_CALLS_A_SPELL
from frostwatch.advice.jobs import all_unknown
from frostwatch.advice.reminders import ACT_KINDS, Answer, AnswerKind, Reason, Reminder, Said
from frostwatch.advice.slots import Diary
from frostwatch.advice.verdict import NO_SLOT_RATIO, QUIET_SHARE, TOO_LATE, Numbers, level_of
from frostwatch.messages.wording.draft import Kind, Level
from frostwatch.records.standing_water import CircuitWater

EARLIER = timedelta(hours=3)
"""An act-by hour that moves this much earlier is told again."""
WEEK = timedelta(days=7) - timedelta(hours=1)
REMIND_AFTER = timedelta(hours=6)
"""Nobody is reminded sooner after a call. Estimate."""
LEAST_NOTICE = timedelta(hours=1)
"""What a last call must leave beyond the way and the work. Estimate."""
LAST_CALL_AHEAD = timedelta(hours=48)
"""Nobody is asked to go at once for a frost further ahead: an outlook may do. Estimate."""
GOING_FOR = timedelta(hours=3)
"""How long after the hour they named people are left to it. Estimate."""
COLDER_K = 1.0
"""How much colder it must get before someone who cannot come is asked again [K]. Estimate."""
NEW_WATER_L = 0.2
NEW_WATER_SHARE = 0.1
"""More than this in a circuit than when last told counts as new water. Estimates."""

_RANK = {Level.NONE: 0, Level.NOTICE: 1, Level.ACT: 2, Level.URGENT: 3}


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """What this moment is to a person.

    Attributes:
        now: aware UTC time.
        reading: they read now, so that anything may be told.
        evening: it is the reading at which outlooks are told.
        quiet: it lies in their quiet hours; only what cannot wait for the morning is told.
    """

    now: datetime
    reading: bool
    evening: bool
    quiet: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """One vehicle, one person, one moment.

    Attributes:
        diary: the person's time at the site.
        moment: what this moment is to them.
        numbers: what the night means.
        ratio: cost ratio.
        wet: circuits that hold water or may.
        job_min: the work [min].
        matter: what stands between them; None for nothing.
        answer: their latest answer to it.
        at_once: water was recorded since the last judgement, which is told without waiting.
        called_before: this person was called to this site before in this winter.
        refilled: it had been drained, and holds water again.
        min_c: lowest air of the window, likely [degC].
        thawed: the air has been mild for long enough.
        can_look: they could look now.
    """

    diary: Diary
    moment: Moment
    numbers: Numbers
    ratio: float
    wet: tuple[CircuitWater, ...]
    job_min: float
    matter: Reminder | None
    answer: Answer | None
    at_once: bool
    called_before: bool
    refilled: bool
    min_c: float
    thawed: bool
    can_look: bool

    @property
    def told(self) -> Said | None:
        """The latest call to go and drain."""
        return self.matter.last(*ACT_KINDS) if self.matter else None

    @property
    def has_new_water(self) -> bool:
        """A circuit holds more than when last told."""
        if self.matter is None or not self.matter.told:
            return self.at_once or self.refilled
        then = {told.circuit: told.litres for told in self.matter.told}
        return any(
            entry.litres_cost_l - then.get(entry.circuit.value, 0.0)
            > max(NEW_WATER_L, NEW_WATER_SHARE * then.get(entry.circuit.value, 0.0))
            for entry in self.wet
        )

    @property
    def was_left_alone(self) -> bool:
        """They were told to leave it alone, no new water came since, and there still is ice."""
        last = self.matter.last(Kind.LEAVE_ALONE, Kind.THAW_CHECK) if self.matter else None
        if last is None or last.kind is Kind.THAW_CHECK:
            return False
        if any(one.filled_at is not None and one.filled_at > last.at for one in self.wet):
            return False
        return self.numbers.ice_now.probability > TOO_LATE


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """What to say.

    Attributes:
        kind: class of message, None for nothing.
        reason: why, or why not.
        level: how things stand.
        first: the first call to this person about this vehicle in this spell.
    """

    kind: Kind | None
    reason: Reason
    level: Level
    first: bool = False


def call_for(case: Case) -> Call:
    """What to say about one vehicle to one person now."""
    level = level_of(case.numbers, case.ratio)
    if level is Level.TOO_LATE or case.was_left_alone:
        return _frozen(case)
    if _thaw_is_due(case) and level not in (Level.ACT, Level.URGENT):
        return Call(kind=Kind.THAW_CHECK, reason=Reason.THAWED, level=Level.THAW)
    answer = case.answer
    going_at = answer.going_at if answer and answer.kind is AnswerKind.GOING else None
    if going_at and case.moment.now < going_at + GOING_FOR and not case.has_new_water:
        return Call(kind=None, reason=Reason.GOING, level=level)
    last = _last_call(case, level)
    if last is not None and last.kind is not None:
        return last
    call = _act(case, level)
    return call if call.kind is not None or last is None else last


def _thaw_is_due(case: Case) -> bool:
    """They were called or told to leave it alone, it froze, it has thawed, and they can look."""
    matter = case.matter
    if matter is None or not matter.froze or not case.thawed:
        return False
    if not (case.can_look or matter.thaw_waits):
        return False
    concerned = matter.times(Kind.LEAVE_ALONE, *ACT_KINDS) > 0
    return concerned and matter.times(Kind.THAW_CHECK) == 0


def _frozen(case: Case) -> Call:
    """It has frozen: leave it alone, once; look, once, when it has thawed."""
    if _thaw_is_due(case):
        return Call(kind=Kind.THAW_CHECK, reason=Reason.THAWED, level=Level.THAW)
    said = case.matter is not None and case.matter.times(Kind.LEAVE_ALONE) > 0
    if said:
        return Call(kind=None, reason=Reason.NOT_THAWED, level=Level.TOO_LATE)
    if case.diary.is_staff and not case.moment.reading:
        return Call(kind=None, reason=Reason.NOT_YET, level=Level.TOO_LATE)
    return Call(kind=Kind.LEAVE_ALONE, reason=Reason.HARM_BEGUN, level=Level.TOO_LATE)


def _last_call(case: Case, level: Level) -> Call | None:
    """Harm comes before the coming slot can be used; None where this says nothing."""
    numbers, told = case.numbers, case.told
    chance = numbers.before
    threshold = min(TOO_LATE, NO_SLOT_RATIO * case.ratio)
    reason = Reason.NO_SLOT
    if case.has_new_water:
        threshold, reason = case.ratio, Reason.NEW_WATER
    elif told is not None and case.matter is not None:
        passed = told.act_by is None or told.act_by <= case.moment.now
        if not passed or case.matter.times(Kind.LAST_CALL) or _called_enough(case):
            return None
        reason = Reason.ACT_BY_PASSED
    elif not case.moment.reading:
        return None
    if chance.probability <= threshold or _answered_cannot(case):
        return None
    away = timedelta(minutes=case.diary.person.travel_min + case.job_min) + LEAST_NOTICE
    earliest = numbers.time(chance.earliest_h)
    if earliest is not None and earliest - case.moment.now > LAST_CALL_AHEAD:
        return None
    if earliest is None or case.moment.now + away > earliest:
        return Call(kind=None, reason=Reason.TOO_SHORT, level=Level.URGENT)
    return Call(kind=Kind.LAST_CALL, reason=reason, level=Level.URGENT, first=told is None)


def _act(case: Case, level: Level) -> Call:
    """The coming slot can still meet what the one after it cannot."""
    numbers, slot = case.numbers, case.numbers.plan.slot

    def nothing(reason: Reason) -> Call:
        return Call(kind=None, reason=reason, level=level)

    if numbers.window.probability <= case.ratio:
        return _check(case, level) or nothing(_why_not(case))
    if slot is None or numbers.act_by is None:
        return nothing(Reason.NO_SLOT)
    if not case.moment.reading and not case.at_once:
        return nothing(Reason.NOT_YET)
    if case.diary.waits(case.moment.now, slot):
        return nothing(Reason.LATER_READING)
    if case.told is None:
        return _check(case, level) or Call(
            kind=Kind.WORK_ORDER, reason=_first_reason(case), level=level, first=True
        )
    again = _again(case, case.told, level, numbers.act_by)
    if again is None:
        return nothing(Reason.ANSWERED_CANNOT if _answered_cannot(case) else Reason.TOLD)
    return Call(kind=Kind.WORK_ORDER, reason=again, level=level, first=again is Reason.NEW_WATER)


def _first_reason(case: Case) -> Reason:
    if case.refilled or case.at_once:
        return Reason.NEW_WATER
    return Reason.AFTER_QUIET if case.called_before else Reason.FIRST


def _why_not(case: Case) -> Reason:
    """Why nothing is said although water stands in it."""
    if case.numbers.ahead.probability > case.ratio:
        return Reason.LATER_SLOT if case.numbers.plan.slot else Reason.NO_SLOT
    return Reason.STAYS_LIQUID


def _check(case: Case, level: Level) -> Call | None:
    """Nobody knows what is in it, and frost is ahead: ask once a spell that somebody looks."""
    before = (Kind.CHECK_REQUEST, Kind.LEAVE_ALONE, *ACT_KINDS)
    said = case.matter is not None and case.matter.times(*before) > 0
    if said or not case.moment.reading or not all_unknown(case.wet):
        return None
    if case.numbers.week.probability <= case.ratio:
        return None
    level = max(level, Level.NOTICE, key=lambda word: _RANK.get(word, 0))
    return Call(kind=Kind.CHECK_REQUEST, reason=Reason.UNKNOWN, level=level)


def _again(case: Case, told: Said, level: Level, act_by: datetime) -> Reason | None:
    """Why a call is made once more, None if it is not."""
    now = case.moment.now
    if case.has_new_water:
        return Reason.NEW_WATER
    if _called_enough(case):
        return None
    if _answered_cannot(case):
        colder = told.min_c is not None and case.min_c < told.min_c - COLDER_K
        return Reason.COLDER if colder else None
    surer = case.numbers.window.probability >= (told.probability or 0.0)
    if _RANK.get(level, 0) > _RANK.get(told.level, 0) and surer:
        return Reason.LEVEL_ROSE
    if told.act_by is not None and act_by <= told.act_by - EARLIER:
        return Reason.HOUR_EARLIER
    if now - told.at >= WEEK:
        return Reason.WEEKLY
    passed = told.act_by is not None and told.act_by <= now
    if passed and (told.probability or 0.0) < TOO_LATE <= case.numbers.window.probability:
        return Reason.SURER
    return Reason.REMINDED if _last_light(case, told) else None


def _last_light(case: Case, told: Said) -> bool:
    """An owner has not answered, and no later reading comes before the hour they were told."""
    now = case.moment.now
    if case.diary.is_staff or told.act_by is None or case.answer is not None:
        return False
    if told.act_by <= now or now - told.at < REMIND_AFTER:
        return False
    later = case.diary.next_reading(now)
    return later is None or later > told.act_by


def _answered_cannot(case: Case) -> bool:
    return case.answer is not None and case.answer.kind is AnswerKind.CANNOT


def _called_enough(case: Case) -> bool:
    return case.matter is not None and case.matter.times(*ACT_KINDS) >= ACT_CALLS_A_SPELL


def is_quiet_night(numbers: Numbers, ratio: float) -> bool:
    """No harm in sight or present: below the dead band."""
    return numbers.by_active.probability <= QUIET_SHARE * ratio
