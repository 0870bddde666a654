"""One person's desk at one moment: their vehicles, what stands, what this moment is to them."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from itertools import islice

from frostwatch.advice.air_facts import AirFacts, air_facts
from frostwatch.advice.answers import latest_answer, remembered
from frostwatch.advice.budget import CALLS, Budget, tally_of
from frostwatch.advice.calls import Call, Case, Moment
from frostwatch.advice.daylight import Span
from frostwatch.advice.jobs import minutes_of, still_wet
from frostwatch.advice.reminders import ACT_KINDS, Answer, AnswerKind, Reminder, Status, stamp_of
from frostwatch.advice.slots import Diary
from frostwatch.advice.verdict import Numbers, level_of, numbers_for
from frostwatch.advice.view import Book, SiteView, VehicleView
from frostwatch.messages.wording.draft import Kind, Level
from frostwatch.records.standing_water import CircuitWater

SLOTS_USED = 12
"""Slots looked up ahead: six days of two slots each, or weeks of weekly ones."""
LOOK_LASTS = timedelta(hours=1)
"""A look needs this much of a slot. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stand:
    """One vehicle on the desk.

    Attributes:
        van: the vehicle.
        matter: what stands about it; None for nothing.
        answer: the latest answer that concerns it.
        wet: circuits that hold water or may, what was wet before "done" left out.
        refilled: it had been answered done, and was recorded wet since.
        job_min: the work [min].
    """

    van: VehicleView
    matter: Reminder | None
    answer: Answer | None
    wet: tuple[CircuitWater, ...]
    refilled: bool
    job_min: float

    @property
    def litres(self) -> float:
        """Water reckoned with [L]."""
        return sum(entry.litres_cost_l for entry in self.wet)


@dataclass(slots=True, kw_only=True, eq=False)
class Thought:
    """One vehicle thought of, with what came of it."""

    stand: Stand
    call: Call
    numbers: Numbers | None = None
    case: Case | None = None


@dataclass(slots=True, kw_only=True, eq=False)
class Desk:
    """What the judgement holds in hand for one book.

    Attributes:
        view: the site.
        book: the person's vehicles.
        now: aware UTC time.
        moment: what it is to them.
        stands: their vehicles.
        budget: what they were sent and may still be sent.
        slots: their coming slots.
    """

    view: SiteView
    book: Book
    now: datetime
    moment: Moment
    stands: tuple[Stand, ...]
    budget: Budget
    slots: tuple[Span, ...]
    _air: dict[datetime, AirFacts] = field(default_factory=dict)

    @property
    def diary(self) -> Diary:
        """The person's time at the site."""
        return self.book.diary

    @property
    def ratio(self) -> float:
        """Cost ratio: the person's own, else the place's."""
        own = self.book.person.cost_ratio
        return self.view.site.cost_ratio if own is None else own

    def air(self, to: datetime) -> AirFacts:
        """What the air does from now to ``to``."""
        if to not in self._air:
            assert self.view.air is not None
            self._air[to] = air_facts(self.view.air, self.now, to)
        return self._air[to]

    def numbers(self, stand: Stand) -> Numbers | None:
        """What its night means; None where no night was worked out."""
        person, night = self.book.person, stand.van.night
        if night is None:
            return None
        stretch = (person.slots, self.diary.is_staff, person.travel_min, stand.job_min)
        key = (stand.van.vehicle.key, self.now, *stretch)
        known = self.view.read_off
        if key not in known:
            known[key] = numbers_for(
                night,
                self.slots,
                self.now,
                travel_min=person.travel_min,
                job_min=stand.job_min,
            )
        return known[key]

    def case(self, stand: Stand, numbers: Numbers) -> Case:
        """The vehicle as a case to be decided."""
        assert self.view.air is not None
        since = self.view.judged_to
        recorded = stand.van.recorded_at
        fresh = since is not None and recorded is not None and recorded > since
        return Case(
            diary=self.diary,
            moment=self.moment,
            numbers=numbers,
            ratio=self.ratio,
            wet=stand.wet,
            job_min=stand.job_min,
            matter=None if stand.refilled else stand.matter,
            answer=stand.answer,
            at_once=fresh,
            called_before=any(said.kind in CALLS for said in self.budget.tally.said),
            refilled=stand.refilled,
            min_c=self.air(numbers.window_to).min_c,
            thawed=self.view.has_thawed(self.now),
            can_look=self.can_look,
        )

    def level(self, stand: Stand) -> Level:
        """How things stand with a vehicle that holds water."""
        numbers = self.numbers(stand)
        return level_of(numbers, self.ratio) if numbers else Level.NONE

    def matter_of(self, stand: Stand) -> Reminder:
        """The matter that stands, or a new one; an answered one gives way to new water."""
        if stand.matter is not None and not stand.refilled:
            return stand.matter
        site, person, vehicle = self.view.site.key, self.book.person.key, stand.van.vehicle.key
        spell = stamp_of(self.now)
        return Reminder(
            key=f"{site}/{person}/{vehicle}/{spell}",
            site=site,
            recipient=person,
            vehicle=vehicle,
            kind=None,
            status=Status.STANDING,
            spell=spell,
            raised_at=self.now,
        )

    @property
    def can_look(self) -> bool:
        """They could look now: staff while they work, owners while it is light."""
        return can_look_at(self.diary, self.now)


