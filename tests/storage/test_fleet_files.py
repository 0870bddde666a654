"""Fleet files: read whole, or answered with every problem, line by line."""

import csv
import io
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.fleet.fleet import Fleet
from frostwatch.fleet.handbook import HandbookLine, OwnSource, Rule
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.people import Channel, Duty, Language, Person, Slot
from frostwatch.fleet.roofs import Roof, RoofedBays, Under
from frostwatch.fleet.sites import Lie, Shelter, Shift, Site, SiteKind
from frostwatch.fleet.vehicles import Circuit, HeatedHold, Vehicle
from frostwatch.records.entries import State
from frostwatch.storage.fleet_files import FleetFile, read_fleet_toml
from frostwatch.storage.fleet_write import write_fleet_toml
from frostwatch.storage.vehicle_sheet import read_vehicle_sheet, write_vehicle_sheet
from tests.builders import (
    FLEET_TOML as YARD,
)
from tests.builders import (
    a_crew,
    a_drive,
    a_forecourt,
    a_site,
    a_vehicle,
    an_entry,
    an_operator,
    an_owner,
)

CONFIG = Path(__file__).parents[2] / "config"
HEATED = Under(
    kind=Roof.HEATED, heated_to_c=15.0, by="Resi", until=datetime(2027, 1, 14, 16, tzinfo=UTC)
)


def read(text: str) -> FleetFile:
    result = read_fleet_toml(text)
    assert isinstance(result, FleetFile), [str(problem) for problem in result]
    return result


def problems(text: str) -> list[str]:
    result = read_fleet_toml(text)
    assert isinstance(result, list)
    return [str(problem) for problem in result]


def test_a_fleet_file_gives_sites_people_vehicles_and_what_stands_in_them() -> None:
    said = read(YARD)
    site = said.fleet.site("cold-rigg")
    assert site.bays[0] == "A-01"
    assert len(site.bays) == 12
    assert site.shifts[4] == Shift(weekday=4, opens=time(8), closes=time(16, 30))
    assert said.fleet.person("ailsa").channels[0].form == "long"
    assert said.fleet.vehicle("Y02").overrides == (("F1.capacity_l", 110.0),)
    (entry,) = said.entries
    assert (entry.vehicle, entry.circuit) == ("Y02", Circuit.FRESH_TANK)
    assert entry.state is State.TRAVEL_LEVEL
    assert entry.litres_l == 20.0
    assert entry.at == datetime(2026, 10, 24, 15, 30, tzinfo=UTC)
    assert entry.evidence.value == "asserted"


def test_the_example_with_every_field_loads() -> None:
    said = read((CONFIG / "example-fleet.toml").read_text())
    assert len(said.fleet.vehicles) == 2
    assert len(said.entries) == 2


def test_the_example_shows_every_field_that_is_written() -> None:
    fleet = Fleet(
        sites=(a_site(gas_allowed=True, roofs=(RoofedBays(bays=("A-01",), under=HEATED),)),),
        people=(replace(an_owner(), sites=("cold-rigg",)), an_operator()),
        vehicles=(
            a_vehicle(
                name="van",
                keeper="maelle",
                key_place="key 1",
                indoors=True,
                hold=HeatedHold(source="hook-up", power_w=900.0, setting_c=5.0),
                overrides=(("F1.capacity_l", 90.0),),
                under=HEATED,
            ),
        ),
    )
    entry = an_entry(
        state=State.DOSED, dose_fraction=0.3, litres_l=1.0, event="dosing", photo="p", note="n"
    )
    shown = (CONFIG / "example-fleet.toml").read_text()
    for line in write_fleet_toml(fleet, [entry]).splitlines():
        field, equals, _ = line.partition(" = ")
        if equals and not field.startswith((" ", '"')):
            assert f"{field} = " in shown or field in ("channel", "hold", "received_at", "under"), (
                field
            )


@pytest.mark.parametrize("name", ["yard", "owner", "forecourt"])
def test_the_demo_loads_and_knows_its_anchor(name: str) -> None:
    said = read((CONFIG / "demo" / f"{name}.toml").read_text())
    assert said.anchor is not None
    assert said.fleet.vehicles


