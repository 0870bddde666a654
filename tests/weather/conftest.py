"""What tests of the weather share."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest
from structlog.testing import capture_logs

from tests.weather.cache_kit import Clock


@pytest.fixture
def log_lines() -> Iterator[list[Any]]:
    """Everything logged during the test."""
    with capture_logs() as lines:
        yield lines


@pytest.fixture
def later(now: datetime) -> Clock:
    return lambda hours: now + timedelta(hours=hours)
