"""``frostwatch readings``, and what ``weather`` and ``tonight`` then say of the site."""

import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from frostwatch.service.lessons import Lessons
from frostwatch.storage.ledger import open_ledger
from frostwatch.wiring import utc_now
from tests.builders import a_site
from tests.cli.conftest import Cli
from tests.worlds import Weather

SETTINGS = '[weather]\nproviders = ["recorded"]\nrecorded_folder = "recorded"\n'
SITE = a_site(time_zone="UTC", longitude_deg=0.0)


@pytest.fixture(scope="module")
def forty_evenings(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The database of a yard of which forty evenings were forecast mild. Only to be copied."""
    folder = tmp_path_factory.mktemp("forty-evenings")
    ledger = open_ledger(f"sqlite:///{folder}/frostwatch.db")
    ledger.save_fleet(sites=[SITE])
    lessons = Lessons(ledger.lessons)
    last = utc_now().replace(hour=18, minute=0) - timedelta(days=1)
    for day in reversed(range(40)):
        evening = last - timedelta(days=day)
        lessons.note([(SITE, Weather().frame(evening))], evening)
    ledger.close()
    return folder


@pytest.fixture
def yard(at_home: Path, forty_evenings: Path) -> Path:
    """That yard, to be gone on with."""
    (at_home / "frostwatch.toml").write_text(SETTINGS, encoding="utf-8")
    shutil.copytree(forty_evenings, at_home / "var")
    return at_home


def write_csv(home: Path, air_c: str = "2,0", name: str = "yard.csv") -> Path:
    first = utc_now().replace(minute=0, second=0, microsecond=0) - timedelta(days=42)
    rows = [f"{first + timedelta(hours=h):%d.%m.%Y %H:%M};{air_c}" for h in range(24 * 41)]
    file = home / name
    file.write_text("\n".join(["Zeit;Temperatur (°C)", *rows, ""]), encoding="utf-8")
    return file


def test_readings_are_taken_in_learnt_from_shown_left_aside_and_taken_back(
    cli: Cli, yard: Path
) -> None:
    before = cli("readings", "cold-rigg")
    assert "No readings of a thermometer" in before.out
    assert "the provider's own analysis" in before.out

    ran = cli("readings", "cold-rigg", str(write_csv(yard)))
    assert ran.status == 0, ran.err
    assert "984 readings taken in as number 1; the air is column 'Temperatur (°C)'" in ran.out
    assert "readings taken at the site" in ran.out
    assert "too warm" in ran.out
    known = cli("readings", "cold-rigg", "--json").json
    assert known["readings"][0]["counts"] is True
    assert known["learnt"]["nights"] >= 30
    assert known["learnt"]["mean_error_k"] == pytest.approx(3.0, abs=0.3)

    aside = cli("readings", "cold-rigg", "--forget", "1")
    assert "Left aside, not deleted: 1 (yard.csv)" in aside.out
    assert "the provider's own analysis" in aside.out
    back = cli("readings", "cold-rigg", "--use-again", "all")
    assert "These count again: 1 (yard.csv)" in back.out
    assert cli("readings", "cold-rigg", "--json").json == known


def test_weather_says_what_was_learnt_and_undoes_it(cli: Cli, yard: Path) -> None:
    cli("readings", "cold-rigg", str(write_csv(yard)))

    said = cli("weather", "cold-rigg").out
    assert "Learnt: From " in said
    assert "Undone with: frostwatch weather cold-rigg --learning off" in said

    off = cli("weather", "cold-rigg", "--learning", "off", "--json").json[0]["learnt"]
    assert (off["used"], off["learning"]) == (False, False)
    assert off["nights"] >= 30
    on = cli("weather", "cold-rigg", "--learning", "on", "--json").json[0]["learnt"]
    assert on == off | {"used": True, "learning": True}
    assert cli("weather", "--learning", "off").status == 2


def test_a_file_with_a_fault_is_refused_by_its_line_and_nothing_is_lost(
    cli: Cli, yard: Path
) -> None:
    cli("readings", "cold-rigg", str(write_csv(yard)))
    known = cli("readings", "cold-rigg", "--json").json
    wrong = write_csv(yard, name="wrong.csv")
    lines = wrong.read_text(encoding="utf-8").splitlines()
    wrong.write_text("\n".join([*lines[:50], "yesterday;cold", *lines[50:]]), encoding="utf-8")

    ran = cli("readings", "cold-rigg", str(wrong))

    assert ran.status == 2
    assert "nothing was taken in" in ran.err
    assert "line 51: 'cold' is no temperature" in ran.err
    assert cli("readings", "cold-rigg", "--json").json == known


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("nowhere",), "site 'nowhere' is not entered"),
        (("cold-rigg", "missing.csv"), "missing.csv cannot be read"),
        (("cold-rigg", "--forget", "3"), "no readings with number 3"),
        (("cold-rigg", "--forget", "x"), "is no number of readings"),
        (("cold-rigg", "yard.csv", "--forget", "1"), "one thing at a time"),
        (("cold-rigg", "yard.csv", "--clock", "Mars"), "--clock: 'Mars' is not known"),
        (("cold-rigg", "yard.csv", "--dates", "odd"), "--dates: 'odd' is not known"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(
    cli: Cli, yard: Path, arguments: tuple[str, ...], words: str
) -> None:
    ran = cli("readings", *arguments)
    assert ran.status == 2
    assert words in ran.err
    assert "Traceback" not in ran.err


def test_tonight_at_an_entered_site_uses_what_its_nights_taught(cli: Cli, yard: Path) -> None:
    from tests.cli.test_service_commands import reply

    weather = Weather()
    weather.cold(utc_now() + timedelta(hours=8), air_c=-2.0)
    reply(yard, weather, utc_now() - timedelta(hours=1))
    usual = cli("tonight", "--site", "cold-rigg", "--replies", "recorded", "--json")
    assert usual.status == 0, usual.err
    cli("readings", "cold-rigg", str(write_csv(yard)))
    learnt = cli("tonight", "--site", "cold-rigg", "--replies", "recorded", "--json").json
    assert learnt["coldest"]["likely_c"] < usual.json["coldest"]["likely_c"] - 1.0
    assert "readings taken at the site" in learnt["learnt"]
    assert cli("tonight", "--site", "cold-rigg", "--lat", "5").status == 2
    assert cli("tonight", "--site", "nowhere").status == 2
    assert "Say where" in cli("tonight").err
