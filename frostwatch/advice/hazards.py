"""Which cautions belong to which step; what the trade prints beside its advice."""

from collections.abc import Iterable
from enum import StrEnum

from frostwatch.advice.handover_steps import Step
from frostwatch.fleet.heat import Fuel, HeatSource


class Hazard(StrEnum):
    """What can hurt somebody, or a vehicle badly."""

    CARBON_MONOXIDE = "carbon monoxide"
    GAS = "gas"
    UNATTENDED = "unattended heating"
    SCALDING = "scalding"
    EMPTY_HEATER = "empty heater"
    NEVER_WEDGE = "never wedge"
    ICE = "ice underfoot"
    ELECTRICITY = "electricity"
    WASTE = "waste water"
    ANTIFREEZE = "antifreeze"
    LIFTING = "lifting"
    UNDERNEATH = "underneath"
    ALONE = "alone in the cold"
    COMPRESSED_AIR = "compressed air"
    DRINKING_WATER = "drinking water"
    HYDRONIC = "hydronic"
    NO_FLAME = "no flame"
    HANDBOOK = "handbook"


OF_STEPS: dict[Step, tuple[Hazard, ...]] = {
    Step.LOOK: (Hazard.HANDBOOK,),
    Step.SHUT: (Hazard.NEVER_WEDGE,),
    Step.FILL: (Hazard.DRINKING_WATER,),
    Step.WATER_HEAT: (Hazard.EMPTY_HEATER, Hazard.SCALDING),
    Step.FLUSH: (Hazard.ANTIFREEZE,),
}
"""Cautions that belong to a step whatever warms the vehicle."""

OF_DRAINING = (Hazard.SCALDING, Hazard.ICE, Hazard.WASTE)
"""Cautions of letting water out, wherever somebody is asked to."""

OF_FUELS: dict[Fuel, tuple[Hazard, ...]] = {
    Fuel.GAS: (Hazard.CARBON_MONOXIDE, Hazard.GAS, Hazard.UNATTENDED),
    Fuel.DIESEL: (Hazard.CARBON_MONOXIDE, Hazard.UNATTENDED),
    Fuel.ELECTRIC: (Hazard.ELECTRICITY, Hazard.UNATTENDED),
}
"""Cautions of what warms it; they stand beside the step in which it is switched on."""


def hazards_of(step: Step, source: HeatSource) -> tuple[Hazard, ...]:
    """Cautions printed beside a step."""
    own = OF_STEPS.get(step, ())
    return (*OF_FUELS[source.fuel], *own) if step is Step.HEAT else own


def each_once(hazards: Iterable[Hazard]) -> tuple[Hazard, ...]:
    """Every caution once, in the order of the enumeration, the handbook last."""
    wanted = set(hazards) | {Hazard.HANDBOOK}
    return tuple(hazard for hazard in Hazard if hazard in wanted)