def test_bays_under_roofs_are_written_and_read_as_the_same() -> None:
    shed = RoofedBays(bays=("A-01", "A-02"), under=Under(kind=Roof.UNHEATED))
    hall = RoofedBays(bays=("A-04",), under=HEATED)
    fleet = Fleet(sites=(a_site(roofs=(shed, hall)),), people=(an_operator(),))
    assert read(write_fleet_toml(fleet)).fleet == fleet
    (site,) = fleet.sites
    assert site.under("A-02") == shed.under
    assert site.under("A-04") == HEATED
    assert site.under("A-03") is None
    assert site.under("") is None


@pytest.mark.parametrize(
    ("roof", "said"),
    [
        ('kind = "heated"\n', "not told what it is kept at, who says so and until when"),
        ('kind = "heated"\nheated_to_c = 15\nby = "rz"\n', "not told what it is kept at"),
        ('kind = "unheated"\nheated_to_c = 15\n', "unheated is not heated"),
        (
            'kind = "heated"\nheated_to_c = 80\nby = "rz"\nuntil = 2027-01-14T16:00:00Z\n',
            "warmth is 80",
        ),
        ('kind = "warm"\n', "kind"),
    ],
)
def test_a_heated_building_that_nobody_vouches_for_is_refused(roof: str, said: str) -> None:
    broken = YARD.replace("[[person]]", f'[[site.roof]]\nbays = ["A-01"]\n{roof}\n[[person]]', 1)
    assert any(said in problem for problem in problems(broken)), problems(broken)


def test_a_bay_under_two_roofs_or_of_another_place_is_told() -> None:
    roofs = '[[site.roof]]\nbays = ["A-01", "Z-9"]\nkind = "roofed"\n\n[[person]]'
    (said,) = problems(YARD.replace("[[person]]", roofs, 1))
    assert "bay Z-9 stands under two roofs, or is not among the bays" in said


def test_a_byte_order_mark_does_not_matter() -> None:
    assert read("\ufeff" + YARD).fleet == read(YARD).fleet


def test_an_empty_file_is_an_empty_fleet() -> None:
    assert read("").fleet == Fleet()


# Problems: line, column, what, how to mend


def test_every_fault_is_told_at_once_in_order_of_the_lines() -> None:
    broken = (
        YARD.replace("latitude = 54.74", "latitude = 95.0")
        .replace('duty = "operator"', 'duty = "boss"')
        .replace("litres = 20", "litres = -20")
    )
    found = read_fleet_toml(broken)
    assert isinstance(found, list)
    assert [problem.line for problem in found] == [4, 13, 33]


def test_headers_and_keys_inside_a_long_text_do_not_mislead_the_line_numbers() -> None:
    note = 'note = """\n[[vehicle]]\nkey = "no"\n"""\n'
    broken = YARD.replace('by = "owner"\n', note).replace('key = "Y03"', 'key = "Y 3"')
    assert [p.split(":")[0] for p in problems(broken)] == ["line 30, by", "line 41, key"]


# Round trips

words = st.text(
    st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1, max_size=12
).map(str.strip)
names = words.filter(bool)
keys = st.text("abcdefghijklmnopqrstuvwxyzäéØ0123456789-_.'=+@", min_size=1, max_size=8)
clocks = st.times().map(lambda clock: clock.replace(second=0, microsecond=0, tzinfo=None))
spans = st.tuples(st.integers(0, 6), clocks, clocks).filter(lambda span: span[1] < span[2])
several_spans = st.lists(spans, max_size=4)
litres = st.floats(0.02, 900.0)


