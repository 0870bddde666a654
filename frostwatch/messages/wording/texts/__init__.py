"""What the texts of all messages are made of; the English ones stand beside it.

A text is a whole sentence with placeholders, never glued from parts. What stands in [square
brackets] goes first where a short form lacks the room; a part or a sentence with a condition, as
{?again}, is only said where that holds.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from frostwatch.fleet.vehicles import Circuit
from frostwatch.languages.phrases import Counted, Leaf
from frostwatch.messages.wording.draft import Job, Take

Choice = tuple[Leaf, ...]
"""Alternatives, best first: the first one is taken for which every placeholder is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Long:
    """A long text: its headline, and sentences that fall away where they cannot be filled."""

    headline: Choice
    sentences: tuple[Choice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Words outside whole sentences.

    Attributes:
        days: Monday to Sunday, as they stand before an hour.
        months: January to December, as they stand in a date.
        jobs: action words.
        parts: what could split, by circuit.
        groups: circuits as people speak of them: fresh, heater, pipes, flush, traps, ...
        group_shorts: the same after litres in a short form.
        takes: what to take along, with ``{n}`` for the amount.
        litre: sign of the litre.
        minute: sign of the minute.
        comma: decimal sign.
        since: a date since when, with ``{date}``.
        unknown_wet: in place of litres that nobody knows.
        new_clock: note beside an hour before a clock change, ``{time}`` in the new time.
        old_clock: the same after it.
        counted: nouns with a number: bays and vans.
        else_little: what happens if nobody goes, where little does.
        else_split: the same where something could split, with ``{parts}``.
    """

    days: tuple[str, ...]
    months: tuple[str, ...]
    jobs: Mapping[Job, str]
    parts: Mapping[Circuit, str]
    groups: Mapping[str, str]
    group_shorts: Mapping[str, str]
    takes: Mapping[Take, Leaf]
    litre: str
    minute: str
    comma: str
    since: str
    unknown_wet: str
    new_clock: str
    old_clock: str
    counted: Mapping[str, Counted]
    else_little: str
    else_split: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Texts:
    """All texts of messages, in one language.

    Keys are ``kind``, ``kind.voice``, and either with ``#many`` where several vehicles are meant.

    Attributes:
        short: key -> short text.
        long: key -> long text.
        answers: what is written back after an answer, by answer; formal ones with ``.customer``.
        hazards: cautions by job.
        older: line where the forecast is old.
        credit: line naming where the weather data come from.
        foot: end of every long text, by sentence.
        link: line that holds the link where the text does not.
        subject: headline after what it is about, where it does not name that itself.
        trial: a message that only tries whether it arrives, with ``{name}``.
        words: everything else.
    """

    short: Mapping[str, Choice]
    long: Mapping[str, Long]
    answers: Mapping[str, str]
    hazards: Mapping[str, str]
    older: str
    credit: str
    foot: tuple[Choice, ...]
    link: str
    subject: str
    trial: str
    words: Words
