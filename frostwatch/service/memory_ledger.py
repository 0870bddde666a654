"""A ledger in memory: everything a replay needs, nothing that outlives it."""

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime

from frostwatch.advice.board import Board
from frostwatch.advice.night_view import NightView
from frostwatch.advice.reminders import Answer, Decision, Reminder, Status
from frostwatch.fleet.fleet import Fleet
from frostwatch.ports import AnswerLink, Book, KeptState, Message, PassBasis, SitePass
from frostwatch.records.chain import Linked
from frostwatch.records.entries import Entry


class MemoryLedger:
    """Implements ``ports.Ledger`` with plain dictionaries.

    Args:
        fleet: what stands where.
        entries: the record, each entry from its time of arrival on.
    """

    def __init__(self, fleet: Fleet, entries: Iterable[Entry] = ()) -> None:
        self._fleet = fleet
        self._entries: dict[str, list[Entry]] = {}
        self._states: dict[str, KeptState] = {}
        self._reminders: dict[str, dict[str, Reminder]] = {}
        self._answers: dict[str, list[Answer]] = {}
        self._passes: dict[str, SitePass] = {}
        for entry in entries:
            self._entries.setdefault(entry.vehicle, []).append(entry)
        for own in self._entries.values():
            own.sort(key=lambda entry: entry.received_at)

    def load(self, now: datetime, *, sites: Sequence[str] | None = None) -> Book:
        """What was known at ``now``."""
        return Book(
            sites=self._fleet.sites,
            people=self._fleet.people,
            vehicles=self._fleet.vehicles,
            entries=_until(self._entries, now),
            states=self._states,
            reminders={
                site: tuple(r for r in own.values() if r.status is not Status.CLEARED)
                for site, own in self._reminders.items()
            },
            answers={
                vehicle: tuple(answer for answer in own if answer.at <= now)
                for vehicle, own in self._answers.items()
            },
            passes=self._passes,
        )

    @property
    def matters(self) -> tuple[Reminder, ...]:
        """Every matter that was ever raised, those that were cleared too."""
        return tuple(one for own in self._reminders.values() for one in own.values())

    def commit(
        self,
        site: str,
        now: datetime,
        *,
        states: Sequence[KeptState] = (),
        reminders: Sequence[Reminder] = (),
        decisions: Sequence[Decision] = (),
        messages: Sequence[Message] = (),
        links: Sequence[AnswerLink] = (),
        reply_id: int | None = None,
        judged_to: datetime | None = None,
        board: Board | None = None,
        nights: Sequence[NightView] = (),
        basis: PassBasis | None = None,
    ) -> int:
        """Keep what the next pass needs."""
        self._states.update({state.vehicle: state for state in states})
        self._reminders.setdefault(site, {}).update({one.key: one for one in reminders})
        self._passes[site] = SitePass(site=site, passed_at=now, judged_to=judged_to)
        return len(messages)

    def keep_messages(
        self,
        site: str,
        now: datetime,
        *,
        reminders: Sequence[Reminder] = (),
        decisions: Sequence[Decision] = (),
        messages: Sequence[Message] = (),
        links: Sequence[AnswerLink] = (),
    ) -> int:
        """Keep what the next pass needs."""
        self._reminders.setdefault(site, {}).update({one.key: one for one in reminders})
        return len(messages)

    def note_failure(
        self, site: str, now: datetime, *, cause: str, next_try_at: datetime
    ) -> SitePass:
        """Note that the pass over a site failed."""
        before = self._passes.get(site, SitePass(site=site))
        self._passes[site] = SitePass(
            site=site,
            passed_at=before.passed_at,
            judged_to=before.judged_to,
            failed_at=now,
            cause=cause,
            failures=before.failures + 1,
            next_try_at=next_try_at,
        )
        return self._passes[site]

    def add_entries(self, entries: Sequence[Entry]) -> tuple[Linked, ...]:
        """Add to the record; links are not made here."""
        for entry in entries:
            own = self._entries.setdefault(entry.vehicle, [])
            own.append(entry)
            own.sort(key=lambda one: one.received_at)
        return ()

    def add_answers(self, answers: Sequence[Answer]) -> None:
        """Keep what people answered."""
        for answer in answers:
            self._answers.setdefault(answer.vehicle, []).append(answer)

    def take_answers(
        self,
        answers: Sequence[Answer],
        *,
        entries: Sequence[Entry] = (),
        withdraw: Sequence[str] = (),
        once: str = "",
    ) -> bool:
        """Keep answers and what follows from them; nothing is on its way here."""
        self.add_answers(answers)
        self.add_entries(entries)
        return True


def _until(entries: Mapping[str, Sequence[Entry]], now: datetime) -> dict[str, tuple[Entry, ...]]:
    """What had arrived; each vehicle's entries are in order of arrival."""
    return {
        vehicle: tuple(own[: bisect_right(own, now, key=lambda entry: entry.received_at)])
        for vehicle, own in entries.items()
    }
