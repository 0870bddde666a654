"""What the service asks of its ledger."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.board import Board
from frostwatch.advice.night_view import NightView
from frostwatch.advice.reminders import Answer, Decision, Reminder
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.links import AnswerLink
from frostwatch.ports.outbox import Message
from frostwatch.records.chain import Linked
from frostwatch.records.entries import Entry

if TYPE_CHECKING:
    from frostwatch.ports.basis import PassBasis


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptState:
    """Where a vehicle's heat model stood at the end of the hour ``at``.

    Attributes:
        vehicle: key of the vehicle.
        at: the whole hour it holds for, UTC.
        signature: what it depends on (layout, overrides, fill, members) in one short word; a
            state whose signature differs from the present one must not be used.
        arrays: name -> float32 array of any shape.
    """

    vehicle: str
    at: datetime
    signature: str
    arrays: Mapping[str, NDArray[np.float32]]


@dataclass(frozen=True, slots=True, kw_only=True)
class SitePass:
    """How the last pass over a site went.

    Attributes:
        site: key of the site.
        passed_at: last pass that ended well, UTC; None if none ever did.
        judged_to: up to when people's reading times were served, UTC; None before the first.
        failed_at: last pass that failed since then, UTC; None if it stands well.
        cause: what failed, "" if nothing.
        failures: passes failed in a row.
        next_try_at: not to be tried before, UTC; None for the next pass.
    """

    site: str
    passed_at: datetime | None = None
    judged_to: datetime | None = None
    failed_at: datetime | None = None
    cause: str = ""
    failures: int = 0
    next_try_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptDecision:
    """A decision with its life in the ledger.

    A pass that decides the same for the same reasons adds nothing; it only moves ``until_at``.

    Attributes:
        decision: what was decided, first at ``decision.at``.
        until_at: last pass that decided so, UTC.
        reply_id: number of the provider's reply it first rested on, None if there was none.
    """

    decision: Decision
    until_at: datetime
    reply_id: int | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Book:
    """Everything a pass needs to know, read in one consistent view.

    Attributes:
        sites: in order of their keys.
        people: everybody, with channels.
        vehicles: those of the sites, in order of their keys.
        entries: vehicle -> its entries in the order they were taken in; the last 400 days, and
            the newest of each circuit however old. Vehicles without entries are missing.
        states: vehicle -> where its heat model stood; missing for those never stepped.
        reminders: site -> reminders that are not cleared, in order of their keys.
        answers: vehicle -> what people answered in the last 60 days, oldest first.
        passes: site -> how its last pass went.
        boards: site -> moment of the pass its board is from; None if this ledger keeps none.
        under_way: vehicles that somebody is making ready for a handover just now.
    """

    sites: tuple[Site, ...]
    people: tuple[Person, ...]
    vehicles: tuple[Vehicle, ...]
    entries: Mapping[str, tuple[Entry, ...]]
    states: Mapping[str, KeptState]
    reminders: Mapping[str, tuple[Reminder, ...]]
    answers: Mapping[str, tuple[Answer, ...]]
    passes: Mapping[str, SitePass]
    boards: Mapping[str, datetime] | None = None
    under_way: frozenset[str] = frozenset()


class Ledger(Protocol):
    """What is known, decided and said. Raises LedgerError; then nothing of the call was kept."""

    def load(self, now: datetime, *, sites: Sequence[str] | None = None) -> Book:
        """Read everything, or everything about some sites, in a handful of queries."""
        ...

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
        basis: "PassBasis | None" = None,
    ) -> int:
        """Keep the outcome of one pass over a site in one transaction.

        Args:
            site: key of the site.
            now: time of the pass, UTC.
            states: where the heat models stand.
            reminders: all that were raised, changed or cleared.
            decisions: what was decided, silence included.
            messages: worded messages for the outbox.
            links: what those messages told, under the codes of their links.
            reply_id: number of the provider's reply that all this rests on.
            judged_to: up to when people's reading times are served now, UTC; None leaves it.
            board: how the site's vehicles stand, for its pages; None leaves what was kept.
            nights: the nights of its wet vehicles, for their pages; kept with the board.
            basis: what the judgement rested on; None where nothing was judged.

        Returns:
            How many messages were new.
        """
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
        """Keep what is said outside the judgement of a site, in one transaction.

        Returns:
            How many messages were new.
        """
        ...

    def note_failure(
        self, site: str, now: datetime, *, cause: str, next_try_at: datetime
    ) -> SitePass:
        """Note that the pass over a site failed; the site is put off until ``next_try_at``."""
        ...

    def add_entries(self, entries: Sequence[Entry]) -> tuple[Linked, ...]:
        """Add to the record.

        Raises:
            RecordError: a vehicle is not entered.
        """
        ...

    def add_answers(self, answers: Sequence[Answer]) -> None:
        """Keep what people answered."""
        ...

    def take_answers(
        self,
        answers: Sequence[Answer],
        *,
        entries: Sequence[Entry] = (),
        withdraw: Sequence[str] = (),
        once: str = "",
    ) -> bool:
        """Keep answers and what follows from them, all of it or nothing.

        Args:
            answers: what was answered.
            entries: what it says about the water.
            withdraw: reminders whose messages need not go out any more.
            once: name of the press; the same name is taken only once. "" for no name.

        Returns:
            Whether it was taken; False where that press was taken before.

        Raises:
            RecordError: a vehicle is not entered.
        """
        ...
