"""``frostwatch advise`` on the invented forecourt."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from frostwatch.service.demo import Demo, prepare
from tests.cli.conftest import Cli


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    return prepare(tmp_path_factory.mktemp("demo") / "d", datetime(2026, 12, 2, tzinfo=UTC))


@pytest.fixture
def asked(demo: Demo, at_home: Path) -> tuple[str, ...]:
    file = at_home / "demo.toml"
    file.write_text(
        f'database_url = "{demo.settings.database_url}"\n'
        "[weather]\n"
        'providers = ["recorded"]\n'
        f'recorded_folder = "{demo.settings.weather.recorded_folder}"\n',
        encoding="utf-8",
    )
    return "--config", str(file), "--now", demo.now.isoformat()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("hold", "D10"), "has 1.80 kW"),
        (("in-use", "D14"), "empty it 3 times a day"),
        (("in-use", "D14", "--container", "40"), "A container of 40 L"),
        (("going", "D01", "--at", "2026-12-05T09:00Z"), "Put back before any water goes in"),
        (("transport", "D15"), "nothing in it is known to be wet"),
        (("thaw", "D02"), "may not be filled yet"),
        (("wet-again",), "H-02: demonstration"),
        (("thaw", "D02", "--language", "fr"), "ne doit pas encore"),
    ],
)
def test_each_occasion_has_its_advice(
    cli: Cli, asked: tuple[str, ...], words: tuple[str, ...], said: str
) -> None:
    ran = cli("advise", *words, *asked)
    assert ran.status == 0, ran.err
    assert said in ran.out


@pytest.mark.parametrize("topic", ["hold", "in-use", "going", "transport", "thaw"])
def test_every_advice_ends_with_its_cautions_and_the_handbook(
    cli: Cli, asked: tuple[str, ...], topic: str
) -> None:
    lines = cli("advise", topic, "D10", *asked).out.splitlines()
    assert lines[-1].startswith("Estimate from a weather forecast")
    assert lines[-3] == "! The vehicle’s handbook comes before all of this."


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("hold", "D01"), "no heat is kept on in it"),
        (("hold", "D99"), "is not entered"),
        (("tea", "D01"), "is no topic"),
    ],
)
def test_what_cannot_be_advised_says_why(
    cli: Cli, asked: tuple[str, ...], words: tuple[str, ...], said: str
) -> None:
    ran = cli("advise", *words, *asked)
    assert ran.status == 2
    assert said in ran.err
