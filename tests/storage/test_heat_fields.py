"""Heat sources, hook-up posts and handovers in fleet files, spreadsheets and the database."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from frostwatch.errors import FleetError
from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.heat import Fuel, Handover, HeatSource, Post
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import HeatedHold, Vehicle
from frostwatch.storage.bodies import from_body, to_body
from frostwatch.storage.fleet_files import FleetFile, read_fleet_toml
from frostwatch.storage.fleet_write import write_fleet_toml
from frostwatch.storage.heat_text import posts_from, posts_text, source_from
from frostwatch.storage.vehicle_sheet import read_vehicle_sheet, write_vehicle_sheet
from tests.builders import a_forecourt, a_vehicle, an_operator

POSTS = (*(Post(name=str(n), amps=16.0) for n in range(1, 7)), Post(name="yard end", amps=6.0))
READY = a_vehicle(
    "D08",
    site="hinterlach",
    heat=(
        HeatSource(fuel=Fuel.GAS, power_w=6000.0),
        HeatSource(fuel=Fuel.ELECTRIC, power_w=1800.0),
    ),
    post="3",
    handover=Handover(
        at=datetime(2027, 1, 15, 9, tzinfo=UTC),
        fill_l=30.0,
        heat=HeatSource(fuel=Fuel.ELECTRIC, power_w=1800.0),
        indoors_from=datetime(2027, 1, 14, 16, tzinfo=UTC),
        who="Resi",
        taker="Familie Brugger",
    ),
    hold=HeatedHold(
        source="gas bottle",
        power_w=4000.0,
        setting_c=5.0,
        fuel=Fuel.GAS,
        store=8.5,
        battery_ah=40.0,
        other_w=120.0,
    ),
)


def a_fleet() -> Fleet:
    site = a_forecourt(posts=POSTS, supply_w=11000.0)
    resi = an_operator("resi", sites=("hinterlach",))
    return Fleet(sites=(site,), people=(resi,), vehicles=(READY,))


def test_heat_posts_and_handovers_come_back_from_a_fleet_file() -> None:
    fleet = a_fleet()
    read = read_fleet_toml(write_fleet_toml(fleet))
    assert isinstance(read, FleetFile)
    assert read.fleet.vehicles == fleet.vehicles
    assert read.fleet.sites == fleet.sites


def test_heat_posts_and_handovers_come_back_from_a_spreadsheet() -> None:
    fleet = a_fleet()
    read = read_vehicle_sheet(write_vehicle_sheet(fleet.vehicles), replace(fleet, vehicles=()))
    assert isinstance(read, Fleet)
    assert read.vehicles == fleet.vehicles


def test_records_kept_before_there_was_any_heat_still_read() -> None:
    plain = a_vehicle("D01")
    body = to_body(Vehicle, plain)
    for word in ("heat", "post", "handover"):
        assert f'"{word}"' in body
    older = body.split(',"heat"')[0] + "}"
    assert from_body(Vehicle, older, where="vehicle D01") == plain
    assert from_body(Vehicle, to_body(Vehicle, READY), where="vehicle D08") == READY
    site = a_fleet().sites[0]
    assert from_body(Site, to_body(Site, site), where="site") == site


@pytest.mark.parametrize(
    ("text", "source"),
    [
        ("gas 6000 W", HeatSource(fuel=Fuel.GAS, power_w=6000.0)),
        ("Diesel 4 kW", HeatSource(fuel=Fuel.DIESEL, power_w=4000.0)),
        ("Strom 1,8kW", HeatSource(fuel=Fuel.ELECTRIC, power_w=1800.0)),
    ],
)
def test_heat_sources_are_read_as_people_write_them(text: str, source: HeatSource) -> None:
    assert source_from(text) == source


@pytest.mark.parametrize("text", ["coal 5 kW", "gas", "gas 6000", "gas 1 W", ""])
def test_what_is_no_heat_source_says_how_to_write_one(text: str) -> None:
    with pytest.raises(FleetError, match="heat source"):
        source_from(text)


def test_posts_are_written_as_ranges_of_one_rating() -> None:
    assert posts_text(POSTS) == ["1..6 16 A", "yard end 6 A"]
    assert tuple(p for text in posts_text(POSTS) for p in posts_from(text)) == POSTS
    assert POSTS[0].power_w == pytest.approx(3680.0)  # EN 50160: 230 V; 16 A "about 3.5 kW"


def test_a_post_nobody_listed_is_refused_with_the_nearest_one() -> None:
    fleet = a_fleet()
    with pytest.raises(FleetError, match="post '33' is not at site hinterlach"):
        replace(fleet, vehicles=(replace(READY, post="33"),))


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('heat = ["coal 5 kW"]', "no heat source"),
        ('posts = ["1..6"]', "no post"),
        ("supply_w = 5", "supply"),
        ("[vehicle.handover]\nfill_l = 20", "at is missing"),
        ("[vehicle.handover]\nat = 2027-01-15T09:00:00", "time zone"),
        ("[vehicle.handover]\nat = 2027-01-15T09:00:00Z\nfill_l = 5000", "litres"),
        ('[vehicle.hold]\nsource = "x"\npower_w = 900\nsetting_c = 5\nfuel = "coal"', "fuel"),
    ],
)
def test_a_fault_in_a_fleet_file_is_named_with_its_line(line: str, said: str) -> None:
    place = "site" if line.startswith(("posts", "supply")) else "vehicle"
    more = {"site": "", "vehicle": ""} | {place: line}
    text = (
        '[[site]]\nkey = "s"\nkind = "drive"\nlatitude = 50\nlongitude = 8\n'
        f'time_zone = "UTC"\n{more["site"]}\n'
        f'[[vehicle]]\nkey = "v"\nsite = "s"\nlayout = "panel-van"\n{more["vehicle"]}\n'
    )
    problems = read_fleet_toml(text)
    assert isinstance(problems, list)
    assert any(said in str(problem) and problem.line > 0 for problem in problems), problems
