"""Stories of the trade about heat, asked of the command line on the demo's invented places.

Hours and kilowatts in the stories are illustrations; those here are the model's own.
"""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from frostwatch.service.demo import Demo, prepare
from tests.cli.conftest import Cli

Asked = tuple[str, ...]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    return prepare(tmp_path_factory.mktemp("demo") / "d", datetime(2026, 12, 2, tzinfo=UTC))


@pytest.fixture
def asked(demo: Demo, at_home: Path) -> Asked:
    file = at_home / "demo.toml"
    file.write_text(
        f'database_url = "{demo.settings.database_url}"\n'
        "[weather]\n"
        'providers = ["recorded"]\n'
        f'recorded_folder = "{demo.settings.weather.recorded_folder}"\n',
        encoding="utf-8",
    )
    return "--config", str(file), "--now", demo.now.isoformat()


def moment(text: Any) -> datetime:
    return datetime.fromisoformat(text)


def test_story_07_the_dealer_gets_start_heating_by_times(cli: Cli, asked: Asked) -> None:
    """The message itself: tests/service/test_demo.py.

    D08 at ten: an hour for each source, gates in order, half an hour to spare, a later hour for
    whoever goes by the valve alone."""
    said = cli("handover", "D08", *asked, "--json").json
    best, plans = said["best"], {p["source"]["power_w"]: p for p in said["plans"]}
    at = moment(said["at"])
    on = {power: moment(plan["on_by"]) for power, plan in plans.items() if plan["fits"]}
    assert on[6000.0] > on[4000.0]
    assert timedelta(hours=2) < at - on[6000.0] < timedelta(hours=4.5)
    if plans[1800.0]["fits"]:
        assert on[1800.0] < on[4000.0] - timedelta(hours=3)
    else:
        assert plans[1800.0]["trouble"]
    ends = {step["step"]: moment(step["ends"]) for step in best["steps"]}
    order = ["heating on, lockers open", "let the heat reach the pump", "fill", "leak check"]
    assert [ends[name] for name in order] == sorted(ends[name] for name in order)
    spare = at - ends["flush" if "flush" in ends else "leak check"]
    assert timedelta(minutes=28) <= spare <= timedelta(minutes=40)
    assert moment(said["valve_only_on_by"]) > on[6000.0]
    assert "By the valve alone" in cli("handover", "D08", *asked).out


def test_story_11_in_use_vehicles_get_the_right_advice(cli: Cli, asked: Asked) -> None:
    """Valve open over a bucket: no drain order, empty it before the frost, ice on the step."""
    said = cli("advise", "in-use", "Y19", *asked).out
    assert "open over a container" in said
    assert "before the frost" in said
    assert "ice on the step" in said
    assert "rain it" not in said  # neither "Drain it" nor "drain it"


def test_story_16_a_heated_hold_shows_its_margin(cli: Cli, asked: Asked) -> None:
    """Y04 on 6 A has 1.38 kW: its need at the coldest, what is left or short, and the shut waste
    valve by itself."""
    said = cli("advise", "hold", "Y04", *asked).out
    assert "has 1.38 kW" in said
    assert re.search(r"perhaps 1\.4\d kW, and has 1\.38 kW, \d % of that too little", said)
    assert re.search(r"holds about 4(\.5)? °C", said)
    assert "The waste valve is shut" in said
    assert "Better drained" in said
    gas = cli("advise", "hold", "Y12", *asked).out
    assert "does not let people heat with gas" in gas


def test_story_20_first_use_is_the_reverse_of_the_drain_down(
    cli: Cli, asked: Asked, demo: Demo
) -> None:
    """Going on a morning: everything recorded open or removed, and the hours of warming up."""
    at = (demo.now + timedelta(days=2)).replace(hour=8, minute=0)
    listed = cli("advise", "going", "D01", "--at", at.isoformat(), *asked).out.splitlines()
    back = [line for line in listed if line.startswith("- ")]
    assert len(back) >= 6
    assert any("Dump valve shut" in line for line in back)
    hours = ("handover", "D01", "--at", at.isoformat(), "--heat", "gas 4000 W")
    plan = cli(*hours, *asked, "--json").json
    assert plan["best"]["fits"]
    assert moment(plan["best"]["on_by"]) < at
