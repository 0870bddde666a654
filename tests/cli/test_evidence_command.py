"""``frostwatch evidence``: past judgements listed, and one of them worked out again."""

import shutil
from pathlib import Path

import pytest

from frostwatch.wiring import utc_now
from tests.builders import NOW
from tests.cli.conftest import Cli
from tests.service.test_again import COLD, URL, Stage

SETTINGS = f'public_url = "{URL}"\n[weather]\nproviders = ["recorded"]\nrecorded_folder = "r"\n'


@pytest.fixture(scope="module")
def lived(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database in which a spell was lived through."""
    file = tmp_path_factory.mktemp("spell") / "frostwatch.db"
    stage = Stage(f"sqlite:///{file}")
    stage.weather.cold(COLD, hours=12.0)
    stage.live(NOW, COLD)
    stage.ledger.close()
    return file


@pytest.fixture
def stage(at_home: Path, lived: Path) -> Path:
    """That spell, in a database of its own."""
    (at_home / "frostwatch.toml").write_text(SETTINGS, encoding="utf-8")
    (at_home / "var").mkdir()
    shutil.copy(lived, at_home / "var")
    return at_home


def test_a_past_message_comes_out_again_and_its_reply_can_be_saved(cli: Cli, stage: Path) -> None:
    days = str((utc_now() - NOW).days + 400)
    listed = cli("evidence", "cold-rigg", "--days", days, "--json").json
    said = [row for row in listed if row["said"]]
    assert said
    assert {row["provider"] for row in listed} == {"open-meteo"}

    ran = cli("evidence", "cold-rigg", "--at", said[0]["at"], "--save", "kept")
    assert ran.status == 0, ran.err
    assert "worked out again" in ran.out
    assert ": the same\n" in ran.out
    assert "DIFFERENT" not in ran.out
    assert f"reply {said[0]['reply']} of open-meteo" in ran.out
    assert "0.8 K of which is corrected" in ran.out
    assert len(list((stage / "kept" / "forecasts" / "open-meteo" / "cold-rigg").iterdir())) == 1
    assert len(list((stage / "kept" / "ensemble").rglob("*.json"))) == 1

    known = cli("evidence", "cold-rigg", "--at", said[0]["at"], "--json").json
    assert known["same"] is True
    assert known["messages"][0]["kept"] == known["messages"][0]["again"]


def test_what_is_not_kept_is_said(cli: Cli, stage: Path) -> None:
    assert (
        "Nothing is kept of site 'nowhere'" in cli("evidence", "nowhere", "--at", "2026-12-01").err
    )
    assert cli("evidence", "cold-rigg", "--at", "2020-01-01").status == 2
    assert "No judgement of nowhere" in cli("evidence", "nowhere").out
