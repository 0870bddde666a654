"""Cases that do not fit: each is refused with the field named, and nothing is guessed."""

import copy
import math
from collections.abc import Callable
from typing import Any

import pytest

from frostwatch.errors import CaseError
from frostwatch.heatloss.case import read_case
from tests.heatloss.cases import a_case, flat, ring, water

Case = dict[str, Any]


def a_good_case() -> Case:
    case = a_case(
        3,
        [2.0, 0.0, -4.0, -6.0],
        water(8, 4.0, {"to": "out", "ua_w_per_k": 2.0}, flat(0.5, 3.0), ring(1.0, 0.01, 9.0)),
        events=[{"at_h": 1, "body": "water", "set_water_l": 2, "set_temperature_c": 5}],
        sensors=[
            {
                "name": "valve",
                "senses": "out",
                "opens_below_c": 3.0,
                "closable_above_c": 7.0,
                "drains": "water",
            }
        ],
    )
    case["bodies"][0]["thermostat"] = {"senses": "water", "full_below_c": 2, "off_above_c": 4}
    return case


def put(*path: Any) -> Callable[[Case], None]:
    """Set the value at the end of a path."""

    def change(case: Case) -> None:
        *way, key, value = path
        place: Any = case
        for step in way:
            place = place[step]
        place[key] = value

    return change


def drop(*path: Any) -> Callable[[Case], None]:
    """Take a field out."""

    def change(case: Case) -> None:
        place: Any = case
        for step in path[:-1]:
            place = place[step]
        del place[path[-1]]

    return change


BODY = ("bodies", 0)
EVENT = ("events", 0)
SENSOR = ("sensors", 0)
LOSS = ("bodies", 0, "losses")
NAN, HUGE = math.nan, 10**400

