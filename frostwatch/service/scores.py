"""How the messages of a replay stand against what really happened."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from statistics import median
from typing import Any

from frostwatch.advice.act_by import plan_for
from frostwatch.advice.jobs import minutes_of, still_wet
from frostwatch.advice.reminders import ACT_KINDS, AnswerKind, Reminder, Status
from frostwatch.advice.slots import Diary
from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.people import Duty, Person
from frostwatch.service.lookback import QUIET, Past, Spell

HOUR = timedelta(hours=1)
FOR_GOOD = datetime.max.replace(tzinfo=UTC)
ROWS = 30
"""Vehicles listed one by one; the others stand in the sum."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One call to go and drain, for one vehicle.

    Attributes:
        at: when, UTC.
        to: key of the person.
        ready_at: when the work could be finished at the soonest, within a slot; None without one.
        covers_to: harm that begins up to here is what it was for: until the matter went quiet for
            three days, or until water was recorded after it was answered done.
    """

    at: datetime
    to: str
    ready_at: datetime | None
    covers_to: datetime

    def was_in_time(self, spell: Spell) -> bool:
        """It left a slot before the harm."""
        if self.ready_at is None or self.at > spell.begins:
            return False
        return self.ready_at <= spell.begins <= self.covers_to

    def was_for(self, spell: Spell) -> bool:
        """The harm it was for came, or was there."""
        return spell.begins <= self.covers_to and self.at <= spell.ends


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """One vehicle's winter, or the sum of several.

    Attributes:
        spells: spells of harm, had nobody acted.
        missed: spells before which no call left a slot.
        beyond_reach: those of the missed that no slot could meet after the water was recorded.
        calls: calls to go and drain.
        false_calls: calls for harm that never came.
        notice_h: hours from the first call for a spell in time to the harm, of each such spell.
    """

    spells: int = 0
    missed: int = 0
    beyond_reach: int = 0
    calls: int = 0
    false_calls: int = 0
    notice_h: tuple[float, ...] = ()

    def __add__(self, other: "Score") -> "Score":
        return Score(
            spells=self.spells + other.spells,
            missed=self.missed + other.missed,
            beyond_reach=self.beyond_reach + other.beyond_reach,
            calls=self.calls + other.calls,
            false_calls=self.false_calls + other.false_calls,
            notice_h=self.notice_h + other.notice_h,
        )

    def as_json(self) -> dict[str, Any]:
        """Plain values; shares and hours are None where there is nothing to take them of."""
        return {
            "spells": self.spells,
            "missed": self.missed,
            "beyond_reach": self.beyond_reach,
            "calls": self.calls,
            "false_calls": self.false_calls,
            "calls_a_spell": round(self.calls / self.spells, 2) if self.spells else None,
            "notice_h": round(median(self.notice_h), 1) if self.notice_h else None,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Scores:
    """Every vehicle's score, and how many messages each person was sent.

    Attributes:
        by_vehicle: vehicle key -> score; vehicles without observed air are left out.
        items: vehicle key -> item key -> spells of harm in that item.
        messages: person key -> messages of all kinds.
        doubts: what the observed air leaves open, for people to read.
    """

    by_vehicle: Mapping[str, Score]
    items: Mapping[str, Mapping[str, int]]
    messages: Mapping[str, int]
    doubts: tuple[str, ...] = ()

    @property
    def total(self) -> Score:
        """All vehicles together."""
        return sum(self.by_vehicle.values(), Score())

    def as_json(self) -> dict[str, Any]:
        """The last line of ``frostwatch replay --json --summary``."""
        return {
            "total": self.total.as_json(),
            "vehicles": {
                key: {**score.as_json(), "items": dict(self.items.get(key, {}))}
                for key, score in self.by_vehicle.items()
            },
            "messages": dict(self.messages),
            "doubts": list(self.doubts),
        }

    def as_text(self) -> str:
        """For people to read."""
        if not self.by_vehicle:
            return "\n".join(self.doubts)
        told = ", ".join(f"{key} {count}" for key, count in self.messages.items() if count)
        return "\n".join(
            (
                "Calls, and the harm that the observed air would have done had nobody acted:",
                self.table(),
                f"Messages: {told or 'none'}.",
                *self.doubts,
            )
        )

    def table(self) -> str:
        """A row for each vehicle, then the sum."""
        import pandas as pd

        rows = [{"vehicle": key, **score.as_json()} for key, score in self.by_vehicle.items()]
        rows = rows[:ROWS] if len(rows) > ROWS else rows
        rows.append({"vehicle": "all", **self.total.as_json()})
        names = {
            "beyond_reach": "of these beyond reach",
            "false_calls": "false",
            "calls_a_spell": "calls a spell",
            "notice_h": "notice h",
        }
        frame = pd.DataFrame(rows).set_index("vehicle").rename(columns=names)
        frame.index.name = None
        return str(frame.to_string(na_rep="-"))


def scores_of(
    fleet: Fleet,
    messages: Mapping[str, int],
    reminders: Iterable[Reminder],
    pasts: Mapping[str, Past],
    *,
    doubts: Sequence[str] = (),
) -> Scores:
    """Set what was said against what happened.

    Args:
        fleet: who and what.
        messages: person key -> messages of all kinds they were sent.
        reminders: every matter of the replay, those that were cleared too.
        pasts: vehicle key -> what happened to it.
        doubts: what the observed air leaves open.
    """
    calls: dict[str, list[Call]] = {key: [] for key in pasts}
    for matter in sorted(reminders, key=lambda one: (one.raised_at, one.key)):
        if matter.vehicle in pasts:
            calls[matter.vehicle] += _calls(fleet, matter, pasts[matter.vehicle])
    return Scores(
        by_vehicle={key: _score(fleet, past, calls[key]) for key, past in pasts.items()},
        items={
            key: {item: len(spells) for item, spells in past.by_item.items()}
            for key, past in pasts.items()
        },
        messages={person.key: messages.get(person.key, 0) for person in fleet.people},
        doubts=tuple(doubts),
    )


def _calls(fleet: Fleet, matter: Reminder, past: Past) -> list[Call]:
    """The calls to go and drain in one matter."""
    person = fleet.person(matter.recipient)
    return [
        Call(
            at=said.at,
            to=person.key,
            ready_at=_ready_at(fleet, person, past, said.at),
            covers_to=_covers_to(matter, past),
        )
        for said in matter.said
        if said.kind in ACT_KINDS
    ]


def _covers_to(matter: Reminder, past: Past) -> datetime:
    answer = matter.answer
    if answer is not None and answer.kind is AnswerKind.DONE:
        return min((at for at, _ in past.water if at > answer.at), default=FOR_GOOD)
    if matter.status is Status.CLEARED and matter.quiet_since is not None:
        return matter.quiet_since + QUIET
    return FOR_GOOD


def _ready_at(fleet: Fleet, person: Person, past: Past, at: datetime) -> datetime | None:
    """When the work could be finished at the soonest, within a slot."""
    diary = Diary(person=person, site=fleet.site(past.vehicle.site))
    job_min = minutes_of(still_wet(past.stood(at).water), person.duty)
    slots = diary.slots(at)
    return plan_for(slots, at, travel_min=person.travel_min, job_min=job_min).ready_at


def _score(fleet: Fleet, past: Past, calls: Sequence[Call]) -> Score:
    missed = beyond = 0
    notice_h = []
    for spell in past.spells:
        in_time = [call for call in calls if call.was_in_time(spell)]
        if in_time:
            notice_h.append((spell.begins - in_time[0].at) / HOUR)
            continue
        missed += 1
        recorded = past.since(spell.begins)
        soonest = [_ready_at(fleet, person, past, recorded) for person in _told(fleet, past)]
        beyond += all(at is None or at > spell.begins for at in soonest)
    return Score(
        spells=len(past.spells),
        missed=missed,
        beyond_reach=beyond,
        calls=len(calls),
        false_calls=sum(not any(call.was_for(s) for s in past.spells) for call in calls),
        notice_h=tuple(notice_h),
    )


def _told(fleet: Fleet, past: Past) -> tuple[Person, ...]:
    """Who is told about a vehicle: its owner, otherwise those who work at its site."""
    owner = tuple(person for person in fleet.people if person.key == past.vehicle.keeper)
    people = fleet.people_at(fleet.site(past.vehicle.site))
    return owner or tuple(person for person in people if person.duty is not Duty.OWNER)