def sites_of(key: str, operator: str) -> st.SearchStrategy[Site]:
    return st.builds(
        lambda shifts, **site: Site(
            key=key,
            operator=operator,
            shifts=tuple(Shift(weekday=d, opens=a, closes=b) for d, a, b in shifts),
            **site,
        ),
        several_spans,
        name=names,
        kind=st.sampled_from(SiteKind),
        latitude_deg=st.floats(-90, 90),
        longitude_deg=st.floats(-180, 180),
        height_m=st.none() | st.floats(-430, 5500),
        time_zone=st.sampled_from(["Europe/London", "Pacific/Apia", "UTC"]),
        lie=st.sampled_from(Lie),
        shelter=st.sampled_from(Shelter),
        bays=st.lists(
            st.from_regex(r"[A-C]-[0-9]{1,3}", fullmatch=True), unique=True, max_size=8
        ).map(tuple),
        crew=st.integers(0, 9),
        cost_ratio=st.sampled_from([0.05, 0.1, 0.2]) | st.floats(0.005, 0.9),
        gas_allowed=st.booleans(),
    )


moments = st.integers(0, 60_000).map(
    lambda minutes: datetime(2026, 11, 1, tzinfo=UTC) + timedelta(minutes=minutes)
)


def people_of(key: str, sites: list[str]) -> st.SearchStrategy[Person]:
    return st.builds(
        lambda slots, **person: Person(
            key=key,
            slots=tuple(Slot(weekday=d, starts=a, ends=b) for d, a, b in slots),
            **person,
        ),
        several_spans,
        name=names,
        duty=st.sampled_from(Duty),
        language=st.sampled_from(Language),
        channels=st.lists(
            st.builds(Channel, name=names, address=names, form=st.sampled_from(["short", "long"])),
            max_size=2,
        ).map(tuple),
        sites=st.lists(st.sampled_from(sites), unique=True).map(tuple),
        travel_min=st.floats(0, 2880),
        reading=st.lists(clocks, max_size=3).map(tuple),
        quiet_from=clocks,
        quiet_to=clocks,
    )


unders = st.builds(
    Under,
    kind=st.sampled_from([kind for kind in Roof if kind is not Roof.HEATED]),
    by=words,
    until=st.none() | moments,
    said_at=st.none() | moments,
) | st.builds(
    Under, kind=st.just(Roof.HEATED), heated_to_c=st.floats(0, 30), by=names, until=moments
)


def vehicles_of(key: str, site: Site, keepers: list[str]) -> st.SearchStrategy[Vehicle]:
    return st.builds(
        Vehicle,
        key=st.just(key),
        name=words,
        site=st.just(site.key),
        bay=st.sampled_from(["", *site.bays]),
        layout=st.sampled_from([key for key, layout in CATALOGUE.items() if layout.valve]),
        keeper=st.sampled_from(["", *keepers]),
        plate_end=words,
        key_place=words,
        indoors=st.booleans(),
        under=st.none() | unders,
        hold=st.none()
        | st.builds(
            HeatedHold, source=names, power_w=st.floats(10, 9e3), setting_c=st.floats(0, 30)
        ),
        overrides=st.fixed_dictionaries(
            {},
            optional={
                "H1.capacity_l": litres,
                "valve.opens_below_c": st.floats(-5, 15),
                "shell.cabin_ua_w_per_k": st.floats(5, 500),
            },
        ).map(lambda own: tuple(own.items())),
    )


@st.composite
def fleets(draw: st.DrawFn) -> Fleet:
    person_keys = draw(st.lists(keys, unique=True, max_size=3))
    site_keys = draw(st.lists(keys, unique=True, min_size=1, max_size=2))
    sites = [draw(sites_of(key, draw(st.sampled_from(["", *person_keys])))) for key in site_keys]
    people = [draw(people_of(key, site_keys)) for key in person_keys]
    vehicle_keys = draw(st.lists(keys, unique=True, max_size=4))
    vehicles = [
        draw(vehicles_of(key, draw(st.sampled_from(sites)), person_keys)) for key in vehicle_keys
    ]
    return Fleet(sites=tuple(sites), people=tuple(people), vehicles=tuple(vehicles))


@given(fleets())
def test_a_fleet_written_as_toml_reads_back_as_the_same(fleet: Fleet) -> None:
    assert read(write_fleet_toml(fleet)).fleet == fleet


