"""What an answer does: it ends the asking, and what it says of the water becomes entries.

Whoever holds the code of a link may answer for the vehicles it was made for, as long as the person
it was made for still looks after them. Nothing here depends on how the answer came: a press on a
page, a word in reply, a replay.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from frostwatch.advice.calls import COLDER_K
from frostwatch.advice.marks import vessel_of
from frostwatch.advice.reminders import Answer, AnswerKind
from frostwatch.errors import RecordError
from frostwatch.ports import Ledger
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater
from frostwatch.service.link_words import may_be_asked_again
from frostwatch.service.open_links import Due, OpenLink, OpenVan, open_circuits

EVENT = "answer"
TAKEN_BACK = "taken back"
GOING_AHEAD = timedelta(days=30)
"""Nobody plans a drain-down further ahead. Estimate."""
GOING_BACK = timedelta(minutes=5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What somebody answered to a link.

    Attributes:
        kind: done, part, cannot or going; undo for the answer before.
        vehicles: keys of the vehicles meant; all of the link's if empty.
        still: vessels that still hold water, as ``advice.marks`` names them; only with part. None
            where nobody said which.
        going_at: when they mean to go, UTC; only with going.
        press: name of the press, the same for the same form shown; "" for no name.
    """

    kind: AnswerKind
    vehicles: tuple[str, ...] = ()
    still: frozenset[str] | None = None
    going_at: datetime | None = None
    press: str = ""


def colder_than(opened: OpenLink) -> float | None:
    """Air below which somebody who cannot come is written to once more [degC]; None for never."""
    lowest = opened.draft.facts.min_c
    again = all(may_be_asked_again(van.matters, opened.person) for van in opened.vans)
    return lowest - COLDER_K if lowest is not None and again else None


def give(ledger: Ledger, opened: OpenLink, given: Given, now: datetime) -> bool:
    """Take an answer to a link, once.

    Returns:
        Whether anything was written down; False where it was known already.

    Raises:
        RecordError: a vehicle is not the link's, or the day they mean to go makes no sense.
        LedgerError: it could not be kept; then nothing of it was.
    """
    vans = _meant(opened, given)
    _refuse_odd_day(given, now)
    answers: list[Answer] = []
    entries: list[Entry] = []
    withdraw: list[str] = []
    for van in vans:
        answer = _answer(opened, van, given, now)
        if answer is None:
            continue
        answers.append(answer)
        entries += _entries(van, answer, given)
        if answer.kind is not AnswerKind.UNDO:
            withdraw += van.matter_keys(None if answer.kind is AnswerKind.DONE else answer.by)
    if not answers:
        return False
    once = f"{opened.link.code}/{given.press}/{given.kind.value}/{','.join(given.vehicles)}"
    return ledger.take_answers(
        answers, entries=entries, withdraw=withdraw, once=once if given.press else ""
    )


def _meant(opened: OpenLink, given: Given) -> Sequence[OpenVan]:
    """The vehicles meant; what is to be left alone is not answered for before somebody looked."""
    known = {van.vehicle.key: van for van in opened.vans}
    strange = [key for key in given.vehicles if key not in known]
    if strange:
        raise RecordError("This link is for other vehicles. Open the link of the message again.")
    named = [known[key] for key in given.vehicles] if given.vehicles else opened.vans
    meant = [van for van in named if van.due is not Due.TOO_LATE]
    if not meant:
        raise RecordError("It is to be left alone until somebody has looked.")
    return meant


def _refuse_odd_day(given: Given, now: datetime) -> None:
    if given.kind is not AnswerKind.GOING:
        return
    if given.going_at is None or not now - GOING_BACK <= given.going_at <= now + GOING_AHEAD:
        raise RecordError("The day you go must lie in the coming 30 days. Give another one.")


def _answer(opened: OpenLink, van: OpenVan, given: Given, now: datetime) -> Answer | None:
    """The answer about one vehicle; None where it says nothing new."""
    kind = given.kind
    if kind is AnswerKind.UNDO and van.undoable is None:
        return None
    if kind is AnswerKind.PART and given.still is not None and not given.still:
        kind = AnswerKind.DONE
    last = van.answer
    if kind is AnswerKind.DONE and not van.open and (last is None or last.kind is kind):
        return None
    same = last is not None and (last.kind, last.going_at) == (kind, given.going_at)
    if same and kind in (AnswerKind.CANNOT, AnswerKind.GOING):
        return None
    return Answer(
        vehicle=van.vehicle.key,
        by=opened.person.key,
        kind=kind,
        at=now,
        going_at=given.going_at if kind is AnswerKind.GOING else None,
    )


def _entries(van: OpenVan, answer: Answer, given: Given) -> Iterator[Entry]:
    if answer.kind is AnswerKind.DONE:
        yield from entries_of(answer, van.open)
    elif answer.kind is AnswerKind.PART and given.still is not None:
        emptied = [c for c in van.open if vessel_of(c.circuit) not in given.still]
        yield from _drained(answer, emptied)
        yield from _taken_back(van.own_entries, given.still, answer.at)
    elif answer.kind is AnswerKind.UNDO and van.undoable is not None:
        for entry in van.own_entries:
            if entry.received_at == van.undoable.at:
                yield _never_said(entry, answer.at)


def _taken_back(own: Sequence[Entry], still: Collection[str], now: datetime) -> Iterator[Entry]:
    """What this person had told drained and now says is not: as if it had never been told."""
    for entry in own:
        if entry.state is State.DRAINED and vessel_of(entry.circuit) in still:
            yield _never_said(entry, now)


def _never_said(entry: Entry, now: datetime) -> Entry:
    return replace(entry, state=State.UNKNOWN, event=TAKEN_BACK, received_at=now)


def entries_of(answer: Answer, water: Sequence[CircuitWater]) -> tuple[Entry, ...]:
    """The entries that follow from an answer: "done" drains, as told, what was wet.

    What was dosed stays dosed, and an open waste valve open.

    Args:
        answer: the answer.
        water: what the vehicle held when it came.
    """
    if answer.kind is not AnswerKind.DONE:
        return ()
    return tuple(_drained(answer, open_circuits(water)))


def _drained(answer: Answer, circuits: Sequence[CircuitWater]) -> Iterator[Entry]:
    for water in circuits:
        yield Entry(
            vehicle=answer.vehicle,
            circuit=water.circuit,
            state=State.DRAINED,
            evidence=Evidence.ASSERTED,
            by=answer.by,
            at=answer.at,
            received_at=answer.at,
            event=EVENT,
        )


def take_answer(ledger: Ledger, answer: Answer, water: Sequence[CircuitWater]) -> None:
    """Keep an answer and what follows from it, at once."""
    ledger.take_answers([answer], entries=entries_of(answer, water))