ZOO: list[tuple[str, Callable[[Case], None]]] = [
    ("step_h must be 1.0", put("step_h", 0.5)),
    ("step_h must be a number", put("step_h", "1")),
    ("airs is missing", drop("airs")),
    ("airs must be an object", put("airs", [])),
    ("airs is empty", put("airs", {})),
    ("airs.out must be an object", put("airs", "out", [1, 2])),
    ("airs.out.temperature_c is missing", put("airs", "out", {})),
    ("airs.out.temperature_c must be a list", put("airs", "out", "temperature_c", 3)),
    ("airs.out.temperature_c must be a list", put("airs", "out", "temperature_c", [])),
    (r"airs.out.temperature_c\[1\] must be a number", put("airs", "out", "temperature_c", 1, None)),
    (r"airs.out.temperature_c\[1\] is nan", put("airs", "out", "temperature_c", 1, NAN)),
    (r"airs.out.temperature_c\[0\] is -300", put("airs", "out", "temperature_c", 0, -300.0)),
    (r"airs.out.temperature_c\[2\] must be a number", put("airs", "out", "temperature_c", 2, True)),
    (
        "airs.out.temperature_c has 30000 values, the most are",
        put("airs", "out", "temperature_c", [0.0] * 30_000),
    ),
    (
        "airs.in.temperature_c has 2 values, the others have 4",
        put("airs", "in", {"temperature_c": [1, 2]}),
    ),
    ("bodies is missing", drop("bodies")),
    ("bodies must be a list", put("bodies", {"water": {}})),
    ("bodies is empty", put("bodies", [])),
    (r"bodies\[0\] must be an object", put("bodies", 0, 7)),
    (r"bodies\[0\].name is missing", drop(*BODY, "name")),
    (r"bodies\[0\].name must be a name", put(*BODY, "name", 3)),
    (r"bodies\[0\].name must be a name", put(*BODY, "name", "")),
    ("the name 'out' stands twice", put(*BODY, "name", "out")),
    (r"bodies\[0\].water_l is missing", drop(*BODY, "water_l")),
    (r"bodies\[0\].water_l is -1", put(*BODY, "water_l", -1)),
    (r"bodies\[0\].water_l is inf", put(*BODY, "water_l", math.inf)),
    (r"bodies\[0\].water_l is 1000", put(*BODY, "water_l", HUGE)),
    (r"bodies\[0\].start_c is missing", drop(*BODY, "start_c")),
    (r"bodies\[0\].start_c is -1.*below the freezing point", put(*BODY, "start_c", -1)),
    (r"bodies\[0\].start_ice_fraction is 1.2", put(*BODY, "start_ice_fraction", 1.2)),
    (r"bodies\[0\].start_c is 4.*solid ice", put(*BODY, "start_ice_fraction", 1)),
    (r"bodies\[0\].dry_capacity_j_per_k is -5", put(*BODY, "dry_capacity_j_per_k", -5)),
    (
        r"bodies\[0\].propylene_glycol_mass_fraction is 0.9",
        put(*BODY, "propylene_glycol_mass_fraction", 0.9),
    ),
    (r"bodies\[0\].heater_w must be a number", put(*BODY, "heater_w", "60 W")),
    (r"bodies\[0\].heater_w has 2 values", put(*BODY, "heater_w", [60, 60])),
    (r"bodies\[0\].heater_w\[3\] is nan", put(*BODY, "heater_w", [60, 60, 60, NAN])),
    (r"bodies\[0\].thermostat must be an object", put(*BODY, "thermostat", 5)),
    (r"bodies\[0\].thermostat.senses is 'x'", put(*BODY, "thermostat", "senses", "x")),
    (r"bodies\[0\].thermostat.full_below_c is missing", drop(*BODY, "thermostat", "full_below_c")),
    (r"bodies\[0\].thermostat.off_above_c is 2", put(*BODY, "thermostat", "off_above_c", 2)),
    (r"bodies\[0\].losses must be a list", put(*BODY, "losses", {"to": "out"})),
    (r"bodies\[0\].losses\[0\].to is missing", drop(*LOSS, 0, "to")),
    (r"bodies\[0\].losses\[0\].to is 'sea'", put(*LOSS, 0, "to", "sea")),
    (r"bodies\[0\].losses\[0\].to is 'water'", put(*LOSS, 0, "to", "water")),
    (r"bodies\[0\].losses\[0\].ua_w_per_k is missing", drop(*LOSS, 0, "ua_w_per_k")),
    (r"bodies\[0\].losses\[0\].ua_w_per_k is -2", put(*LOSS, 0, "ua_w_per_k", -2)),
    (r"bodies\[0\].losses\[1\].shape is 'cone'", put(*LOSS, 1, "shape", "cone")),
    (r"bodies\[0\].losses\[1\].shape is \['flat'\]", put(*LOSS, 1, "shape", ["flat"])),
    (r"bodies\[0\].losses\[1\].area_m2 is missing", drop(*LOSS, 1, "area_m2")),
    (r"bodies\[0\].losses\[2\].radius_m is -1", put(*LOSS, 2, "radius_m", -1)),
    (r"bodies\[0\].losses\[2\].u_w_per_m2_k is missing", drop(*LOSS, 2, "u_w_per_m2_k")),
    ("events must be a list", put("events", {})),
    (r"events\[0\] must be an object", put("events", 0, "drain")),
    (r"events\[0\].at_h is missing", drop(*EVENT, "at_h")),
    (r"events\[0\].at_h is 1.5", put(*EVENT, "at_h", 1.5)),
    (r"events\[0\].at_h is 4, it must be between 0 and 3", put(*EVENT, "at_h", 4)),
    (r"events\[0\].at_h is -1", put(*EVENT, "at_h", -1)),
    (r"events\[0\].body is 'x'", put(*EVENT, "body", "x")),
    (r"events\[0\].body is missing", drop(*EVENT, "body")),
    (r"events\[0\].set_water_l is -2", put(*EVENT, "set_water_l", -2)),
    (
        r"events\[0\].set_temperature_c is -2: new water is liquid",
        put(*EVENT, "set_temperature_c", -2),
    ),
    (r"events\[0\] does nothing", put("events", 0, {"at_h": 1, "body": "water"})),
    (
        r"events\[0\].set_temperature_c needs set_water_l",
        put("events", 0, {"at_h": 1, "body": "water", "set_heater_w": 5, "set_temperature_c": 5}),
    ),
    (r"events\[0\].sensor is 'x'", put("events", 0, {"at_h": 1, "sensor": "x", "close": True})),
    (
        r"events\[0\].close must be true",
        put("events", 0, {"at_h": 1, "sensor": "valve", "close": "no"}),
    ),
    (r"sensors\[0\].name is missing", drop(*SENSOR, "name")),
    (r"sensors\[0\].senses is 'x'", put(*SENSOR, "senses", "x")),
    (r"sensors\[0\].drains is 'out'", put(*SENSOR, "drains", "out")),
    (r"sensors\[0\].opens_below_c is missing", drop(*SENSOR, "opens_below_c")),
    (r"sensors\[0\].closable_above_c must be a number", put(*SENSOR, "closable_above_c", "7")),
]


def test_the_case_the_zoo_is_made_from_fits() -> None:
    assert read_case(a_good_case()).hours == 3


@pytest.mark.parametrize(("message", "spoil"), ZOO, ids=range(len(ZOO)))
def test_a_field_that_does_not_fit_is_named(message: str, spoil: Callable[[Case], None]) -> None:
    case = copy.deepcopy(a_good_case())
    spoil(case)
    with pytest.raises(CaseError, match=message):
        read_case(case)


@pytest.mark.parametrize("data", [None, [], "case", 3])
def test_a_case_that_is_no_object_is_refused(data: object) -> None:
    with pytest.raises(CaseError, match="the case must be an object"):
        read_case(data)


def test_two_bodies_or_two_sensors_of_one_name_are_refused() -> None:
    for list_ in ("bodies", "sensors"):
        case = a_good_case()
        case[list_] *= 2
        with pytest.raises(CaseError, match="stands twice"):
            read_case(case)


def test_fields_nobody_asks_for_are_passed_over_and_null_counts_as_left_out() -> None:
    case = a_good_case() | {"note": "mine"}
    case["bodies"][0] |= {"colour": "blue", "thermostat": None, "heater_w": None}
    case["events"] = case["sensors"] = None
    assert read_case(case).bodies[0].heater_w.tolist() == [0.0] * 4
