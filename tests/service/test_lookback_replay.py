"""The summary at the end of a replay, and plain rules run through the same machinery."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner, Result

from frostwatch.cli.replay import add_to
from frostwatch.errors import SettingsError
from frostwatch.records.entries import State
from tests.builders import a_layout, a_site, a_vehicle, an_operator, entries_for
from tests.folders import write_folder, write_replies
from tests.worlds import Weather

START = datetime(2026, 12, 1, 6, tzinfo=UTC)
END = datetime(2026, 12, 7, 18, tzinfo=UTC)
COLD = datetime(2026, 12, 3, 20, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two vehicles, one of them drained; a hard night on the 3rd."""
    entries = [
        entry
        for key, state in (("Y01", State.FULL), ("Y02", State.DRAINED))
        for entry in entries_for(
            a_layout(), state, vehicle=key, at=START - timedelta(days=2), by="ailsa"
        )
    ]
    path = write_folder(
        tmp_path / "past",
        sites=[a_site()],
        people=[an_operator()],
        vehicles=[a_vehicle("Y01"), a_vehicle("Y02", bay="A-02")],
        entries=entries,
    )
    weather = Weather()
    weather.cold(COLD)
    write_replies(path, "cold-rigg", weather, START - timedelta(hours=3), END)
    return path


def replayed(folder: Path, *options: str) -> Result:
    app = typer.Typer()
    add_to(app)
    span = ["--from", f"{START:%Y-%m-%dT%H:%M}", "--to", f"{END:%Y-%m-%dT%H:%M}"]
    return CliRunner().invoke(app, [str(folder), *span, *options], catch_exceptions=False)


def test_the_summary_goes_to_standard_error_and_leaves_the_lines_as_they_are(folder: Path) -> None:
    result = replayed(folder, "--json")
    lines = [json.loads(line) for line in result.stdout.splitlines()]
    assert lines
    assert all("kind" in line for line in lines)
    assert "had nobody acted" in result.stderr
    assert [line.split()[1] for line in result.stderr.splitlines() if "Y0" in line] == [
        "Y01",
        "Y02",
    ]


def test_on_request_the_scores_are_the_last_line(folder: Path) -> None:
    result = replayed(folder, "--json", "--summary")
    *lines, last = [json.loads(line) for line in result.stdout.splitlines()]
    assert all("kind" in line for line in lines)
    wet, dry = (last["summary"]["vehicles"][key] for key in ("Y01", "Y02"))
    assert (wet["spells"], wet["missed"], wet["false_calls"]) == (1, 0, 0)
    assert wet["calls"] >= 1
    assert 8.0 < wet["notice_h"] < 16.0
    assert wet["items"]["F2"] == 1
    assert (dry["spells"], dry["calls"]) == (0, 0)
    assert last["summary"]["messages"]["ailsa"] == len(lines)


def test_acting_on_a_message_does_not_change_what_would_have_happened(folder: Path) -> None:
    last = replayed(folder, "--json", "--summary", "--answer-after", "2h").stdout.splitlines()[-1]
    assert json.loads(last)["summary"]["vehicles"]["Y01"]["spells"] == 1


def calls(result: Result) -> list[str]:
    lines = [json.loads(line) for line in result.stdout.splitlines()]
    return [line["at"] for line in lines if line["kind"] == "work order"]


def test_the_plain_rule_calls_where_the_forecast_falls_below_its_limit(folder: Path) -> None:
    assert calls(replayed(folder, "--json", "--rule", "minimum:0")) == ["2026-12-03T07:40:00Z"]
    assert calls(replayed(folder, "--json", "--rule", "minimum:-20")) == []


def test_a_rule_that_nobody_knows_ends_the_replay_at_once(folder: Path) -> None:
    with pytest.raises(SettingsError, match="minimum:X"):
        replayed(folder, "--rule", "hunch")
