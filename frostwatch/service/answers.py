"""What an answer does: it ends the asking, and "done" becomes an entry that says who told."""

from collections.abc import Sequence

from frostwatch.advice.reminders import Answer, AnswerKind
from frostwatch.ports import Ledger
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater


def entries_of(answer: Answer, water: Sequence[CircuitWater]) -> tuple[Entry, ...]:
    """The entries that follow from an answer: "done" drains, as told, what was wet.

    Args:
        answer: the answer.
        water: what the vehicle held when it came.
    """
    if answer.kind is not AnswerKind.DONE:
        return ()
    return tuple(
        Entry(
            vehicle=answer.vehicle,
            circuit=entry.circuit,
            state=State.DRAINED,
            evidence=Evidence.ASSERTED,
            by=answer.by,
            at=answer.at,
            received_at=answer.at,
            event="answer",
        )
        for entry in water
        if entry.is_wet
    )


def take_answer(ledger: Ledger, answer: Answer, water: Sequence[CircuitWater]) -> None:
    """Keep an answer and what follows from it."""
    ledger.add_answers((answer,))
    entries = entries_of(answer, water)
    if entries:
        ledger.add_entries(entries)
