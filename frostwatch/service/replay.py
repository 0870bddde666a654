"""The whole service on a moving clock: past nights run again, a rule tried on a winter.

Nothing but the clock and the network is replaced. A reply counts from its time of arrival, an
entry from its own; what lies later changes no earlier message.
"""

import csv
import heapq
import itertools
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from frostwatch.advice.due import next_reading
from frostwatch.advice.reminders import ACT_KINDS, Answer, AnswerKind
from frostwatch.advice.slots import Diary
from frostwatch.errors import FleetError
from frostwatch.fleet.fleet import Fleet
from frostwatch.messages.wording import word
from frostwatch.messages.wording.draft import Draft, Form
from frostwatch.ports import AirReading, Forecasts, Intake
from frostwatch.records.entries import Entry
from frostwatch.service.answers import take_answer
from frostwatch.service.kit import MEMBERS, Kit
from frostwatch.service.lessons import Lessons
from frostwatch.service.lookback import Witness, what_happened
from frostwatch.service.memory_ledger import MemoryLedger
from frostwatch.service.memory_lessons import MemoryLessons
from frostwatch.service.nights import Memory, point_of
from frostwatch.service.pass_ import PassReport, run_pass
from frostwatch.service.rules import Rule
from frostwatch.service.scores import Scores, scores_of
from frostwatch.storage.entry_files import read_entries_csv
from frostwatch.storage.fleet_files import read_fleet_toml
from frostwatch.storage.sheets import decoded
from frostwatch.storage.thermometer_files import read_thermometer_csv
from frostwatch.weather.learning import Learnt

LOOK_AT_LEAST = timedelta(hours=1)
"""A pass is made at least this often, so that a forecast that is lost or found again is noticed."""
ANSWER_WORDS = {kind.value: kind for kind in AnswerKind if kind is not AnswerKind.UNDO}


