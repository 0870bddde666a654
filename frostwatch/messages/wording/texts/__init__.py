"""The texts of every message, one module for each language.

Plain Python rather than compiled catalogues: the texts are whole sentences with placeholders and
alternatives, the core reads no files, and nothing has to be compiled before a message is worded.
A test holds the languages together: same messages, same placeholders, same words.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Take

Choice = tuple[str, ...]
"""Alternatives, best first: the first one is taken for which every placeholder is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Long:
    """A long text: its headline, and sentences that fall away where they cannot be filled."""

    headline: Choice
    sentences: tuple[Choice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """The words of one language outside whole sentences.

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
        counted: nouns with a number: bays and vans, for one and for more.
        else_little: what happens if nobody goes, where little does.
        else_split: the same where something could split, with ``{parts}``.
    """

    days: tuple[str, ...]
    months: tuple[str, ...]
    jobs: Mapping[Job, str]
    parts: Mapping[Circuit, str]
    groups: Mapping[str, str]
    group_shorts: Mapping[str, str]
    takes: Mapping[Take, str]
    litre: str
    minute: str
    comma: str
    since: str
    unknown_wet: str
    new_clock: str
    old_clock: str
    counted: Mapping[str, tuple[str, str]]
    else_little: str
    else_split: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """All texts of one language.

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
    words: Words
