"""One handover plan as a staircase towards its hour: its steps, their bars, and the hours above."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from frostwatch.advice.handover import Plan
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.plan_words import PlanWords
from frostwatch.web.pages.plans_now import VanNow
from frostwatch.web.words import Tongue

KINDS = {
    Step.HEAT: "wait",
    Step.REACH: "wait",
    Step.WATER_HEAT: "wait",
    Step.FILL: "water",
    Step.PRIME: "water",
    Step.SPARE: "spare",
}
"""How a bar is drawn; without a kind it is hands on."""
MOST_TICKS = 6
LAST_TICK = 84.0
"""Beyond it an hour would run into the last one on a phone [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """An hour above the stairs."""

    x: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stair:
    """One step.

    Attributes:
        at: its hour.
        what: what is done.
        gate: what must be so before the next, "" for nothing.
        hazards: cautions that belong to it.
        kind: how its bar is drawn.
        begins: start of the bar in per cent.
        ends: its end.
        over: it is over, at that hour; "" where it is not.
        is_now: it is the one that is waited for.
    """

    at: str
    what: str
    gate: str
    hazards: tuple[str, ...]
    kind: str
    begins: str
    ends: str
    over: str
    is_now: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Stairs:
    """A whole plan."""

    ticks: tuple[Tick, ...]
    steps: tuple[Stair, ...]

    @property
    def current(self) -> Stair | None:
        """The step that is waited for."""
        return next((step for step in self.steps if step.is_now), None)


def stairs_of(van: VanNow, plan: Plan, words: PlanWords, tongue: Tongue) -> Stairs | None:
    """The stairs of a plan; None where it has no steps.

    Args:
        van: the vehicle.
        plan: one of its plans, or the one under way.
        words: plans in the visitor's language.
        tongue: the same for the page.
    """
    progress = van.progress(tongue.now)
    moved = replace(plan, steps=progress.steps) if progress is not None else plan
    if not moved.steps:
        return None
    begins, ends = moved.steps[0].starts, moved.steps[-1].ends
    share = _Share(begins=begins, ends=ends)
    done = van.under_way.done if van.under_way is not None else {}
    last = max((n for n, s in enumerate(moved.steps) if s.step in done), default=-1)
    stairs = []
    for n, (step, line) in enumerate(zip(moved.steps, words.steps(moved, van), strict=True)):
        over = n <= last
        stairs.append(
            Stair(
                at=line.starts,
                what=line.what,
                gate=line.gate,
                hazards=line.hazards,
                kind=KINDS.get(step.step, ""),
                begins=share.of(step.starts),
                ends=share.of(step.ends),
                over=tongue.clock(step.ends) if over else "",
                is_now=progress is not None and step.step is progress.waits_for,
            )
        )
    return Stairs(ticks=_ticks(share, tongue), steps=tuple(stairs))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Share:
    begins: datetime
    ends: datetime

    def of(self, moment: datetime) -> str:
        """Where a moment stands, in per cent."""
        span = max(self.ends - self.begins, timedelta(minutes=1))
        return f"{100.0 * min(max((moment - self.begins) / span, 0.0), 1.0):.1f}"


def _ticks(share: _Share, tongue: Tongue) -> tuple[Tick, ...]:
    """Full hours between both ends; the last tick is the hour itself."""
    hours = (share.ends - share.begins) / timedelta(hours=1)
    every = next((n for n in (1, 2, 3, 4, 6) if hours / n <= MOST_TICKS), 8)
    local = share.begins.astimezone(tongue.zone).replace(minute=0, second=0, microsecond=0)
    moment = share.begins - (share.begins.astimezone(tongue.zone) - local)
    found = []
    while (moment := moment + timedelta(hours=1)) < share.ends:
        if float(share.of(moment)) > LAST_TICK:
            break
        if moment.astimezone(tongue.zone).hour % every == 0:
            found.append(Tick(x=share.of(moment), text=tongue.clock(moment)))
    return (*found, Tick(x="100", text=tongue.clock(share.ends)))
