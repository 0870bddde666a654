"""A pass of the past, worked out again from the replies that the ledger kept.

The whole pass runs, with its record, its answers, its reminders, its heat models and its members
as they were; only the kept replies stand in the place of the network.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, Protocol

import numpy as np

from frostwatch.errors import LedgerError
from frostwatch.fleet.fleet import Fleet
from frostwatch.messages.wording.draft import Draft, Kind
from frostwatch.ports import (
    Book,
    FrameBasis,
    Lesson,
    LinkStore,
    Message,
    OutboxRow,
    PassBasis,
    ReplyStore,
    SitePass,
)
from frostwatch.records.chain import Linked
from frostwatch.service.kit import Kit
from frostwatch.service.lessons import Lessons
from frostwatch.service.letters import messages_for
from frostwatch.service.memory_ledger import MemoryLedger
from frostwatch.service.memory_lessons import MemoryLessons
from frostwatch.service.nights import point_of
from frostwatch.service.pass_ import SiteWork, run_pass
from frostwatch.service.pass_basis import digest_of
from frostwatch.weather.asking import Parser
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point

_HOUR = timedelta(hours=1)


class Queued(Protocol):
    """What is asked of the outbox here."""

    def listed(self, *, since: datetime, site: str | None = None) -> Sequence[OutboxRow]:
        """Messages queued at or after ``since``, oldest first."""
        ...


class Kept(Protocol):
    """What is asked of the ledger here."""

    @property
    def replies(self) -> ReplyStore:
        """What providers answered."""
        ...

    @property
    def outbox(self) -> Queued:
        """What was said."""
        ...

    @property
    def links(self) -> LinkStore:
        """Under which links."""
        ...

    def load(self, now: datetime, *, sites: Sequence[str] | None = None) -> Book:
        """What was known at ``now``."""
        ...

    def record_of(self, vehicle: str) -> Sequence[Linked]:
        """A vehicle's whole record."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Told:
    """One message of a past pass, as it was queued and as it comes out again.

    Attributes:
        draft: what the pass decides now; None where it decides nothing of the kind.
        kept: the message as it was queued, over all its channels; empty where none was.
        again: the same message worded again; empty where nothing is decided.
    """

    draft: Draft | None
    kept: tuple[OutboxRow, ...]
    again: tuple[Message, ...]

    @property
    def same(self) -> bool:
        """Whether subject and both forms are the same, letter by letter, for every channel."""
        was = {row.message.channel: _texts(row.message) for row in self.kept}
        return was == {one.channel: _texts(one) for one in self.again}


def _texts(message: Message) -> tuple[str, ...]:
    return message.kind, message.subject, message.short, message.long


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Again:
    """A pass worked out again.

    Attributes:
        basis: what it rested on.
        work: what comes of it now.
        told: message by message.
        same_air: the kept reply gives the very air that was decided on.
        reply_arrived_at: when the reply it rested on arrived, UTC; None without one.
    """

    basis: PassBasis
    work: SiteWork
    told: tuple[Told, ...]
    same_air: bool
    reply_arrived_at: datetime | None

    @property
    def same(self) -> bool:
        """Whether the air is what it was, and every message comes out as it was."""
        told = all(one.same for one in self.told)
        return self.same_air and told and not self.work.failed


def frame_again(
    frame: FrameBasis, point: Point, replies: ReplyStore, parsers: Mapping[str, Parser]
) -> Forecast:
    """The air that was decided on, out of the kept reply.

    Raises:
        LedgerError: the reply is not kept, or cannot be read any more.
    """
    reply = replies.reply(frame.reply_id) if frame.reply_id else None
    if reply is None:
        raise LedgerError(
            f"The reply of {frame.provider} of {frame.fetched_at:%Y-%m-%d %H:%M} UTC is not kept "
            "any more (or came from a folder): the night cannot be worked out again."
        )
    read = parsers[reply.provider](reply.payload, [point], frame.fetched_at)[point.key]
    if isinstance(read, FetchFailure):
        raise LedgerError(f"The kept reply {frame.reply_id} cannot be read: {read.message}")
    unknown = np.full(max(read.hours, frame.earlier_h), np.nan)
    columns = dict(read.columns)
    for name in ("air_c", "air_min_c"):
        if frame.lowered_k and name in columns:
            columns[name] = columns[name] - frame.lowered_k
    if frame.earlier_h:
        names = dict.fromkeys((*frame.earlier, *read.columns))
        columns = {
            name: np.concatenate(
                [
                    frame.earlier.get(name, unknown[: frame.earlier_h]),
                    columns.get(name, unknown[: read.hours]),
                ]
            )
            for name in names
        }
    if frame.spread_k is not None:
        columns["air_spread_k"] = frame.spread_k
    return replace(
        read,
        start=read.start - frame.earlier_h * _HOUR,
        columns=columns,
        height_m=frame.height_m,
        grid_height_m=frame.grid_height_m,
        attribution=frame.attribution,
        warnings=frame.warnings,
        reply_id=frame.reply_id,
        spread_reply_id=frame.spread_reply_id,
        recent_c=frame.recent_c,
        earlier_h=frame.earlier_h,
        lowered_k=frame.lowered_k,
    )


