"""Texts of plans and advice: making ready, heat kept on, in use, before a trip, after a frost.

They stand on pages, in print and on the command line, in every language; messages have texts of
their own. Keys are the values of the enumerations of ``advice``, which stands above this package.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from frostwatch.languages.catalogues import InEveryLanguage
from frostwatch.messages.wording.plans import (
    by_handbook,
    calendar,
    cautions,
    entering,
    keeping,
    making_ready,
    occasions,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTexts:
    """All of them.

    Attributes:
        steps: what is done, by step.
        gates: what must be so before the next step, by gate.
        otherwise: the same of a vehicle without dump valve or water heater.
        heat: a source with its power, by fuel; ``{kw}`` is the power.
        amounts: what it uses up, by fuel; ``{n}`` is the amount.
        plan: sentences of a handover plan.
        hazards: cautions, by hazard.
        hold: sentences about heat kept on.
        doubts: why heat should not be kept on, by doubt.
        in_use: sentences about use in frost; the waste water by how it is kept.
        going: sentences before a trip.
        put_back: what is put back, by kind.
        transport: sentences before a move.
        thaw: sentences after a frost.
        wants: what is missing before water may go in.
        looks: what is done after a frost, by step.
        wet_again: sentences about what got wet again.
        events: happenings of the record.
        calendar: entries of a calendar.
        entering: a handover entered, moved or taken off, and why one is refused.
        handbook: what handbooks say where they differ.
    """

    steps: Mapping[str, str]
    gates: Mapping[str, str]
    otherwise: Mapping[str, str]
    heat: Mapping[str, str]
    amounts: Mapping[str, str]
    plan: Mapping[str, str]
    hazards: Mapping[str, str]
    hold: Mapping[str, str]
    doubts: Mapping[str, str]
    in_use: Mapping[str, str]
    going: Mapping[str, str]
    put_back: Mapping[str, str]
    transport: Mapping[str, str]
    thaw: Mapping[str, str]
    wants: Mapping[str, str]
    looks: Mapping[str, str]
    wet_again: Mapping[str, str]
    events: Mapping[str, str]
    calendar: Mapping[str, str]
    entering: Mapping[str, str]
    handbook: Mapping[str, str]


PLANS = InEveryLanguage(
    PlanTexts(
        steps=making_ready.STEPS,
        gates=making_ready.GATES,
        otherwise=making_ready.OTHERWISE,
        heat=making_ready.HEAT,
        amounts=making_ready.AMOUNTS,
        plan=making_ready.PLAN,
        hazards=cautions.HAZARDS,
        hold=keeping.HOLD,
        doubts=keeping.DOUBTS,
        in_use=occasions.IN_USE,
        going=occasions.GOING,
        put_back=occasions.PUT_BACK,
        transport=occasions.TRANSPORT,
        thaw=occasions.THAW,
        wants=occasions.WANTS,
        looks=occasions.LOOKS,
        wet_again=occasions.WET_AGAIN,
        events=occasions.EVENTS,
        calendar=calendar.CALENDAR,
        entering=entering.ENTERING,
        handbook=by_handbook.HANDBOOK,
    ),
    domain="plans",
)
