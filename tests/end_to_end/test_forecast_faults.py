"""A forecast server that goes wrong in every way known: nothing of it ever reads as no frost.

The last good reply stays in use, colder from 12 h of age, until 30 h; then everybody concerned is
told that there is no usable forecast; and it is told when there is one again.
"""

import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from frostwatch.ports import OutboxRow
from frostwatch.records.entries import State
from frostwatch.service.nights import point_of
from frostwatch.service.schedule import Service
from frostwatch.storage.ledger import SqlLedger, open_ledger
from frostwatch.weather.forecast import FetchFailure
from tests.builders import a_layout, a_site, a_vehicle, an_operator, entries_for
from tests.end_to_end.stage import Clock, Servers, a_kit
from tests.worlds import FEW_MEMBERS, Weather, open_meteo_reply

START = datetime(2026, 12, 1, 7, 40, tzinfo=UTC)
"""The server goes wrong right after this pass."""
COLD = datetime(2026, 12, 7, 20, tzinfo=UTC)
"""Farther away than the good reply is believed."""
HOURS = 144


class Broken:
    """A service in front of a server that can go wrong."""

    def __init__(self, folder: Path, ledger: SqlLedger, servers: Servers, clock: Clock) -> None:
        self.ledger, self.servers, self.clock = ledger, servers, clock
        self.kit = a_kit(ledger, servers, folder, FEW_MEMBERS)
        self.service = Service(self.kit, clock)

    def live(self, until: datetime) -> list[OutboxRow]:
        """Pass by pass, an hour apart; what was queued since the start."""
        while self.clock.now <= until:
            self.look()
            self.clock.now += timedelta(hours=1)
        return list(self.ledger.outbox.listed(since=START))

    def at(self, *hours: float) -> list[OutboxRow]:
        """Passes at those hours after the start; what was queued since the start."""
        for hour in hours:
            self.clock.now = START + timedelta(hours=hour)
            self.look()
        return list(self.ledger.outbox.listed(since=START))

    def look(self) -> None:
        report = self.service.pass_once()
        assert report is not None
        assert not report.failed
        self.service.send_once()


@pytest.fixture(scope="module")
def replies() -> list[tuple[datetime, bytes]]:
    """Good ones, every three hours."""
    weather = Weather()
    weather.cold(COLD)
    issues = [START + timedelta(hours=hour) for hour in range(-4, HOURS + 24, 3)]
    return [(at, open_meteo_reply(weather, at)) for at in issues]


@pytest.fixture
def stage(tmp_path: Path, replies: list[tuple[datetime, bytes]]) -> Iterator[Broken]:
    """A yard with one full vehicle."""
    ledger = open_ledger("sqlite://")
    ledger.save_fleet(sites=[a_site()], people=[an_operator()], vehicles=[a_vehicle()])
    ledger.add_entries(entries_for(a_layout(), State.FULL, now=START))
    clock = Clock(START)
    with Servers(clock, replies).running() as servers:
        yield Broken(tmp_path, ledger, servers, clock)
    ledger.close()


def changed(**hourly: Callable[[list[Any]], list[Any]]) -> Callable[[bytes], bytes]:
    """A body with some of its columns changed."""

    def spoil(body: bytes) -> bytes:
        found = json.loads(body)
        for name, change in hourly.items():
            found["hourly"][name] = change(found["hourly"][name])
        return json.dumps(found).encode()

    return spoil


def shortened(body: bytes) -> bytes:
    """The air ends 10 h ahead: 120 past hours and 10 more."""
    found = json.loads(body)
    found["hourly"] = {name: values[:130] for name, values in found["hourly"].items()}
    return json.dumps(found).encode()


