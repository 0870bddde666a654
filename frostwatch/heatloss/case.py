"""A case for ``frostwatch estimate``: bodies, losses, heaters, events and sensors, checked.

The form of the JSON is described in DEVELOPERS.md, "The estimate case". ``read_case`` turns it
into frozen records or names the field that does not fit.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.errors import CaseError
from frostwatch.heatloss.slush import glycol_freezing_c

Array = NDArray[np.float64]

_LARGEST_GLYCOL = 0.6


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


class _Field:
    """One JSON object with the path to it, so that every error names the field."""

    def __init__(self, data: object, path: str) -> None:
        if not isinstance(data, Mapping):
            raise CaseError(f"{path or 'the case'} must be an object {{...}}.")
        self.data: Mapping[str, Any] = data
        self.path = path

    def name(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def has(self, key: str) -> bool:
        return self.data.get(key) is not None

    def get(self, key: str) -> Any:
        if not self.has(key):
            raise CaseError(f"{self.name(key)} is missing. Add it.")
        return self.data[key]

    def text(self, key: str) -> str:
        value = self.get(key)
        if not isinstance(value, str) or not value:
            raise CaseError(f"{self.name(key)} must be a name in quotes.")
        return value

    def number(
        self, key: str, default: float | None = None, low: float = -1e12, high: float = 1e12
    ) -> float:
        if default is not None and not self.has(key):
            return default
        return _number(self.get(key), self.name(key), low, high)

    def rows(self, key: str, *, needed: bool = False) -> list["_Field"]:
        value = self.get(key) if needed else self.data.get(key) or []
        if not isinstance(value, list):
            raise CaseError(f"{self.name(key)} must be a list [...].")
        return [_Field(row, f"{self.name(key)}[{n}]") for n, row in enumerate(value)]


def _number(value: object, path: str, low: float = -1e12, high: float = 1e12) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise CaseError(f"{path} must be a number, not {value!r}.")
    if not math.isfinite(value) or not low <= value <= high:
        raise CaseError(f"{path} is {value!r}, it must be between {low:g} and {high:g}.")
    return float(value)


def _series(value: object, path: str, length: int | None) -> Array:
    if not isinstance(value, list) or not value:
        raise CaseError(f"{path} must be a list of numbers, one for each hour boundary.")
    if length is not None and len(value) != length:
        raise CaseError(f"{path} has {len(value)} values, the others have {length}.")
    return np.array([_number(v, f"{path}[{n}]") for n, v in enumerate(value)])


def _airs(case: _Field) -> dict[str, Array]:
    airs: dict[str, Array] = {}
    table = _Field(case.get("airs"), "airs")
    for name in table.data:
        air = _Field(table.data[name], f"airs.{name}")
        length = len(next(iter(airs.values()))) if airs else None
        airs[name] = _series(air.get("temperature_c"), f"airs.{name}.temperature_c", length)
    if not airs:
        raise CaseError("airs is empty. Give at least one air with its temperature_c.")
    return airs


def _loss(row: _Field, known: set[str], body: str) -> Loss:
    to = row.text("to")
    if to not in known or to == body:
        raise CaseError(f"{row.name('to')} is {to!r}: no air or other body has this name.")
    shape = row.data.get("shape")
    if shape == "flat":
        area_m2 = row.number("area_m2", low=0.0)
        u = row.number("u_w_per_m2_k", low=0.0)
        return Loss(to=to, ua_w_per_k=area_m2 * u, area_m2=area_m2, u_w_per_m2_k=u)
    if shape == "round":
        length_m = row.number("length_m", low=0.0)
        radius_m = row.number("radius_m", low=0.0)
        u = row.number("u_w_per_m2_k", low=0.0)
        return Loss(to=to, ua_w_per_k=2 * math.pi * radius_m * length_m * u, length_m=length_m)
    if shape not in (None, "plain"):
        raise CaseError(f"{row.name('shape')} is {shape!r}, it must be 'flat' or 'round'.")
    return Loss(to=to, ua_w_per_k=row.number("ua_w_per_k", low=0.0))


def _thermostat(row: _Field, known: set[str]) -> Thermostat:
    senses = row.text("senses")
    if senses not in known:
        raise CaseError(f"{row.name('senses')} is {senses!r}: no body or air has this name.")
    full, off = row.number("full_below_c"), row.number("off_above_c")
    if off <= full:
        raise CaseError(f"{row.name('off_above_c')} must be above full_below_c.")
    return Thermostat(senses=senses, full_below_c=full, off_above_c=off)


def _body(row: _Field, hours: int, known: set[str]) -> CaseBody:
    name = row.text("name")
    water_l = row.number("water_l", low=0.0)
    glycol = row.number("propylene_glycol_mass_fraction", 0.0, 0.0, _LARGEST_GLYCOL)
    ice = row.number("start_ice_fraction", 0.0, 0.0, 1.0)
    start_c = 0.0 if 0.0 < ice < 1.0 else row.number("start_c", low=-273.15, high=1000.0)
    freezing_c = float(glycol_freezing_c(glycol))
    if water_l > 0.0 and ice == 0.0 and start_c < freezing_c - 1e-9:
        raise CaseError(
            f"{row.name('start_c')} is {start_c:g}, below the freezing point {freezing_c:.2f}, "
            "with start_ice_fraction 0. Give the ice, or a warmer start."
        )
    if ice == 1.0 and start_c > 0.0:
        raise CaseError(f"{row.name('start_c')} is {start_c:g}: solid ice is at 0 or below.")
    heater = row.data.get("heater_w")
    series = (
        _series(heater, row.name("heater_w"), hours + 1)
        if isinstance(heater, list)
        else np.full(hours + 1, row.number("heater_w", 0.0))
    )
    thermostat = (
        _thermostat(_Field(row.get("thermostat"), row.name("thermostat")), known)
        if row.has("thermostat")
        else None
    )
    return CaseBody(
        name=name,
        water_l=water_l,
        start_c=start_c,
        start_ice_fraction=ice if water_l > 0.0 else 0.0,
        dry_j_per_k=row.number("dry_capacity_j_per_k", 0.0, 0.0),
        # of the liquid at the start: ice that is there already holds no glycol
        glycol_mass_fraction=glycol * (1.0 - ice),
        heater_w=series,
        thermostat=thermostat,
        losses=tuple(_loss(loss, known, name) for loss in row.rows("losses")),
    )


def _event(row: _Field, hours: int, bodies: set[str], sensors: set[str]) -> Event:
    at_h = row.number("at_h", low=0.0, high=float(hours))
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
    water = row.number("set_water_l", low=0.0) if row.has("set_water_l") else None
    heater = row.number("set_heater_w") if row.has("set_heater_w") else None
    warm = row.number("set_temperature_c") if row.has("set_temperature_c") else None
    if water is None and heater is None:
        raise CaseError(f"{row.path} does nothing. Give set_water_l or set_heater_w.")
    return Event(
        at_h=int(at_h), body=body, set_water_l=water, set_temperature_c=warm, set_heater_w=heater
    )


def _sensor(row: _Field, known: set[str], bodies: set[str]) -> Sensor:
    senses, drains = row.text("senses"), row.text("drains")
    if senses not in known:
        raise CaseError(f"{row.name('senses')} is {senses!r}: no air or body has this name.")
    if drains not in bodies:
        raise CaseError(f"{row.name('drains')} is {drains!r}: no body has this name.")
    return Sensor(
        name=row.text("name"),
        senses=senses,
        opens_below_c=row.number("opens_below_c"),
        closable_above_c=row.number("closable_above_c"),
        drains=drains,
    )


def _distinct(names: list[str], where: str) -> set[str]:
    for name in names:
        if names.count(name) > 1:
            raise CaseError(f"{where}: the name {name!r} stands twice. Names must differ.")
    return set(names)


def read_case(data: object) -> Case:
    """Check a parsed JSON case.

    Args:
        data: what ``json.load`` gave.

    Raises:
        CaseError: names the field that does not fit and how to mend it.
    """
    case = _Field(data, "")
    if case.number("step_h", 1.0) != 1.0:
        raise CaseError("step_h must be 1.0.")
    airs = _airs(case)
    hours = len(next(iter(airs.values()))) - 1
    rows = case.rows("bodies", needed=True)
    if not rows:
        raise CaseError("bodies is empty. Give at least one body.")
    bodies = _distinct([row.text("name") for row in rows], "bodies")
    known = _distinct([*airs, *bodies], "airs and bodies")
    sensor_rows = case.rows("sensors")
    sensors = _distinct([row.text("name") for row in sensor_rows], "sensors")
    return Case(
        hours=hours,
        airs=airs,
        bodies=tuple(_body(row, hours, known) for row in rows),
        events=tuple(_event(row, hours, bodies, sensors) for row in case.rows("events")),
        sensors=tuple(_sensor(row, known, bodies) for row in sensor_rows),
    )
