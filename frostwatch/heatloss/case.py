"""A case for ``frostwatch estimate``: bodies, losses, heaters, events and sensors, checked.

The form of the JSON is described in DEVELOPERS.md, "The estimate case". ``read_case`` turns it
into frozen records or names the field that does not fit.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import CaseError
from frostwatch.heatloss.case_fields import (
    CAPACITY_J_PER_K,
    CONDUCTANCE,
    FRACTION,
    HEAT_W,
    SIZE,
    TEMPERATURE_C,
    WATER_L,
    Field,
    distinct,
    series,
)
from frostwatch.heatloss.slush import STRONGEST_MASS_FRACTION, glycol_freezing_c

Array = NDArray[np.float64]

_MOST_HOURS = 20_000
_NARROWEST_BAND_K = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """One way out of a body: to an air or to another body.

    Attributes:
        to: name of the air or body.
        ua_w_per_k: conductance without ice [W/K].
        area_m2: flat face [m2], 0 if not flat; flat ice grows on it.
        u_w_per_m2_k: transmittance of a flat face [W/(m2 K)].
        length_m: round body [m], 0 if not round; a ring of ice grows in it.
    """

    to: str
    ua_w_per_k: float
    area_m2: float = 0.0
    u_w_per_m2_k: float = 0.0
    length_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Thermostat:
    """Proportional: full power below one temperature of ``senses``, off above another."""

    senses: str
    full_below_c: float
    off_above_c: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CaseBody:
    """One body of a case as it stands at hour 0; ``heater_w`` has shape (H + 1,)."""

    name: str
    water_l: float
    start_c: float
    start_ice_fraction: float
    dry_j_per_k: float
    glycol_mass_fraction: float
    heater_w: Array
    thermostat: Thermostat | None
    losses: tuple[Loss, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something done at a whole hour: to a body (water, heater) or to a valve (``close``)."""

    at_h: int
    body: str = ""
    set_water_l: float | None = None
    set_temperature_c: float | None = None
    set_heater_w: float | None = None
    close: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor:
    """A dump valve: opens below one temperature, can be shut only above another."""

    name: str
    senses: str
    opens_below_c: float
    closable_above_c: float
    drains: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Case:
    """A whole case; every air has shape (H + 1,)."""

    hours: int
    airs: Mapping[str, Array]
    bodies: tuple[CaseBody, ...]
    events: tuple[Event, ...]
    sensors: tuple[Sensor, ...]


def _airs(case: Field) -> dict[str, Array]:
    airs: dict[str, Array] = {}
    table = case.field("airs")
    for name in table.data:
        air = table.field(name)
        length = len(next(iter(airs.values()))) if airs else None
        where = air.name("temperature_c")
        airs[name] = series(air.get("temperature_c"), where, TEMPERATURE_C, length)
        if len(airs[name]) > _MOST_HOURS + 1:
            raise CaseError(
                f"{where} has {len(airs[name])} values, the most are {_MOST_HOURS + 1}."
            )
    if not airs:
        raise CaseError("airs is empty. Give at least one air with its temperature_c.")
    return airs


def _loss(row: Field, known: set[str], body: str) -> Loss:
    to = row.text("to")
    if to not in known or to == body:
        raise CaseError(f"{row.name('to')} is {to!r}: no air or other body has this name.")
    shape = row.data.get("shape")
    if shape == "flat":
        area_m2, u = row.number("area_m2", SIZE), row.number("u_w_per_m2_k", CONDUCTANCE)
        return Loss(to=to, ua_w_per_k=area_m2 * u, area_m2=area_m2, u_w_per_m2_k=u)
    if shape == "round":
        length_m, radius_m = row.number("length_m", SIZE), row.number("radius_m", SIZE)
        ua = 2 * math.pi * radius_m * length_m * row.number("u_w_per_m2_k", CONDUCTANCE)
        return Loss(to=to, ua_w_per_k=ua, length_m=length_m)
    if shape not in (None, "plain"):
        raise CaseError(f"{row.name('shape')} is {shape!r:.40}, it must be 'flat' or 'round'.")
    return Loss(to=to, ua_w_per_k=row.number("ua_w_per_k", CONDUCTANCE))


def _thermostat(row: Field, known: set[str]) -> Thermostat:
    senses = row.text("senses")
    if senses not in known:
        raise CaseError(f"{row.name('senses')} is {senses!r}: no body or air has this name.")
    full = row.number("full_below_c", TEMPERATURE_C)
    off = row.number("off_above_c", TEMPERATURE_C)
    if off - full < _NARROWEST_BAND_K:
        raise CaseError(
            f"{row.name('off_above_c')} is {off:g}, it must be above full_below_c ({full:g})."
        )
    return Thermostat(senses=senses, full_below_c=full, off_above_c=off)


def _start(row: Field, water_l: float, ice: float, glycol: float) -> float:
    """Temperature at the start [degC]; the freezing point where ice and liquid stand together."""
    if 0.0 < ice < 1.0:
        return float(glycol_freezing_c(glycol))
    start_c = row.number("start_c", TEMPERATURE_C)
    freezing_c = float(glycol_freezing_c(glycol))
    if water_l > 0.0 and ice == 0.0 and start_c < freezing_c - 1e-6:
        raise CaseError(
            f"{row.name('start_c')} is {start_c:g}, below the freezing point {freezing_c:.2f}, "
            "with start_ice_fraction 0. Give the ice, or a warmer start."
        )
    if ice == 1.0 and start_c > 0.0:
        raise CaseError(f"{row.name('start_c')} is {start_c:g}: solid ice is at 0 or below.")
    return start_c


