"""Which of the answers about a vehicle hold."""

from collections.abc import Iterable

from frostwatch.advice.reminders import Answer, AnswerKind, Reminder


def latest_answer(answers: Iterable[Answer], vehicle: str, person: str) -> Answer | None:
    """The answer that counts for a person: anybody's "done", otherwise their own latest."""
    mine = [a for a in standing(answers) if a.vehicle == vehicle and (a.by == person or _ends(a))]
    return max(mine, key=lambda answer: answer.at, default=None)


def standing(answers: Iterable[Answer]) -> list[Answer]:
    """Answers that nobody took back, oldest first."""
    kept: list[Answer] = []
    for answer in sorted(answers, key=lambda answer: answer.at):
        if answer.kind is not AnswerKind.UNDO:
            kept.append(answer)
            continue
        own = [n for n, one in enumerate(kept) if _same_hand(one, answer)]
        if own:
            del kept[own[-1]]
    return kept


def remembered(matter: Reminder | None, answers: Iterable[Answer]) -> Answer | None:
    """The answer that a matter remembers, unless it was taken back since."""
    answer = matter.answer if matter is not None else None
    if answer is None:
        return None
    known = [one for one in answers if _same_hand(one, answer) and one.at >= answer.at]
    undone = any(one.kind is AnswerKind.UNDO for one in known) and answer not in standing(known)
    return None if undone else answer


def _same_hand(one: Answer, other: Answer) -> bool:
    return (one.vehicle, one.by) == (other.vehicle, other.by)


def _ends(answer: Answer) -> bool:
    return answer.kind is AnswerKind.DONE
