"""When a running service looks: every five minutes, never on the hour, no two hosts at once."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from apscheduler.triggers.cron import CronTrigger

from frostwatch.service.boards import LOOK_EVERY
from frostwatch.service.schedule import OFF_THE_HOUR_S, look_times

HOSTS = ["", "yard", "yard-2", *(f"host-{number}" for number in range(60))]


def fired(host: str, count: int) -> list[datetime]:
    minute, second = look_times(host)
    trigger = CronTrigger(minute=minute, second=second, timezone="UTC")
    moments: list[datetime] = []
    moment = datetime(2026, 12, 1, 6, tzinfo=UTC)
    while len(moments) < count:
        moment = trigger.get_next_fire_time(None, moment)
        moments.append(moment)
        moment += timedelta(seconds=1)
    return moments


@pytest.mark.parametrize("host", HOSTS[:8])
def test_a_service_looks_every_five_minutes_through_the_hours(host: str) -> None:
    moments = fired(host, 30)
    assert {b - a for a, b in pairwise(moments)} == {LOOK_EVERY}


def test_no_service_looks_on_a_whole_five_minutes_let_alone_a_full_hour() -> None:
    every_s = LOOK_EVERY.total_seconds()
    for host in HOSTS:
        past_s = fired(host, 1)[0].timestamp() % every_s
        assert OFF_THE_HOUR_S <= past_s <= every_s - OFF_THE_HOUR_S


def test_services_on_different_hosts_are_spread_over_the_minutes() -> None:
    seconds = sorted({fired(host, 1)[0].timestamp() % 300.0 for host in HOSTS})
    assert len(seconds) > 45
    assert seconds[0] < 60.0
    assert seconds[-1] > 240.0


def test_a_host_keeps_its_times() -> None:
    assert look_times("yard") == look_times("yard") != look_times("yard-2")
