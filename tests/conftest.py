"""Shared fixtures. Nothing in the suite leaves this computer or reads the real clock."""

import ipaddress
import os
import sys
from collections.abc import Generator, Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from tests.embedded_postgres import postgres_server

# as in frostwatch/__main__.py; nothing above has imported numpy, and workers inherit it
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

settings.register_profile(
    "dev",
    max_examples=50,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("ci", settings.get_profile("dev"), max_examples=100, derandomize=True)
settings.register_profile("night", settings.get_profile("dev"), max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci" if os.environ.get("CI") else "dev"))


LONGEST_FIRST = (
    "test_architecture.py",
    "test_running_service.py",
    "test_real_winters.py",
    "test_every_state.py",
    "test_walk_without_signal.py",
    "test_demo_stage.py",
    "test_service_commands.py",
    "test_outage_nights.py",
    "test_again.py",
    "test_crew_pages.py",
    "test_demo.py",
    "test_stories.py",
    "test_owner_pages.py",
    "test_door_journeys.py",
    "test_changing_a_place.py",
    "test_every_route.py",
    "test_replay.py",
    "test_hostile_input.py",
    "test_reliability.py",
)
"""Files of ten seconds and more: begun first, so that no process is left alone with one at the end.
Otherwise the files come as they are collected."""


@pytest.hookimpl(wrapper=True, optionalhook=True)
def pytest_xdist_auto_num_workers() -> Generator[None, int, int]:
    """``-n auto``: one process more than there are cores, as each now and then waits for a program.

    Two cores took 401 s with three and 427 s with two. Files measured alone (browser pages, a
    winter's nights) took about 200 MiB a process, beside them a Chromium or a program started; the
    check of types 850 MiB, once. With little memory choose ``-n 1``, or set
    PYTEST_XDIST_AUTO_NUM_WORKERS.
    """
    cores = yield
    return cores if os.environ.get("PYTEST_XDIST_AUTO_NUM_WORKERS") else cores + 1


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Order whole files, and nothing within them."""
    rank = {name: number for number, name in enumerate(LONGEST_FIRST)}
    items.sort(key=lambda item: rank.get(item.path.name, len(rank)))


class OffLoopbackError(RuntimeError):
    """A test tried to reach another computer. Serve what it needs on loopback instead."""


def _is_local(host: object) -> bool:
    if host in (None, "", b"", "localhost", b"localhost"):
        return True
    name = host.decode() if isinstance(host, bytes) else str(host)
    try:
        return ipaddress.ip_address(name.partition("%")[0]).is_loopback
    except ValueError:
        return False


def _stay_on_loopback(event: str, args: tuple[Any, ...]) -> None:
    """Audit hook: refuse every connection and look-up that leaves this computer."""
    if event in ("socket.connect", "socket.sendto"):
        address = args[1]
        host = address[0] if isinstance(address, tuple) else None
    elif event == "socket.getaddrinfo":
        host = args[0]
    else:
        return
    if not _is_local(host):
        raise OffLoopbackError(f"{event} to {host!r}: tests stay on loopback.")


sys.addaudithook(_stay_on_loopback)


@pytest.fixture
def now() -> datetime:
    """One fixed moment for every test: a Tuesday morning before a cold spell, UTC."""
    return datetime(2026, 12, 1, 6, 5, tzinfo=UTC)


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """URL of an embedded PostgreSQL server with ``{name}`` for the database."""
    with postgres_server() as url:
        yield url
