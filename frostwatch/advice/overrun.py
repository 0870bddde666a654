"""A handover under way: gates passed late move what follows, and name the new hour.

The gates decide, the clock is a plan. What is passed early moves nothing: nobody fills sooner than
the pump's locker is warm.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from frostwatch.advice.handover import Plan
from frostwatch.advice.handover_steps import PlanStep, Step
from frostwatch.advice.ways_out import next_quarter

AGAIN = timedelta(minutes=10)
"""A gate that is not passed at its hour is looked at again. Common practice: ten more minutes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """A plan as it goes on.

    Attributes:
        steps: what is left, moved; done steps with the hours at which they ended.
        late: how much later than planned the vehicle will be ready; 0 while spare time serves.
        ready_at: when it will be ready, UTC.
        new_hour: first quarter of an hour at which it can be handed over, UTC; None while the
            planned hour stands.
        waits_for: the step whose gate is open; None when all are passed.
    """

    steps: tuple[PlanStep, ...]
    late: timedelta
    ready_at: datetime
    new_hour: datetime | None
    waits_for: Step | None


def progress_of(plan: Plan, done: Mapping[Step, datetime], now: datetime) -> Progress:
    """What stands of a plan at a moment.

    Args:
        plan: a plan with steps.
        done: step -> when it was really over (its gate passed), UTC; what comes before a done step
            is done too.
        now: aware UTC time; a gate that should have been passed by now is passed in ten minutes
            at the earliest.
    """
    moved: list[PlanStep] = []
    delay = timedelta(0)
    waits_for: Step | None = None
    worked = _worked(plan.steps)
    last = max((n for n, step in enumerate(worked) if step.step in done), default=-1)
    for n, step in enumerate(worked):
        starts, ends = step.starts + delay, step.ends + delay
        if step.step in done:
            ends = done[step.step]
            starts = min(starts, ends)
        elif n < last:
            starts, ends = step.starts, step.ends
        elif waits_for is None:
            waits_for = step.step
            if ends <= now:
                ends = now + AGAIN
        delay = max(timedelta(0), ends - step.ends)
        likely = None if step.likely is None else max(step.likely, starts)
        moved.append(replace(step, starts=starts, ends=ends, likely=likely))
    ready_at = max(moved[-1].ends, moved[-1].starts)
    is_late = ready_at > plan.at
    end = next_quarter(ready_at) if is_late else plan.at
    spare = PlanStep(step=Step.SPARE, starts=ready_at, ends=end)
    return Progress(
        steps=(
            *moved,
            *((spare,) if ready_at < end else ()),
            PlanStep(step=Step.READY, starts=end, ends=end),
        ),
        late=max(timedelta(0), ready_at - plan.at),
        ready_at=ready_at,
        new_hour=end if is_late else None,
        waits_for=waits_for,
    )


def _worked(steps: Sequence[PlanStep]) -> tuple[PlanStep, ...]:
    return tuple(step for step in steps if step.step not in (Step.SPARE, Step.READY))
