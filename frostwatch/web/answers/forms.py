"""What the forms behind a link send, and the answer they stand for."""

from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from starlette.datastructures import FormData

from frostwatch.advice.reminders import AnswerKind
from frostwatch.errors import RecordError
from frostwatch.service.answers import Given


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """What a form sent, as it came."""

    answer: str
    vans: tuple[str, ...]
    still: frozenset[str]
    when: str
    other: str
    press: str


def press_of(form: FormData) -> Press:
    """Read a form, cut to what its fields can hold."""

    def one(name: str) -> str:
        value = form.get(name)
        return value[:200] if isinstance(value, str) else ""

    return Press(
        answer=one("answer"),
        vans=tuple(str(value) for value in form.getlist("van")),
        still=frozenset(str(value) for value in form.getlist("still")),
        when=one("when"),
        other=one("other"),
        press=one("press")[:20],
    )


def given_of(sent: Press, zone: ZoneInfo) -> Given:
    """The answer that a form stands for.

    Raises:
        RecordError: it stands for none.
    """
    try:
        kind = AnswerKind(sent.answer)
    except ValueError as wrong:
        raise RecordError("This form does not say what was answered.") from wrong
    going = kind is AnswerKind.GOING
    return Given(
        kind=kind,
        vehicles=sent.vans,
        still=sent.still if kind is AnswerKind.PART else None,
        going_at=moment_of(sent.other or sent.when, zone) if going else None,
        press=sent.press,
    )


def moment_of(text: str, zone: ZoneInfo) -> datetime:
    """An offered time, or one that was typed: that is local to the place."""
    try:
        moment = datetime.fromisoformat(text)
        local = moment.replace(tzinfo=zone) if moment.tzinfo is None else moment
        return local.astimezone(UTC)
    except (ValueError, OverflowError) as wrong:
        raise RecordError(f"{text!r} is not a day and an hour.") from wrong
