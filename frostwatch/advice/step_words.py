"""What a step of a plan is called at a vehicle, and what must be so before the next one."""

from frostwatch.advice.handover_steps import Gate, Step
from frostwatch.fleet.vehicles import Circuit, Layout
from frostwatch.messages.wording.plans import PlanTexts

WITHOUT_HEATER = {
    Step.PRIME: "prime without hot taps",
    Step.LEAK: "leak check without heater",
}


def what_is_done(texts: PlanTexts, step: Step, layout: Layout) -> str:
    """What is done in a step; ``{litres}`` stands where water goes in."""
    key = WITHOUT_HEATER.get(step) if not has_hot_water(layout) else None
    if step is Step.SPARE and layout.valve is None:
        key = "spare without valve"
    return texts.otherwise[key] if key else texts.steps[step.value]


def what_must_be_so(texts: PlanTexts, gate: Gate, layout: Layout) -> str:
    """What decides; ``{closes}`` is where the valve can be shut [degC]."""
    if gate is Gate.TAPS_SOLID and not has_hot_water(layout):
        return texts.otherwise["taps run solid"]
    return texts.gates[gate.value]


def what_it_uses(texts: PlanTexts, water_kwh: float) -> str:
    """Heat for the space, and for the water where any is heated."""
    return texts.plan["uses"] if water_kwh > 0.0 else texts.otherwise["uses without hot water"]


def has_hot_water(layout: Layout) -> bool:
    """It has a tank that heats water, and taps that run hot."""
    return any(item.circuit is Circuit.HEATER_TANK for item in layout.items)
