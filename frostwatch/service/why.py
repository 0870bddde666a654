"""Why something was said about a vehicle, or nothing: stored decisions and what became of them.

Nothing is worked out anew: what is shown is what was decided then, with the numbers of then.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from frostwatch.advice.answers import latest_answer
from frostwatch.advice.reminders import Answer
from frostwatch.fleet.finding import vehicle_meant
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports import KeptDecision, OutboxRow, Reply, SitePass
from frostwatch.storage.ledger import SqlLedger

LOOK_BACK = timedelta(days=30)
"""Decisions to say nothing are kept for so long."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A decision to say something, and what became of it.

    Attributes:
        kept: the decision.
        rows: its messages, one for each channel; empty where the person has none.
    """

    kept: KeptDecision
    rows: tuple[OutboxRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """What stood about one vehicle for one person at one moment.

    Attributes:
        person: whom it concerns; None for nobody.
        kept: the decision that stood.
        told: that decision's messages, or of the last one that said anything.
        reply: the provider's reply it rests on; None if there was none or it is no longer kept.
        answer: the latest answer by then that counts for this person.
    """

    person: Person | None
    kept: KeptDecision
    told: Told | None
    reply: Reply | None
    answer: Answer | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasons:
    """Everything that stood about one vehicle at one moment.

    Attributes:
        vehicle: the vehicle.
        site: where it stands.
        at: the moment, UTC.
        found: one for each person; empty where nothing was ever decided.
        site_pass: how the last pass over its site went; None before the first.
    """

    vehicle: Vehicle
    site: Site
    at: datetime
    found: tuple[Why, ...]
    site_pass: SitePass | None


def reasons_at(ledger: SqlLedger, word: str, at: datetime, now: datetime) -> Reasons:
    """What stood about the vehicle somebody means.

    Args:
        ledger: an open ledger.
        word: key, bay or name of the vehicle.
        at: the moment asked for, UTC.
        now: the present, UTC.

    Raises:
        FleetError: nobody entered the vehicle, or the word fits several.
        LedgerError: it cannot be read.
    """
    book = ledger.load(now)
    vehicle = vehicle_meant(word, book.vehicles)
    people = {person.key: person for person in book.people}
    kept = [
        one
        for one in ledger.decisions(vehicle=vehicle.key, since=at - LOOK_BACK, until=at)
        if one.decision.at <= at
    ]
    answers = [one for one in book.answers.get(vehicle.key, ()) if one.at <= at]
    by_person: dict[str, list[KeptDecision]] = {}
    for one in kept:
        by_person.setdefault(one.decision.recipient, []).append(one)
    found = tuple(
        Why(
            person=people.get(key),
            kept=own[-1],
            told=_told(ledger, own),
            reply=ledger.replies.reply(own[-1].reply_id) if own[-1].reply_id else None,
            answer=latest_answer(answers, vehicle.key, key),
        )
        for key, own in sorted(by_person.items())
    )
    return Reasons(
        vehicle=vehicle,
        site=next(site for site in book.sites if site.key == vehicle.site),
        at=at,
        found=found,
        site_pass=book.passes.get(vehicle.site),
    )


def _told(ledger: SqlLedger, own: Sequence[KeptDecision]) -> Told | None:
    said = next((one for one in reversed(own) if one.decision.kind is not None), None)
    if said is None or said.decision.kind is None:
        return None
    decision = said.decision
    rows = ledger.outbox.listed(since=decision.at, recipient=decision.recipient, site=decision.site)
    kind = said.decision.kind.value
    of_it = (row for row in rows if row.queued_at == decision.at and row.message.kind == kind)
    return Told(kept=said, rows=tuple(of_it))
