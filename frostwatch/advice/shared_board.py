"""How much of crew, posts and power is taken when, and where more is needed than there is."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.shared import Choice, Shared, Use
from frostwatch.fleet.sites import Site

GRID = timedelta(minutes=1)
NEVER = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conflict:
    """More is needed at once than there is.

    Attributes:
        what: of what.
        at: when it is worst, UTC.
        vehicles: keys of those that collide then.
        need: needed then.
        have: there is, beside what heat kept on draws.
        post: the one post it is about, "" for none.
        who: the person it is about, "" for none.
        kept_w: what heat kept on draws of the supply [W].
    """

    what: Shared
    at: datetime
    vehicles: tuple[str, ...]
    need: float
    have: float
    post: str = ""
    who: str = ""
    kept_w: float = 0.0


def conflicts_of(
    choices: Sequence[Choice], site: Site, *, kept_w: float = 0.0
) -> tuple[Conflict, ...]:
    """Where choices taken together need more than there is.

    The worst moment of each kind; of every post that was named, and of every person, its own.

    Args:
        choices: one of each vehicle.
        site: crew, posts and supply, as heat kept on leaves them.
        kept_w: what heat kept on draws of the supply [W].
    """
    board = Board(site, choices)
    found = [board.worst(choices, Shared.CREW)]
    for who in board.by_person:
        found.append(board.worst(choices, Shared.PERSON, who=who))
    for post in sorted(board.fixed):
        found.append(board.worst(choices, Shared.POSTS, post=post))
    found.append(board.worst(choices, Shared.POSTS))
    power = board.worst(choices, Shared.POWER)
    found.append(replace(power, kept_w=kept_w) if power is not None else None)
    return tuple(one for one in found if one is not None)


class Board:
    """How much of everything is taken, minute by minute."""

    def __init__(self, site: Site, choices: Sequence[Choice]) -> None:
        uses = [use for choice in choices for use in choice.uses]
        self.start = min((use.starts for use in uses), default=NEVER)
        end = max((use.ends for use in uses), default=self.start)
        self.cells = int((end - self.start) / GRID) + 2
        self.site = site
        self.fixed = frozenset(use.post for use in uses if use.post)
        self.crew = np.zeros(self.cells)
        self.watts = np.zeros(self.cells)
        ratings = sorted({use.least_w for use in uses if use.what is Shared.POSTS})
        self.ratings = tuple(ratings)
        self.by_rating = {least: np.zeros(self.cells) for least in ratings}
        self.by_post = {name: np.zeros(self.cells) for name in self.fixed}
        people = sorted({use.who for use in uses if use.who})
        self.by_person = {who: np.zeros(self.cells) for who in people}

    def span(self, use: Use) -> slice:
        """Cells of a use; a cell that is touched counts."""
        begin = int((use.starts - self.start) // GRID)
        return slice(begin, max(begin + 1, int(-((self.start - use.ends) // GRID))))

    def posts(self, least_w: float) -> int:
        """Free posts that give so much, those of named vehicles left out."""
        return sum(p.power_w >= least_w and p.name not in self.fixed for p in self.site.posts)

    def rows(self, use: Use) -> Iterator[tuple[NDArray[np.float64], float, float]]:
        """What a use takes from: (row, amount, what there is)."""
        if use.what is Shared.CREW:
            yield self.crew, use.amount, float(max(1, self.site.crew))
        elif use.what is Shared.PERSON:
            yield self.by_person[use.who], use.amount, 1.0
        elif use.what is Shared.POWER:
            yield self.watts, use.amount, self.site.supply_w or np.inf
        elif use.post:
            there = next((p for p in self.site.posts if p.name == use.post), None)
            enough = there is not None and there.power_w >= use.least_w
            yield self.by_post[use.post], 1.0, 1.0 if enough else 0.0
        else:
            # nested needs: for every rating, those that need it or more against posts that give it
            for least in self.ratings:
                if least <= use.least_w and self.site.posts:
                    yield self.by_rating[least], 1.0, float(self.posts(least))

    def ever(self, choice: Choice) -> bool:
        """It would fit were it alone."""
        return all(amount <= most for use in choice.uses for _, amount, most in self.rows(use))

    def fits(self, choice: Choice) -> bool:
        """It fits beside what is taken; its own uses may lie over each other."""
        self.take(choice, 1.0)
        well = all(
            float(row[self.span(use)].max()) <= most + 1e-9
            for use in choice.uses
            for row, _, most in self.rows(use)
        )
        self.take(choice, -1.0)
        return well

    def take(self, choice: Choice, sign: float) -> None:
        """Take what a choice needs, or give it back."""
        for use in choice.uses:
            for row, amount, _ in self.rows(use):
                row[self.span(use)] += sign * amount

    def worst(
        self, choices: Sequence[Choice], what: Shared, *, post: str = "", who: str = ""
    ) -> Conflict | None:
        """The worst moment at which there is too little of something."""
        worst: tuple[float, int, float, float] | None = None
        own = [
            (choice, use)
            for choice in choices
            for use in choice.uses
            if (use.what, use.post, use.who) == (what, post, who)
        ]
        for choice in choices:
            self.take(choice, 1.0)
        for _, use in own:
            for row, _, most in self.rows(use):
                span = self.span(use)
                cell = span.start + int(row[span].argmax())
                over = float(row[cell]) - most
                if over > 1e-9 and (worst is None or over > worst[0]):
                    worst = over, cell, float(row[cell]), most
        for choice in choices:
            self.take(choice, -1.0)
        if worst is None:
            return None
        _, cell, need, have = worst
        there = tuple(
            dict.fromkeys(
                choice.plan.vehicle
                for choice, use in own
                if self.span(use).start <= cell < self.span(use).stop
            )
        )
        return Conflict(
            what=what,
            at=self.start + cell * GRID,
            vehicles=there,
            need=need,
            have=have,
            post=post,
            who=who,
        )
