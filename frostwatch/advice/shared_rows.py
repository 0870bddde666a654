"""What many choices need of crew, posts and power, laid out so that all are looked at at once.

Time is cut into minutes. Whether a choice fits beside what is taken is one look-up a use: how many
minutes within it are full already. Posts of one rating are a row with as many places as there are
posts; whatever never needs more than that at once can be handed out post by post, since the uses
of a row are spans of time (spans that overlap at most k deep can be coloured with k colours).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.shared import Choice, Shared, Use
from frostwatch.fleet.sites import Site

MINUTE = timedelta(minutes=1)
NEVER = datetime.max.replace(tzinfo=UTC)
Row = tuple[str, float | str]
"""("crew", 0), ("person", a name), ("power", 0), ("rating", power of its posts [W]), or ("post",
its name)."""
CREW: Row = ("crew", 0.0)
POWER: Row = ("power", 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One choice with the row of the post it takes.

    Attributes:
        place: place of the choice among those of its vehicle.
        choice: the choice.
        post: the row; None where it takes none.
    """

    place: int
    choice: Choice
    post: Row | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laid:
    """The variants of one vehicle, cheapest first.

    Attributes:
        variants: all that would fit were they alone.
        pieces: (row, amount) -> which variants, first minute, minute after the last.
        own: variant -> its pieces: row, amount, first minute, minute after the last.
    """

    variants: tuple[Variant, ...]
    pieces: dict[tuple[Row, float], tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]]
    own: tuple[tuple[tuple[Row, float, int, int], ...], ...]


class Rows:
    """How much of everything is taken, minute by minute, and what would still fit."""

    def __init__(self, site: Site, choices: Sequence[Choice]) -> None:
        uses = [use for choice in choices for use in choice.uses]
        self.site = site
        self.start = min((use.starts for use in uses), default=NEVER)
        end = max((use.ends for use in uses), default=self.start)
        self.minutes = int((end - self.start) / MINUTE) + 2
        self.named = frozenset(use.post for use in uses if use.post)
        self.people = frozenset(use.who for use in uses if use.who)
        self.most = dict(self._most())
        self.taken = {row: np.zeros(self.minutes) for row in self.most}
        self._full: dict[tuple[Row, float], NDArray[np.intp]] = {}

    def _most(self) -> Iterator[tuple[Row, float]]:
        """What there is of each row."""
        yield CREW, float(max(1, self.site.crew))
        yield POWER, self.site.supply_w or np.inf
        for who in self.people:
            yield ("person", who), 1.0
        free = [post for post in self.site.posts if post.name not in self.named]
        for rating in {post.power_w for post in free}:
            yield ("rating", rating), float(sum(post.power_w == rating for post in free))
        for name in self.named:
            yield ("post", name), float(any(post.name == name for post in self.site.posts))

    def lay(self, choices: Sequence[Choice]) -> Laid:
        """Lay out the choices of one vehicle; what never fits is left out."""
        found = [
            (variant, pieces)
            for place, choice in enumerate(choices)
            for variant in self._variants(place, choice)
            if (pieces := self._pieces(variant)) is not None
        ]
        by_key: dict[tuple[Row, float], list[tuple[int, int, int]]] = {}
        for n, (_, pieces) in enumerate(found):
            for row, amount, first, last in pieces:
                by_key.setdefault((row, amount), []).append((n, first, last))
        return Laid(
            variants=tuple(variant for variant, _ in found),
            pieces={
                key: tuple(np.array(column, dtype=np.intp) for column in zip(*rows, strict=True))  # type: ignore[misc]
                for key, rows in by_key.items()
            },
            own=tuple(pieces for _, pieces in found),
        )

    def _variants(self, place: int, choice: Choice) -> Iterator[Variant]:
        needs = [use for use in choice.uses if use.what is Shared.POSTS]
        if not needs or not self.site.posts:
            yield Variant(place=place, choice=choice, post=None)
            return
        least_w = max(use.least_w for use in needs)
        named = next((use.post for use in needs if use.post), "")
        if named:
            post = next((one for one in self.site.posts if one.name == named), None)
            if post is not None and post.power_w >= least_w:
                yield Variant(place=place, choice=choice, post=("post", named))
            return
        ratings = sorted(float(row[1]) for row in self.most if row[0] == "rating")
        for rating in ratings:
            if rating >= least_w:
                yield Variant(place=place, choice=choice, post=("rating", rating))

    def _pieces(self, variant: Variant) -> tuple[tuple[Row, float, int, int], ...] | None:
        """Its needs as pieces of constant amount; None where it would not fit alone."""
        by_row: dict[Row, list[tuple[int, int, float]]] = {}
        for use in variant.choice.uses:
            row = self._row(use, variant)
            if row is not None:
                by_row.setdefault(row, []).append((*self.span(use), use.amount))
        found = []
        for row, spans in by_row.items():
            for first, last, amount in _levels(spans):
                if amount > self.most[row] + 1e-9:
                    return None
                found.append((row, amount, first, last))
        return tuple(found)

    def _row(self, use: Use, variant: Variant) -> Row | None:
        if use.what is Shared.CREW:
            return CREW
        if use.what is Shared.PERSON:
            return "person", use.who
        return POWER if use.what is Shared.POWER else variant.post

    def span(self, use: Use) -> tuple[int, int]:
        """First minute, and the one after the last; a minute that is touched counts."""
        first = int((use.starts - self.start) // MINUTE)
        return first, max(first + 1, int(-((self.start - use.ends) // MINUTE)))

    def fitting(self, laid: Laid) -> NDArray[np.intp]:
        """Places of the variants that fit beside what is taken, cheapest first."""
        fits = np.ones(len(laid.variants), dtype=np.bool_)
        for key, (which, first, last) in laid.pieces.items():
            full = self._full_before(key)
            fits[which[full[last] > full[first]]] = False
        return np.flatnonzero(fits)

    def _full_before(self, key: tuple[Row, float]) -> NDArray[np.intp]:
        """How many minutes before each are too full for one more of that amount."""
        found = self._full.get(key)
        if found is None:
            row, amount = key
            too_full = self.taken[row] + amount > self.most[row] + 1e-9
            found = self._full[key] = np.concatenate([[0], too_full.cumsum()])
        return found

    def take(self, laid: Laid, n: int, sign: float) -> None:
        """Take what a variant needs, or give it back."""
        rows = set()
        for row, amount, first, last in laid.own[n]:
            self.taken[row][first:last] += sign * amount
            rows.add(row)
        self._full = {key: full for key, full in self._full.items() if key[0] not in rows}

    def clear(self) -> None:
        """Nothing is taken."""
        for row in self.taken.values():
            row[:] = 0.0
        self._full.clear()


def _levels(spans: Sequence[tuple[int, int, float]]) -> Iterator[tuple[int, int, float]]:
    """Spans that may lie over each other, as spans that do not, with their amounts summed."""
    edges = sorted({edge for first, last, _ in spans for edge in (first, last)})
    for first, last in pairwise(edges):
        amount = sum(a for begins, ends, a in spans if begins <= first and last <= ends)
        if amount > 0.0:
            yield first, last, amount
