"""What an owner's letter is made from: how the vehicles stand, and the facts of its text."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import islice

from frostwatch.advice.act_by import act_by, last_slot_before
from frostwatch.advice.board import Board, Standing
from frostwatch.advice.calls import LEAST_NOTICE
from frostwatch.advice.jobs import owner_minutes
from frostwatch.advice.reminders import ACT_KINDS, Answer, Reminder, Status
from frostwatch.advice.slots import Diary
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.wording.draft import Facts, Kind, Level

SLOTS_USED = 12
CALLED = (Level.NOTICE, Level.ACT, Level.URGENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnersDesk:
    """What the letters are made from.

    Attributes:
        site: the site.
        board: how its vehicles stand, of a usable forecast.
        standings: its vehicles in walking order, brought up to this minute.
        vehicles: by key.
        people: by key.
        reminders: what stands at the site.
        answers: vehicle -> what people answered.
        now: aware UTC time.
    """

    site: Site
    board: Board
    standings: Sequence[Standing]
    vehicles: Mapping[str, Vehicle]
    people: Mapping[str, Person]
    reminders: Sequence[Reminder]
    answers: Mapping[str, Sequence[Answer]]
    now: datetime

    def matter(self, owner: str, vehicle: str) -> Reminder | None:
        """What stands between an owner and a vehicle."""
        own = [
            matter
            for matter in self.reminders
            if (matter.recipient, matter.vehicle) == (owner, vehicle) and not matter.about
        ]
        standing = [matter for matter in own if matter.status is not Status.CLEARED]
        return standing[-1] if standing else None


def kind_for(standing: Standing) -> Kind | None:
    """What an owner would be told of a vehicle; None where there is nothing to say."""
    if standing.level is Level.TOO_LATE:
        return Kind.LEAVE_ALONE
    if standing.level is Level.THAW:
        return Kind.THAW_CHECK
    if standing.work is None:
        return None
    if standing.unknown:
        return Kind.CHECK_REQUEST
    return Kind.WORK_ORDER if standing.level in CALLED else None


def owner_of(vehicle: Vehicle, people: Mapping[str, Person]) -> Person | None:
    """The owner who keeps a vehicle; None where the staff does, or nobody is entered."""
    person = people.get(vehicle.keeper)
    return person if person is not None and person.duty is Duty.OWNER else None


def minutes_at(standing: Standing) -> float:
    """Work of an owner at one vehicle [min]."""
    return owner_minutes(standing.work.job, standing.work.wet) if standing.work is not None else 0.0


def call_for_owner(desk: OwnersDesk, owner: Person, standing: Standing) -> Kind | None:
    """A work order where a slot of theirs meets the frost; otherwise a last call."""
    if standing.earliest is None:
        return None
    diary = Diary(person=owner, site=desk.site)
    by = owner_act_by(desk, diary, [standing])
    return Kind.WORK_ORDER if by is not None else Kind.LAST_CALL


def has_time(desk: OwnersDesk, owner: Person, standing: Standing) -> bool:
    """They could still come before the earliest harm."""
    away = timedelta(minutes=owner.travel_min + minutes_at(standing)) + LEAST_NOTICE
    return standing.earliest is not None and desk.now + away <= standing.earliest


def owner_act_by(desk: OwnersDesk, diary: Diary, group: Sequence[Standing]) -> datetime | None:
    """The hour to work to in the last slot of theirs before the earliest harm."""
    found = []
    for one in group:
        if one.earliest is None:
            continue
        away = {"travel_min": diary.person.travel_min, "job_min": minutes_at(one)}
        slots = list(islice(diary.slots(desk.now), SLOTS_USED))
        slot = last_slot_before(slots, one.earliest, desk.now, **away)
        hour = act_by(slot, one.earliest, desk.now, **away) if slot is not None else None
        if hour is not None:
            found.append(hour)
    return min(found, default=None)


def owner_facts(
    desk: OwnersDesk,
    diary: Diary,
    kind: Kind,
    group: Sequence[Standing],
    by: datetime | None,
    *,
    looks_again: bool,
) -> Facts:
    """What a letter about these vehicles may mention; numbers are those of the board.

    Args:
        desk: what it is made from.
        diary: the owner's time.
        kind: class of message.
        group: the vehicles, in walking order.
        by: the hour to work to, UTC; None where none is told.
        looks_again: whether a thaw check can still follow.
    """
    board, air, lead = desk.board, desk.board.facts, group[0]
    work = lead.work
    asks = kind in ACT_KINDS
    alone = len(group) == 1 and work is not None
    return Facts(
        place=desk.site.name,
        zone=desk.site.time_zone,
        vans=tuple(_name(desk.vehicles[one.vehicle]) for one in group),
        count=len(group),
        all_count=len(group),
        onset=lead.began_at if kind is Kind.LEAVE_ALONE else air.onset if air else None,
        early=air.early if air else None,
        until=air.until if air else None,
        min_c=air.min_c if air else None,
        mincold_c=air.mincold_c if air else None,
        coldest_at=air.coldest_at if air else None,
        issue_at=board.basis.issued_at,
        colder_k=board.basis.standing.colder_k,
        credit=board.basis.credit,
        by=by,
        job=work.job if asks and work is not None else None,
        ice_early=lead.earliest if kind is Kind.LAST_CALL else None,
        ice_likely=lead.likely if kind is Kind.LAST_CALL else None,
        took_min=sum(minutes_at(one) for one in group),
        wet=work.wet if alone and work is not None and kind is not Kind.CHECK_REQUEST else (),
        dark_at=diary.light(diary.day(by)).end if asks and by is not None else None,
        valve_at=lead.valve_at if asks else None,
        breaks=work.breaks if asks and work is not None else (),
        harm_likely=_harm_likely(lead) if asks else None,
        thaw_at=_thaw_at(board, lead),
        looks_again=looks_again,
        seen_at=lead.record.at if lead.record is not None else None,
    )


def _thaw_at(board: Board, standing: Standing) -> datetime | None:
    """When to look; an hour before that frost, kept by an earlier pass, says nothing."""
    at, began = board.thaw_at, standing.began_at
    return None if at is None or (began is not None and at <= began) else at


def _harm_likely(standing: Standing) -> bool | None:
    """Whether harm is more likely than not; None where nobody can name a part."""
    likely = standing.likely is not None
    return None if likely and not (standing.work is not None and standing.work.breaks) else likely


def _name(vehicle: Vehicle) -> str:
    return vehicle.name or vehicle.bay or vehicle.key
