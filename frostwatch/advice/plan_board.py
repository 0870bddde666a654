"""Handover plans of a site as pages show them, and one that somebody is at work on.

Plans are worked out where the air is known and kept; pages read them and need no heat model. A plan
whose heating is on is kept as it was then: from there on its gates move it, not the next forecast.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from frostwatch.advice.handover import Plan
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.overrun import Progress, progress_of
from frostwatch.advice.shared_board import Conflict
from frostwatch.advice.shared_order import Order
from frostwatch.advice.ways_out import WaysOut
from frostwatch.fleet.heat import Handover

FORGOTTEN_AFTER = timedelta(hours=12)
"""A plan under way that nobody ended so long after its hour is not shown any longer. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VanPlans:
    """One vehicle with a plan for each of its sources.

    Attributes:
        vehicle: its key.
        handover: the hour, and how much water goes in.
        plans: one for each source, in the vehicle's order.
        best: place of the one proposed among them.
        out: ways out where none fits.
    """

    vehicle: str
    handover: Handover
    plans: tuple[Plan, ...]
    best: int
    out: WaysOut | None = None

    @property
    def proposed(self) -> Plan:
        """The plan that is proposed."""
        return self.plans[self.best]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanBoard:
    """The handovers of a site.

    Attributes:
        site: key of the site.
        at: when the plans were made, UTC.
        issued_at: the forecast they rest on, UTC.
        colder_k: what the air was lowered by because that forecast was old [K].
        vans: every handover of the days ahead, by its hour.
        broken: vehicle -> why nothing can be planned for it.
        conflicts: where the plans proposed need more than there is.
        order: one in which they do not; None where nothing collides.
    """

    site: str
    at: datetime
    issued_at: datetime
    colder_k: float = 0.0
    vans: tuple[VanPlans, ...] = ()
    broken: Mapping[str, str] = field(default_factory=dict)
    conflicts: tuple[Conflict, ...] = ()
    order: Order | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderWay:
    """A plan that somebody is at work on.

    Attributes:
        vehicle: key of the vehicle.
        site: key of its site.
        handover: what it is made ready for.
        plan: as it was proposed when the heating went on.
        done: step -> when it was over, UTC.
        by: who pressed last.
        ended_at: when it was handed over, UTC; None while it is worked on.
    """

    vehicle: str
    site: str
    handover: Handover
    plan: Plan
    done: Mapping[Step, datetime]
    by: str
    ended_at: datetime | None = None

    @property
    def on_at(self) -> datetime:
        """When the heating went on, UTC."""
        return self.done[Step.LOOK]

    def progress(self, now: datetime) -> Progress:
        """How it goes on."""
        return progress_of(self.plan, self.done, now)

    def is_worked_on(self, now: datetime) -> bool:
        """Somebody is at work on it, as far as anybody knows."""
        if self.ended_at is not None:
            return False
        return now < max(self.handover.at, self.on_at) + FORGOTTEN_AFTER
