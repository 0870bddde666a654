"""An order in which handovers that share crew, posts and power all fit.

Of the choices looked at (sources, heating on every quarter of an hour up to four hours earlier or
later, handed over up to four hours later) it takes one for each vehicle: the fewest left
out, then the least lateness in all, then the least heating for nothing. It places them in turn,
takes a few out and places them anew as long as that helps, and then looks through all that could be
better, as far as a fixed number of looks reaches. What it found is known to be the best where that
search came to its end, or where no order at all can be less late.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from frostwatch.advice.shared import Choice, Shared
from frostwatch.advice.shared_bound import least_lateness
from frostwatch.advice.shared_rows import Laid, Row, Rows, Variant
from frostwatch.fleet.sites import Site

MOST_LOOKS = 6_000
"""Choices looked at one by one before the search ends."""
MOST_TURNS = 1_000
"""Times that some are taken out and placed anew."""
IDLE_TURNS = 250
"""So many of these in vain, and it is left."""
SEED = 1
Cost = tuple[int, float, float]
"""Vehicles left out, minutes late in all, minutes heated for nothing."""
Taken = list[int | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """An order in which all fit.

    Attributes:
        choices: one for each vehicle, by heating-on hour; a post that is taken is named.
        left_over: keys of vehicles for which nothing fits.
        exact: no order of the choices looked at leaves fewer out, or is less late in all.
        never: those of the left over that would not fit alone either: heat, post or power fall
            short of them.
    """

    choices: tuple[Choice, ...]
    left_over: tuple[str, ...] = ()
    exact: bool = True
    never: tuple[str, ...] = ()


def order_for(choices: Mapping[str, Sequence[Choice]], site: Site) -> Order:
    """The cheapest choice for each vehicle such that all of them fit together.

    Args:
        choices: vehicle -> its choices, cheapest first.
        site: crew, posts and supply.
    """
    rows = Rows(site, [choice for own in choices.values() for choice in own])
    laid = {key: rows.lay(own) for key, own in choices.items()}
    never = tuple(sorted(key for key, own in laid.items() if not own.variants))
    keys = sorted(
        (key for key in laid if key not in never),
        key=lambda key: (laid[key].variants[0].choice.plan.at, key),
    )
    search = _Search(rows, [laid[key] for key in keys], site)
    taken = search.best_found()
    kept = [laid[key].variants[n] for key, n in zip(keys, taken, strict=True) if n is not None]
    late = tuple(key for key, n in zip(keys, taken, strict=True) if n is None)
    named = _at_posts(kept, site, rows.named)
    return Order(
        choices=tuple(sorted(named, key=lambda c: (c.plan.on_by or c.hour, c.plan.vehicle))),
        left_over=tuple(sorted((*never, *late))),
        exact=search.is_exact,
        never=never,
    )


class _Search:
    def __init__(self, rows: Rows, laid: Sequence[Laid], site: Site) -> None:
        self.rows, self.laid = rows, laid
        self.best: Taken = [None] * len(laid)
        self.best_cost: Cost = (len(laid) + 1, np.inf, np.inf)
        self.looks = 0
        own = [[variant.choice for variant in one.variants] for one in laid]
        self.least_late = [least_lateness(own[n:], site) for n in range(len(own))] + [0.0]
        early = [min(choice.early_min for choice in one) for one in own]
        self.least_early = [sum(early[n:]) for n in range(len(own) + 1)]
        self.alike = [n > 0 and _is_alike(laid[n - 1], laid[n]) for n in range(len(laid))]

    @property
    def is_exact(self) -> bool:
        """The search came to its end, or nothing can be less late."""
        left, late, _ = self.best_cost
        return self.looks <= MOST_LOOKS or (left == 0 and late <= self.least_late[0] + 1e-6)

    def best_found(self) -> Taken:
        """Place of a variant for each vehicle; None where it is left out."""
        if not self.laid:
            self.best_cost = (0, 0.0, 0.0)
            return []
        self._keep(self._place([None] * len(self.laid), range(len(self.laid))))
        self._better()
        self.rows.clear()
        self._go(0, [], (0, 0.0, 0.0))
        return self.best

    def _cost(self, taken: Taken) -> Cost:
        kept = [
            one.variants[n].choice for one, n in zip(self.laid, taken, strict=True) if n is not None
        ]
        return (
            len(taken) - len(kept),
            sum(choice.late_min for choice in kept),
            sum(choice.early_min for choice in kept),
        )

    def _keep(self, taken: Taken) -> bool:
        cost = self._cost(taken)
        if cost >= self.best_cost:
            return False
        self.best, self.best_cost = list(taken), cost
        return True

    def _place(self, taken: Taken, order: Sequence[int]) -> Taken:
        """Each of some in turn the first that fits beside the others."""
        for n in order:
            fitting = self.rows.fitting(self.laid[n])
            taken[n] = int(fitting[0]) if fitting.size else None
            if fitting.size:
                self.rows.take(self.laid[n], int(fitting[0]), 1.0)
        return taken

    def _better(self) -> None:
        """Take a few out and place them anew in another order, as long as it helps."""
        chance = np.random.default_rng(SEED)
        count, idle, now = len(self.laid), 0, list(self.best)
        for _ in range(MOST_TURNS if count > 1 else 0):
            if idle >= IDLE_TURNS or self.best_cost <= (0, self.least_late[0], self.least_early[0]):
                return
            out = [
                int(n) for n in chance.permutation(count)[: chance.integers(2, min(count, 5) + 1)]
            ]
            tried = list(now)
            for n in out:
                if (place := tried[n]) is not None:
                    self.rows.take(self.laid[n], place, -1.0)
                tried[n] = None
            tried = self._place(tried, out)
            idle = 0 if self._keep(tried) else idle + 1
            if self._cost(tried) <= self._cost(now):
                now = tried
                continue
            for n in out:
                if (place := tried[n]) is not None:
                    self.rows.take(self.laid[n], place, -1.0)
            for n in out:
                if (place := now[n]) is not None:
                    self.rows.take(self.laid[n], place, 1.0)

    def _go(self, n: int, taken: Taken, cost: Cost) -> None:
        """Depth first, cheapest first, cut where it cannot get better."""
        if n == len(self.laid):
            self._keep(taken)
            return
        laid, before = self.laid[n], taken[-1] if self.alike[n] else None
        left, late, early = cost
        for place in self.rows.fitting(laid):
            choice = laid.variants[place].choice
            step = (left, late + choice.late_min, early + choice.early_min)
            if self._bound(n + 1, step) >= self.best_cost:
                break
            if before is not None and place < before:
                continue  # alike vehicles change places for nothing
            self.looks += 1
            if self.looks > MOST_LOOKS:
                return
            self.rows.take(laid, int(place), 1.0)
            self._go(n + 1, [*taken, int(place)], step)
            self.rows.take(laid, int(place), -1.0)
        without = (left + 1, late, early)
        if self._bound(n + 1, without) < self.best_cost and self.looks <= MOST_LOOKS:
            self._go(n + 1, [*taken, None], without)

    def _bound(self, n: int, cost: Cost) -> Cost:
        """No way on from here costs less."""
        left, late, early = cost
        least = late + self.least_late[n]
        if left == 0:
            least = max(least, self.least_late[0])
        return left, least, early + self.least_early[n]


def _is_alike(one: Laid, other: Laid) -> bool:
    """The same needs at the same cost: they can change places."""
    return one.own == other.own and [v.choice.cost for v in one.variants] == [
        v.choice.cost for v in other.variants
    ]


def _at_posts(kept: Sequence[Variant], site: Site, named: frozenset[str]) -> list[Choice]:
    """The choices with the name of the post that each takes: spans of a row, coloured."""
    free_from: dict[str, datetime] = {}
    found = {id(one): one.choice for one in kept}
    by_row: dict[Row, list[Variant]] = {}
    for one in kept:
        if one.post is not None:
            by_row.setdefault(one.post, []).append(one)
    for row, own in by_row.items():
        names = [
            post.name
            for post in site.posts
            if post.name == row[1] or (post.power_w == row[1] and post.name not in named)
        ]
        for one in sorted(own, key=lambda one: _post_span(one.choice)):
            begins, ends = _post_span(one.choice)
            name = next(n for n in names if n not in free_from or free_from[n] <= begins)
            free_from[name] = ends
            found[id(one)] = _named(one.choice, name)
    return [found[id(one)] for one in kept]


def _post_span(choice: Choice) -> tuple[datetime, datetime]:
    spans = [(use.starts, use.ends) for use in choice.uses if use.what is Shared.POSTS]
    return min(starts for starts, _ in spans), max(ends for _, ends in spans)


def _named(choice: Choice, post: str) -> Choice:
    uses = tuple(
        replace(use, post=post) if use.what is Shared.POSTS else use for use in choice.uses
    )
    return replace(choice, uses=uses)


def posts_for(order: Order) -> dict[str, str]:
    """Vehicle -> the post it takes."""
    return {
        choice.plan.vehicle: use.post
        for choice in order.choices
        for use in choice.uses
        if use.what is Shared.POSTS and use.post
    }
