"""When it is told that heat kept on has too little to spare: once a spell, at a reading.

Whoever is told to leave a vehicle alone is not asked to drain it as well.

It asks to drain, so nobody who was asked to drain the same vehicle in this spell is told it too: a
spell has one call. A call about the waste tank alone is no such call, since no heat in the cabin
reaches it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np

from frostwatch.advice.drafts import facts_of_one, voice_of
from frostwatch.advice.gates import COLD
from frostwatch.advice.hold_need import BRIDGE_H
from frostwatch.advice.holding import Doubt, HoldView
from frostwatch.advice.reminders import ACT_KINDS, Reason, Reminder, Said, Status
from frostwatch.advice.view import Book, SiteView, VehicleView
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Draft, Kind, Level
from frostwatch.messages.wording.warm_facts import Held
from frostwatch.records.entries import State
from frostwatch.weather.site_air import SiteAir

HOLD = "hold"
"""What a reminder is about that tells of heat kept on."""
SPELL_ENDS = timedelta(days=3)
"""After so long without frost ahead a new spell is told anew. Settled with the frost calls."""
THIN = frozenset({Doubt.TOO_WEAK, Doubt.THIN, Doubt.RUNS_OUT})
"""What is worth a message; the other doubts stand on the pages."""
WASTE = frozenset({Circuit.WASTE_TANK.value, Circuit.WASTE_PIPES.value, Circuit.OUTLET_STUB.value})


def held(van: VehicleView) -> bool:
    """Heat is kept on in it, and it holds water because of that."""
    wet = any(entry.state is State.HEATED_HOLD for entry in van.water)
    return van.vehicle.hold is not None and wet


def frost_from(air: SiteAir) -> datetime | None:
    """When the air may pass 0 degC within two days, at the cold end, UTC."""
    ahead = air.air_c[:, air.now_index : air.now_index + BRIDGE_H + 1]
    below = np.flatnonzero(np.quantile(ahead, 1.0 - COLD, axis=0) < 0.0)
    if not below.size:
        return None
    return air.start + timedelta(hours=air.now_index + int(below[0]))


def holds_are_due(view: SiteView, now: datetime) -> frozenset[str]:
    """Vehicles of which somebody could be told now."""
    return frozenset(van.vehicle.key for _, van in _turns(view, now))


def say_holds(
    view: SiteView,
    views: Mapping[str, HoldView],
    drafts: Sequence[Draft],
    frost: datetime | None,
    now: datetime,
) -> tuple[list[Draft], list[Reminder]]:
    """What is told of heat kept on now, and what stands told afterwards.

    Args:
        view: the site.
        views: vehicle -> how its heat stands.
        drafts: what else is said at this moment.
        frost: when the air may pass 0 degC; None without frost in two days.
        now: aware UTC time.
    """
    told: list[Draft] = []
    changed = [_quiet(matter, frost, now) for matter in _standing(view)]
    for book, van in _turns(view, now):
        found = views.get(van.vehicle.key)
        if found is None or frost is None or not THIN & set(found.doubts):
            continue
        if _stands(view, book, van) is not None or _called(view, book, van, drafts):
            continue
        draft = _draft(view, book, van, found, frost, now)
        told.append(draft)
        changed.append(_matter(draft, now))
    return told, [matter for matter in changed if matter is not None]


def _turns(view: SiteView, now: datetime) -> Iterator[tuple[Book, VehicleView]]:
    for book in view.books:
        diary = book.diary
        if diary.is_quiet(now) or diary.is_off(now):
            continue
        if diary.has_read(view.judged_to, now) is None:
            continue
        yield from ((book, van) for van in book if held(van))


def _standing(view: SiteView) -> Iterator[Reminder]:
    return (m for m in view.reminders if m.about == HOLD and m.status is Status.STANDING)


def _stands(view: SiteView, book: Book, van: VehicleView) -> Reminder | None:
    whose = book.person.key, van.vehicle.key
    return next((m for m in _standing(view) if (m.recipient, m.vehicle) == whose), None)


def _quiet(matter: Reminder, frost: datetime | None, now: datetime) -> Reminder | None:
    """The spell goes on while frost is ahead, and is over three days after."""
    if frost is not None:
        return replace(matter, quiet_since=None) if matter.quiet_since is not None else None
    if matter.quiet_since is None:
        return replace(matter, quiet_since=now)
    over = now - matter.quiet_since >= SPELL_ENDS
    return replace(matter, status=Status.CLEARED) if over else None


def _called(view: SiteView, book: Book, van: VehicleView, drafts: Sequence[Draft]) -> bool:
    """They were asked in this spell, or are asked now, to drain more than the waste tank, or told
    to leave it alone."""
    key, person = van.vehicle.key, book.person.key
    matter = view.matters.get((person, key))
    if matter is not None and matter.times(Kind.LEAVE_ALONE) > 0:
        return True
    if any(
        draft.recipient == person and draft.kind is Kind.LEAVE_ALONE and key in draft.vehicles
        for draft in drafts
    ):
        return True
    asked = matter is not None and matter.times(*ACT_KINDS) > 0
    circuits = {told.circuit for told in matter.told} if matter is not None and asked else set()
    now = [d for d in drafts if d.recipient == person and d.kind in ACT_KINDS]
    for draft in now:
        if key in draft.vehicles:
            if not draft.facts.wet:
                return True  # a round sends somebody to it, and does not list what is wet in it
            circuits |= {wet.circuit.value for wet in draft.facts.wet}
    return bool(circuits - WASTE)


def _draft(
    view: SiteView, book: Book, van: VehicleView, found: HoldView, frost: datetime, now: datetime
) -> Draft:
    person = book.person
    after = found.pipes_after_h
    weak = Doubt.TOO_WEAK in found.doubts
    return Draft(
        key=f"{view.site.key}/{person.key}/{van.vehicle.key}/hold/{now.astimezone(UTC):%Y-%m-%d}",
        revision=1,
        site=view.site.key,
        recipient=person.key,
        kind=Kind.HOLD,
        level=Level.ACT,
        reason=Reason.AHEAD.value,
        voice=voice_of(person, view.site),
        vehicles=(van.vehicle.key,),
        at=now,
        earliest=found.short_from or found.out_at,
        facts=replace(
            facts_of_one(view, van, all_count=len(book.vans)),
            early=frost,
            held=Held(
                fuel=found.hold.fuel.value if found.hold.fuel is not None else "",
                need_w=max(found.need_cold_w),
                have_w=found.supply_w,
                weak=weak,
                out_at=found.out_at,
                pipes_after_h=after[0] if after is not None else None,
            ),
        ),
    )


def _matter(draft: Draft, now: datetime) -> Reminder:
    """What stands told after a message."""
    said = Said(
        kind=Kind.HOLD,
        at=now,
        reason=Reason(draft.reason),
        level=draft.level,
        earliest=draft.earliest,
    )
    return Reminder(
        key=draft.key,
        site=draft.site,
        recipient=draft.recipient,
        vehicle=draft.vehicles[0],
        kind=Kind.HOLD,
        status=Status.STANDING,
        spell=f"{now.astimezone(UTC):%Y-%m-%d}",
        raised_at=now,
        said=(said,),
        about=HOLD,
    )
