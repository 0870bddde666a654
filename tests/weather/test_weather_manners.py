"""Budgets by the clock, breaks after trouble, and when hourly replies fit."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from frostwatch.weather.forecast import FailureKind, FetchFailure
from frostwatch.weather.manners import (
    Attempt,
    MemoryAttempts,
    break_of,
    cold_night_ahead,
    hourly_fits,
    room,
    room_again_at,
    window_start,
)
from tests.weather.fake_providers import DOWN, FREE_LIMITS, FakeProvider
from tests.weather.frames import PAST_H, a_frame, daily_air_c

AT = datetime(2026, 12, 1, 10, 30, 20, tzinfo=UTC)


def blocked_until(attempts: list[Attempt]) -> datetime | None:
    pause = break_of(attempts, "")
    return None if pause is None else pause.until


def sent(at: datetime, weight: float = 1.0, failure: FetchFailure | None = None) -> Attempt:
    return Attempt(host="h", at=at, weight=weight, places=1, failure=failure)


def throttled(retry_at: datetime | None = None) -> FetchFailure:
    return FetchFailure(kind=FailureKind.THROTTLED, message="limit", retry_at=retry_at)


@pytest.mark.parametrize(
    ("every", "start"),
    [
        (timedelta(minutes=1), datetime(2026, 12, 1, 10, 30, tzinfo=UTC)),
        (timedelta(hours=1), datetime(2026, 12, 1, 10, 0, tzinfo=UTC)),
        (timedelta(days=1), datetime(2026, 12, 1, 0, 0, tzinfo=UTC)),
    ],
)
def test_windows_are_those_of_the_clock_in_utc(every: timedelta, start: datetime) -> None:
    assert window_start(AT, every) == start


def test_only_four_fifths_of_every_limit_are_used() -> None:
    assert room(FREE_LIMITS, [], AT) == 480.0
    minute = [sent(AT - timedelta(seconds=10), 400.0)]
    assert room(FREE_LIMITS, minute, AT) == 80.0
    hour = [sent(AT - timedelta(minutes=20), 3900.0)]
    assert room(FREE_LIMITS, hour, AT) == 100.0
    day = [sent(AT - timedelta(hours=3), 7990.0)]
    assert room(FREE_LIMITS, day, AT) == 10.0
    assert room((), day, AT) == float("inf")


def test_room_comes_back_with_the_window_that_is_full() -> None:
    assert room_again_at(FREE_LIMITS, [sent(AT, 450.0)], AT, 100.0) == datetime(
        2026, 12, 1, 10, 31, tzinfo=UTC
    )
    assert room_again_at(
        FREE_LIMITS, [sent(AT - timedelta(minutes=20), 3950.0)], AT, 100.0
    ) == datetime(2026, 12, 1, 11, 0, tzinfo=UTC)
    assert room_again_at(
        FREE_LIMITS, [sent(AT - timedelta(hours=5), 7950.0)], AT, 100.0
    ) == datetime(2026, 12, 2, 0, 0, tzinfo=UTC)
    assert room_again_at(FREE_LIMITS, [], AT, 100.0) == AT


def test_one_failure_makes_no_break_and_the_second_one_of_ten_minutes() -> None:
    assert blocked_until([sent(AT, failure=DOWN)]) is None
    run = [sent(AT, failure=DOWN), sent(AT, failure=DOWN)]
    assert blocked_until(run) == AT + timedelta(minutes=10)


def test_breaks_double_up_to_two_hours() -> None:
    waits = []
    for failures in range(2, 9):
        until = blocked_until([sent(AT, failure=DOWN)] * failures)
        assert until is not None
        waits.append((until - AT) / timedelta(minutes=1))
    assert waits == [10, 20, 40, 80, 120, 120, 120]


def test_an_answer_ends_the_run_of_failures() -> None:
    assert blocked_until([sent(AT, failure=DOWN)] * 5 + [sent(AT)]) is None
    assert blocked_until([]) is None


def test_a_limit_that_was_hit_is_waited_for_as_the_server_says() -> None:
    later = AT + timedelta(minutes=29)
    assert blocked_until([sent(AT, failure=throttled(later))]) == later


def test_an_unexplained_limit_waits_from_a_minute_to_an_hour() -> None:
    waits = []
    for failures in (1, 2, 3, 7, 20):
        until = blocked_until([sent(AT, failure=throttled())] * failures)
        assert until is not None
        waits.append((until - AT) / timedelta(minutes=1))
    assert waits == [1, 2, 4, 60, 60]


def test_a_refusal_is_waited_for_from_the_first_time_on() -> None:
    later = AT + timedelta(hours=1)
    refused = FetchFailure(kind=FailureKind.REFUSED, message="who are you?", retry_at=later)
    assert blocked_until([sent(AT, failure=refused)]) == later


def test_an_ensemble_that_is_refused_leaves_the_forecasts_of_the_same_host_alone() -> None:
    refused = FetchFailure(
        kind=FailureKind.REFUSED, message="plan", retry_at=AT + timedelta(days=1)
    )
    attempts = [replace(sent(AT, failure=refused), provider="ensemble")] * 3
    assert break_of(attempts, "forecast") is None
    pause = break_of(attempts, "ensemble")
    assert pause is not None
    assert (pause.until, pause.failure) == (AT + timedelta(days=1), refused)


def test_a_limit_that_one_provider_hits_holds_for_all_of_its_host() -> None:
    later = AT + timedelta(minutes=29)
    attempts = [replace(sent(AT, failure=throttled(later)), provider="ensemble")]
    pause = break_of(attempts, "forecast")
    assert pause is not None
    assert pause.until == later
    answered = [*attempts, replace(sent(AT), provider="forecast")]
    assert break_of(answered, "forecast") is None


def test_an_answer_to_another_provider_ends_no_break() -> None:
    attempts = [replace(sent(AT, failure=DOWN), provider="forecast")] * 2
    attempts.append(replace(sent(AT), provider="ensemble"))
    assert break_of(attempts, "forecast") is not None


def test_a_night_below_three_degrees_ahead_counts_and_one_behind_does_not(now: datetime) -> None:
    air_c = daily_air_c(8.0, 4.0)
    assert not cold_night_ahead(a_frame(now, air_c=air_c), now)
    air_c[: PAST_H - 1] -= 9.0
    assert not cold_night_ahead(a_frame(now, air_c=air_c), now)
    air_c[PAST_H + 23] = 2.9
    assert cold_night_ahead(a_frame(now, air_c=air_c), now)


def test_hourly_replies_fit_for_120_places_and_not_for_a_thousand() -> None:
    """120 places hourly are 2,880 of a budget of 8,000; 1,000 would need 24,000."""
    provider = FakeProvider(limits=FREE_LIMITS)
    dawn = datetime(2026, 12, 1, 0, 5, tzinfo=UTC)
    assert hourly_fits(provider, [], dawn, 120, 120)
    assert hourly_fits(provider, [], dawn, 900, 100)
    assert not hourly_fits(provider, [], dawn, 1000, 200)
    assert hourly_fits(FakeProvider(), [], dawn, 100_000, 100_000)


def test_the_log_forgets_what_no_limit_looks_at() -> None:
    log = MemoryAttempts()
    log.note(sent(AT - timedelta(hours=30)))
    log.note(sent(AT - timedelta(hours=3)))
    log.note(sent(AT))
    assert len(log.since("h", AT - timedelta(days=9))) == 2
    assert log.since("other", AT) == []
