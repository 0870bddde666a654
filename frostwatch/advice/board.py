"""How every vehicle of a site stands after a pass: what the lists of people are made from.

It is worked out where the nights are known and kept; pages read it and need no heat model. It looks
at all vehicles with the eyes of the person who runs the site.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from frostwatch.advice.afterwards import Came, acted_on, came_of, looked_back_to, not_before
from frostwatch.advice.air_facts import AirFacts, worth_looking
from frostwatch.advice.answers import latest_answer
from frostwatch.advice.band import Band
from frostwatch.advice.by_handbook import wants_dose, wants_mesh
from frostwatch.advice.daylight import Span
from frostwatch.advice.desk import Desk, Stand, desk_for
from frostwatch.advice.jobs import all_unknown, is_open, job_of, told_wet
from frostwatch.advice.marks import Mark, marks_of
from frostwatch.advice.night_reading import air_ahead, shown_until
from frostwatch.advice.passing import Passing, passing_of
from frostwatch.advice.record import Record, newest_record, weakest_record
from frostwatch.advice.reminders import AnswerKind, Said
from frostwatch.advice.rounds import Stop
from frostwatch.advice.slots import Diary
from frostwatch.advice.thaw import MayFill
from frostwatch.advice.verdict import TOO_LATE, Numbers
from frostwatch.advice.view import Book, ForecastBasis, SiteView
from frostwatch.advice.walks import breaks_of, stop_of
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.wording.draft import Level
from frostwatch.records.entries import State

WEEK = timedelta(hours=168)
SLOTS_KEPT = 4
NOBODY = Person(key="", name="", duty=Duty.CREW)
"""Whoever would walk, where nobody is entered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One vehicle.

    Attributes:
        vehicle: its key.
        place: its place in walking order, from 0.
        level: how things stand.
        work: what there is to do, or would be; None where it holds nothing.
        passing: why nobody need stop; None at a stop.
        marks: its vessels.
        record: the newest statement about it; None where nobody ever recorded it.
        unknown: nobody can say of any circuit what is in it.
        owner: key of the owner who is written to about it, "" for the staff.
        answer: what its owner answered last; None for nothing.
        earliest: earliest harm within four days, UTC.
        likely: likely harm within four days, UTC.
        valve_at: likely hour at which its heater tank empties itself, UTC.
        began_at: likely hour at which harm began, UTC; only where that lies in the past.
        filling: whether it may be filled again; only of what froze and may have.
        rests_on: the statement that what is said of the whole vehicle rests on: of all its
            circuits the one that is known least well; None where nobody ever recorded one.
    """

    vehicle: str
    place: int
    level: Level
    work: Stop | None
    passing: Passing | None
    marks: tuple[Mark, ...]
    record: Record | None
    unknown: bool = False
    owner: str = ""
    answer: AnswerKind | None = None
    earliest: datetime | None = None
    likely: datetime | None = None
    valve_at: datetime | None = None
    began_at: datetime | None = None
    filling: MayFill | None = None
    rests_on: Record | None = None

    @property
    def vessels_unknown(self) -> tuple[str, ...]:
        """Vessels nobody can speak for, in a vehicle of which somebody can for the rest of it.

        A dose that is known says nothing about the rest.
        """
        unknown = tuple(m.vessel for m in self.marks if m.state is State.UNKNOWN)
        known = any(m.state not in (State.UNKNOWN, State.DOSED) for m in self.marks)
        return unknown if known else ()

    @property
    def stop(self) -> Stop | None:
        """The vehicle as a stop; None where nobody need go."""
        return self.work if self.passing is None else None

    def by_now(self, now: datetime) -> "Standing":
        """The same at a later moment, without another pass: where the likely hour of harm has
        come by, it is too late, and nobody is sent to drain it any more."""
        late = self.likely is not None and self.likely <= now and self.work is not None
        if not late or self.level is Level.TOO_LATE:
            return self
        return replace(
            self,
            level=Level.TOO_LATE,
            passing=Passing.FROZEN,
            valve_at=None,
            began_at=self.likely,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A site after a pass.

    Attributes:
        site: key of the site.
        at: moment of the pass, UTC.
        basis: the forecast it rests on.
        air: air for a week ahead; None without a usable forecast.
        shown_to: end of the hours that are drawn, UTC.
        facts: what the air does in the hours that are drawn.
        week: what it does in a week.
        thaw_at: when frozen vehicles are worth looking at, UTC; None if not in sight.
        slots: when the crew can be there next.
        crew: people who walk at once.
        vehicles: every vehicle, in walking order.
        came: what the air did in the hours that have been; None where nobody knows.
        acted: the newest call that told how cold it would get; None where there was none lately.
    """

    site: str
    at: datetime
    basis: ForecastBasis
    air: Band | None
    shown_to: datetime | None
    facts: AirFacts | None
    week: AirFacts | None
    thaw_at: datetime | None
    slots: tuple[Span, ...]
    crew: int
    vehicles: tuple[Standing, ...]
    came: Came | None = None
    acted: Said | None = None


