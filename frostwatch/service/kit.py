"""What a pass works with. Built by ``frostwatch.wiring``, by tests, and by replay."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from frostwatch.messages.replies import new_code
from frostwatch.ports import Book, Channels, Forecasts, Heights, Ledger, LinkStore, OutboxStore
from frostwatch.ports.plans import Plans
from frostwatch.service.lessons import Lessons
from frostwatch.service.rules import Rule

MEMBERS = 40
"""Equally likely airs made of one forecast."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Kit:
    """The adapters of one running service.

    Attributes:
        ledger: what is known, decided and said.
        outbox: messages on their way.
        channels: hands messages over.
        forecasts: where the air comes from.
        heights: looks up heights that nobody entered; None where nobody is asked.
        members: number of members.
        rule: plain rule that takes the place of members and heat model, for comparison; None in
            any running service.
        near_only: nights are worked out as far ahead as messages look, no further; for replays.
        boards: what pages show is kept as well; False where the next pass will do that.
        public_url: web address under which people reach this service, "" for none.
        links: where links are kept; None where nobody could open any.
        lessons: what the nights of each site taught; None takes every site by the default.
        new_code: makes the code of a link.
        escalates: whoever runs a place is told of urgent messages that reached nobody; not where
            nothing is really sent, as in replays.
        plans: where handover plans are kept for the pages; None where nobody looks at them.
    """

    ledger: Ledger
    outbox: OutboxStore
    channels: Channels
    forecasts: Forecasts
    heights: Heights | None = None
    members: int = MEMBERS
    rule: Rule | None = None
    near_only: bool = False
    boards: bool = True
    public_url: str = ""
    links: LinkStore | None = None
    lessons: Lessons | None = None
    new_code: Callable[[], str] = new_code
    escalates: bool = True
    plans: Plans | None = None

    def book(self, now: datetime) -> Book:
        """What was known at ``now``."""
        book = self.ledger.load(now)
        return book if self.boards else replace(book, boards=None)