def work_again(
    basis: PassBasis, ledger: "Kept", parsers: Mapping[str, Parser], *, public_url: str = ""
) -> Again:
    """Run a kept pass again and hold its messages against those that were queued.

    Args:
        basis: what it rested on.
        ledger: the ledger that keeps replies, record, answers and messages.
        parsers: provider -> what reads its replies.
        public_url: web address in the messages' links, "" for none.

    Raises:
        LedgerError: a reply it rested on is not kept any more.
    """
    point = point_of(basis.site)
    found: Forecast | FetchFailure = FetchFailure(
        kind=FailureKind.UNREACHABLE, message="There was no forecast."
    )
    arrived, same_air = None, True
    if basis.frame is not None:
        found = frame_again(basis.frame, point, ledger.replies, parsers)
        arrived = basis.frame.fetched_at
        same_air = digest_of(found) == basis.frame.digest
    lessons = MemoryLessons()
    lessons.keep_lesson(Lesson(site=basis.site.key, learnt=basis.learnt))
    nobody: Any = None
    kit = Kit(
        ledger=_BookAlone(_book(basis, ledger)),
        outbox=nobody,
        channels=nobody,
        forecasts=_Found(point.key, found),
        members=basis.members,
        lessons=Lessons(lessons),
    )
    (work,) = run_pass(kit, basis.at, keep=False).sites
    return Again(
        basis=basis,
        work=work,
        told=_told(basis, work.drafts, ledger, public_url),
        same_air=same_air,
        reply_arrived_at=arrived,
    )


def _told(
    basis: PassBasis, drafts: Sequence[Draft], ledger: "Kept", public_url: str
) -> tuple[Told, ...]:
    queued = ledger.outbox.listed(since=basis.at, site=basis.site.key)
    rows = [
        row
        for row in queued
        # that a message reached nobody rests on the outbox, not on this
        if row.queued_at == basis.at and row.message.kind != Kind.NOT_REACHED.value
    ]
    people = {person.key: person for person in basis.people}
    found = []
    for draft in drafts:
        own = tuple(row for row in rows if _is_of(row, draft))
        links = ledger.links.made_for(draft.recipient, since=basis.at)
        codes = [
            one.code
            for one in links
            if (one.draft.key, one.draft.revision) == (draft.key, draft.revision)
        ]
        again = messages_for(
            draft,
            people[draft.recipient],
            basis.at,
            public_url=public_url,
            code=codes[0] if codes else "",
        )
        found.append(Told(draft=draft, kept=own, again=tuple(again)))
    known = {row.id for one in found for row in one.kept}
    by_message: dict[tuple[str, str, int], list[OutboxRow]] = {}
    for row in rows:
        if row.id not in known:
            said = row.message
            key = (said.recipient, said.reminder, said.revision)
            by_message.setdefault(key, []).append(row)
    lost = [Told(draft=None, kept=tuple(own), again=()) for own in by_message.values()]
    return (*found, *lost)


def _is_of(row: OutboxRow, draft: Draft) -> bool:
    said = row.message
    return (said.recipient, said.reminder, said.revision) == (
        draft.recipient,
        draft.key,
        draft.revision,
    )


def _book(basis: PassBasis, ledger: "Kept") -> Book:
    """What was known then: the record and the answers as they had arrived."""
    site = basis.site.key
    known = ledger.load(basis.at, sites=[site])
    entries = dict(known.entries)
    for vehicle in basis.vehicles:
        if vehicle.key not in entries:  # it stands elsewhere now, or nowhere
            own = (one.entry for one in ledger.record_of(vehicle.key))
            entries[vehicle.key] = tuple(one for one in own if one.received_at <= basis.at)
    return Book(
        sites=(basis.site,),
        people=basis.people,
        vehicles=basis.vehicles,
        entries={vehicle: own for vehicle, own in entries.items() if own},
        states={state.vehicle: state for state in basis.states},
        reminders={site: basis.reminders},
        answers=known.answers,
        passes={site: SitePass(site=site, judged_to=basis.judged_to)},
        under_way=frozenset(basis.under_way),
    )


class _BookAlone(MemoryLedger):
    """A ledger that knows one moment."""

    def __init__(self, book: Book) -> None:
        super().__init__(Fleet(sites=book.sites, people=book.people, vehicles=book.vehicles))
        self._book = book

    def load(self, now: datetime, *, sites: Sequence[str] | None = None) -> Book:
        """What was known at that moment."""
        return self._book


class _Found:
    """Forecasts that know one place at one moment."""

    def __init__(self, key: str, found: Forecast | FetchFailure) -> None:
        self._key = key
        self._found = found

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        """See ``ports.Forecasts``."""
        return {self._key: self._found}
