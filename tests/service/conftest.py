"""Passes write a log; tests look at it instead of printing it."""

from collections.abc import Iterator
from typing import Any

import pytest
import structlog
from structlog.testing import capture_logs


@pytest.fixture(autouse=True)
def log_lines() -> Iterator[list[Any]]:
    """Everything logged during the test."""
    structlog.reset_defaults()  # a command that ran before may have set a level
    with capture_logs() as lines:
        yield lines
