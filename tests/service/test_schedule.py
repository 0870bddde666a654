"""The running service: it goes on whatever fails, says that it lives, and stops when told."""

import os
import signal
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from pytest_httpserver import HTTPServer

from frostwatch.errors import LedgerError
from frostwatch.ports import Refused
from frostwatch.service.schedule import Service, heartbeat_to, sleep_unless, stop_on_signals
from frostwatch.weather.forecast import FetchFailure, Forecast, Point
from tests.builders import NOW, a_vehicle
from tests.worlds import Weather, World, a_small_yard, a_world


class Clock:
    """Stands until it is moved."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


class FailingWeather(Weather):
    """Raises what it is told to."""

    def __init__(self) -> None:
        super().__init__()
        self.fault: Exception | None = None
        self.entered: Callable[[], None] = lambda: None

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        self.entered()
        if self.fault is not None:
            raise self.fault
        return super().at(points, now)


@pytest.fixture
def weather() -> FailingWeather:
    return FailingWeather()


@pytest.fixture
def world(weather: FailingWeather) -> Iterator[World]:
    world = a_world()
    world.weather = weather
    a_small_yard(world, NOW)
    yield world
    world.ledger.close()


@pytest.fixture
def clock() -> Clock:
    return Clock(NOW)


@pytest.fixture
def beats() -> list[datetime]:
    return []


@pytest.fixture
def service(world: World, clock: Clock, beats: list[datetime]) -> Service:
    return Service(world.kit, clock, heartbeat=lambda: beats.append(clock.now))


@pytest.mark.parametrize("fault", [LedgerError("the disk is full"), ZeroDivisionError("a bug")])
def test_a_pass_that_fails_is_logged_and_the_next_one_tries_again(
    service: Service, weather: FailingWeather, log_lines: list[Any], fault: Exception
) -> None:
    weather.fault = fault
    assert service.pass_once() is None
    weather.fault = None
    report = service.pass_once()

    assert report is not None
    assert [work.site.key for work in report.sites] == ["cold-rigg"]
    failed = [line for line in log_lines if line["event"] == "pass failed"]
    assert [line["cause"] for line in failed] == [str(fault)]


def test_only_a_pass_that_ended_well_says_that_the_service_lives(
    service: Service, world: World, weather: FailingWeather, beats: list[datetime], clock: Clock
) -> None:
    weather.fault = LedgerError("the disk is full")
    service.pass_once()
    weather.fault = None
    world.ledger.save_fleet(vehicles=[a_vehicle("Y99", layout="long-gone")])
    service.pass_once()
    assert beats == [], "one vehicle was left out"

    world.ledger.save_fleet(vehicles=[a_vehicle("Y99")])
    service.pass_once()
    assert beats == [clock.now]


def test_no_heart_beats_while_a_site_that_failed_is_put_off(
    service: Service, world: World, weather: FailingWeather, beats: list[datetime], clock: Clock
) -> None:
    site = world.ledger.load(NOW).sites[0]
    frame = weather.frame(NOW)
    short = {**frame.columns, "wind_m_per_s": frame.columns["wind_m_per_s"][:7]}
    world.instead(site, replace(frame, columns=short))
    service.pass_once()
    clock.now += timedelta(minutes=5)
    service.pass_once()
    assert beats == []

    weather.instead.clear()
    clock.now += timedelta(minutes=5)
    service.pass_once()
    assert beats == [clock.now]


def test_a_heart_beats_at_an_address_and_tells_nobody_which(
    httpserver: HTTPServer, log_lines: list[Any]
) -> None:
    httpserver.expect_ordered_request("/secret").respond_with_data("fine")
    httpserver.expect_ordered_request("/secret").respond_with_data("gone", status=500)
    beat = heartbeat_to(httpserver.url_for("/secret"))

    beat()
    assert log_lines == []
    beat()

    assert [line["event"] for line in log_lines] == ["heartbeat failed"]
    assert "secret" not in str(log_lines)


def test_a_monitor_that_is_away_does_not_disturb_the_service(
    world: World, clock: Clock, log_lines: list[Any]
) -> None:
    service = Service(world.kit, clock, heartbeat=heartbeat_to("http://127.0.0.1:1/x"))

    assert service.pass_once() is not None
    assert "heartbeat failed" in [line["event"] for line in log_lines]


def test_messages_that_fail_to_leave_are_logged_without_their_text(
    service: Service, world: World, weather: FailingWeather, clock: Clock, log_lines: list[Any]
) -> None:
    weather.cold(NOW + timedelta(hours=14))
    service.pass_once()
    world.channels.refuse("ailsa", Refused(permanent=False, reason="away"))
    service.send_once()
    world.channels.mend("ailsa")
    clock.now += timedelta(minutes=2)
    service.send_once()

    events = [line["event"] for line in log_lines]
    assert events.count("not sent") == 1
    assert events.count("sent") == 1
    assert "Cold Rigg" not in str(log_lines)


def test_two_passes_never_run_at_once(service: Service, weather: FailingWeather) -> None:
    inside = threading.Semaphore(1)
    overlaps = []

    def enter() -> None:
        if not inside.acquire(blocking=False):
            overlaps.append(True)
            return
        threading.Event().wait(0.05)
        inside.release()

    weather.entered = enter
    threads = [threading.Thread(target=service.pass_once) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert overlaps == []


def test_told_to_stop_it_sends_what_waits_and_ends(
    service: Service, world: World, weather: FailingWeather
) -> None:
    weather.cold(NOW + timedelta(hours=14))
    service.pass_once()
    stop = threading.Event()
    running = threading.Thread(target=service.run, args=[stop])
    running.start()

    stop.set()
    running.join(timeout=60.0)

    assert not running.is_alive()
    assert [message.kind for message in world.channels.sent] == ["work order"]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_signals_ask_to_stop(number: signal.Signals) -> None:
    before = {n: signal.getsignal(n) for n in (signal.SIGTERM, signal.SIGINT)}
    stop = threading.Event()
    try:
        stop_on_signals(stop)
        os.kill(os.getpid(), number)
        assert stop.wait(60.0)
    finally:
        for known, handler in before.items():
            signal.signal(known, handler)


def test_a_pass_that_waits_for_a_budget_does_not_hold_up_the_end(
    world: World, clock: Clock, weather: FailingWeather, log_lines: list[Any]
) -> None:
    stop = threading.Event()
    sleep = sleep_unless(stop)
    weather.entered = lambda: sleep(300.0)
    service = Service(world.kit, clock)
    waiting = threading.Thread(target=service.pass_once)
    waiting.start()

    stop.set()
    waiting.join(timeout=60.0)

    assert not waiting.is_alive()
    assert [line["event"] for line in log_lines] == ["pass ended early"]
    weather.entered = lambda: None
    assert service.pass_once() is not None, "whatever was not done is done at the next start"


def test_what_is_past_its_use_is_dropped_and_a_failure_to_do_so_is_survived(
    world: World, clock: Clock, log_lines: list[Any]
) -> None:
    dropped = []

    def prune(now: datetime) -> None:
        dropped.append(now)
        raise LedgerError("the disk is full")

    Service(world.kit, clock, prune=prune).prune_once()

    assert dropped == [NOW]
    assert [line["event"] for line in log_lines] == ["pruning failed"]
