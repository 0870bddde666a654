"""A fleet holds together, or says everything that does not fit."""

from typing import Any

import pytest

from frostwatch.errors import FleetError
from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.mismatches import Mismatch, mismatches
from tests.builders import (
    a_crew,
    a_drive,
    a_forecourt,
    a_site,
    a_vehicle,
    a_yard,
    an_operator,
    an_owner,
)

PEOPLE = (a_crew(), an_operator(), an_owner())


def a_fleet(**changed: Any) -> Fleet:
    parts = {
        "sites": (a_site(), a_drive()),
        "people": PEOPLE,
        "vehicles": (
            a_vehicle("Y03", bay="B-02"),
            a_vehicle("Y01", bay="A-12"),
            a_vehicle("Y02", bay=""),
            a_vehicle("M1", site="aunt-drive", bay="", keeper="maelle", layout="panel-van"),
        ),
    }
    return Fleet(**(parts | changed))


def test_things_are_found_by_their_key() -> None:
    fleet = a_fleet()
    assert fleet.site("cold-rigg").name == "Cold Rigg Yard"
    assert fleet.person("kit").name == "Kit"
    assert fleet.vehicle("M1").layout == "panel-van"
    assert fleet.layout(fleet.vehicle("M1")).name.startswith("panel-van")


@pytest.mark.parametrize(
    ("kind", "key", "said"),
    [
        ("site", "cold-rig", "site 'cold-rig' is not entered. Did you mean 'cold-rigg'?"),
        ("person", "zzz", "person 'zzz' is not entered. Give one of kit, ailsa, maelle."),
        ("vehicle", "Y0", "Did you mean 'Y0"),
    ],
)
def test_a_key_nobody_entered_gets_a_hint(kind: str, key: str, said: str) -> None:
    with pytest.raises(FleetError) as wrong:
        getattr(a_fleet(), kind)(key)
    assert said in str(wrong.value)


def test_an_empty_fleet_is_a_fleet() -> None:
    with pytest.raises(FleetError, match="Enter it first"):
        Fleet().vehicle("Y01")


def test_vehicles_come_in_walking_order_and_those_without_a_bay_last() -> None:
    fleet = a_fleet()
    there = fleet.vehicles_at(fleet.site("cold-rigg"))
    assert [vehicle.key for vehicle in there] == ["Y01", "Y03", "Y02"]
    assert Fleet(sites=(a_forecourt(operator=""),)).vehicles_at(a_forecourt()) == ()


def test_the_people_of_a_site_are_its_operator_its_crew_and_its_keepers() -> None:
    fleet = a_fleet()
    yard, drive = fleet.sites
    assert [person.key for person in fleet.people_at(yard)] == ["ailsa", "kit"]
    assert [person.key for person in fleet.people_at(drive)] == ["maelle"]


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"site": "cold-rig"}, "site", "its site 'cold-rig' is not among the sites. Did you mean"),
        ({"bay": "A-99"}, "bay", "bay 'A-99' is not at site cold-rigg."),
        ({"keeper": "mael"}, "keeper", "Did you mean 'maelle'?"),
        ({"layout": "coachbilt"}, "layout", "layout 'coachbilt' is not in the catalogue."),
        ({"overrides": (("F1.capacity_l", 0.0),)}, "own", "F1.capacity_l is 0"),
        ({"key": ""}, "key", "'' cannot be a key."),
        ({"key": "Y 3"}, "key", "Use letters, digits and hyphens"),
    ],
)
def test_a_vehicle_that_does_not_fit_is_named_with_what_to_mend(
    changed: dict[str, Any], field: str, said: str
) -> None:
    found = mismatches((a_site(),), PEOPLE, (a_vehicle(**changed),))
    assert [one.field for one in found if one.kind == "vehicle"] == [field]
    assert said in str(found[-1])


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"operator": "ailse"}, "operator", "Did you mean 'ailsa'?"),
        ({"bays": ("A-01", "A-02", "A-01")}, "bays", "bay A-01 is listed twice."),
        ({"bays": ("A-01..A-09",)}, "bays", "cannot be the name of a bay"),
    ],
)
def test_a_site_that_does_not_fit_is_named(changed: dict[str, Any], field: str, said: str) -> None:
    found = mismatches((a_site(**changed),), PEOPLE, ())
    assert [one.field for one in found] == [field]
    assert said in str(found[0])


def test_a_person_who_works_nowhere_known_is_named() -> None:
    (found,) = mismatches((a_site(),), (*PEOPLE, a_crew("marek", sites=("cold-ridge",))), ())
    assert str(found) == (
        "person marek: works at 'cold-ridge', which is not among the sites. "
        "Did you mean 'cold-rigg'?"
    )


@pytest.mark.parametrize("kind", ["site", "person", "vehicle"])
def test_a_key_used_twice_is_named(kind: str) -> None:
    site, people, vehicle = a_site(), PEOPLE, a_vehicle(bay="")
    found = mismatches(
        (site, site) if kind == "site" else (site,),
        (*people, people[0]) if kind == "person" else people,
        (vehicle, vehicle) if kind == "vehicle" else (vehicle,),
    )
    assert [(one.kind, one.field) for one in found] == [(kind, "key")]
    assert "is used twice" in found[0].what


def test_everything_wrong_is_said_at_once_and_a_long_list_is_counted() -> None:
    site, vehicles = a_yard(60)
    with pytest.raises(FleetError) as wrong:
        Fleet(sites=(), people=(an_operator(sites=()),), vehicles=vehicles)
    lines = str(wrong.value).splitlines()
    assert lines[0] == "vehicle Y01: its site 'cold-rigg' is not among the sites. Enter it first."
    assert lines[-1] == "and 40 more."
    assert Fleet(sites=(site,), people=(an_operator(),), vehicles=vehicles).vehicle("Y60")


def test_a_mismatch_without_hint_ends_cleanly() -> None:
    one = Mismatch(kind="site", position=0, key="a", field="key", what="is odd.", mend="")
    assert str(one) == "site a: is odd."
