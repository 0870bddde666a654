"""Where handover plans are kept for the pages, and those that somebody is at work on."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from frostwatch.advice.plan_board import PlanBoard, UnderWay
from frostwatch.records.entries import Entry


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanFile:
    """What the page of handovers reads beside the yard.

    Attributes:
        board: the plans; None where none were ever made.
        under_way: vehicle -> the plan somebody is at work on.
        entries: vehicle -> its entries in the order they were taken in.
    """

    board: PlanBoard | None
    under_way: Mapping[str, UnderWay]
    entries: Mapping[str, tuple[Entry, ...]]


class Plans(Protocol):
    """Where plans are kept. Raises LedgerError."""

    def keep(self, board: PlanBoard) -> None:
        """Keep the plans of a site instead of those that were."""
        ...

    def board(self, site: str) -> PlanBoard | None:
        """The plans of a site; None where none were ever made."""
        ...

    def file(self, site: str, now: datetime) -> PlanFile:
        """What the page of a site reads, in a fixed number of queries."""
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
