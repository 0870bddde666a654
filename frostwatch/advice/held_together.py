"""Heat kept on in several vehicles of a site, set against its posts and its supply.

A breaker that trips leaves all of them cold, so what they may draw at most counts, not what they
need at the moment.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from frostwatch.advice.shared import Shared
from frostwatch.advice.shared_board import Conflict
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle

LEAST_SUPPLY_W = 100.0
LEAST_A = 1.0
"""What a site and a post must give to be entered: less than any heating draws."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Heat kept on from a post.

    Attributes:
        vehicle: key of the vehicle.
        post: the post it stands at, "" where nobody said.
        watts: most that heater, charger and kettle draw [W].
    """

    vehicle: str
    post: str
    watts: float


def drawing_at(vehicles: Sequence[Vehicle]) -> tuple[Drawing, ...]:
    """Vehicles in which heat is kept on that nothing burns for; where nobody said what, it counts
    as drawn from a post."""
    return tuple(
        Drawing(vehicle=one.key, post=one.post, watts=one.hold.power_w + one.hold.other_w)
        for one in vehicles
        if one.hold is not None and (one.hold.fuel is None or not one.hold.fuel.burns)
    )


def what_is_left(site: Site, drawing: Sequence[Drawing]) -> Site:
    """The site as handovers find it: a post that is taken and the power that is drawn are gone."""
    taken = {one.post for one in drawing if one.post}
    supply_w = site.supply_w
    if supply_w is not None:
        supply_w = max(LEAST_SUPPLY_W, supply_w - sum(one.watts for one in drawing))
    posts = tuple(
        replace(post, amps=LEAST_A) if post.name in taken else post for post in site.posts
    )
    return replace(site, posts=posts, supply_w=supply_w)


def held_conflicts(drawing: Sequence[Drawing], site: Site, now: datetime) -> tuple[Conflict, ...]:
    """Where heat kept on draws more, all together, than a post or the place gives.

    A vehicle alone at a post that is too weak for it is no conflict: its heater gives less then.
    """
    found = []
    by_post: dict[str, list[Drawing]] = defaultdict(list)
    for one in drawing:
        by_post[one.post].append(one)
    for post in site.posts:
        own = by_post.get(post.name, [])
        if len(own) > 1 and sum(one.watts for one in own) > post.power_w:
            found.append(_conflict(Shared.POSTS, own, post.power_w, now, post.name))
    if site.supply_w is not None and sum(one.watts for one in drawing) > site.supply_w:
        found.append(_conflict(Shared.POWER, drawing, site.supply_w, now))
    return tuple(found)


def _conflict(
    what: Shared, own: Sequence[Drawing], have_w: float, now: datetime, post: str = ""
) -> Conflict:
    need_w = sum(one.watts for one in own)
    return Conflict(
        what=what,
        at=now,
        vehicles=tuple(one.vehicle for one in own),
        need=need_w,
        have=have_w,
        post=post,
        kept_w=need_w,
    )