@dataclass(frozen=True, slots=True, kw_only=True)
class ReplayFolder:
    """What a replay reads.

    Attributes:
        path: the folder.
        fleet: sites, people, vehicles.
        entries: the record, by the fleet file and entries.csv.
        answers: what people answered, by answers.csv.
        readings: site -> what its thermometer showed, by readings/SITE.csv.
    """

    path: Path
    fleet: Fleet
    entries: tuple[Entry, ...]
    answers: tuple[Answer, ...]
    readings: Mapping[str, tuple[AirReading, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spoken:
    """One message of a replay."""

    draft: Draft
    at: datetime
    local: str
    short: str
    subject: str
    long: str

    def as_json(self) -> dict[str, Any]:
        """One line of ``frostwatch replay --json``."""
        draft = self.draft

        def utc(moment: datetime | None) -> str | None:
            return f"{moment.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}" if moment else None

        return {
            "at": utc(self.at),
            "local": self.local,
            "to": draft.recipient,
            "site": draft.site,
            "kind": draft.kind.value,
            "level": draft.level.value,
            "vehicles": list(draft.vehicles),
            "act_by": utc(draft.act_by),
            "earliest": utc(draft.earliest),
            "likely": utc(draft.likely),
            "probability": None if draft.probability is None else round(draft.probability, 4),
            "reason": draft.reason,
            "short": self.short,
            "long": self.long,
        }


def read_folder(path: Path) -> ReplayFolder:
    """Read a replay folder.

    Raises:
        FleetError: a file is missing or does not hold together; every problem is named.
    """
    read = read_fleet_toml(_text(path / "fleet.toml"))
    if isinstance(read, list):
        raise _refused(path / "fleet.toml", read)
    entries = tuple(read.entries)
    if (path / "entries.csv").is_file():
        told = read_entries_csv(_text(path / "entries.csv"), read.fleet)
        if isinstance(told, list):
            raise _refused(path / "entries.csv", told)
        entries += tuple(told)
    answers: tuple[Answer, ...] = ()
    if (path / "answers.csv").is_file():
        answers = tuple(_answers(path / "answers.csv", read.fleet))
    return ReplayFolder(
        path=path,
        fleet=read.fleet,
        entries=entries,
        answers=answers,
        readings=dict(_readings(path, read.fleet)),
    )


def _readings(path: Path, fleet: Fleet) -> Iterator[tuple[str, tuple[AirReading, ...]]]:
    for site in fleet.sites:
        file = path / "readings" / f"{site.key}.csv"
        if file.is_file():
            found = read_thermometer_csv(_text(file), site.zone)
            if isinstance(found, list):
                raise _refused(file, found)
            yield site.key, found.readings


def _text(path: Path) -> str:
    try:
        text = decoded(path.read_bytes())
    except OSError as unreadable:
        raise FleetError(f"{path} cannot be read: {unreadable.strerror}.") from unreadable
    if isinstance(text, list):
        raise _refused(path, text)
    return text


def _refused(path: Path, problems: Sequence[object]) -> FleetError:
    return FleetError("\n".join(f"{path}: {problem}" for problem in problems))


def _answers(path: Path, fleet: Fleet) -> Iterator[Answer]:
    known = {vehicle.key for vehicle in fleet.vehicles}
    for line, row in enumerate(csv.DictReader(_text(path).splitlines()), start=2):
        try:
            at = datetime.fromisoformat(row["at"])
            kind = ANSWER_WORDS[row["answer"].strip()]
            vehicle = row["vehicle"].strip()
        except (KeyError, ValueError, AttributeError) as wrong:
            raise FleetError(
                f"{path}: line {line}: {wrong}. Columns are at, vehicle, answer; an answer is one "
                f"of {', '.join(ANSWER_WORDS)}."
            ) from wrong
        if vehicle not in known:
            raise FleetError(f"{path}: line {line}: vehicle {vehicle!r} is not in fleet.toml.")
        at = at.replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)
        yield Answer(vehicle=vehicle, by=(row.get("by") or "").strip(), kind=kind, at=at)


def _lessons_of(folder: ReplayFolder) -> MemoryLessons:
    """What thermometers showed; each value counts from its own time."""
    store = MemoryLessons()
    for site, readings in folder.readings.items():
        moments = [one.at for one in readings]
        intake = Intake(
            site=site,
            name="readings",
            received_at=min(moments),
            count=len(readings),
            first_at=min(moments),
            last_at=max(moments),
        )
        store.take(intake, readings)
    return store


class _NoChannels:
    """A replay sends nothing."""

    def send(self, message: object, now: datetime) -> Any:
        raise NotImplementedError


class Replay:
    """One replay in progress.

    Args:
        folder: what it reads.
        forecasts: the recorded replies.
        answer_after: every act call is answered "done" that long after it, inside the
            recipient's slots; None if nobody answers.
        members: number of members.
        rule: plain rule in the place of members and heat model; None for the service's own.
        progress: called with each moment looked at.
        learning: learn from the replies as the running service does.
    """

    def __init__(
        self,
        folder: ReplayFolder,
        forecasts: Forecasts,
        *,
        answer_after: timedelta | None = None,
        members: int = MEMBERS,
        rule: Rule | None = None,
        progress: Callable[[datetime], None] | None = None,
        learning: bool = True,
    ) -> None:
        self._folder = folder
        self._ledger = MemoryLedger(folder.fleet, folder.entries)
        self._witness = Witness(forecasts)
        self._lessons = Lessons(_lessons_of(folder)) if learning else None
        outbox: Any = None
        self._kit = Kit(
            ledger=self._ledger,
            outbox=outbox,
            channels=_NoChannels(),
            forecasts=self._witness,
            members=members,
            rule=rule,
            near_only=True,
            escalates=False,
            lessons=self._lessons,
        )
        self._sent: Counter[str] = Counter()
        self._memory = Memory()
        self._answer_after = answer_after
        self._progress = progress
        self._waiting: list[tuple[datetime, int, Answer]] = []
        self._order = itertools.count()
        self._people = {person.key: person for person in folder.fleet.people}
        self._sites = {site.key: site for site in folder.fleet.sites}

    def run(self, start: datetime, end: datetime) -> Iterator[Spoken]:
        """Move the clock from ``start`` to ``end`` and yield what is said, in order of time."""
        for answer in self._folder.answers:
            self._wait_for(answer)
        moments = sorted(
            {entry.received_at for entry in self._folder.entries if start < entry.received_at}
        )
        moments.reverse()
        now = start
        while now <= end:
            if self._progress is not None:
                self._progress(now)
            self._take_answers(now)
            report = run_pass(self._kit, now, memory=self._memory)
            for draft in _drafts(report):
                self._sent[draft.recipient] += 1
                self._answer_later(draft)
                yield self._spoken(draft, now)
            while moments and moments[-1] <= now:
                moments.pop()
            now = self._next(report, now, moments[-1] if moments else None)

    def learnt(self) -> Mapping[str, Learnt]:
        """Site -> what its nights taught up to where the clock stands."""
        return self._lessons.in_force() if self._lessons is not None else {}

    def scores(self, start: datetime, end: datetime) -> Scores:
        """What was said between two moments against what happened; after ``run`` has ended."""
        fleet = self._folder.fleet
        seen = {site.key: self._witness.air(point_of(site).key) for site in fleet.sites}
        airs = {key: air for key, air in seen.items() if air is not None}
        entries = self._folder.entries
        pasts = what_happened(fleet.vehicles, self._sites, entries, airs, start, end)
        doubts = [f"{key}: {words}" for key, air in airs.items() for words in air.warnings]
        doubts += [f"{key}: no air was observed." for key in seen.keys() - airs.keys()]
        return scores_of(fleet, self._sent, self._ledger.matters, pasts, doubts=doubts)

    def _next(self, report: PassReport, now: datetime, entry_at: datetime | None) -> datetime:
        """The next moment at which anything can change."""
        views = [work.view for work in report.sites]
        book = self._ledger.load(now)
        found = [now + LOOK_AT_LEAST]
        for view in views:
            last = book.passes.get(view.site.key)
            reminders = book.reminders.get(view.site.key, ())
            fresh = view.__class__(
                site=view.site,
                people=view.people,
                vehicles=view.vehicles,
                air=None,
                forecast=view.forecast,
                reminders=reminders,
                answers=view.answers,
                judged_to=last.judged_to if last else None,
            )
            found.append(next_reading(fresh, now) or found[0])
            if last is not None and last.next_try_at is not None:
                found.append(last.next_try_at)
        if entry_at is not None:
            found.append(entry_at)
        if self._waiting:
            found.append(self._waiting[0][0])
        return max(min(found), now + timedelta(minutes=1))

    def _spoken(self, draft: Draft, now: datetime) -> Spoken:
        language = self._people[draft.recipient].language
        short, long = (word(draft, language, form) for form in (Form.SHORT, Form.LONG))
        local = now.astimezone(self._sites[draft.site].zone)
        return Spoken(
            draft=draft,
            at=now,
            local=f"{local:%a %Y-%m-%d %H:%M}",
            short=short.body,
            subject=long.subject,
            long=long.body,
        )

    def _answer_later(self, draft: Draft) -> None:
        if self._answer_after is None or draft.kind not in ACT_KINDS:
            return
        diary = Diary(person=self._people[draft.recipient], site=self._sites[draft.site])
        at = draft.at + self._answer_after
        slot = next(diary.slots(at), None)
        if slot is None:
            return
        for vehicle in draft.vehicles:
            self._wait_for(
                Answer(
                    vehicle=vehicle,
                    by=draft.recipient,
                    kind=AnswerKind.DONE,
                    at=max(at, slot.start),
                )
            )

    def _wait_for(self, answer: Answer) -> None:
        heapq.heappush(self._waiting, (answer.at, next(self._order), answer))

    def _take_answers(self, now: datetime) -> None:
        while self._waiting and self._waiting[0][0] <= now:
            _, _, answer = heapq.heappop(self._waiting)
            vehicle = self._folder.fleet.vehicle(answer.vehicle)
            entries = self._ledger.load(answer.at).entries.get(answer.vehicle, ())
            south = self._folder.fleet.site(vehicle.site).is_south
            van = Memory().van(vehicle, entries, answer.at, south=south)
            for person in self._answering(answer):
                take_answer(self._ledger, replace(answer, by=person), van.water)

    def _answering(self, answer: Answer) -> Sequence[str]:
        """Who answers where the file does not say: those with whom the vehicle's matter stands."""
        if answer.by:
            return (answer.by,)
        reminders = self._ledger.load(answer.at).reminders.values()
        asked = {r.recipient for own in reminders for r in own if r.vehicle == answer.vehicle}
        return sorted(asked) or ("",)


def _drafts(report: PassReport) -> Iterator[Draft]:
    for work in report.sites:
        if work.judgement is not None:
            yield from work.judgement.drafts