def can_look_at(diary: Diary, now: datetime) -> bool:
    """Whether there is time enough to look at a vehicle now."""
    spans = diary.looks_within(diary.day(now))
    return any(s.start <= now and now + LOOK_LASTS <= s.end for s in spans)


def desk_for(view: SiteView, book: Book, now: datetime) -> Desk:
    """Lay out one person's desk."""
    diary, person = book.diary, book.person
    reading = diary.has_read(view.judged_to, now)
    later = diary.next_reading(reading) if reading else None
    evening = later is not None and reading is not None and diary.day(later) > diary.day(reading)
    stands = tuple(_stand(view, book, van) for van in book)
    standing = [s.matter.raised_at for s in stands if s.matter is not None]
    tally = tally_of(diary, view.matters.get((person.key, "")), now)
    return Desk(
        view=view,
        book=book,
        now=now,
        moment=Moment(
            now=now, reading=reading is not None, evening=evening, quiet=diary.is_quiet(now)
        ),
        stands=stands,
        budget=Budget(diary=diary, tally=tally, spell_since=min(standing, default=None)),
        slots=tuple(islice(diary.slots(now), SLOTS_USED)),
    )


def _stand(view: SiteView, book: Book, van: VehicleView) -> Stand:
    key = van.vehicle.key
    matter = view.matters.get((book.person.key, key))
    answer = latest_answer(view.answers, key, book.person.key)
    done_at = answer.at if answer is not None and answer.kind is AnswerKind.DONE else None
    before = remembered(matter, view.answers)
    if answer is None and matter is not None and matter.status is Status.ACKNOWLEDGED:
        done_at = before.at if before else None
    wet = still_wet(van.water, done_at)
    refilled = False
    if wet and matter is not None and done_at is not None:
        refilled = done_at >= matter.raised_at
    if matter is not None and answer is not None and answer.at < matter.raised_at:
        answer = None
    return Stand(
        van=van,
        matter=matter,
        answer=None if refilled else answer or before,
        wet=wet,
        refilled=refilled,
        job_min=minutes_of(wet, book.person.duty) if wet else 0.0,
    )


def is_watched(matter: Reminder | None, now: datetime) -> bool:
    """A vehicle whose act-by hour has passed, or that froze, is thought of between readings."""
    if matter is None or matter.status is not Status.STANDING:
        return False
    if matter.times(Kind.THAW_CHECK):
        return False
    told = matter.last(*ACT_KINDS)
    passed = told is not None and (told.act_by is None or told.act_by <= now)
    return passed or matter.froze or matter.times(Kind.LEAVE_ALONE) > 0


def act_by_passed(matter: Reminder | None, since: datetime, now: datetime) -> bool:
    """Whether an act-by hour that was told fell into (since, now], without answer or last call."""
    if matter is None or matter.status is not Status.STANDING:
        return False
    told = matter.last(Kind.WORK_ORDER)
    passed = told is not None and told.act_by is not None and since < told.act_by <= now
    return passed and matter.times(Kind.LAST_CALL) == 0
