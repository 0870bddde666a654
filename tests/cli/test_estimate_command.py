"""``frostwatch estimate``: a case from a file or standard input; the answer, or what is wrong."""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Cli

ICE_J_PER_KG = 333_500.0
WATER_J_PER_KG_K = 4200.0


def a_case() -> dict[str, Any]:
    """Twenty litres at 5 degC that lose 10 W/K to air at -10 degC, for two days."""
    return {
        "step_h": 1.0,
        "airs": {"out": {"temperature_c": [-10.0] * 49}},
        "bodies": [
            {
                "name": "tank",
                "water_l": 20.0,
                "start_c": 5.0,
                "start_ice_fraction": 0.0,
                "dry_capacity_j_per_k": 0.0,
                "losses": [{"to": "out", "ua_w_per_k": 10.0}],
            }
        ],
    }


def test_a_case_from_a_file_is_answered_as_json(cli: Cli, at_home: Path) -> None:
    """Against the closed form of Newton cooling and freezing at a constant 0 degC."""
    (at_home / "case.json").write_text(json.dumps(a_case()))

    ran = cli("estimate", "case.json")

    assert ran.status == 0
    assert ran.err == ""
    (tank,) = ran.json["bodies"]
    capacity, ua = 20.0 * WATER_J_PER_KG_K, 10.0
    onset_h = capacity / ua * math.log(15.0 / 10.0) / 3600.0
    tenth_h = onset_h + 0.1 * 20.0 * ICE_J_PER_KG / (ua * 10.0) / 3600.0
    assert tank["onset_h"] == pytest.approx(onset_h, rel=0.01)
    assert tank["ice_10_percent_h"] == pytest.approx(tenth_h, rel=0.01)
    assert tank["ice_50_percent_h"] is not None
    assert ran.json["hours"] == list(range(49))
    assert len(tank["temperature_c"]) == len(tank["ice_fraction"]) == 49
    assert "sensors" not in ran.json


def test_standard_input_gives_the_same(cli: Cli, at_home: Path) -> None:
    (at_home / "case.json").write_text(json.dumps(a_case()))

    assert cli("estimate", "-", stdin=json.dumps(a_case())) == cli("estimate", "case.json")


def test_it_stands_in_a_pipe(shell: Cli, at_home: Path) -> None:
    (at_home / "case.json").write_text(json.dumps(a_case()))

    ran = shell("cat case.json | frostwatch estimate - | python3 -m json.tool | head -1")

    assert ran.out == "{\n"
    assert "Traceback" not in ran.err.replace("json.tool", "")


def test_the_answer_holds_no_number_that_json_lacks(cli: Cli) -> None:
    case = a_case()
    case["bodies"][0]["losses"] = []
    ran = cli("estimate", "-", stdin=json.dumps(case))

    assert ran.status == 0
    assert "NaN" not in ran.out
    assert "Infinity" not in ran.out
    assert ran.json["bodies"][0]["onset_h"] is None


def without(path: str) -> str:
    """The case with one field taken out."""
    case = a_case()
    del case["bodies"][0][path]
    return json.dumps(case)


def with_field(name: str, value: Any) -> str:
    case = a_case()
    case["bodies"][0][name] = value
    return json.dumps(case)


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("", "JSON"),
        ("{", "JSON"),
        ("[1, 2]", "the case"),
        ('{"airs": {}}', "airs"),
        ("\x00", "JSON"),
        (without("water_l"), "bodies[0].water_l"),
        (with_field("water_l", -1.0), "bodies[0].water_l"),
        (with_field("water_l", "much"), "bodies[0].water_l"),
        (with_field("water_l", 1e300), "bodies[0].water_l"),
        (with_field("start_c", -3.0), "bodies[0].start_c"),
        (with_field("start_ice_fraction", 2.0), "bodies[0].start_ice_fraction"),
        (with_field("heater_w", [1.0, 2.0]), "bodies[0].heater_w"),
        (with_field("losses", [{"to": "moon", "ua_w_per_k": 1.0}]), "bodies[0].losses[0].to"),
        (with_field("losses", [{"to": "out", "ua_w_per_k": -1.0}]), "losses[0].ua_w_per_k"),
        (json.dumps(a_case()).replace("5.0", "NaN"), "NaN"),
        (json.dumps(a_case()).replace("5.0", "Infinity"), "Infinity"),
        (json.dumps(a_case() | {"step_h": 0.5}), "step_h"),
        (json.dumps(a_case() | {"events": [{"at_h": 1.5, "body": "tank"}]}), "events[0].at_h"),
        ("[" * 100_000, "JSON"),
    ],
)
def test_a_bad_case_names_the_field_and_nothing_goes_to_standard_output(
    cli: Cli, text: str, field: str
) -> None:
    ran = cli("estimate", "-", stdin=text)

    assert ran.status == 2
    assert ran.out == ""
    assert field in ran.err
    assert ran.err.startswith("frostwatch: ")
    assert len(ran.err) < 600


@pytest.mark.parametrize("name", ["missing.json", "."])
def test_a_file_that_cannot_be_read_is_named(cli: Cli, name: str) -> None:
    ran = cli("estimate", name)

    assert ran.status == 2
    assert ran.out == ""
    assert f"{name} cannot be read" in ran.err


def test_a_file_that_is_no_text_is_said(cli: Cli, at_home: Path) -> None:
    (at_home / "case.json").write_bytes(b"\xff\xfe\x00\x81")

    ran = cli("estimate", "case.json")

    assert ran.status == 2
    assert "case.json is not JSON" in ran.err
