"""The command line, called as a user would, in a folder of its own."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
import structlog

from frostwatch.cli import run


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """What a command left behind."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


Cli = Callable[..., Ran]


@pytest.fixture(autouse=True)
def at_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty folder to work in, without anybody's settings."""
    for name in [name for name in os.environ if name.startswith("FROSTWATCH_")]:
        monkeypatch.delenv(name)
    monkeypatch.chdir(tmp_path)
    yield tmp_path
    structlog.reset_defaults()


@pytest.fixture
def cli(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Cli:
    """Run a command in this process."""

    def call(*arguments: str, stdin: str = "") -> Ran:
        capsys.readouterr()
        monkeypatch.setattr(sys, "stdin", StringIO(stdin))
        status = run(arguments)
        out, err = capsys.readouterr()
        return Ran(status=status, out=out, err=err)

    return call


@pytest.fixture
def shell(at_home: Path) -> Cli:
    """Run a shell line in which ``frostwatch`` is this program."""

    def call(line: str) -> Ran:
        program = f"frostwatch() {{ '{sys.executable}' -m frostwatch \"$@\"; }}; set -o pipefail; "
        done = subprocess.run(
            ["bash", "-c", program + line],
            cwd=at_home,
            capture_output=True,
            text=True,
            timeout=240,
            check=False,
        )
        return Ran(status=done.returncode, out=done.stdout, err=done.stderr)

    return call
