"""Owners whom whoever runs a place may write to by hand: who, what, and who not and why.

The same kinds, texts, budget and quiet hours as those of messages that go out by themselves; what
differs is who decides. A function of the board, of what stands and of ``now``.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from frostwatch.advice.answers import latest_answer
from frostwatch.advice.board import Standing
from frostwatch.advice.budget import Budget, tally_of
from frostwatch.advice.drafts import voice_of
from frostwatch.advice.owner_desk import (
    OwnersDesk,
    call_for_owner,
    has_time,
    kind_for,
    owner_act_by,
    owner_facts,
    owner_of,
)
from frostwatch.advice.reminders import (
    ACT_KINDS,
    AnswerKind,
    Decision,
    Reason,
    Reminder,
    Said,
    Status,
    Told,
    stamp_of,
)
from frostwatch.advice.slots import Diary
from frostwatch.fleet.people import Person
from frostwatch.messages.wording.draft import Draft, Kind, Level

AGAIN_AFTER = timedelta(hours=6)
"""The same is not written twice within so long. Estimate."""


class WhyNot(StrEnum):
    """Why an owner is not written to."""

    NO_CHANNEL = "no way to reach them is entered"
    TOLD = "told already"
    BUDGET = "enough messages in this spell or winter"
    DONE = "answered done"
    GOING = "said when they go"
    TOO_SHORT = "no time left to come before the frost"


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What one owner would be told.

    Attributes:
        person: the owner.
        draft: what is said.
        send_from: when it goes out: now, or when their quiet hours end, UTC.
        matters: what stands afterwards, the tally among it.
        decisions: what goes on record, one a vehicle.
    """

    person: Person
    draft: Draft
    send_from: datetime
    matters: tuple[Reminder, ...]
    decisions: tuple[Decision, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NotWritten:
    """A vehicle whose owner is not written to, and why.

    Attributes:
        vehicle: its key.
        owner: key of the owner.
        why: why not.
        at: when they were told, or go, UTC; None where that is no question.
    """

    vehicle: str
    owner: str
    why: WhyNot
    at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Letters:
    """All of a site.

    Attributes:
        letters: one for each owner and kind of message, in walking order.
        not_written: the others whose vehicles need something.
        of_nobody: vehicles that need something and that no owner keeps, in walking order.
    """

    letters: tuple[Letter, ...] = ()
    not_written: tuple[NotWritten, ...] = ()
    of_nobody: tuple[str, ...] = ()


def letters_at(desk: OwnersDesk) -> Letters:
    """What every owner would be told now, and who would not and why."""
    groups: dict[tuple[str, Kind], list[Standing]] = {}
    nobody: list[NotWritten] = []
    of_nobody: list[str] = []
    for standing in desk.standings:
        vehicle = desk.vehicles[standing.vehicle]
        owner, kind = owner_of(vehicle, desk.people), kind_for(standing)
        if owner is not None and kind is Kind.WORK_ORDER:
            kind = call_for_owner(desk, owner, standing)
        if kind is None:
            continue
        if owner is None:
            of_nobody.append(standing.vehicle)
            continue
        why = _why_not(desk, owner, standing, kind)
        if why is not None:
            nobody.append(why)
        else:
            groups.setdefault((owner.key, kind), []).append(standing)
    letters = []
    tallies: dict[str, Reminder] = {}
    for (key, kind), group in groups.items():
        owner = desk.people[key]
        budget = _budget(desk, owner, tallies.get(key))
        if not budget.allows(kind, desk.now, first=_is_first(desk, key, group)):
            nobody += [_not(one, key, WhyNot.BUDGET) for one in group]
            continue
        letter = _letter(desk, owner, kind, group, budget)
        tallies[key] = budget.tally
        letters.append(letter)
    return Letters(letters=tuple(letters), not_written=tuple(nobody), of_nobody=tuple(of_nobody))


def _not(standing: Standing, owner: str, why: WhyNot, at: datetime | None = None) -> NotWritten:
    return NotWritten(vehicle=standing.vehicle, owner=owner, why=why, at=at)


def _why_not(desk: OwnersDesk, owner: Person, standing: Standing, kind: Kind) -> NotWritten | None:
    if not owner.channels:
        return _not(standing, owner.key, WhyNot.NO_CHANNEL)
    matter = desk.matter(owner.key, standing.vehicle)
    answer = latest_answer(desk.answers.get(standing.vehicle, ()), standing.vehicle, owner.key)
    if matter is not None and answer is not None and answer.at >= matter.raised_at:
        if answer.kind is AnswerKind.DONE:
            return _not(standing, owner.key, WhyNot.DONE, answer.at)
        if answer.going_at is not None and answer.going_at > desk.now:
            return _not(standing, owner.key, WhyNot.GOING, answer.going_at)
    if kind is Kind.LAST_CALL and not has_time(desk, owner, standing):
        return _not(standing, owner.key, WhyNot.TOO_SHORT)
    said = matter.last(kind) if matter is not None else None
    if said is not None and (kind is not Kind.WORK_ORDER or desk.now - said.at < AGAIN_AFTER):
        return _not(standing, owner.key, WhyNot.TOLD, said.at)
    return None


def _is_first(desk: OwnersDesk, owner: str, group: Sequence[Standing]) -> bool:
    matters = [desk.matter(owner, one.vehicle) for one in group]
    return all(matter is None or not matter.said for matter in matters)


def _budget(desk: OwnersDesk, owner: Person, tally: Reminder | None) -> Budget:
    diary = Diary(person=owner, site=desk.site)
    own = [m for m in desk.reminders if m.recipient == owner.key and not m.about]
    kept = tally or next((m for m in own if m.is_tally), None)
    standing = [m.raised_at for m in own if m.vehicle and m.status is not Status.CLEARED]
    return Budget(
        diary=diary,
        tally=tally_of(diary, kept, desk.now),
        spell_since=min(standing, default=None),
    )


def _letter(
    desk: OwnersDesk, owner: Person, kind: Kind, group: Sequence[Standing], budget: Budget
) -> Letter:
    diary = budget.diary
    by = owner_act_by(desk, diary, group) if kind is Kind.WORK_ORDER else None
    matters = [_matter(desk, owner, one) for one in group]
    key = matters[0].key if len(group) == 1 else _key_of(desk, owner, kind, matters)
    draft = Draft(
        key=key,
        revision=1 + len(matters[0].said) if len(group) == 1 else 1,
        site=desk.site.key,
        recipient=owner.key,
        kind=kind,
        level=group[0].level,
        reason=Reason.BY_HAND.value,
        voice=voice_of(owner, desk.site),
        vehicles=tuple(one.vehicle for one in group),
        at=desk.now,
        act_by=by,
        earliest=min((one.earliest for one in group if one.earliest), default=None),
        likely=min((one.likely for one in group if one.likely), default=None),
        facts=owner_facts(desk, diary, kind, group, by, looks_again=budget.left_after(kind)),
    )
    said = Said(
        kind=kind,
        at=desk.now,
        reason=Reason.BY_HAND,
        level=draft.level,
        act_by=by,
        earliest=draft.earliest,
        likely=draft.likely,
        min_c=draft.facts.min_c,
    )
    budget.note(said)
    told = [_told(matter, standing, said) for matter, standing in zip(matters, group, strict=True)]
    return Letter(
        person=owner,
        draft=draft,
        send_from=diary.quiet_ends(desk.now),
        matters=(*told, budget.tally),
        decisions=tuple(_decision(desk, owner, one, said, told) for one in group),
    )


def _told(matter: Reminder, standing: Standing, said: Said) -> Reminder:
    """The matter with one more thing said; a call keeps what water it was made for."""
    told = matter.told
    if said.kind in ACT_KINDS and standing.work is not None:
        told = tuple(
            Told(circuit=wet.circuit.value, litres=wet.litres or 0.0) for wet in standing.work.wet
        )
    return replace(matter, kind=said.kind, said=(*matter.said, said), told=told)


def _key_of(desk: OwnersDesk, owner: Person, kind: Kind, matters: Sequence[Reminder]) -> str:
    """The same until something more is said about one of them."""
    count = sum(len(matter.said) for matter in matters)
    first = min(matter.raised_at for matter in matters)
    stamp = stamp_of(first)
    return f"{desk.site.key}/{owner.key}/{kind.value}/by hand/{stamp}/{len(matters)}/{count}"


def _matter(desk: OwnersDesk, owner: Person, standing: Standing) -> Reminder:
    found = desk.matter(owner.key, standing.vehicle)
    if found is not None:
        return found
    # raised with the pass that the board is of, so that a second press names the same matter
    spell = stamp_of(desk.board.at)
    return Reminder(
        key=f"{desk.site.key}/{owner.key}/{standing.vehicle}/{spell}",
        site=desk.site.key,
        recipient=owner.key,
        vehicle=standing.vehicle,
        kind=None,
        status=Status.STANDING,
        spell=spell,
        raised_at=desk.board.at,
        froze=standing.level is Level.TOO_LATE,
        begins=standing.began_at,
    )


def _decision(
    desk: OwnersDesk, owner: Person, standing: Standing, said: Said, told: Sequence[Reminder]
) -> Decision:
    spell = next((m.spell for m in told if m.vehicle == standing.vehicle), "")
    return Decision(
        at=desk.now,
        site=desk.site.key,
        vehicle=standing.vehicle,
        recipient=owner.key,
        kind=said.kind,
        level=said.level,
        reason=Reason.BY_HAND,
        earliest=standing.earliest,
        likely=standing.likely,
        act_by=said.act_by,
        spell=spell,
        issued_at=desk.board.basis.issued_at,
        provider=desk.board.basis.provider,
    )
