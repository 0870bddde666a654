"""Every command explains itself, starts fast, works in a pipe, and says plainly what is wrong."""

import sys

import pytest

from frostwatch import __version__
from frostwatch.cli.app import COMMANDS
from tests.cli.conftest import Cli

HEAVY = {"numpy", "pandas", "scipy", "sqlalchemy", "sqlmodel", "apprise", "pydantic", "requests"}


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself(cli: Cli, command: str) -> None:
    ran = cli(command, "--help")

    assert ran.status == 0
    assert "Usage:" in ran.out
    assert len(ran.out.splitlines()) >= 5
    assert ran.err == ""


def test_the_program_names_its_commands_and_what_it_is_for(cli: Cli) -> None:
    ran = cli("--help")

    assert ran.status == 0
    for command in COMMANDS:
        assert f"\n  {command} " in ran.out
    assert "look before you act" in " ".join(ran.out.split())


def test_the_version_is_told(cli: Cli) -> None:
    assert cli("--version").out == f"{__version__}\n"


def test_help_loads_nothing_heavy(shell: Cli) -> None:
    """So that it appears at once; tests/bench/bench_pass.py measures it."""
    ran = shell(
        f"'{sys.executable}' -c 'import sys; from frostwatch.cli import run; run([\"--help\"]); "
        "print(*sys.modules, file=sys.stderr)'"
    )

    assert set(ran.err.split()) & HEAVY == set()
    assert "frostwatch.cli.tonight" in ran.err


@pytest.mark.parametrize(
    "arguments",
    [
        ["nonsense"],
        ["tonight"],
        ["tonight", "--lat", "north", "--lon", "7"],
        ["replay", "somewhere"],
        ["assess", "--nonsense"],
        ["estimate"],
    ],
)
def test_wrong_use_is_status_2_with_words_on_standard_error(cli: Cli, arguments: list[str]) -> None:
    ran = cli(*arguments)

    assert ran.status == 2
    assert ran.out == ""
    assert ran.err
    assert "Traceback" not in ran.err


def test_a_known_error_is_one_line_under_the_programs_name(cli: Cli) -> None:
    ran = cli("assess", "--config", "nowhere.toml")

    assert ran.status == 2
    assert ran.out == ""
    assert ran.err.startswith("frostwatch: nowhere.toml: there is no such settings file.")
    assert len(ran.err.splitlines()) == 1


def test_a_reader_that_goes_away_is_no_error_message(shell: Cli) -> None:
    ran = shell("frostwatch layouts --json | head -c 1")

    assert ran.out == "["
    assert ran.err == ""


def test_a_reader_that_goes_away_ends_a_long_list_quietly(shell: Cli) -> None:
    """Status 141 is what shells give for a program ended by SIGPIPE."""
    ran = shell("frostwatch layouts | true")

    assert ran.status in (0, 141)
    assert ran.err == ""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="needs /dev/full")
def test_output_that_cannot_be_written_is_said(shell: Cli) -> None:
    ran = shell("frostwatch layouts > /dev/full")

    assert ran.status == 1
    assert ran.err == "frostwatch: standard output cannot be written: No space left on device.\n"


def test_layouts_are_listed_and_shown_in_full(cli: Cli) -> None:
    listed = cli("layouts")
    whole = cli("layouts", "panel-van")

    assert listed.status == whole.status == 0
    assert len(listed.out.splitlines()) >= 9
    assert "common practice, no source" in whole.out


def test_a_layout_nobody_knows_is_answered_with_the_nearest(cli: Cli) -> None:
    ran = cli("layouts", "pannel-van")

    assert ran.status == 2
    assert "Did you mean panel-van?" in ran.err
