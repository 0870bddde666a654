"""What tests of the weather share."""

from collections.abc import Iterator
from typing import Any

import pytest
from structlog.testing import capture_logs


@pytest.fixture
def log_lines() -> Iterator[list[Any]]:
    """Everything logged during the test."""
    with capture_logs() as lines:
        yield lines
