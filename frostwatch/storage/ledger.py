"""The ledger: one door to everything that is kept."""

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from sqlalchemy import Connection, delete, select

from frostwatch.advice.board import Board
from frostwatch.advice.night_view import NightView
from frostwatch.advice.reminders import Answer, Decision, Reminder
from frostwatch.errors import LedgerError, RecordError
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports import (
    AnswerLink,
    Book,
    KeptDecision,
    KeptState,
    Message,
    OutboxRow,
    PassBasis,
    SitePass,
)
from frostwatch.ports.changes import Entered, FleetChange
from frostwatch.records.chain import Linked
from frostwatch.records.entries import Entry
from frostwatch.storage import (
    advice_rows,
    basis_rows,
    board_rows,
    entry_rows,
    fleet_changes,
    fleet_rows,
    link_rows,
    outbox_rows,
    pass_rows,
    plan_rows,
    schema,
)
from frostwatch.storage.access import SqlAccess
from frostwatch.storage.attempt_rows import SqlAttempts
from frostwatch.storage.calendar_rows import SqlCalendars, prune_addresses
from frostwatch.storage.database import Database
from frostwatch.storage.lesson_rows import SqlLessons
from frostwatch.storage.page_rows import SqlPages
from frostwatch.storage.photo_rows import SqlPhotos
from frostwatch.storage.plan_rows import SqlPlans
from frostwatch.storage.reading_rows import SqlReadings
from frostwatch.storage.reply_rows import EVIDENCE_KEPT, SqlReplies
from frostwatch.storage.round_rows import SqlRounds
from frostwatch.storage.tables import (
    AnswerRow,
    Base,
    DecisionRow,
    MessageRow,
    ReminderRow,
    VehicleRow,
    table_of,
)
from frostwatch.storage.terrain_rows import SqlTerrain

SILENCE_KEPT = timedelta(days=30)
"""How long decisions to say nothing are kept: estimate, the time in which people ask why."""

_vehicle = table_of(VehicleRow)
_decision = table_of(DecisionRow)
_message = table_of(MessageRow)
_answer = table_of(AnswerRow)
_reminder = table_of(ReminderRow)


def open_ledger(url: str) -> "SqlLedger":
    """Open the database at ``url`` and bring it to this version's form.

    ``sqlite://`` keeps everything in memory and forgets it on closing.

    Raises:
        LedgerError: it cannot be opened, read or written.
        NewerLedgerError: a newer frostwatch wrote it.
    """
    database = Database(url)
    try:
        schema.upgrade(database)
    except LedgerError:
        database.close()
        raise
    return SqlLedger(database)


