"""What still holds water at a stop, and where it lets go in that vehicle."""

from dataclasses import dataclass

from frostwatch.advice.board import Standing
from frostwatch.advice.marks import Mark, vessel_of
from frostwatch.advice.rounds import Stop
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.vehicles import Circuit, Vehicle
from frostwatch.records.entries import Evidence, State
from frostwatch.web.vessel_marks import shown
from frostwatch.web.words import Tongue

MOST_WAYS = 2
"""So many outlets of one vessel are named in a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WetLine:
    """One vessel that still holds water.

    Attributes:
        vessel: which.
        look: fill of its mark.
        edge: edge of its mark.
        share: height of the water [fraction]; None where the fill says it.
        name: what it is, with its litres.
        where: where it lets go in this vehicle.
    """

    vessel: str
    look: str
    edge: str
    share: float | None
    name: str
    where: str


def wet_lines(
    stop: Stop, vehicle: Vehicle | None, standing: Standing | None, tongue: Tongue
) -> list[WetLine]:
    """What still holds water at a stop, one line for each vessel.

    Args:
        stop: the stop.
        vehicle: as it is entered now; None if it is not any more.
        standing: how it stood at the last pass; None if nobody knows.
        tongue: language.
    """
    t = tongue
    marks = {mark.vessel: mark for mark in standing.marks} if standing is not None else {}
    ways = _ways(vehicle, {wet.circuit for wet in stop.wet})
    found = []
    for vessel in dict.fromkeys(vessel_of(wet.circuit) for wet in stop.wet):
        mark = shown(marks.get(vessel) or _unknown(vessel), t)
        name = f"{mark.name} {mark.label}" if mark.label else mark.name
        where = [t.words.lets_go.get(way, way) for way in ways.get(vessel, ())]
        found.append(
            WetLine(
                vessel=vessel,
                look=mark.look,
                edge=mark.edge,
                share=mark.share,
                name=name,
                where="; ".join(where[:MOST_WAYS]),
            )
        )
    return found


def _unknown(vessel: str) -> Mark:
    return Mark(vessel=vessel, state=State.UNKNOWN, evidence=Evidence.EXPIRED, wet=True)


def _ways(vehicle: Vehicle | None, wet: set[Circuit]) -> dict[str, list[str]]:
    """Vessel -> where its wet circuits let go, each way once."""
    try:
        items = layout_of(vehicle).items if vehicle is not None else ()
    except FrostwatchError:
        items = ()
    found: dict[str, list[str]] = {}
    for item in items:
        if item.circuit in wet and item.lets_go:
            ways = found.setdefault(vessel_of(item.circuit), [])
            if item.lets_go not in ways:
                ways.append(item.lets_go)
    return found
