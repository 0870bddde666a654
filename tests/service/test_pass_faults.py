"""What goes wrong on the way of a pass is said, stays where it happened, and loses nothing."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from sqlalchemy import text

from frostwatch.errors import LedgerError
from frostwatch.fleet.people import Person, Slot
from frostwatch.fleet.sites import Site
from frostwatch.ports import Message
from frostwatch.records.entries import State
from frostwatch.service.nights import point_of
from frostwatch.service.pass_ import FIRST_WAIT, LONGEST_WAIT, run_pass
from frostwatch.storage.ledger import SqlLedger
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast, Point
from tests.builders import (
    NOW,
    a_drive,
    a_layout,
    a_site,
    a_vehicle,
    a_yard,
    an_operator,
    an_owner,
    entries_for,
)
from tests.worlds import Weather, World, a_small_yard, a_world

COLD = datetime(2026, 12, 3, 20, tzinfo=UTC)
READING = datetime(2026, 12, 3, 7, 40, tzinfo=UTC)
DOWN = FetchFailure(kind=FailureKind.UNREACHABLE, message="Nobody answers at forecast.example.")


@pytest.fixture
def world() -> Iterator[World]:
    world = a_world()
    yield world
    world.ledger.close()


def kinds(messages: list[Message]) -> list[str]:
    return [message.kind for message in messages]


# --- no forecast ---------------------------------------------------------------------------------


def test_no_forecast_is_told_once_then_every_morning_then_that_it_is_back(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    world.told_at(NOW)
    world.instead(site, DOWN)

    told: list[tuple[datetime, Message]] = []
    lost_at = NOW + timedelta(hours=3)
    for hour in range(72):
        moment = lost_at + timedelta(hours=hour)
        told += [(moment, message) for message in world.told_at(moment)]
    world.weather.instead.clear()
    back = world.told_at(lost_at + timedelta(hours=73))

    assert {message.kind for _, message in told} == {"no forecast"}
    days = [moment.date() for moment, _ in told]
    assert len(days) == len(set(days)) == 4
    assert told[0][0] == lost_at
    assert all(moment.hour <= 8 for moment, _ in told[1:])
    assert kinds(back) == ["no forecast"]
    assert back[0].short != told[0][1].short


def test_the_text_asks_to_treat_the_night_as_frost_and_gives_no_hours(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    world.instead(site, DOWN)

    (message,) = world.told_at(NOW)

    assert message.kind == "no forecast"
    for words in (message.short, message.long):
        assert "Treat tonight as frost" in words
        assert "no frost" not in words.lower()
        assert "°C" not in words, "nobody knows how cold it gets"


def test_the_report_of_a_pass_without_forecast_says_why(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    world.instead(site, DOWN)

    (work,) = world.pass_at(NOW).sites

    assert work.forecast is None
    assert work.why_none == DOWN.message
    assert work.nights == {}
    assert not work.failed


def old(forecast: Forecast, hours: float) -> Forecast:
    return replace(forecast, fetched_at=forecast.fetched_at - timedelta(hours=hours))


def ending(forecast: Forecast, now: datetime, hours: int) -> Forecast:
    """Cut off that many hours after now."""
    end = forecast.index_at(now) + hours + 1
    return replace(
        forecast, columns={name: column[:end] for name, column in forecast.columns.items()}
    )


@pytest.mark.parametrize("hours", [0, 5, 17])
def test_a_forecast_that_ends_before_the_coming_night_is_none(world: World, hours: int) -> None:
    site, _ = a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.instead(site, ending(world.weather.frame(READING), READING, hours))

    (message,) = world.told_at(READING)

    assert message.kind == "no forecast"


def test_a_forecast_that_ends_early_is_used_as_far_as_it_goes(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.instead(site, ending(world.weather.frame(READING), READING, 30))

    assert kinds(world.told_at(READING)) == ["work order"]


def test_a_forecast_that_is_a_day_old_is_used_colder_and_says_so(world: World) -> None:
    """Between 12 and 30 h of age every member is taken 2 K colder."""
    site, _ = a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.instead(site, old(world.weather.frame(READING), 20.0))

    (message,) = world.told_at(READING)

    assert message.kind == "work order"
    assert "colder" in message.long


def test_a_forecast_older_than_thirty_hours_is_none(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.instead(site, old(world.weather.frame(READING), 30.5))

    assert kinds(world.told_at(READING)) == ["no forecast"]


def nowhere(forecast: Forecast, column: str, value: float = np.nan) -> Forecast:
    values = np.full(forecast.hours, value)
    return replace(forecast, columns={**forecast.columns, column: values})


def test_air_that_is_not_a_number_is_never_taken_for_mild_air(world: World) -> None:
    """Providers refuse such a frame; should one get through, nothing reads as no frost."""
    site, _ = a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.instead(site, nowhere(world.weather.frame(READING), "air_c"))

    assert kinds(world.told_at(READING)) == ["no forecast"]


@pytest.mark.parametrize("column", ["wind_m_per_s", "dew_c", "cloud_fraction", "humidity_fraction"])
def test_other_weather_that_is_missing_does_not_silence_a_call(world: World, column: str) -> None:
    site, _ = a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.instead(site, nowhere(world.weather.frame(READING), column))

    assert kinds(world.told_at(READING)) == ["work order"]


def test_what_was_said_stands_when_the_forecast_is_lost(world: World) -> None:
    """A call is neither taken back nor repeated because nobody knows any more."""
    site, _ = a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.told_at(READING)
    world.instead(site, DOWN)

    told = []
    for hour in range(1, 8):
        told += world.told_at(READING + timedelta(hours=hour))

    assert kinds(told) == ["no forecast"]
    matters = world.ledger.load(READING + timedelta(hours=8)).reminders[site.key]
    assert [m.status.value for m in matters if m.vehicle] == ["standing"]


# --- one fault among many sites ------------------------------------------------------------------


class BrokenWeather(Weather):
    """A frame that no one can work with at some places."""

    def __init__(self, inner: Weather) -> None:
        super().__init__()
        self.spells = inner.spells
        self.broken: set[str] = set()

    def at(self, points: Sequence[Point], now: datetime) -> Mapping[str, Forecast | FetchFailure]:
        found = dict(super().at(points, now))
        for key in self.broken & set(found):
            frame = found[key]
            assert isinstance(frame, Forecast)
            short = frame.columns["wind_m_per_s"][:7]
            found[key] = replace(frame, columns={**frame.columns, "wind_m_per_s": short})
        return found


def three_yards(world: World) -> list[Site]:
    return [a_small_yard(world, NOW, key=key)[0] for key in ("ash", "birch", "cold-rigg")]


def test_a_site_that_fails_is_noted_and_the_others_go_on(world: World) -> None:
    sites = three_yards(world)
    world.weather.cold(COLD)
    world.weather = BrokenWeather(world.weather)
    world.weather.broken = {point_of(sites[1]).key}

    told = world.told_at(READING)
    report = world.pass_at(READING + timedelta(minutes=5))

    assert sorted(message.recipient for message in told) == ["ailsa", "ailsa-ash"]
    assert [work.site.key for work in report.sites] == ["ash", "cold-rigg"], "put off"
    noted = world.ledger.load(READING).passes["birch"]
    assert noted.failures == 1
    assert noted.cause
    assert noted.next_try_at == READING + FIRST_WAIT


def test_a_site_that_keeps_failing_is_tried_ever_more_seldom_and_recovers(world: World) -> None:
    site, _ = a_small_yard(world, NOW)
    world.weather.cold(COLD)
    broken = BrokenWeather(world.weather)
    broken.broken = {point_of(site).key}
    world.weather = broken

    tries = []
    for minutes in range(0, 6 * 60, 5):
        moment = READING + timedelta(minutes=minutes)
        if world.pass_at(moment).failed:
            tries.append(moment)
    waits = [later - earlier for earlier, later in pairwise(tries)]
    broken.broken = set()
    told = world.told_at(tries[-1] + LONGEST_WAIT)

    assert waits[0] == FIRST_WAIT
    assert waits == sorted(waits)
    assert max(waits) <= LONGEST_WAIT
    assert told, "what was due in the meantime is said"
    assert world.ledger.load(READING).passes[site.key].failures == 0


def test_a_vehicle_that_does_not_hold_together_is_left_out_and_named(world: World) -> None:
    """Its layout may have gone from the catalogue; the rest of the yard must still be told."""
    site, _ = a_small_yard(world, NOW)
    world.ledger.save_fleet(vehicles=[a_vehicle("Y99", layout="long-gone")])
    world.weather.cold(COLD)

    report = world.pass_at(READING)

    (work,) = report.failed
    assert work.messages == 1
    assert [van.vehicle.key for van in work.vans] == ["Y03"]
    (left_out,) = work.left_out
    assert left_out.startswith("Y99: ")
    assert "long-gone" in left_out
    assert not work.failed
    assert site.key == work.site.key


# --- the disk ------------------------------------------------------------------------------------


@pytest.fixture
def on_disk(tmp_path: Path) -> Iterator[World]:
    world = a_world(f"sqlite:///{tmp_path}/ledger.db")
    yield world
    world.ledger.close()


def limit_pages(ledger: SqlLedger, pages: int | None) -> None:
    """As many pages as there are, or any number: SQLite then finds the disk full."""
    with ledger._database.reading() as connection:
        pages = pages or connection.execute(text("PRAGMA page_count")).scalar_one()
        connection.execute(text(f"PRAGMA max_page_count = {pages}"))


def test_a_full_disk_is_said_and_nothing_is_lost_once_there_is_room(on_disk: World) -> None:
    site, vehicles = a_yard(20)
    entries = [e for v in vehicles for e in entries_for(a_layout(), State.FULL, vehicle=v.key)]
    on_disk.enter(site, [an_operator()], vehicles, entries)
    on_disk.weather.cold(COLD)
    limit_pages(on_disk.ledger, None)

    report = on_disk.pass_at(READING)

    (work,) = report.failed
    assert "full" in work.failed
    assert "Free some space" in work.failed
    assert on_disk.ledger.outbox.listed(since=NOW) == ()
    limit_pages(on_disk.ledger, 100_000)
    assert kinds(on_disk.told_at(READING + FIRST_WAIT)) == ["work order"]


def test_a_database_that_cannot_be_read_ends_the_pass_with_its_reason(on_disk: World) -> None:
    a_small_yard(on_disk, NOW)
    with on_disk.ledger._database.writing() as connection:
        connection.execute(text("DROP TABLE vehicle"))

    with pytest.raises(LedgerError, match="cannot be read"):
        on_disk.pass_at(READING)


# --- time ----------------------------------------------------------------------------------------


def test_a_service_that_slept_for_days_says_what_matters_now_and_once(world: World) -> None:
    """Asleep over the work order and the last call: the vans are frozen by now."""
    a_small_yard(world, NOW)
    world.weather.cold(COLD, hours=60.0)
    world.told_at(NOW)

    awake = datetime(2026, 12, 4, 13, 0, tzinfo=UTC)
    told = world.told_at(awake)
    more = [m for i in range(1, 6) for m in world.told_at(awake + timedelta(minutes=5 * i))]

    assert kinds(told) == ["leave alone"]
    assert more == []


def test_a_service_that_slept_through_a_reading_serves_it_late(world: World) -> None:
    a_small_yard(world, NOW)
    world.weather.cold(COLD)
    world.told_at(READING - timedelta(hours=13))

    told = world.told_at(READING + timedelta(hours=1, minutes=50))

    assert kinds(told) == ["work order"]


LONDON = ZoneInfo("Europe/London")


def a_night_reader() -> Person:
    """An owner who is up all night and reads at 01:30."""
    return an_owner(reading=(time(1, 30),), quiet_from=time(12), quiet_to=time(12, 1), slots=())


@pytest.mark.parametrize(
    ("night", "what"),
    [
        (datetime(2026, 10, 25, 0, 0, tzinfo=UTC), "an hour twice"),
        (datetime(2027, 3, 28, 0, 0, tzinfo=UTC), "an hour that is missing"),
    ],
)
def test_a_clock_change_in_the_night_serves_every_reading_once(
    world: World, night: datetime, what: str
) -> None:
    """Rules of Europe/London: 25 October 2026 and 28 March 2027 at 01:00 UTC (tz database)."""
    site, person = a_drive(time_zone="Europe/London"), a_night_reader()
    vehicle = a_vehicle("VAN", site=site.key, bay="", keeper=person.key)
    seen = night - timedelta(days=1)
    entries = entries_for(a_layout(), State.FULL, vehicle="VAN", now=seen)
    world.enter(site, [person], [vehicle], entries)
    # served up to the evening before; the cold comes the evening after
    world.weather.cold(night + timedelta(hours=19), hours=14.0)
    world.pass_at(night - timedelta(hours=6))

    looked = []
    for minutes in range(0, 6 * 60, 10):
        moment = night + timedelta(minutes=minutes)
        if any(work.judgement for work in world.pass_at(moment).sites):
            looked.append(moment)

    assert len(looked) == 1, what
    calls = [row.message for row in world.ledger.outbox.listed(since=night)]
    assert kinds(calls) == ["work order"]


@pytest.mark.parametrize(
    ("cold_from", "words"),
    [
        # the evening before: the clocks go back at 02:00 in the night
        (datetime(2026, 10, 24, 21, tzinfo=UTC), "Sat"),
        (datetime(2027, 3, 27, 21, tzinfo=UTC), "Sat"),
    ],
)
def test_hours_on_either_side_of_a_clock_change_are_told_in_the_clock_of_their_time(
    world: World, cold_from: datetime, words: str
) -> None:
    """British Summer Time is UTC+1 until 01:00 UTC on 25 October, from then UTC."""
    site = a_site()
    world.enter(
        site,
        [an_operator(slots=(Slot(weekday=5, starts=time(9), ends=time(17)),))],
        [a_vehicle()],
        entries_for(a_layout(), State.FULL, now=cold_from - timedelta(days=1)),
    )
    world.weather.cold(cold_from)
    morning = cold_from.replace(hour=7, minute=45)

    (message,) = world.told_at(morning)

    (kept,) = world.ledger.decisions(since=morning, until=morning)
    act_by = kept.decision.act_by
    assert act_by is not None
    assert f"{act_by.astimezone(LONDON):%a %H:%M}" in message.short
    assert words in message.short


def test_a_kept_state_survives_both_clock_changes(world: World) -> None:
    """States are kept by the hour of UTC: no hour is stepped twice or left out."""
    a_small_yard(world, NOW)
    start = datetime(2026, 10, 24, 20, tzinfo=UTC)
    entries = entries_for(a_layout(), State.FULL, now=start)
    world.ledger.add_entries(entries)
    for hour in range(10):
        run_pass(world.kit, start + timedelta(hours=hour), everything=True)
        state = world.ledger.load(start).states["Y03"]
        assert state.at == start + timedelta(hours=hour)
