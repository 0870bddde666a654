"""Texts of plans and advice: making ready, heat kept on, in use, before a trip, after a frost.

They stand on pages, in print and on the command line, in every language; messages have texts of
their own. Keys are the values of the enumerations of ``advice``, which stands above this package.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from frostwatch.languages.catalogues import InEveryLanguage
from frostwatch.messages.wording.plans import cautions, making_ready


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanTexts:
    """All of them.

    Attributes:
        steps: what is done, by step.
        gates: what must be so before the next step, by gate.
        heat: a source with its power, by fuel; ``{kw}`` is the power.
        amounts: what it uses up, by fuel; ``{n}`` is the amount.
        plan: sentences of a handover plan.
        hazards: cautions, by hazard.
    """

    steps: Mapping[str, str]
    gates: Mapping[str, str]
    heat: Mapping[str, str]
    amounts: Mapping[str, str]
    plan: Mapping[str, str]
    hazards: Mapping[str, str]


PLANS = InEveryLanguage(
    PlanTexts(
        steps=making_ready.STEPS,
        gates=making_ready.GATES,
        heat=making_ready.HEAT,
        amounts=making_ready.AMOUNTS,
        plan=making_ready.PLAN,
        hazards=cautions.HAZARDS,
    ),
    domain="plans",
)
