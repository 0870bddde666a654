"""What the pages read, each in a fixed number of queries, and where rounds are kept."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Protocol

from frostwatch.advice.board import Board
from frostwatch.advice.night_view import NightView
from frostwatch.advice.reminders import Decision, Reminder
from frostwatch.advice.walk import Press, WalkRound
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.ledger import Book, SitePass
from frostwatch.ports.lessons import AirReading
from frostwatch.ports.links import AnswerLink
from frostwatch.ports.outbox import Message, OutboxRow
from frostwatch.ports.photos import Photo
from frostwatch.records.chain import Linked
from frostwatch.records.entries import Entry


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Yard:
    """A site as its lists show it, in one consistent view.

    Attributes:
        site: the site.
        board: how its vehicles stood at the last pass; None before the first.
        vehicles: its vehicles as they are entered now, by key.
        people: everybody, by key.
        fresh: entries of the vehicles that were recorded about since that pass.
        passed: how its last pass went; None before the first.
        round: the round that is being walked; None for none.
        presses: what was pressed on it.
        told: messages about it to those who walk, oldest first.
        over: the newest round that was handed back lately; None for none. Phones may still bring
            what was pressed on it.
        over_presses: what was pressed on that one.
    """

    site: Site
    board: Board | None
    vehicles: Mapping[str, Vehicle]
    people: Mapping[str, Person]
    fresh: Mapping[str, tuple[Entry, ...]]
    passed: SitePass | None
    round: WalkRound | None
    presses: tuple[Press, ...]
    told: tuple[OutboxRow, ...] = ()
    over: WalkRound | None = None
    over_presses: tuple[Press, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class VehicleFile:
    """One vehicle as its page shows it.

    Attributes:
        vehicle: the vehicle.
        site: where it stands.
        board: how the vehicles of the site stood at the last pass; None before the first.
        night: its night at that pass; None where it was dry or there was no forecast.
        record: everything that was ever recorded about it, in order.
        said: what people were told about it, newest first.
        people: everybody, by key.
        round: the round of the site that is being walked; None for none.
        photos: its photographs, without their pictures, in the order they were taken.
        passed: how the last pass over the site went; None before the first.
    """

    vehicle: Vehicle
    site: Site
    board: Board | None
    night: NightView | None
    record: tuple[Linked, ...]
    said: tuple[Decision, ...]
    people: Mapping[str, Person]
    round: WalkRound | None
    photos: tuple[Photo, ...] = ()
    passed: SitePass | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WalkFile:
    """A released round as those see it who walk it.

    Attributes:
        round: the round.
        presses: what was pressed on it, in order of arrival.
        site: where it is.
        board: how the site's vehicles stood at the last pass; None before the first.
        vehicles: those of the round that are entered now, by key.
        people: everybody, by key.
        photos: vehicle -> how many photographs were taken on the round.
    """

    round: WalkRound
    presses: tuple[Press, ...]
    site: Site
    board: Board | None
    vehicles: Mapping[str, Vehicle]
    people: Mapping[str, Person]
    photos: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sending:
    """One message about a vehicle over one channel, with the decision behind it."""

    decision: Decision
    row: OutboxRow


class Pages(Protocol):
    """What the pages read. Raises LedgerError."""

    def yard(self, site: str, now: datetime) -> Yard | None:
        """A site with all its vehicles; None if there is none of that key."""
        ...

    def vehicle(self, key: str, now: datetime) -> VehicleFile | None:
        """One vehicle; None if there is none of that key."""
        ...

    def sendings(self, vehicle: str) -> Sequence[Sending]:
        """Every message about a vehicle that is still kept, oldest first."""
        ...

    def walk(self, code: str) -> WalkFile | None:
        """A released round; None if there is none of that code."""
        ...

    def air_read(self, site: str, since: datetime, until: datetime) -> Sequence[AirReading]:
        """What a thermometer at a site read in a span, in order of time."""
        ...

    def board(self, site: str) -> Board | None:
        """How the vehicles of a site stood at its last pass; None before the first."""
        ...

    def site_names(self) -> Mapping[str, str]:
        """Key -> name of every site, in order of their keys."""
        ...

    def board_times(self) -> Mapping[str, datetime]:
        """Site -> moment of the pass its board is from."""
        ...


class Records(Protocol):
    """Where entries are kept. Raises LedgerError."""

    def add_entries(self, entries: Sequence[Entry]) -> tuple[Linked, ...]:
        """Add to the record, all of it or nothing; RecordError where a vehicle is not entered."""
        ...


class Vehicles(Protocol):
    """Where vehicles are kept. Raises LedgerError."""

    def change_vehicle(
        self, key: str, change: Callable[[Vehicle], Vehicle], entries: Sequence[Entry]
    ) -> bool:
        """Change one vehicle as it stands, and record what was changed, in one transaction.

        Returns:
            Whether there is such a vehicle.
        """
        ...


class Letters(Protocol):
    """What is asked of the ledger by who writes to owners. Raises LedgerError."""

    def load(self, now: datetime, *, sites: Sequence[str] | None = None) -> Book:
        """Everything entered about some sites, with what stands and what was answered."""
        ...

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
        """Keep what is said, in one transaction; returns how many messages were new."""
        ...

    def told_at(self, site: str, since: datetime) -> Sequence[OutboxRow]:
        """Messages about a site that were queued since, oldest first."""
        ...


class Rounds(Protocol):
    """Where released rounds are kept. Raises LedgerError."""

    def add_round(self, walk: WalkRound) -> bool:
        """Keep a round; False if its code is taken."""
        ...

    def change_round(self, code: str, change: Callable[[WalkRound], WalkRound]) -> WalkRound | None:
        """Change a round as it stands, read and written in one transaction.

        Returns:
            The round as it stands then, one that was handed back unchanged; None for no round.
        """
        ...

    def round(self, code: str) -> WalkRound | None:
        """The round of that code; None if there is none."""
        ...

    def presses(self, code: str) -> tuple[Press, ...]:
        """What was pressed on a round, in order of arrival."""
        ...

    def add_press(self, press: Press, entries: Sequence[Entry]) -> bool:
        """Keep a press and what it records in one transaction; False if it was known already."""
        ...
