"""Where handover plans are kept for the pages, and those that somebody is at work on."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from frostwatch.advice.plan_board import PlanBoard, UnderWay
from frostwatch.fleet.heat import Handover
from frostwatch.records.entries import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverChange:
    """A handover was entered, moved or taken off.

    Attributes:
        vehicle: key of the vehicle.
        site: key of its site.
        at: when, UTC.
        by: who did it.
        before: as it was; None where none was entered.
        after: as it is; None where none is entered any more.
    """

    vehicle: str
    site: str
    at: datetime
    by: str
    before: Handover | None
    after: Handover | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanFile:
    """What the page of handovers reads beside the yard.

    Attributes:
        board: the plans; None where none were ever made.
        under_way: vehicle -> the plan somebody is at work on.
        entries: vehicle -> its entries in the order they were taken in.
        changes: vehicle -> what was changed last about its handover, lately.
    """

    board: PlanBoard | None
    under_way: Mapping[str, UnderWay]
    entries: Mapping[str, tuple[Entry, ...]]
    changes: Mapping[str, HandoverChange]


class Plans(Protocol):
    """Where plans are kept. Raises LedgerError."""

    def keep(self, board: PlanBoard) -> None:
        """Keep the plans of a site instead of those that were."""
        ...

    def board(self, site: str) -> PlanBoard | None:
        """The plans of a site; None where none were ever made."""
        ...

    def file(self, site: str, now: datetime, vehicles: Collection[str] | None = None) -> PlanFile:
        """What the page of a site reads, in a fixed number of queries.

        Args:
            site: key of the site.
            now: moment, UTC.
            vehicles: those whose entries are wanted; None for all of the site.
        """
        ...

    def press(
        self,
        vehicle: str,
        before: UnderWay | None,
        after: UnderWay | None,
        entries: Sequence[Entry],
    ) -> bool:
        """Move a plan on, with what that records, all of it or nothing.

        Args:
            vehicle: key of the vehicle.
            before: what the press was made on; None where nobody was at work yet.
            after: what it comes to; None where nobody is at work any longer.
            entries: what follows for the record.

        Returns:
            False if somebody else pressed in between; then nothing was kept.
        """
        ...

    def enter(self, change: HandoverChange, *, post: str | None = None) -> bool:
        """Enter, move or take off a handover, and keep who did it.

        A plan that somebody is at work on moves with its hour, and ends where it is taken off.

        Args:
            change: what changes.
            post: post the vehicle stands at from now on; None leaves it as it was.

        Returns:
            False if somebody else changed it in between; then nothing was kept.
        """
        ...

    def changes_of(self, vehicle: str) -> Sequence[HandoverChange]:
        """What was ever changed about a vehicle's handovers, oldest first."""
        ...
