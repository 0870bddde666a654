"""Ways to make a vehicle ready, and what each needs of crew, posts and power."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from frostwatch.advice.brought_in import standing_in
from frostwatch.advice.handover import Case, Plan, Trouble, plan_for, plan_from
from frostwatch.advice.heat_sources import is_allowed, sources_of
from frostwatch.advice.ways_out import QUARTER, next_quarter
from frostwatch.fleet.heat import HeatSource

REACH = timedelta(hours=4)
HAND_OVER = timedelta(minutes=30)
"""Somebody shows the vehicle to whoever takes it. Estimate."""
WAITS = tuple(n * HAND_OVER for n in range(9))
"""How much later a vehicle that is ready may be handed over, for others to go first."""
OTHER_SOURCE_MIN = 30.0
"""Another source than the first of the vehicle counts as so much earlier heating. Estimate."""


class Shared(StrEnum):
    """What handovers share."""

    CREW = "crew"
    PERSON = "person"
    POSTS = "posts"
    POWER = "power"


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """Something needed for a while.

    Attributes:
        what: of which kind.
        starts: from then, UTC.
        ends: until then, UTC.
        amount: persons, one post, or power [W].
        who: the one person it must be; "" for any.
        least_w: a post must give so much [W]; 0 where any does.
        post: the one post it must be, "" for any.
    """

    what: Shared
    starts: datetime
    ends: datetime
    amount: float = 1.0
    least_w: float = 0.0
    post: str = ""
    who: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One way to make one vehicle ready.

    Attributes:
        plan: its plan.
        hour: handed over at, UTC.
        late_min: later than wished [min].
        early_min: heated so much longer than needed [min], another source counted in.
        uses: what it needs and when.
    """

    plan: Plan
    hour: datetime
    late_min: float
    early_min: float
    uses: tuple[Use, ...]

    @property
    def cost(self) -> tuple[float, float]:
        """Lateness first."""
        return self.late_min, self.early_min


def choice_of(
    plan: Plan,
    post: str = "",
    *,
    who: str = "",
    first: bool = True,
    best_on: datetime | None = None,
    waits: timedelta = timedelta(0),
) -> Choice:
    """What a plan needs of crew, posts and power.

    Args:
        plan: a plan with steps.
        post: the post its vehicle stands at, "" for any.
        who: the person who was named to make it ready, "" for anybody.
        first: its source is the one the vehicle's people like best.
        best_on: latest heating-on hour of that source, UTC.
        waits: how much later than it could be the vehicle is handed over, warm.
    """
    assert plan.on_by is not None
    assert plan.begins is not None
    assert plan.ready_at is not None
    hour = max(plan.at, next_quarter(plan.ready_at)) + waits
    early = (best_on - plan.on_by).total_seconds() / 60.0 if best_on else 0.0
    uses = [
        Use(what=Shared.CREW, starts=step.starts, ends=step.ends)
        for step in plan.steps
        if step.hands_on
    ]
    uses.append(Use(what=Shared.CREW, starts=hour, ends=hour + HAND_OVER))
    if name := named_alike(who):
        uses += [replace(use, what=Shared.PERSON, who=name) for use in uses]
    if plan.draws_w > 0.0:
        uses.append(
            Use(
                what=Shared.POSTS,
                starts=plan.begins,
                ends=hour,
                least_w=plan.draws_w,
                post=post,
            )
        )
        uses.append(Use(what=Shared.POWER, starts=plan.on_by, ends=hour, amount=plan.draws_w))
    return Choice(
        plan=plan,
        hour=hour,
        late_min=(hour - plan.at).total_seconds() / 60.0,
        early_min=max(0.0, early) + (0.0 if first else OTHER_SOURCE_MIN),
        uses=tuple(uses),
    )


def named_alike(who: str) -> str:
    """A name as it is compared: blanks and capitals make nobody another person."""
    return " ".join(who.split()).casefold()


def choices_for(case: Case) -> tuple[Choice, ...]:
    """Ways to make one vehicle ready, cheapest first; only with the source that was chosen, and
    where it stands by its handover. Heat that never gets there is no way, however early."""
    found: list[Choice] = []
    since = case.handover.indoors_from
    for place, source in enumerate(_sources(case)):
        there = standing_in(case, source, since)
        best = plan_for(there, source)
        if best.trouble is Trouble.NEVER:
            continue
        begin = best.on_by or there.first_on
        for plan in _around(there, begin, source_plan=best):
            placed = replace(plan, indoors_from=since)
            found += [
                choice_of(
                    placed,
                    case.vehicle.post,
                    who=case.handover.who,
                    first=place == 0,
                    best_on=begin,
                    waits=waits,
                )
                for waits in WAITS
            ]
    return tuple(sorted(found, key=lambda choice: choice.cost))


def _sources(case: Case) -> tuple[HeatSource, ...]:
    own = sources_of(case.vehicle, case.layout)
    chosen = case.handover.heat
    if chosen is not None and chosen in own:
        return (chosen,)
    return tuple(source for source in own if is_allowed(source, case.site, case.vehicle))


def _around(case: Case, begin: datetime, *, source_plan: Plan) -> Iterator[Plan]:
    """The plan itself, and those with heating on quarters of an hour earlier and later."""
    if source_plan.on_by is not None:
        yield source_plan
    for n in range(-(REACH // QUARTER), REACH // QUARTER + 1):
        on_at = begin + n * QUARTER
        if (n == 0 and source_plan.on_by is not None) or not case.first_on <= on_at:
            continue
        if on_at >= case.stand.end:
            continue
        plan = plan_from(case, source_plan.source, on_at, minutes=5, beyond=REACH)
        if plan.on_by is not None:
            yield plan
