"""How late handovers must be in all, whatever the order: what no order can beat.

Whoever shows a vehicle has hands for it alone, and a post warms one vehicle at a time. With
everything else left out, and every vehicle taking as little time as the quickest, the least
lateness follows from taking the vehicles in the order in which they can begin: for spans of one
length on alike machines that is the best order for the sum of their beginnings (by exchange: two
that begin against the order of their earliest hours can change places without loss).
"""

import heapq
from collections.abc import Sequence
from datetime import datetime, timedelta

from frostwatch.advice.shared import Choice, Shared
from frostwatch.fleet.sites import Site

Span = tuple[datetime, datetime]
MINUTE = timedelta(minutes=1)


def least_lateness(choices: Sequence[Sequence[Choice]], site: Site) -> float:
    """Minutes that all these vehicles are late together, at least.

    Args:
        choices: of each vehicle, those that would fit were they alone; none is empty.
        site: crew, posts and supply.
    """
    plain = [min(choice.late_min for choice in own) for own in choices]
    found = sum(plain)
    for spans, machines in _machines(choices, site):
        alone = [n for n, own in enumerate(spans) if own is None or _base(choices[n]) is None]
        sharing = [n for n in range(len(choices)) if n not in alone]
        if sharing and machines < len(sharing):
            late = _in_turn([(choices[n], spans[n] or ()) for n in sharing], max(1, machines))
            found = max(found, late + sum(plain[n] for n in alone))
    return found


def _machines(
    choices: Sequence[Sequence[Choice]], site: Site
) -> Sequence[tuple[list[tuple[Span, ...] | None], int]]:
    """Spans that share hands, posts, or power, and how many go at once."""
    shown = [_spans(own, Shared.CREW, shown_only=True) for own in choices]
    found = [(shown, max(1, site.crew))]
    people = [next((u.who for c in own for u in c.uses if u.who), "") for own in choices]
    for who in sorted(set(people) - {""}):
        theirs = [one if p == who else None for one, p in zip(shown, people, strict=True)]
        found.append((theirs, 1))
    posts = [_spans(own, Shared.POSTS) for own in choices]
    least_w = min(
        (u.least_w for own in choices for c in own for u in c.uses if u.what is Shared.POSTS),
        default=0.0,
    )
    if site.posts:
        found.append((posts, sum(post.power_w >= least_w for post in site.posts)))
    draws = [u.amount for own in choices for c in own for u in c.uses if u.what is Shared.POWER]
    if site.supply_w and draws and min(draws) > 0.0:
        power = [_spans(own, Shared.POWER) for own in choices]
        found.append((power, int(site.supply_w / min(draws) + 1e-9)))
    return found


def _spans(
    own: Sequence[Choice], what: Shared, *, shown_only: bool = False
) -> tuple[Span, ...] | None:
    """The span of each choice that ends at its hour, or begins there; None where one has none."""
    found = []
    for choice in own:
        fitting = [
            (use.starts, use.ends)
            for use in choice.uses
            if use.what is what and (use.starts if shown_only else use.ends) == choice.hour
        ]
        if not fitting:
            return None
        found.append(max(fitting, key=lambda span: span[1] - span[0]))
    return tuple(found)


def _base(own: Sequence[Choice]) -> datetime | None:
    """The hour that was wished; None where the choices do not agree on it."""
    hours = {choice.hour - timedelta(minutes=choice.late_min) for choice in own}
    return hours.pop() if len(hours) == 1 else None


def _in_turn(sharing: Sequence[tuple[Sequence[Choice], tuple[Span, ...]]], machines: int) -> float:
    """The least lateness of vehicles whose spans may not lie over each other on few machines."""
    lasts = min(ends - starts for _, spans in sharing for starts, ends in spans)
    rows = []
    for own, spans in sharing:
        wished = _base(own)
        assert wished is not None
        # from the beginning of its span to its hour at least
        lead = min(c.hour - starts for c, (starts, _) in zip(own, spans, strict=True))
        rows.append((min(starts for starts, _ in spans), lead, wished))
    free: list[datetime] = []
    late = 0.0
    for earliest, lead, wished in sorted(rows):
        begins = earliest
        if len(free) == machines:
            begins = max(begins, heapq.heappop(free))
        heapq.heappush(free, begins + lasts)
        late += (begins + lead - wished) / MINUTE
    return late
