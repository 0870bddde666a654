"""Passes write a log; tests look at it instead of printing it. And the demo after its day."""

import pickle
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
import structlog
from structlog.testing import capture_logs

from frostwatch.service.demo import Demo, live_through, prepare
from frostwatch.wiring import open_kit
from tests.once import made_once


@pytest.fixture(autouse=True)
def log_lines() -> Iterator[list[Any]]:
    """Everything logged during the test."""
    structlog.reset_defaults()  # a command that ran before may have set a level
    with capture_logs() as lines:
        yield lines


@pytest.fixture(scope="session")
def played_demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """A demo whose day was lived through. Only to be read."""
    folder = made_once(tmp_path_factory, "played-demo", _live_through)
    demo: Demo = pickle.loads((folder / "demo.pickle").read_bytes())
    return demo


def _live_through(folder: Path) -> None:
    demo = prepare(folder / "demo", datetime(2027, 2, 3, 15, tzinfo=UTC))
    kit, ledger = open_kit(demo.settings)
    live_through(kit, demo)
    ledger.close()
    (folder / "demo.pickle").write_bytes(pickle.dumps(demo))