class SqlLedger:
    """The ledger on SQLite or PostgreSQL. Implements ``ports.Ledger``.

    Attributes:
        replies: what providers answered.
        attempts: requests to providers.
        terrain: heights of places, looked up once.
        outbox: what waits to be said, and what became of it.
        links: what messages told, under the codes of their links; what people wrote back.
        pages: what the pages read.
        rounds: released rounds and what was pressed on them.
        plans: handover plans, and those that somebody is at work on.
        photos: photographs of vehicles.
        readings: what loggers measured.
        lessons: what the nights of each place taught.
        bases: what judgements rested on.
        calendars: where people's calendars are fetched.
        access: who may see and do what.
    """

    def __init__(self, database: Database) -> None:
        self._database = database
        self.replies = SqlReplies(database)
        self.attempts = SqlAttempts(database)
        self.terrain = SqlTerrain(database)
        self.outbox = outbox_rows.SqlOutbox(database)
        self.links = link_rows.SqlLinks(database)
        self.pages = SqlPages(database)
        self.rounds = SqlRounds(database)
        self.plans = SqlPlans(database)
        self.photos = SqlPhotos(database)
        self.readings = SqlReadings(database)
        self.lessons = SqlLessons(database)
        self.bases = basis_rows.SqlBases(database)
        self.calendars = SqlCalendars(database)
        self.access = SqlAccess(database)

    def close(self) -> None:
        """Let go of the database."""
        self._database.close()

    def forget_everything(self) -> None:
        """Empty every table. For the demo, which is invented and starts over."""
        with self._database.writing() as connection:
            for table in reversed(Base.metadata.sorted_tables):
                connection.execute(table.delete())

    def load(self, now: datetime, *, sites: Sequence[str] | None = None) -> Book:
        """Read everything, or everything about some sites, in a handful of queries."""
        with self._database.reading() as connection:
            return Book(
                sites=fleet_rows.load_sites(connection, sites),
                people=fleet_rows.load_people(connection),
                vehicles=fleet_rows.load_vehicles(connection, sites),
                entries=entry_rows.recent(connection, now, sites),
                states=pass_rows.load_states(connection, sites),
                reminders=advice_rows.load_reminders(connection, sites),
                answers=advice_rows.load_answers(connection, now, sites),
                passes=pass_rows.load_passes(connection, sites),
                boards=board_rows.board_times(connection),
                under_way=plan_rows.worked_on(connection, now),
            )

    def site(self, key: str) -> Site | None:
        """One site; None if there is none of that key."""
        with self._database.reading() as connection:
            return next(iter(fleet_rows.load_sites(connection, [key])), None)

    def vehicle(self, key: str) -> Vehicle | None:
        """One vehicle; None if there is none of that key."""
        with self._database.reading() as connection:
            return fleet_rows.load_vehicle(connection, key)

    def vehicles_at(self, site: str) -> tuple[Vehicle, ...]:
        """The vehicles of a site, in order of their keys."""
        with self._database.reading() as connection:
            return fleet_rows.load_vehicles(connection, [site])

    def people_at(self, site: str) -> tuple[Person, ...]:
        """Everybody who works at a site, keeps a vehicle there or is written to about it."""
        with self._database.reading() as connection:
            own = fleet_rows.load_sites(connection, [site])
            keepers = {one.keeper for one in fleet_rows.load_vehicles(connection, [site])}
            operators = {one.operator for one in own}
            return tuple(
                person
                for person in fleet_rows.load_people(connection)
                if site in person.sites or person.key in keepers | operators
            )

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
        """Keep the outcome of one pass over a site in one transaction; see ``ports.Ledger``.

        Returns:
            How many messages were new.
        """
        with self._database.writing() as connection:
            pass_rows.save_states(connection, states)
            advice_rows.save_reminders(connection, reminders, now)
            advice_rows.save_decisions(connection, site, decisions, now=now, reply_id=reply_id)
            if board is not None:
                board_rows.save_board(connection, board)
                board_rows.save_nights(connection, site, nights)
            pass_rows.note_pass(connection, site, now, judged_to)
            link_rows.keep_links(connection, links)
            if basis is not None:
                basis_rows.keep_basis(connection, basis)
            return outbox_rows.queue(connection, messages, now)

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
        """Keep what is said outside the judgement of a site; see ``ports.Ledger``.

        Returns:
            How many messages were new.
        """
        with self._database.writing() as connection:
            advice_rows.save_reminders(connection, reminders, now)
            advice_rows.save_decisions(connection, site, decisions, now=now, reply_id=None)
            link_rows.keep_links(connection, links)
            return outbox_rows.queue(connection, messages, now)

    def told_at(self, site: str, since: datetime) -> Sequence[OutboxRow]:
        """Messages about a site that were queued since; see ``ports.pages.Letters``."""
        return self.outbox.listed(since=since, site=site)

    def note_failure(
        self, site: str, now: datetime, *, cause: str, next_try_at: datetime
    ) -> SitePass:
        """Note that the pass over a site failed; the site is put off until ``next_try_at``."""
        with self._database.writing() as connection:
            return pass_rows.note_failure(
                connection, site, now, cause=cause, next_try_at=next_try_at
            )

    def save_fleet(
        self,
        *,
        sites: Sequence[Site] = (),
        people: Sequence[Person] = (),
        vehicles: Sequence[Vehicle] = (),
        remove_others: bool = False,
    ) -> None:
        """Add or replace sites, people and vehicles; all of them or none.

        Args:
            sites: sites.
            people: people with their channels.
            vehicles: vehicles; their sites are among ``sites`` or entered already.
            remove_others: take out whatever is not named; entries and messages stay.

        Raises:
            LedgerError: a vehicle stands at a site nobody entered, or the database failed.
        """
        with self._database.writing() as connection:
            fleet_rows.save_sites(connection, sites)
            fleet_rows.save_people(connection, people)
            fleet_rows.save_vehicles(connection, vehicles)
            if remove_others:
                named = {person.key for person in people}
                gone = [one.key for one in fleet_rows.load_people(connection)]
                outbox_rows.let_go(connection, [key for key in gone if key not in named])
                fleet_rows.keep_only(
                    connection,
                    sites={site.key for site in sites},
                    people=named,
                    vehicles={vehicle.key for vehicle in vehicles},
                )

    def change_vehicle(
        self, key: str, change: Callable[[Vehicle], Vehicle], entries: Sequence[Entry]
    ) -> bool:
        """Change one vehicle as it stands; see ``ports.pages.Vehicles``."""
        with self._database.writing() as connection:
            vehicle = fleet_rows.load_vehicle(connection, key)
            if vehicle is None:
                return False
            fleet_rows.save_vehicles(connection, [change(vehicle)])
            _append(connection, entries)
            return True

    def entered(self) -> Entered:
        """Everything that is entered, in one consistent view."""
        with self._database.reading() as connection:
            return fleet_changes.entered(connection)

    def change_fleet(self, make: Callable[[Entered], FleetChange]) -> FleetChange:
        """Change what is entered, all of it or nothing; see ``fleet_changes.change_fleet``."""
        with self._database.writing() as connection:
            return fleet_changes.change_fleet(connection, make)

    def add_entries(self, entries: Sequence[Entry]) -> tuple[Linked, ...]:
        """Add to the record, all of it or nothing.

        Raises:
            RecordError: a vehicle is not entered.
        """
        with self._database.writing() as connection:
            fleet_rows.end_roofs(connection, entries)
            return _append(connection, entries)

    def record_of(self, vehicle: str) -> tuple[Linked, ...]:
        """A vehicle's whole record in the order it was taken in; see ``records.chain.verify``."""
        with self._database.reading() as connection:
            return entry_rows.of_vehicle(connection, vehicle)

    def add_answers(self, answers: Sequence[Answer]) -> None:
        """Keep what people answered."""
        with self._database.writing() as connection:
            advice_rows.add_answers(connection, answers)

    def take_answers(
        self,
        answers: Sequence[Answer],
        *,
        entries: Sequence[Entry] = (),
        withdraw: Sequence[str] = (),
        once: str = "",
    ) -> bool:
        """Keep answers and what follows from them, all of it or nothing; see ``ports.Ledger``."""
        with self._database.writing() as connection:
            if not advice_rows.add_answers(connection, answers, once=once):
                return False
            fleet_rows.end_roofs(connection, entries)
            _append(connection, entries)
            outbox_rows.withdraw(connection, withdraw)
            return True

    def decisions(
        self,
        *,
        since: datetime,
        until: datetime,
        vehicle: str | None = None,
        site: str | None = None,
    ) -> tuple[KeptDecision, ...]:
        """Decisions that held at any time in the span, oldest first."""
        with self._database.reading() as connection:
            return advice_rows.find_decisions(
                connection, vehicle=vehicle, site=site, since=since, until=until
            )

    def prune(self, now: datetime) -> None:
        """Drop what is past its use: silence after a month, the rest after a season.

        Entries are never dropped.
        """
        silence = ~_decision.c.said & (_decision.c.until_at < now - SILENCE_KEPT)
        with self._database.writing() as connection:
            connection.execute(
                delete(_decision).where(silence | (_decision.c.until_at < now - EVIDENCE_KEPT))
            )
            connection.execute(delete(_message).where(_message.c.queued_at < now - EVIDENCE_KEPT))
            link_rows.prune_links(connection, now - EVIDENCE_KEPT)
            prune_addresses(connection, now)
            connection.execute(delete(_answer).where(_answer.c.at < now - EVIDENCE_KEPT))
            cleared = ~_reminder.c.standing & (_reminder.c.changed_at < now - EVIDENCE_KEPT)
            connection.execute(delete(_reminder).where(cleared))
        self.bases.prune(now, season=EVIDENCE_KEPT)
        self.replies.prune(now)
        self.readings.prune(now - EVIDENCE_KEPT)
        self.lessons.prune(now - EVIDENCE_KEPT)
        self.rounds.prune(now - EVIDENCE_KEPT)
        self.photos.prune(now - EVIDENCE_KEPT)
        self.plans.prune(now - EVIDENCE_KEPT)


def _append(connection: Connection, entries: Sequence[Entry]) -> tuple[Linked, ...]:
    known = set(connection.scalars(select(_vehicle.c.key))) if entries else set()
    for entry in entries:
        if entry.vehicle not in known:
            raise RecordError(
                f"vehicle {entry.vehicle!r} is not entered, so nothing can be recorded "
                "about it. Import it first, or correct its key."
            )
    return entry_rows.append(connection, entries)
