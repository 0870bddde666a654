"""The record of one vehicle: read it, add to it, take a word back."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Protocol

from frostwatch.errors import RecordError
from frostwatch.fleet.finding import vehicle_meant
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.ports import Book
from frostwatch.ports.photos import Photo
from frostwatch.records.chain import BrokenLink, Linked, verify
from frostwatch.records.entries import Entry, State
from frostwatch.records.events import Effect, effect_of
from frostwatch.records.standing_water import CircuitWater, water_of
from frostwatch.records.stating import Statement, entries_stated, statement_from

TAKEN_BACK = "taken back"
CLOCK_MAY_BE_OFF = timedelta(minutes=5)


class RecordStore(Protocol):
    """What is asked of the ledger."""

    def load(self, now: datetime, *, sites: Sequence[str] | None = None) -> Book:
        """Everything entered."""
        ...

    def record_of(self, vehicle: str) -> tuple[Linked, ...]:
        """A vehicle's whole record."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class VehicleRecord:
    """One vehicle with its record.

    Attributes:
        vehicle: the vehicle.
        site: where it stands.
        layout: its layout with its overrides applied.
        people: everybody entered.
        links: the record in the order it was taken in.
        water: what each circuit holds now.
        broken: the first place at which the chain does not hold, None if it holds.
        photos: its photographs without their pictures, in the order they were taken.
    """

    vehicle: Vehicle
    site: Site
    layout: Layout
    people: tuple[Person, ...]
    links: tuple[Linked, ...]
    water: tuple[CircuitWater, ...]
    broken: BrokenLink | None
    photos: tuple[Photo, ...] = ()

    @property
    def entries(self) -> tuple[Entry, ...]:
        """What was recorded, in the order it was taken in."""
        return tuple(linked.entry for linked in self.links)

    def water_with(self, more: Sequence[Entry], now: datetime) -> tuple[CircuitWater, ...]:
        """What each circuit would hold if this was recorded too."""
        entries, south = (*self.entries, *more), self.site.is_south
        return water_of(self.vehicle, self.layout, entries, now, south=south)

    def stating(self, words: Sequence[str], told: Entry) -> tuple[Entry, ...]:
        """Entries for typed statements, or for a happening alone; see ``records.stating``.

        Raises:
            RecordError: not understood, or it cannot be; the message names the mend.
        """
        if told.at > told.received_at + CLOCK_MAY_BE_OFF:
            raise RecordError(
                "--at lies in the future. Only what was so already can be recorded; leave it out "
                "for now."
            )
        happens = effect_of(told.event) in (Effect.REWETS, Effect.MOVES, Effect.NOTED)
        if not words and not (told.event and happens):
            raise RecordError(
                "nothing is said about the water. Write drained, or circuit=state such as "
                "waste=full fresh=20L traps=35%."
            )
        statements = [self._meant(statement_from(word, self.layout)) for word in words]
        if statements:
            return entries_stated(statements, told, self.layout)
        first = replace(statement_from("unknown", self.layout), circuits=(told.circuit,))
        return entries_stated([first], told, self.layout)

    def _meant(self, one: Statement) -> Statement:
        """Who drains a whole vehicle leaves antifreeze in the traps, and an open valve open."""
        if one.state is not State.DRAINED or len(one.circuits) == 1:
            return one
        stays = {w.circuit for w in self.water if w.state is State.DOSED or w.open_end}
        return replace(one, circuits=tuple(c for c in one.circuits if c not in stays))

    def taking_back(self, number: int, by: str, now: datetime) -> tuple[Entry, ...]:
        """The entry that takes back an earlier one of the same writer.

        Args:
            number: its place in the record, from 1.
            by: who takes it back.
            now: when, UTC.

        Raises:
            RecordError: there is no such entry, or somebody else wrote it.
        """
        if not 1 <= number <= len(self.links):
            raise RecordError(
                f"there is no entry {number}. {self.vehicle.key} has {len(self.links)} entries."
            )
        entry = self.links[number - 1].entry
        if entry.by != by:
            raise RecordError(
                f"entry {number} was written by {entry.by}; only its writer takes it back. "
                "Record what you saw with the event settled instead."
            )
        return (replace(entry, state=State.UNKNOWN, event=TAKEN_BACK, received_at=now),)


def read_record(ledger: RecordStore, word: str, now: datetime) -> VehicleRecord:
    """The record of the vehicle somebody means.

    Raises:
        FleetError: nobody entered it, or the word fits several.
        LedgerError: it cannot be read.
    """
    book = ledger.load(now)
    vehicle = vehicle_meant(word, book.vehicles)
    site = next(site for site in book.sites if site.key == vehicle.site)
    layout = layout_of(vehicle)
    links = ledger.record_of(vehicle.key)
    return VehicleRecord(
        vehicle=vehicle,
        site=site,
        layout=layout,
        people=book.people,
        links=links,
        water=water_of(
            vehicle, layout, [linked.entry for linked in links], now, south=site.is_south
        ),
        broken=verify(links),
    )