def _body(row: Field, hours: int, known: set[str]) -> CaseBody:
    name = row.text("name")
    water_l = row.number("water_l", WATER_L)
    glycol = row.number(
        "propylene_glycol_mass_fraction", (0.0, STRONGEST_MASS_FRACTION), default=0.0
    )
    ice = row.number("start_ice_fraction", FRACTION, default=0.0) if water_l > 0.0 else 0.0
    heater = row.data.get("heater_w")
    return CaseBody(
        name=name,
        water_l=water_l,
        start_c=_start(row, water_l, ice, glycol),
        start_ice_fraction=ice,
        dry_j_per_k=row.number("dry_capacity_j_per_k", CAPACITY_J_PER_K, default=0.0),
        # of the liquid at the start: ice that is there already holds no glycol
        glycol_mass_fraction=glycol * (1.0 - ice),
        heater_w=series(heater, row.name("heater_w"), HEAT_W, hours + 1)
        if isinstance(heater, list)
        else np.full(hours + 1, row.number("heater_w", HEAT_W, default=0.0)),
        thermostat=_thermostat(row.field("thermostat"), known) if row.has("thermostat") else None,
        losses=tuple(_loss(loss, known, name) for loss in row.rows("losses")),
    )


def _event(row: Field, bodies: Mapping[str, CaseBody], sensors: set[str], hours: int) -> Event:
    at_h = row.number("at_h", (0.0, float(hours)))
    if at_h != int(at_h):
        raise CaseError(f"{row.name('at_h')} is {at_h:g}: events stand at whole hours.")
    if row.has("sensor"):
        sensor = row.text("sensor")
        if sensor not in sensors:
            raise CaseError(f"{row.name('sensor')} is {sensor!r}: no sensor has this name.")
        if row.get("close") is not True:
            raise CaseError(f"{row.name('close')} must be true: it is all a sensor can be told.")
        return Event(at_h=int(at_h), close=sensor)
    body = row.text("body")
    if body not in bodies:
        raise CaseError(f"{row.name('body')} is {body!r}: no body has this name.")
    water = row.number("set_water_l", WATER_L) if row.has("set_water_l") else None
    heater = row.number("set_heater_w", HEAT_W) if row.has("set_heater_w") else None
    if water is None and heater is None:
        raise CaseError(f"{row.path} does nothing. Give set_water_l or set_heater_w.")
    return Event(
        at_h=int(at_h),
        body=body,
        set_water_l=water,
        set_temperature_c=_new_temperature(row, bodies[body], water),
        set_heater_w=heater,
    )


def _new_temperature(row: Field, body: CaseBody, water_l: float | None) -> float | None:
    if not row.has("set_temperature_c"):
        return None
    if water_l is None:
        raise CaseError(f"{row.name('set_temperature_c')} needs set_water_l beside it.")
    water_c = row.number("set_temperature_c", TEMPERATURE_C)
    freezing_c = float(glycol_freezing_c(body.glycol_mass_fraction))
    if water_l > 0.0 and water_c < freezing_c - 1e-6:
        raise CaseError(
            f"{row.name('set_temperature_c')} is {water_c:g}: new water is liquid, "
            f"at {freezing_c:.2f} or above."
        )
    return water_c


def _sensor(row: Field, known: set[str], bodies: Mapping[str, CaseBody]) -> Sensor:
    senses, drains = row.text("senses"), row.text("drains")
    if senses not in known:
        raise CaseError(f"{row.name('senses')} is {senses!r}: no air or body has this name.")
    if drains not in bodies:
        raise CaseError(f"{row.name('drains')} is {drains!r}: no body has this name.")
    return Sensor(
        name=row.text("name"),
        senses=senses,
        opens_below_c=row.number("opens_below_c", TEMPERATURE_C),
        closable_above_c=row.number("closable_above_c", TEMPERATURE_C),
        drains=drains,
    )


def read_case(data: object) -> Case:
    """Check a parsed JSON case.

    Args:
        data: what ``json.load`` gave. Fields that nobody asks for are passed over.

    Raises:
        CaseError: names the field that does not fit and how to mend it.
    """
    case = Field(data, "")
    if case.number("step_h", (0.0, 1e6), default=1.0) != 1.0:
        raise CaseError("step_h must be 1.0.")
    airs = _airs(case)
    hours = len(next(iter(airs.values()))) - 1
    rows = case.rows("bodies", needed=True)
    if not rows:
        raise CaseError("bodies is empty. Give at least one body.")
    names = [row.text("name") for row in rows]
    distinct(names, "bodies")
    known = distinct([*airs, *names], "airs and bodies")
    bodies = {row.text("name"): _body(row, hours, known) for row in rows}
    sensor_rows = case.rows("sensors")
    sensors = distinct([row.text("name") for row in sensor_rows], "sensors")
    return Case(
        hours=hours,
        airs=airs,
        bodies=tuple(bodies.values()),
        events=tuple(_event(row, bodies, sensors, hours) for row in case.rows("events")),
        sensors=tuple(_sensor(row, known, bodies) for row in sensor_rows),
    )
