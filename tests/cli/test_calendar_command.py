"""``frostwatch calendar`` as called."""

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
import vobject

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


def test_a_calendar_goes_to_standard_output_or_to_a_file(
    cli: Cli, asked: tuple[str, ...], at_home: Path
) -> None:
    said = cli("calendar", "--person", "resi", *asked)
    assert said.status == 0, said.err
    wrote = cli("calendar", "--person", "resi", "--out", "resi.ics", *asked)
    assert wrote.out.startswith("resi.ics: frostwatch: Resi Zwiesel, ")
    assert "aus der Vorhersage von" in wrote.out
    kept = (at_home / "resi.ics").read_bytes()
    assert kept.startswith(b"BEGIN:VCALENDAR\r\n")
    assert kept.endswith(b"END:VCALENDAR\r\n")
    read = vobject.readOne(kept.decode())
    assert any("Heizung an" in event.summary.value for event in read.vevent_list)
    assert len(said.out.splitlines()) == len(kept.decode().splitlines())
    site = cli("calendar", "--site", "hinterlach", *asked)
    assert "SUMMARY" in site.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "give --person or --site"),
        (("--person", "a", "--site", "b"), "give --person or --site"),
        (("--person", "nobody"), "is not entered"),
        (("--site", "nowhere"), "is not entered"),
        (("--person", "resi", "--out", "no/such/folder.ics"), "cannot be written"),
        (("--person", "nobody", "--address"), "is not entered"),
        (("--site", "hinterlach", "--withdraw"), "no address to withdraw"),
        (("--person", "resi", "--withdraw", "--address"), "one of them"),
    ],
)
def test_what_cannot_be_written_says_why(
    cli: Cli, asked: tuple[str, ...], words: tuple[str, ...], said: str
) -> None:
    ran = cli("calendar", *words, *asked)
    assert ran.status == 2
    assert said in ran.err


def test_an_address_is_made_shown_once_and_withdrawn(cli: Cli, asked: tuple[str, ...]) -> None:
    made = cli("calendar", "--person", "resi", "--address", *asked)
    assert made.status == 0, made.err
    address, told = made.out.splitlines()
    assert re.fullmatch(r"PAGES/calendar/[\w-]{43}\.ics", address)
    assert "holds until 2027-06-01" in told
    again = cli("calendar", "--person", "resi", "--address", *asked)
    assert again.out.splitlines()[0] != address
    assert "opens nothing" in cli("calendar", "--person", "resi", "--withdraw", *asked).out
    assert cli("calendar", "--person", "resi", "--withdraw", *asked).status == 2