@given(fleets())
def test_vehicles_written_as_a_sheet_read_back_as_the_same(fleet: Fleet) -> None:
    empty = replace(fleet, vehicles=())
    back = read_vehicle_sheet(write_vehicle_sheet(fleet.vehicles), empty)
    assert isinstance(back, Fleet), [str(problem) for problem in back]
    own = [replace(one, overrides=tuple(sorted(one.overrides))) for one in back.vehicles]
    assert own == [replace(o, overrides=tuple(sorted(o.overrides))) for o in fleet.vehicles]


@given(fleets())
def test_no_cell_of_a_written_sheet_can_run_as_a_formula(fleet: Fleet) -> None:
    for row in csv.reader(io.StringIO(write_vehicle_sheet(fleet.vehicles), newline="")):
        for cell in row:
            runs = cell.startswith(("=", "+", "-", "@", "\t", "\r"))
            assert not runs or isinstance(float(cell), float)


def test_entries_written_into_a_fleet_file_read_back_as_the_same() -> None:
    fleet = Fleet(sites=(a_site(),), people=(an_operator(),), vehicles=(a_vehicle(),))
    entries = (
        an_entry(),
        an_entry(Circuit.TRAPS, State.DOSED, litres_l=0.75, dose_fraction=0.07, note="“a”\\b"),
        an_entry(state=State.UNKNOWN, event="moved", photo="p/1.jpg"),
    )
    assert read(write_fleet_toml(fleet, entries)).entries == entries


def test_a_whole_fleet_of_three_places_survives() -> None:
    fleet = Fleet(
        sites=(a_site(), a_drive(), a_forecourt()),
        people=(an_operator(), a_crew(), an_owner(), an_operator("resi", sites=("hinterlach",))),
        vehicles=(a_vehicle(), a_vehicle("M1", site="aunt-drive", bay="", keeper="maelle")),
    )
    assert read(write_fleet_toml(fleet)).fleet == fleet


@given(st.text(max_size=200) | st.text("[]{}=\"'#\nabksitevhcl.0", max_size=80))
def test_whatever_stands_in_a_file_it_is_read_or_answered(text: str) -> None:
    result = read_fleet_toml(text)
    assert isinstance(result, FleetFile) or all(problem.what for problem in result)


@given(st.sampled_from(["site", "person", "vehicle"]), st.data())
def test_a_field_of_any_other_kind_is_answered_and_never_breaks_the_reader(
    table: str, data: st.DataObject
) -> None:
    lines = YARD.splitlines()
    at = data.draw(st.sampled_from([n for n, line in enumerate(lines) if " = " in line]))
    values: list[Any] = ["true", "-1", "1e400", "''", "[]", "{}", "[[1]]", "07:40:00", "1979-05-27"]
    lines[at] = f"{lines[at].partition(' = ')[0]} = {data.draw(st.sampled_from(values))}"
    result = read_fleet_toml("\n".join(lines).replace("vehicle", table, 0))
    assert isinstance(result, FleetFile) or all(problem.what for problem in result)


def test_a_handbook_and_the_source_of_a_number_read_back_as_they_were_written() -> None:
    at = datetime(2026, 10, 17, 10, 20, tzinfo=UTC)
    vehicle = a_vehicle(
        overrides=(("F1.capacity_l", 110.0),),
        own_from=(OwnSource(number="F1.capacity_l", source="plate", by="kit", at=at),),
        handbook=(
            HandbookLine(rule=Rule.WASTE_VALVE, says="shut", page="p. 88", by="kit", at=at),
            HandbookLine(rule=Rule.PUMP_RUN, says="60"),
        ),
    )
    fleet = Fleet(sites=(a_site(operator=""),), vehicles=(vehicle,))
    assert read(write_fleet_toml(fleet)).fleet == fleet


def test_a_wrong_word_of_a_handbook_is_a_problem_on_its_line() -> None:
    wrong = (
        YARD
        + """
[[vehicle.handbook]]
rule = "waste valve"
says = "ajar"

[[vehicle.own_from]]
number = "W9.capacity_l"
"""
    )
    found = problems(wrong)
    assert any("'ajar' is no answer to it" in problem for problem in found)
    right = problems(wrong.replace("ajar", "shut"))
    assert any("no number of its own" in problem for problem in right)
