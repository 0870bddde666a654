"""An order in which handovers that share crew, posts and power all fit.

It is exact for up to ``EXACT_UP_TO`` vehicles over the choices looked at (sources, heating on every
quarter of an hour up to four hours earlier or later, handed over up to an hour and a half later):
the least lateness in all, then the least heating for nothing. A search that would take longer than
a few seconds (four alike at one hour and one pair of hands) gives the best order it found and says
that a better one may exist. Beyond that number vehicles are placed one after the other by their
hours.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from frostwatch.advice.shared import Choice, Shared, Use
from frostwatch.advice.shared_board import Board
from frostwatch.fleet.heat import Post
from frostwatch.fleet.sites import Site

EXACT_UP_TO = 6
MOST_LOOKS = 40_000
"""Choices looked at before an order is taken that may not be the best."""
Cost = tuple[int, float, float]
"""Vehicles left out, minutes late in all, minutes heated for nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """An order in which all fit.

    Attributes:
        choices: one for each vehicle, by heating-on hour.
        left_over: keys of vehicles for which nothing fits.
        exact: no better one exists among the choices looked at.
    """

    choices: tuple[Choice, ...]
    left_over: tuple[str, ...] = ()
    exact: bool = True


def order_for(choices: Mapping[str, Sequence[Choice]], site: Site) -> Order:
    """The cheapest choice for each vehicle such that all of them fit together.

    Args:
        choices: vehicle -> its choices, cheapest first.
        site: crew, posts and supply.
    """
    everything = [choice for own in choices.values() for choice in own]
    board = Board(site, everything)
    possible = {key: [c for c in own if board.ever(c)] for key, own in choices.items()}
    left_over = tuple(sorted(key for key, own in possible.items() if not own))
    wanted = {key: own for key, own in possible.items() if own}
    keys = sorted(wanted, key=lambda key: (wanted[key][0].plan.at, key))
    search = _Search(board, [wanted[key] for key in keys])
    exact = len(keys) <= EXACT_UP_TO
    taken = search.exact() if exact else search.in_turn()
    if search.gave_up:
        exact = False
    late = tuple(key for key, choice in zip(keys, taken, strict=True) if choice is None)
    kept = [choice for choice in taken if choice is not None]
    return Order(
        choices=tuple(sorted(kept, key=lambda c: (c.plan.on_by or c.hour, c.plan.vehicle))),
        left_over=tuple(sorted((*left_over, *late))),
        exact=exact,
    )


class _Search:
    """Depth first over the vehicles, cheapest choice first, cut where it cannot get better."""

    def __init__(self, board: Board, choices: Sequence[Sequence[Choice]]) -> None:
        self.board = board
        self.choices = choices
        self.best: list[Choice | None] = [None] * len(choices)
        self.best_cost: Cost = (len(choices) + 1, np.inf, np.inf)
        self.looks = 0
        least = [own[0].cost for own in choices]
        self.rest = [
            (sum(c[0] for c in least[n:]), sum(c[1] for c in least[n:]))
            for n in range(len(least) + 1)
        ]

    def exact(self) -> list[Choice | None]:
        """The cheapest choices of all; a vehicle is left out only where nothing else fits."""
        self._go(0, [], (0, 0.0, 0.0))
        return self.best

    @property
    def gave_up(self) -> bool:
        """It looked at as many choices as it may; a better order may exist."""
        return self.looks > MOST_LOOKS

    def _go(self, n: int, taken: list[Choice | None], cost: Cost) -> None:
        if n == len(self.choices):
            self.best, self.best_cost = list(taken), cost
            return
        left, late, early = cost
        for choice in self.choices[n]:
            step = (left, late + choice.late_min, early + choice.early_min)
            if self._bound(n + 1, step) >= self.best_cost or self.gave_up:
                break
            self.looks += 1
            if self.board.fits(choice):
                self.board.take(choice, 1.0)
                self._go(n + 1, [*taken, choice], step)
                self.board.take(choice, -1.0)
        without = (left + 1, late, early)
        if self._bound(n + 1, without) < self.best_cost and not self.gave_up:
            self._go(n + 1, [*taken, None], without)

    def _bound(self, n: int, cost: Cost) -> Cost:
        """No way on from here costs less."""
        left, late, early = cost
        return left, late + self.rest[n][0], early + self.rest[n][1]

    def in_turn(self) -> list[Choice | None]:
        """Each in turn the first that fits."""
        taken: list[Choice | None] = []
        for own in self.choices:
            choice = next((c for c in own if self.board.fits(c)), None)
            if choice is not None:
                self.board.take(choice, 1.0)
            taken.append(choice)
        return taken


def posts_for(order: Order, site: Site) -> dict[str, str]:
    """Vehicle -> post, by heating-on hour, the smallest free one that gives enough."""
    held: dict[str, list[Use]] = {}
    given: dict[str, str] = {}
    for choice in order.choices:
        for use in choice.uses:
            if use.what is Shared.POSTS:
                post = _free(site.posts, held, use)
                if post is not None:
                    held.setdefault(post.name, []).append(use)
                    given[choice.plan.vehicle] = post.name
    return given


def _free(posts: Sequence[Post], held: Mapping[str, Sequence[Use]], use: Use) -> Post | None:
    def is_free(post: Post) -> bool:
        others = held.get(post.name, ())
        return all(use.ends <= o.starts or o.ends <= use.starts for o in others)

    fitting = [
        post
        for post in posts
        if (not use.post or post.name == use.post) and post.power_w >= use.least_w and is_free(post)
    ]
    return min(fitting, key=lambda post: (post.power_w, post.name), default=None)
