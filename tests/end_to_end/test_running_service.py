"""``python -m frostwatch run`` as a process of its own: it asks, tells, and stops when told to."""

import json
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
import requests

from frostwatch.fleet.people import Channel
from frostwatch.ports import MessageStatus
from frostwatch.records.entries import State
from frostwatch.storage.ledger import open_ledger
from frostwatch.wiring import utc_now
from tests.builders import a_layout, a_site, a_vehicle, an_operator, entries_for
from tests.end_to_end.stage import Clock, Servers, free_port
from tests.worlds import Weather, open_meteo_reply

PATIENCE_S = 120.0
"""How long a process on a busy machine is waited for; only a test that fails takes so long."""


class Process:
    """The program at work, with what it wrote to its log."""

    def __init__(self, home: Path) -> None:
        self._log = home / "log.jsonl"
        with self._log.open("wb") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "frostwatch", "run"],
                cwd=home,
                stdout=subprocess.PIPE,
                stderr=log,
            )

    def lines(self) -> list[dict[str, Any]]:
        """What was logged so far; every line is one JSON object."""
        whole = self._log.read_text("utf-8").rpartition("\n")[0]
        return [json.loads(line) for line in whole.splitlines()]

    def events(self) -> list[str]:
        return [line["event"] for line in self.lines()]

    def wait_for(self, *events: str) -> None:
        """Until each was logged."""
        latest = time.monotonic() + PATIENCE_S
        while not set(events) <= set(self.events()):
            assert self.process.poll() is None, self._log.read_text("utf-8")
            assert time.monotonic() < latest, self._log.read_text("utf-8")
            time.sleep(0.05)

    def stop(self, number: signal.Signals) -> int:
        """Status after asking it to end."""
        self.process.send_signal(number)
        return self.process.wait(timeout=PATIENCE_S)


@pytest.fixture
def servers() -> Iterator[Servers]:
    """A forecast server that knows of hard frost now, and a receiver of web hooks."""
    now = utc_now()
    weather = Weather()
    weather.cold(now - timedelta(hours=30), hours=60.0, air_c=-12.0)
    reply = (now - timedelta(hours=1), open_meteo_reply(weather, now))
    with Servers(Clock(now), [reply]).running() as servers:
        yield servers


@pytest.fixture
def home(tmp_path: Path, servers: Servers) -> Path:
    """Settings and a yard whose operator is awake and has a web hook and the outbox."""
    here = f"http://127.0.0.1:{servers.port}"
    (tmp_path / "frostwatch.toml").write_text(
        f"""
        [web]
        port = {free_port()}
        [weather.open_meteo]
        base_url = "{here}"
        [messages]
        outbox_folder = "outbox"
        allow_private_addresses = true
        [service]
        heartbeat_url = "{here}/heartbeat"
        """
    )
    later = utc_now() + timedelta(hours=12)
    operator = an_operator(
        quiet_from=later.time().replace(microsecond=0),
        quiet_to=(later + timedelta(minutes=1)).time().replace(microsecond=0),
        channels=(
            Channel(name="phone", address=f"json://127.0.0.1:{servers.port}/hook", form="short"),
            Channel(name="outbox", address="outbox://local"),
        ),
    )
    ledger = open_ledger(f"sqlite:///{tmp_path}/var/frostwatch.db")
    ledger.save_fleet(sites=[a_site(time_zone="UTC")], people=[operator], vehicles=[a_vehicle()])
    ledger.add_entries(entries_for(a_layout(), State.FULL, at=utc_now() - timedelta(days=2)))
    ledger.close()
    return tmp_path


def test_it_asks_tells_stops_cleanly_and_started_again_tells_nothing_twice(
    home: Path, servers: Servers
) -> None:
    """Its pages open meanwhile, and the first account is made with the code of its log."""
    service = Process(home)
    service.wait_for("pass", "sent", "pages", "nobody can sign in yet")
    check_first_account(service)
    check_clean_stop(service, signal.SIGTERM)

    (told,) = [hook["message"] for hook in servers.hooks]
    assert "probably frozen" in told
    assert len(list((home / "outbox").glob("*.txt"))) == 1
    ledger = open_ledger(f"sqlite:///{home}/var/frostwatch.db")
    rows = ledger.outbox.listed(since=utc_now() - timedelta(hours=1))
    ledger.close()
    assert [row.status for row in rows] == [MessageStatus.SENT] * 2
    assert [path for path in servers.asked if "heartbeat" in path] == ["/heartbeat"]
    assert len(servers.asked_for("shortwave_radiation")) == 1

    service = Process(home)
    service.wait_for("pass")
    check_clean_stop(service, signal.SIGINT)

    assert len(servers.hooks) == 1
    assert len(list((home / "outbox").glob("*.txt"))) == 1
    assert len(servers.asked_for("shortwave_radiation")) == 1