FAULTS: dict[str, Callable[[bytes], bytes]] = {
    "cut in the middle": lambda body: body[: len(body) // 2],
    "nothing at all": lambda body: b"",
    "an error inside a 200": lambda body: b'{"error": true, "reason": "Model run is missing"}',
    "an error in the stream": lambda body: body[:900] + b"Unexpected error while streaming data",
    "a page for people": lambda body: b"<html><body>Maintenance</body></html>",
    "an empty list": lambda body: b"[]",
    "air that is null": changed(temperature_2m=lambda values: [None] * len(values)),
    "air that is NaN": changed(temperature_2m=lambda values: [float("nan")] * len(values)),
    "air in words": changed(temperature_2m=lambda values: ["mild"] * len(values)),
    "air that cannot be": changed(temperature_2m=lambda values: [400.0] * len(values)),
    "air of another length": changed(temperature_2m=lambda values: values[:100]),
    "times that repeat": changed(time=lambda values: [values[0]] * len(values)),
    "an end ten hours ahead": shortened,
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_bad_reply_never_reads_as_no_frost(stage: Broken, fault: str) -> None:
    stage.at(0)
    stage.servers.spoil = FAULTS[fault]

    assert stage.at(4, 11, 24, 29) == [], "the good reply is still used"
    told = stage.at(31, 48)

    assert [row.message.kind for row in told] == ["no forecast"] * 2
    assert "Treat tonight as frost" in told[0].message.short


def test_the_reason_reaches_whoever_looks(stage: Broken) -> None:
    stage.servers.spoil = FAULTS["an error inside a 200"]

    report = stage.service.pass_once()

    assert report is not None
    assert "Model run is missing" in report.sites[0].why_none


@pytest.mark.parametrize("how", ["down", "hang_up"])
def test_a_server_that_is_away_is_asked_again_and_its_return_is_told(
    stage: Broken, how: str
) -> None:
    stage.at(0)
    setattr(stage.servers, how, True)
    lost = stage.at(12, 26, 31, 33, 48, 49)
    setattr(stage.servers, how, False)
    found = stage.at(53, 54)

    mornings = [row.queued_at for row in lost]
    assert [row.message.kind for row in lost] == ["no forecast"] * 2
    assert mornings[1] - mornings[0] <= timedelta(hours=24), "once, then daily"
    back = found[len(lost)]
    assert back.message.kind == "no forecast"
    assert "back" in back.message.short.lower()


def test_a_spell_that_comes_while_nobody_knows_is_called_when_the_forecast_is_back(
    stage: Broken,
) -> None:
    stage.live(START)
    stage.servers.down = True
    stage.clock.now = datetime(2026, 12, 6, 20, tzinfo=UTC)
    stage.live(datetime(2026, 12, 7, 1, tzinfo=UTC))
    stage.servers.down = False
    told = stage.live(datetime(2026, 12, 7, 9, tzinfo=UTC))

    kinds = [row.message.kind for row in told]
    assert kinds == ["no forecast", "no forecast", "work order"]


def test_other_columns_that_are_missing_are_done_without(stage: Broken) -> None:
    def nothing(values: list[Any]) -> list[Any]:
        return [None] * len(values)

    stage.servers.spoil = changed(
        wind_speed_10m=nothing,
        dew_point_2m=nothing,
        relative_humidity_2m=nothing,
        cloud_cover=nothing,
        shortwave_radiation=nothing,
    )

    report = stage.service.pass_once()

    assert report is not None
    assert report.sites[0].forecast is not None
    assert "Y03" in report.sites[0].nights


def test_a_gap_of_two_hours_is_bridged_and_a_longer_one_is_not(
    stage: Broken, tmp_path: Path
) -> None:
    def gap(hours: int) -> Callable[[list[Any]], list[Any]]:
        return lambda values: values[:140] + [None] * hours + values[140 + hours :]

    stage.servers.spoil = changed(temperature_2m=gap(2))
    report = stage.service.pass_once()
    assert report is not None
    assert report.sites[0].forecast is not None
    assert report.sites[0].forecast.warnings

    stage.servers.spoil = changed(temperature_2m=gap(9))
    point = point_of(report.sites[0].site)
    other = open_ledger("sqlite://")
    found = a_kit(other, stage.servers, tmp_path).forecasts.at([point], START)
    assert isinstance(found[point.key], FetchFailure)
    other.close()
