"""When somebody else is told that an urgent message reached nobody.

Half-way between an urgent call and the hour it names, a call that no channel took and nobody
answered is told to whoever runs the place: half of the time is then left to ring, or to go.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from frostwatch.advice.answers import latest_answer, remembered
from frostwatch.advice.reminders import (
    ACT_KINDS,
    Answer,
    Decision,
    Reason,
    Reminder,
    Said,
    Status,
    stamp_of,
)
from frostwatch.advice.slots import Diary
from frostwatch.fleet.people import Duty, Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.wording.draft import Draft, Facts, Kind, Level, Voice

WITHOUT_HOUR = timedelta(hours=6)
"""A call that names no hour is taken to leave so much time. Estimate."""
TIME_TO_GO = timedelta(hours=2)
"""What whoever runs a place needs to ring and to send somebody. If less than that were left after
their quiet hours, they are told before these begin. Estimate."""
BEFORE_QUIET = timedelta(minutes=30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unanswered:
    """An urgent call that nobody answered.

    Attributes:
        matter: the matter it is about.
        place: index of the call among what was said of it.
        by: the hour it names, UTC.
    """

    matter: Reminder
    place: int
    by: datetime

    @property
    def said(self) -> Said:
        """The call."""
        return self.matter.said[self.place]

    @property
    def half_way(self) -> datetime:
        """Half-way between the call and the hour it names, UTC."""
        return self.said.at + (self.by - self.said.at) / 2

    @property
    def names(self) -> tuple[tuple[str, int], ...]:
        """Key and revision under which its message may stand: of its own, or of a group's."""
        stamp = stamp_of(self.said.at)
        matter, kind = self.matter, self.said.kind.value
        group = f"{matter.site}/{matter.recipient}/{kind}/{stamp}"
        return (matter.key, self.place + 1), (group, 1)

    def told(self, now: datetime) -> Reminder:
        """The matter with the call marked as told to somebody else."""
        said = list(self.matter.said)
        said[self.place] = replace(self.said, escalated_at=now)
        return replace(self.matter, said=tuple(said))


def unanswered(
    matters: Iterable[Reminder], answers: Sequence[Answer], now: datetime
) -> Iterator[Unanswered]:
    """Urgent calls whose hour lies ahead, that nobody answered, and of whose matter nobody else
    was told.

    Args:
        matters: standing matters of a site.
        answers: answers about its vehicles.
        now: aware UTC time.
    """
    for matter in matters:
        if matter.is_tally or matter.status is not Status.STANDING:
            continue
        calls = [n for n, said in enumerate(matter.said) if said.kind in ACT_KINDS]
        if not calls:
            continue
        said = matter.said[calls[-1]]
        urgent = said.kind is Kind.LAST_CALL or said.level is Level.URGENT
        answer = latest_answer(answers, matter.vehicle, matter.recipient)
        answer = answer or remembered(matter, answers)
        if any(one.escalated_at for one in matter.said):
            continue
        if not urgent or (answer is not None and answer.at >= said.at):
            continue
        by = said.act_by or said.earliest or said.at + WITHOUT_HOUR
        if said.at <= now < by:
            yield Unanswered(matter=matter, place=calls[-1], by=by)


def told_at(call: Unanswered, diary: Diary) -> datetime:
    """When somebody else is told, UTC: half-way, outside their quiet hours.

    What falls into these waits for the morning, as whoever runs a place expects. If too little
    time were left then, they are told the evening before.

    Args:
        call: the call.
        diary: the time of whoever is to be told.
    """
    due = call.half_way
    morning = diary.quiet_ends(due)
    if morning == due or call.by - morning >= TIME_TO_GO:
        return morning
    evening = _quiet_begins(diary, due) - BEFORE_QUIET
    return evening if evening > call.said.at else morning


def _quiet_begins(diary: Diary, moment: datetime) -> datetime:
    """When the quiet hours began that ``moment`` lies in, UTC."""
    local = moment.astimezone(diary.site.zone)
    start = diary.person.quiet_from
    began = local.replace(hour=start.hour, minute=start.minute, second=0, microsecond=0)
    if began > local:
        began -= timedelta(days=1)
    return began.astimezone(UTC)


def whom_to_tell(site: Site, people: Sequence[Person], unreached: Collection[str]) -> Person | None:
    """Who runs the place and can be reached otherwise: its operator, else somebody else who does.

    Args:
        site: the site.
        people: everybody entered.
        unreached: keys of those whom nothing reached.
    """
    may = [
        person
        for person in people
        if person.channels
        and person.key not in unreached
        and (person.key == site.operator or _runs(person, site))
    ]
    return min(may, key=lambda p: (p.key != site.operator, p.key), default=None)


def _runs(person: Person, site: Site) -> bool:
    return person.duty in (Duty.OPERATOR, Duty.DEALER) and site.key in person.sites


def draft_of(
    calls: Sequence[Unanswered],
    site: Site,
    to: Person,
    *,
    people: Sequence[Person],
    vehicles: Sequence[Vehicle],
    now: datetime,
) -> Draft:
    """One message about all calls that are due.

    Args:
        calls: the calls, at least one.
        site: the site.
        to: who is told.
        people: everybody entered.
        vehicles: those of the site.
        now: aware UTC time.
    """
    names = {person.key: person.name for person in people}
    who = dict.fromkeys(call.matter.recipient for call in calls)
    wanted = {call.matter.vehicle for call in calls}
    meant = [vehicle for vehicle in vehicles if vehicle.key in wanted]
    hours = [call.said.act_by for call in calls if call.said.act_by is not None]
    stamp = stamp_of(now)
    return Draft(
        key=f"{site.key}/{to.key}/{Kind.NOT_REACHED.value}/{stamp}",
        revision=1,
        site=site.key,
        recipient=to.key,
        kind=Kind.NOT_REACHED,
        level=Level.URGENT,
        reason=Reason.NOT_DELIVERED.value,
        voice=Voice.CREW,
        at=now,
        vehicles=tuple(vehicle.key for vehicle in meant),
        act_by=min(hours, default=None),
        earliest=min((c.said.earliest for c in calls if c.said.earliest), default=None),
        likely=min((c.said.likely for c in calls if c.said.likely), default=None),
        probability=max((c.said.probability for c in calls if c.said.probability), default=None),
        facts=Facts(
            place=site.name,
            zone=site.time_zone,
            vans=tuple(one.name or one.bay or one.key for one in meant),
            count=len(meant),
            all_count=len(vehicles),
            who=tuple(names.get(key, key) for key in who),
            by=min(hours, default=None),
            ice_early=min(call.by for call in calls) if not hours else None,
        ),
    )


def decisions_of(calls: Sequence[Unanswered], to: Person, now: datetime) -> list[Decision]:
    """Why whoever runs the place is told, call by call."""
    return [
        Decision(
            at=now,
            site=call.matter.site,
            vehicle=call.matter.vehicle,
            recipient=to.key,
            kind=Kind.NOT_REACHED,
            level=Level.URGENT,
            reason=Reason.NOT_DELIVERED,
            probability=call.said.probability,
            earliest=call.said.earliest,
            likely=call.said.likely,
            act_by=call.said.act_by,
            spell=call.matter.spell,
        )
        for call in calls
    ]