def check_first_account(service: Process) -> None:
    (first,) = [line for line in service.lines() if line["event"] == "nobody can sign in yet"]

    answer = requests.get(first["choose_a_password_at"].replace("/sign-in/code", "/healthz"))

    assert answer.json() == {"status": "ok"}
    assert re.fullmatch(r"([A-Z2-7]{4}-){3}[A-Z2-7]{4}", first["one_time_code"])


def check_clean_stop(service: Process, number: signal.Signals) -> None:
    """Status 0, nothing but information in the log, nothing on standard output."""
    assert service.stop(number) == 0
    lines = [line for line in service.lines() if line["event"] != "nobody can sign in yet"]
    assert {line["level"] for line in lines} == {"info"}
    assert service.process.stdout is not None
    assert service.process.stdout.read() == b""
    service.process.stdout.close()


def test_killed_at_work_it_goes_on_where_it_was(home: Path, servers: Servers) -> None:
    """A crash costs at most one message too many and never one too few."""
    first = Process(home)
    first.wait_for("pass")
    first.stop(signal.SIGKILL)
    second = Process(home)
    second.wait_for("pass")
    assert second.stop(signal.SIGTERM) == 0
    for service in (first, second):
        assert service.process.stdout is not None
        service.process.stdout.close()

    assert len(servers.hooks) <= 2
    ledger = open_ledger(f"sqlite:///{home}/var/frostwatch.db")
    rows = ledger.outbox.listed(since=utc_now() - timedelta(hours=1))
    ledger.close()
    assert {row.message.channel for row in rows} == {"phone", "outbox"}
    assert {row.status for row in rows} <= {MessageStatus.SENT, MessageStatus.CLAIMED}


def test_a_server_that_is_away_leaves_it_running_and_saying_so(
    home: Path, servers: Servers
) -> None:
    servers.down = True
    service = Process(home)
    service.wait_for("pass", "sent")

    assert service.stop(signal.SIGTERM) == 0

    assert service.process.stdout is not None
    service.process.stdout.close()
    (told,) = {hook["message"] for hook in servers.hooks}
    assert "Treat tonight as frost" in told


def test_wrong_settings_end_it_at_once_with_words(home: Path) -> None:
    (home / "frostwatch.toml").write_text('[weather]\nuse = "commercial"\n')

    done = subprocess.run(
        [sys.executable, "-m", "frostwatch", "run"],
        cwd=home,
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )

    assert done.returncode == 2
    assert "non-commercial use only" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_port_that_is_taken_ends_it_at_once_with_the_way_out(home: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        done = subprocess.run(
            [sys.executable, "-m", "frostwatch", "run", "--port", port],
            cwd=home,
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
            check=False,
        )

    assert done.returncode == 2
    assert f"the pages cannot be served at 127.0.0.1, port {port}" in done.stderr
    assert "--no-pages" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.slow
def test_the_demo_opens_its_yard_and_leads_to_the_other_places(tmp_path: Path) -> None:
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    with subprocess.Popen(
        [sys.executable, "-m", "frostwatch", "run", "--demo", "--port", str(port)],
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as demo:
        try:
            assert demo.stdout is not None
            assert f"The demo is at {url}/" in demo.stdout.readline()

            yard = requests.get(f"{url}/", timeout=PATIENCE_S)
            assert "Cold Rigg Yard" in yard.text
            assert re.search(r"\d+ of 23 bays need a visit by", yard.text)
            assert "All of it is invented" in yard.text
            forecourt = requests.get(f"{url}/demo/forecourt", timeout=PATIENCE_S)
            assert "Hinterlach" in forecourt.text
            demo.send_signal(signal.SIGINT)
            assert demo.wait(timeout=PATIENCE_S) == 0
        finally:
            demo.kill()  # else leaving the block would wait for it for ever
