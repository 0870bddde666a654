"""One coachbuilt and the water that stands in it by its record, for the tests beside this file."""

from datetime import datetime

from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Entry
from frostwatch.records.standing_water import CircuitWater, water_of
from tests.builders import NOW, a_layout, a_vehicle

LAYOUT = a_layout("coachbuilt-underslung-fresh")
VEHICLE = a_vehicle("Y03", layout=LAYOUT.key)

FRESH, WASTE, HEATER, TRAPS = (
    Circuit.FRESH_TANK,
    Circuit.WASTE_TANK,
    Circuit.HEATER_TANK,
    Circuit.TRAPS,
)


def water(*entries: Entry, now: datetime = NOW) -> dict[Circuit, CircuitWater]:
    return {one.circuit: one for one in water_of(VEHICLE, LAYOUT, entries, now)}


def known(one: CircuitWater) -> tuple[str, str, float, float]:
    return one.state.value, one.evidence.value, one.litres_soon_l, one.litres_cost_l