def board_of(view: SiteView, now: datetime, *, analysed_from: datetime | None = None) -> Board:
    """How every vehicle of a site stands.

    Args:
        view: the site, its nights worked out where there is a forecast.
        now: moment of the pass, UTC.
        analysed_from: first hour of which the forecast's provider tells what was, UTC.
    """
    diary = Diary(person=who_runs(view.site, view.people), site=view.site)
    desk = desk_for(view, Book(diary=diary, vans=view.walk), now)
    air = air_ahead(view.air) if view.air is not None and view.forecast.standing.usable else None
    acted = acted_on(view.reminders, now)
    came = came_of(view.air, looked_back_to(now, acted), analysed_from)
    vehicles = [_standing(desk, n, known=air is not None) for n in range(len(desk.stands))]
    shown_to = shown_until(air, view.site.zone) if air is not None else None
    return Board(
        site=view.site.key,
        at=now,
        basis=view.forecast,
        air=air,
        shown_to=shown_to,
        facts=desk.air(shown_to) if shown_to is not None else None,
        week=desk.air(now + WEEK) if air is not None else None,
        thaw_at=worth_looking(view.air, view.thawed, diary, now) if view.air is not None else None,
        slots=desk.slots[:SLOTS_KEPT],
        crew=max(1, view.site.crew),
        vehicles=tuple(replace(v, began_at=not_before(v.began_at, came)) for v in vehicles),
        came=came,
        acted=acted,
    )


def who_runs(site: Site, people: Sequence[Person]) -> Person:
    """The operator, or else one of the staff, or else whoever looks after a vehicle there."""
    known = {person.key: person for person in people}
    if site.operator in known:
        return known[site.operator]
    staff = [p for p in people if p.duty is not Duty.OWNER and site.key in p.sites]
    return min(staff or people, key=lambda p: p.key, default=NOBODY)


def _standing(desk: Desk, place: int, *, known: bool) -> Standing:
    stand = desk.stands[place]
    numbers = desk.numbers(stand) if known and stand.wet else None
    level = _level(desk, stand) if numbers is not None else Level.NONE
    owner = _owner(desk, stand.van.vehicle)
    answer = latest_answer(desk.view.answers, stand.van.vehicle.key, owner) if owner else None
    said = answer.kind if answer is not None else None
    kept = bool(owner) and said is not AnswerKind.CANNOT
    waits = kept or level in (Level.TOO_LATE, Level.THAW)
    due = None if waits else _due(desk, place, known=known)
    work = due or (_work(desk, place, level) if is_open(stand.wet) else None)
    if kept and work is not None and numbers is not None:
        # whoever writes to its owner says what could split; nobody stops there, so no stop does
        work = replace(work, breaks=breaks_of(desk, numbers))
    began = _began_at(desk, stand.van.vehicle.key)
    return Standing(
        vehicle=stand.van.vehicle.key,
        place=place,
        level=level,
        work=work,
        passing=None if due is not None else passing_of(stand, level, kept=kept),
        marks=marks_of(stand.van.water, stand.van.layout),
        record=newest_record(stand.van.water),
        unknown=all_unknown(stand.wet),
        owner=owner,
        answer=said,
        earliest=numbers.time(numbers.ahead.earliest_h) if numbers else None,
        likely=numbers.time(numbers.ahead.likely_h) if numbers else None,
        valve_at=_valve_at(numbers) if numbers else None,
        began_at=began if level is Level.TOO_LATE else None,
        rests_on=weakest_record(stand.van.water),
    )


def _began_at(desk: Desk, vehicle: str) -> datetime | None:
    """When harm began, as far as anybody was told about the vehicle."""
    own = [m for (_, about), m in desk.view.matters.items() if about == vehicle]
    known = [m.begins for m in own if m.begins is not None and m.begins <= desk.now]
    return max(known, default=None)


def _valve_at(numbers: Numbers) -> datetime | None:
    likely = numbers.valve.probability > TOO_LATE
    return numbers.time(numbers.valve.likely_h) if likely else None


def _level(desk: Desk, stand: Stand) -> Level:
    """The level word; thaw where it froze in this spell and the air has been mild since."""
    level = desk.level(stand)
    if level is Level.TOO_LATE or not desk.view.has_thawed(desk.now):
        return level
    own = stand.van.vehicle.key  # whoever was told of it: an owner's own froze as much
    thawed = any(m.froze for (_, about), m in desk.view.matters.items() if about == own)
    return Level.THAW if thawed else level


def _due(desk: Desk, place: int, *, known: bool) -> Stop | None:
    """A stop, if somebody need go: without a forecast to all that is wet, to the unknown always."""
    stand = desk.stands[place]
    if known and (stop := stop_of(desk, place)) is not None:
        return stop
    if not is_open(stand.wet) or (known and not all_unknown(stand.wet)):
        return None
    return _work(desk, place, Level.NONE)


def _work(desk: Desk, place: int, level: Level) -> Stop:
    """What there is to do at a vehicle, without hours."""
    stand = desk.stands[place]
    vehicle = stand.van.vehicle
    return Stop(
        vehicle=vehicle.key,
        bay=stand.van.name,
        place=place,
        job=job_of(stand.wet),
        minutes=stand.job_min,
        level=level,
        wet=told_wet(stand.wet),
        keys=bool(vehicle.key_place),
        held_w=vehicle.hold.power_w if vehicle.hold else 0.0,
        mesh=wants_mesh(vehicle),
        dose=wants_dose(vehicle),
    )


def _owner(desk: Desk, vehicle: Vehicle) -> str:
    """The owner who is written to about a vehicle, if that is somebody else."""
    keeper = next((p for p in desk.view.people if p.key == vehicle.keeper), None)
    if keeper is None or keeper.duty is not Duty.OWNER or not keeper.channels:
        return ""
    return keeper.key if keeper.key != desk.book.person.key else ""
