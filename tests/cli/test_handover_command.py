"""``frostwatch handover`` on the invented forecourt."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from frostwatch.service.demo import Demo, prepare
from tests.cli.conftest import Cli

TODAY = datetime(2026, 12, 2, tzinfo=UTC)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    return prepare(tmp_path_factory.mktemp("demo") / "d", TODAY)


@pytest.fixture
def settings(demo: Demo, at_home: Path) -> str:
    file = at_home / "demo.toml"
    file.write_text(
        f'database_url = "{demo.settings.database_url}"\n'
        "[weather]\n"
        'providers = ["recorded"]\n'
        f'recorded_folder = "{demo.settings.weather.recorded_folder}"\n',
        encoding="utf-8",
    )
    return str(file)


def test_a_handover_is_told_step_by_step(cli: Cli, settings: str, demo: Demo) -> None:
    ran = cli("handover", "D08", "--config", settings, "--now", f"{demo.now.isoformat()}")
    assert ran.status == 0, ran.err
    head = ran.out.splitlines()[0]
    assert head.startswith("H-08: heating on by Thu 0")
    assert head.endswith("for Thu 10:00.")
    for words in ("never wedged", "Carbon monoxide", "gas 4 kW", "handbook first"):
        assert words in ran.out


def test_for_machines_it_has_every_hour_and_balances(cli: Cli, settings: str, demo: Demo) -> None:
    ran = cli("handover", "D08", "--config", settings, "--now", demo.now.isoformat(), "--json")
    said = ran.json
    assert said["best"]["fits"] is True
    assert datetime.fromisoformat(said["at"]) == demo.now.replace(hour=9, minute=0) + timedelta(1)
    best = said["best"]
    assert best["stored_kwh"] + best["lost_kwh"] == pytest.approx(best["heat_kwh"], abs=0.02)
    assert [plan["source"]["power_w"] for plan in said["plans"]] == [6000.0, 4000.0, 1800.0]


def test_an_hour_without_an_offset_is_the_place_s_own_as_everywhere(
    cli: Cli, settings: str, demo: Demo
) -> None:
    """Hinterlach lies in Bavaria: an hour ahead of UTC in winter."""
    plain = ("--config", settings, "--now", demo.now.isoformat())
    at = f"{demo.now + timedelta(days=1):%Y-%m-%d} 11:00"
    ran = cli("handover", "D08", *plain, "--at", at)
    assert ran.out.splitlines()[0].endswith("Thu 11:00."), ran.out
    asked = cli("advise", "going", "D08", *plain, "--at", at)
    assert "Thu 11:00" in asked.out


def test_another_hour_and_another_source_can_be_tried(cli: Cli, settings: str, demo: Demo) -> None:
    ran = cli(
        *("handover", "D08", "--config", settings, "--now", demo.now.isoformat()),
        *("--at", (demo.now + timedelta(hours=20)).isoformat(), "--fill", "20"),
        *("--heat", "electric 900 W", "--language", "de"),
    )
    assert ran.status == 0, ran.err
    assert "wird bis" in ran.out
    assert "Auswege" in ran.out
    assert "Strom 0,9" in ran.out


def test_without_a_vehicle_all_of_the_next_days_are_listed(
    cli: Cli, settings: str, demo: Demo
) -> None:
    ran = cli("handover", "--config", settings, "--now", demo.now.isoformat())
    assert "H-08: heating on by" in ran.out
    assert "H-09 cannot be ready by" in ran.out
    assert "leave it drained" in ran.out  # its valve under the floor never warms on a burner
    (day,) = cli("handover", "--config", settings, "--now", demo.now.isoformat(), "--json").json
    assert [one["vehicle"] for one in day["handovers"]] == ["D08", "D09"]
    later = cli("handover", "--config", settings, "--now", (demo.now + timedelta(2)).isoformat())
    assert later.out == "No handover in the next three days.\n"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("D99",), "vehicle 'D99' is not entered"),
        (("D01",), "no handover is entered"),
        (("D08", "--at", "2020-01-01T00:00Z"), "has passed"),
        (("D08", "--at", "soon"), "is not a moment"),
        (("D08", "--fill", "20"), "give the hour with --at too"),
        (("D08", "--heat", "coal"), "no heat source"),
        (("D08", "--language", "xx"), "is not known"),
    ],
)
def test_what_cannot_be_planned_says_why(
    cli: Cli, settings: str, demo: Demo, arguments: tuple[str, ...], said: str
) -> None:
    ran = cli("handover", *arguments, "--config", settings, "--now", demo.now.isoformat())
    assert ran.status == 2
    assert said in ran.err
    assert ran.out == ""


def test_without_a_usable_forecast_no_hour_is_told(cli: Cli, settings: str, demo: Demo) -> None:
    late = demo.now + timedelta(days=12)
    ran = cli(
        *("handover", "D08", "--config", settings, "--now", late.isoformat()),
        *("--at", (late + timedelta(hours=5)).isoformat()),
    )
    assert ran.status == 2
    assert "does not mean no frost" in ran.err


def test_a_plan_under_way_names_its_new_hour(cli: Cli, settings: str, demo: Demo) -> None:
    """Heating on in time, but the valve held seventy minutes late: past the spare time."""
    plan = cli(
        "handover", "D08", "--config", settings, "--now", demo.now.isoformat(), "--json"
    ).json
    on = datetime.fromisoformat(plan["best"]["on_by"])
    shut = next(step for step in plan["best"]["steps"] if step["step"] == "shut drains and valve")
    planned = datetime.fromisoformat(shut["ends"])

    def after(minutes: int, *more: str) -> tuple[str, ...]:
        late = planned + timedelta(minutes=minutes)
        return (
            *("handover", "D08", "--config", settings, "--now", late.isoformat()),
            *("--on", on.isoformat(), "--passed", f"shut={late.isoformat()}", *more),
        )

    fine = cli(*after(10))
    assert fine.status == 0, fine.err
    assert "heating on since Thu 0" in fine.out
    assert "for Thu 10:00." in fine.out
    assert "Next: " in fine.out
    late = cli(*after(70), "--json").json
    assert late["new_hour"] is not None
    assert datetime.fromisoformat(late["new_hour"]) > datetime.fromisoformat(plan["at"])
    assert late["waits_for"] == "let the heat reach the pump"
    said = cli(*after(70), "--language", "de").out
    assert "Neue Stunde" in said


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--on", "2020-01-01T00:00Z"), "no plan under way"),
        (("--on", "2026-12-02T18:00Z", "--passed", "tea=2026-12-02T18:00Z"), "not understood"),
    ],
)
def test_what_is_not_under_way_says_so(
    cli: Cli, settings: str, demo: Demo, arguments: tuple[str, ...], said: str
) -> None:
    ran = cli("handover", "D08", "--config", settings, "--now", demo.now.isoformat(), *arguments)
    assert ran.status == 2
    assert said in ran.err


def test_a_handover_is_entered_moved_and_taken_off(cli: Cli, settings: str, demo: Demo) -> None:
    plain = ("--config", settings, "--now", demo.now.isoformat())
    at = (demo.now + timedelta(days=2)).replace(hour=10, minute=0)
    later = at + timedelta(hours=3)
    entered = cli(
        *("handover", "D02", *plain, "--enter", "--at", at.isoformat(), "--fill", "30"),
        *("--by", "resi", "--taker", "Familie Brugger"),
    )
    assert entered.status == 0, entered.err
    assert "handover entered for Fri 11:00" in entered.out
    shown = cli("handover", "D02", *plain)
    assert "Fri 11:00" in shown.out
    moved = cli("handover", "D02", *plain, "--enter", "--at", later.isoformat(), "--by", "resi")
    assert "handover moved from Fri 11:00 to Fri 14:00" in moved.out
    assert "taken off" in cli("handover", "D02", *plain, "--take-off", "--by", "resi").out
    again = cli("handover", "D02", *plain, "--take-off", "--by", "resi")
    assert again.status == 2
    assert "No handover is entered" in again.err


def test_what_was_kept_is_told_to_machines_too(cli: Cli, settings: str, demo: Demo) -> None:
    plain = ("--config", settings, "--now", demo.now.isoformat(), "--by", "resi", "--json")
    at = (demo.now + timedelta(days=2)).replace(hour=10, minute=0)
    kept = cli("handover", "D02", *plain, "--enter", "--at", at.isoformat()).json
    assert (kept["vehicle"], datetime.fromisoformat(kept["at"])) == ("D02", at)
    assert cli("handover", "D02", *plain, "--take-off").json["at"] is None


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("D08", "--enter", "--take-off", "--by", "resi"), "one at a time"),
        (("D08", "--take-off", "--on", "06:00", "--by", "resi"), "--on"),
        (("--enter", "--by", "resi"), "Name the vehicle"),
        (("D08", "--at", "2026-12-04 10:00", "--by", "resi"), "without --enter"),
        (("D08", "--taker", "Familie Brugger"), "without --enter"),
        (("D08", "--take-off", "--post", "1", "--by", "resi"), "without --enter"),
    ],
)
def test_what_contradicts_itself_or_would_be_lost_is_refused_and_nothing_changes(
    cli: Cli, settings: str, demo: Demo, words: tuple[str, ...], said: str
) -> None:
    plain = ("--config", settings, "--now", demo.now.isoformat())
    ran = cli("handover", *words, *plain)
    assert (ran.status, ran.out) == (2, "")
    assert said in ran.err
    assert cli("handover", "D08", *plain).status == 0  # still entered


def test_what_is_refused_on_the_command_line_names_the_mend(
    cli: Cli, settings: str, demo: Demo
) -> None:
    plain = ("--config", settings, "--now", demo.now.isoformat())
    night = (demo.now + timedelta(days=1)).replace(hour=2).isoformat()
    for words, said in (
        (("--at", night, "--by", "resi"), "--meant"),
        (("--at", "2020-01-01T10:00Z", "--by", "resi"), "is over"),
        (("--by", "resi"), "--at"),
        (("--at", night, "--meant"), "--by"),
        (("--at", night, "--meant", "--by", "resi", "--heat", "gas 1 kW"), "no such heat"),
    ):
        ran = cli("handover", "D02", *plain, "--enter", *words)
        assert ran.status == 2
        assert said in ran.err
