"""The record of a vehicle in words: what was seen and told, and what people were sent."""

from collections import Counter
from collections.abc import Iterable, Sequence, Set
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import groupby

from markupsafe import Markup

from frostwatch.advice.marks import vessel_of
from frostwatch.advice.reminders import Decision
from frostwatch.advice.walk_entries import CLOCK_NOTE
from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.records.chain import Linked
from frostwatch.records.entries import NOBODY_SAID, Entry, State
from frostwatch.records.events import Effect, effect_of
from frostwatch.service.handbook import FIGURE, HANDBOOK, read_note
from frostwatch.web.pages.handbook_view import entered_words
from frostwatch.web.pages.photo_view import ShownPhoto, by_statement, shown_photos
from frostwatch.web.pages.rows import named
from frostwatch.web.pages.vehicle_now import VehicleNow
from frostwatch.web.words import Tongue

MOST_SHOWN = 40
"""Statements on the page; the export holds them all."""
SOON = timedelta(minutes=10)
"""What arrives later than this after it was so is told with its arrival. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLine:
    """One line of the record.

    Attributes:
        at: when it was so.
        edge: how it is known, or "sent".
        word: the same in words.
        text: what was said, and by whom.
        photos: photographs that belong to it.
    """

    at: Markup
    edge: str
    word: str
    text: Markup
    photos: tuple[ShownPhoto, ...] = ()


def record_list(now: VehicleNow, layout: Layout | None, tongue: Tongue) -> tuple[LogLine, ...]:
    """The record, newest first."""
    words = _Log(now, layout, tongue)
    groups = together(now.file.record)
    at_once: dict[tuple[datetime, str], list[Entry]] = {}
    for group in groups:
        at_once.setdefault((group[0].at, group[0].by), []).extend(group)
    photos = shown_photos(now.file.photos, now.file.people, tongue)
    said = [
        (e[0].at, replace(words.statement(e, at_once[e[0].at, e[0].by]), photos=taken))
        for e, taken in zip(groups, by_statement(groups, photos), strict=True)
    ]
    sent = [(at, words.sent(group)) for at, group in _sendings(now.file.said)]
    alone = [(one.at, words.photograph(one)) for one in photos if not one.entry]
    lines = sorted((*said, *sent, *alone), key=lambda pair: pair[0], reverse=True)
    return tuple(line for _, line in lines[:MOST_SHOWN])


def together(record: Iterable[Linked]) -> list[tuple[Entry, ...]]:
    """Entries that are one statement: of one person, about one moment, arrived together."""

    def of(entry: Entry) -> tuple[object, ...]:
        arrived = entry.received_at
        return entry.at, arrived, entry.by, entry.evidence, entry.event, entry.note

    return [tuple(group) for _, group in groupby((linked.entry for linked in record), key=of)]


def _sendings(said: Sequence[Decision]) -> list[tuple[datetime, list[Decision]]]:
    """What people were told, by the moment and what it was."""
    ordered = sorted(said, key=lambda d: (d.at, d.kind or ""))
    grouped = groupby(ordered, key=lambda d: (d.at, d.kind))
    return [(at, list(group)) for (at, _), group in grouped]


def _is_happening_alone(entries: Sequence[Entry]) -> bool:
    """Whether nothing is said of any water: the circuit only stands in for the vehicle."""
    only = entries[0]
    happens = effect_of(only.event) in (Effect.REWETS, Effect.MOVES)
    return len(entries) == 1 and happens and only.state is State.UNKNOWN


class _Log:
    def __init__(self, now: VehicleNow, layout: Layout | None, tongue: Tongue) -> None:
        self._now, self._t = now, tongue
        items = layout.items if layout is not None else ()
        self._all = {item.circuit for item in items} - {Circuit.HYDRONIC}

    def statement(self, entries: Sequence[Entry], at_once: Sequence[Entry]) -> LogLine:
        """One statement about one or several circuits.

        Args:
            entries: what is said.
            at_once: all that the same person said of the same moment.
        """
        t, first = self._t, entries[0]
        who = named(first.by, self._now.file.people)
        event = t.words.events.get(first.event, first.event)
        what = self._what(entries, self._spread(at_once))
        if first.event in (HANDBOOK, FIGURE):
            return self._entered(first, who)
        noted = first.event in ("could not", "looked", "stands", "taken back")
        if noted or _is_happening_alone(entries):
            key = "vehicle.log.came" if first.by == NOBODY_SAID else "vehicle.log.noted"
            text = t(key, event=capital(event), who=who)
        elif event:
            text = t("vehicle.log.events", event=capital(event), what=what, who=who)
        else:
            text = t("vehicle.log.states", what=capital(what), who=who)
        if first.note:
            text += Markup(" ") + t("vehicle.log.note", note=self._note(first.note))
        if first.received_at - first.at > SOON:
            text += Markup(" ") + t("vehicle.log.arrived", at=t.hour(first.received_at))
        return LogLine(
            at=t.hour(first.at),
            edge=first.evidence.value,
            word=t.words.evidence[first.evidence],
            text=text,
        )

    def _note(self, note: str) -> str:
        """A note; what was noted without anybody's words is said in the reader's."""
        t, parts = self._t, []
        obstacles = {obstacle.value: words for obstacle, words in t.words.obstacles.items()}
        for part in note.split("; "):
            clock = CLOCK_NOTE.fullmatch(part)
            if clock is not None:
                said = t(f"vehicle.log.clock.{clock[2]}", n=int(clock[1]))
                parts.append(str(said.unescape()))
            else:
                parts.append(t.inside(obstacles[part]) if part in obstacles else part)
        return "; ".join(parts)

    def _entered(self, entry: Entry, who: str) -> LogLine:
        """What was read in its handbook or measured on it, in words where they are known."""
        t, file = self._t, self._now.file
        what, says, where = read_note(entry.note)
        said = entered_words(what, says, file.vehicle, file.site, t)
        text = t("hb.log", event=capital(t.words.events[entry.event]), what=said, who=who)
        if where:
            text += Markup(" ") + t("vehicle.log.note", note=where)
        return LogLine(
            at=t.hour(entry.at),
            edge=entry.evidence.value,
            word=t.words.evidence[entry.evidence],
            text=text,
        )

    def _what(self, entries: Sequence[Entry], spread: Set[str]) -> str:
        """States with the vessels they are said of; the whole vehicle in one word."""
        t = self._t
        by_state: dict[str, list[Entry]] = {}
        for entry in entries:
            by_state.setdefault(self._state(entry), []).append(entry)
        parts = []
        for state, group in by_state.items():
            if len(by_state) == 1 and {entry.circuit for entry in group} >= self._all:
                names = str(t("vehicle.all"))
            else:
                vessels = dict.fromkeys(self._name(entry.circuit, spread) for entry in group)
                names = ", ".join(vessels)
            parts.append(str(t("vehicle.log.part", names=names, state=state).unescape()))
        return "; ".join(parts)

    def _spread(self, entries: Sequence[Entry]) -> Set[str]:
        """Vessels of which more than one thing is said."""
        said = {(vessel_of(entry.circuit), self._state(entry)) for entry in entries}
        times = Counter(vessel for vessel, _ in said)
        return {vessel for vessel, n in times.items() if n > 1}

    def _state(self, entry: Entry) -> str:
        t = self._t
        words = [t.words.states[entry.state]]
        if entry.dose_fraction is not None:
            words.append(t.percent(entry.dose_fraction))
        elif entry.litres_l is not None:
            words.append(t.litres(entry.litres_l))
        return " ".join(words)

    def _name(self, circuit: Circuit, spread: Set[str]) -> str:
        """The vessel; the circuit itself where others of its vessel hold something else."""
        t, vessel = self._t, vessel_of(circuit)
        own = vessel in spread or vessel not in t.words.vessels
        return t.inside(t.words.circuits[circuit] if own else t.words.vessels[vessel])

    def photograph(self, photo: ShownPhoto) -> LogLine:
        """A photograph that belongs to no statement."""
        word = str(self._t("photo.word"))
        text = self._t("photo.alone", who=photo.who)
        at = self._t.hour(photo.at)
        return LogLine(at=at, edge="seen", word=word, text=text, photos=(photo,))

    def sent(self, group: Sequence[Decision]) -> LogLine:
        """What people were told at one moment."""
        t, first = self._t, group[0]
        names = dict.fromkeys(named(d.recipient, self._now.file.people) for d in group)
        who = t.listed(list(names))
        kind = t.words.kinds[first.kind] if first.kind is not None else ""
        if first.act_by is not None:
            text = t("vehicle.log.sent_by", kind=kind, who=who, by=t.hour(first.act_by))
        else:
            text = t("vehicle.log.sent", kind=kind, who=who)
        word = str(t("vehicle.log.evidence.sent"))
        return LogLine(at=t.hour(first.at), edge="sent", word=word, text=text)


def capital(text: str) -> str:
    """The same with a capital letter first."""
    return text[:1].upper() + text[1:]
