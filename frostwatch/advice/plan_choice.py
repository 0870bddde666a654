"""Which of a vehicle's plans is proposed."""

import math
from collections.abc import Sequence

from frostwatch.advice.handover import Plan
from frostwatch.advice.heat_sources import is_allowed
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle


def best_of(
    plans: Sequence[Plan],
    site: Site,
    chosen: Handover | None = None,
    *,
    vehicle: Vehicle | None = None,
) -> Plan:
    """The plan to propose: the source that was chosen, whether it fits or not.

    Where none was chosen: one that fits and is allowed, latest heating-on first, standing where
    the handover says that it stands.
    """

    def worth(plan: Plan) -> tuple[bool, bool, float]:
        on_by = plan.on_by.timestamp() if plan.on_by else -math.inf
        return plan.fits, is_allowed(plan.source, site, vehicle), on_by

    indoors_from = chosen.indoors_from if chosen is not None else None
    there = [plan for plan in plans if plan.indoors_from == indoors_from] or list(plans)
    heat = chosen.heat if chosen is not None else None
    return max([plan for plan in there if plan.source == heat] or there, key=worth)
