"""Few requests, no mixtures, and never a silence that reads as no frost."""

from datetime import datetime, timedelta
from itertools import pairwise

import pytest

from frostwatch.weather.cache import WeatherCache, place_view
from frostwatch.weather.forecast import (
    FailureKind,
    FetchFailure,
    Fitness,
    Forecast,
    standing,
)
from tests.weather.cache_kit import HERE, Clock, Kit, places
from tests.weather.fake_providers import DOWN, FREE_LIMITS, FakeProvider, down_between


def test_a_place_asked_twice_is_asked_once_and_kept(now: datetime, later: Clock) -> None:
    provider = FakeProvider()
    kit = Kit(provider)
    kit.at(now, [HERE, HERE])
    kit.at(later(1))
    assert [keys for _, keys in provider.requests] == [[HERE.key]]


def test_a_frame_names_the_reply_it_rests_on(now: datetime) -> None:
    kit = Kit(FakeProvider())
    reply = kit.replies.reply(kit.forecast(now).reply_id)
    assert reply is not None
    assert reply.point == HERE.key


def test_replies_are_refreshed_every_three_hours(now: datetime, later: Clock) -> None:
    provider = FakeProvider()
    kit = Kit(provider)
    for hour in range(25):
        kit.at(later(hour))
    assert len(provider.requests) == 9


def test_a_cold_night_ahead_makes_it_every_hour(now: datetime, later: Clock) -> None:
    provider = FakeProvider(air_c=2.0, limits=FREE_LIMITS)
    kit = Kit(provider)
    for hour in range(13):
        kit.at(later(hour))
    assert len(provider.requests) == 13


def test_hourly_replies_stop_where_the_budget_of_the_day_does_not_bear_them(
    now: datetime, later: Clock
) -> None:
    provider = FakeProvider(air_c=-2.0, limits=FREE_LIMITS)
    kit = Kit(provider)
    asked = places(900)
    for hour in range(18):
        kit.at(later(hour), asked)
    weight = sum(len(keys) for _, keys in provider.requests)
    assert weight <= 8000
    for point in asked[::100]:
        known = standing(kit.cache.known(point, later(17)), later(17))
        assert known.age_h <= 3.2


def test_the_minute_budget_is_waited_for_within_the_pass(now: datetime) -> None:
    provider = FakeProvider(limits=FREE_LIMITS)
    kit = Kit(provider)
    found = kit.at(now, places(1000))
    assert all(isinstance(one, Forecast) for one in found.values())
    by_minute: dict[datetime, int] = {}
    for moment, keys in provider.requests:
        minute = moment.replace(second=0)
        by_minute[minute] = by_minute.get(minute, 0) + len(keys)
    assert max(by_minute.values()) <= 480
    assert len(provider.requests) == 10
    assert sum(kit.naps) < 200.0


def test_at_least_a_second_lies_between_two_requests(now: datetime) -> None:
    provider = FakeProvider(max_batch=10)
    Kit(provider).at(now, places(50))
    moments = [moment for moment, _ in provider.requests]
    gaps = [two - one for one, two in pairwise(moments)]
    assert min(gaps) >= timedelta(seconds=1)


def test_what_the_budget_does_not_bear_says_so_and_when_it_will(now: datetime) -> None:
    provider = FakeProvider(limits=FREE_LIMITS, weight=50.0)
    kit = Kit(provider)
    found = kit.at(now, places(300))
    refused = [one for one in found.values() if isinstance(one, FetchFailure)]
    assert len(refused) == 300 - len(provider.requests) * 100
    assert all(one.kind is FailureKind.THROTTLED for one in refused)
    assert all(one.retry_at is not None and one.retry_at > now for one in refused)


def test_places_that_come_due_soon_join_the_batch(now: datetime, later: Clock) -> None:
    provider = FakeProvider()
    kit = Kit(provider)
    kit.at(now, places(60))
    kit.at(later(0.5), places(100))
    kit.at(later(3), places(100))
    assert [len(keys) for _, keys in provider.requests] == [60, 40, 100]


def test_one_failure_leaves_the_older_reply_in_use(now: datetime, later: Clock) -> None:
    provider = FakeProvider(air_c=1.5)
    kit = Kit(provider)
    kit.at(now)
    provider.trouble = lambda _, __: DOWN
    assert kit.forecast(later(4)).fetched_at == now


def test_the_next_provider_stands_in_with_its_whole_frame(now: datetime, later: Clock) -> None:
    first, second = FakeProvider("first"), FakeProvider("second", air_c=-1.0)
    kit = Kit(first, second)
    kit.at(now)
    assert second.requests == []
    first.trouble = lambda _, __: DOWN
    assert kit.forecast(later(5)).provider == "first"
    stand_in = kit.forecast(later(7))
    assert stand_in.provider == "second"
    assert set(stand_in.columns["air_c"]) == {-1.0}
    assert stand_in.attribution[0].text == "Data: second"


def test_the_first_provider_is_back_as_soon_as_it_answers(now: datetime, later: Clock) -> None:
    first, second = FakeProvider("first"), FakeProvider("second")
    kit = Kit(first, second)
    first.trouble = down_between(now, later(6))
    assert kit.forecast(now).provider == "second"
    assert kit.forecast(later(7)).provider == "first"


def test_an_old_frame_beats_nothing_and_says_its_age(now: datetime, later: Clock) -> None:
    first, second = FakeProvider("first"), FakeProvider("second")
    kit = Kit(first, second)
    kit.at(now)
    first.trouble = second.trouble = lambda _, __: DOWN
    assert standing(kit.forecast(later(13)), later(13)).fitness is Fitness.OLDER
    assert standing(kit.forecast(later(31)), later(31)).fitness is Fitness.NONE


def test_nobody_answering_is_a_failure_that_names_everybody(now: datetime) -> None:
    first, second = FakeProvider("first"), FakeProvider("second")
    first.trouble = second.trouble = lambda _, __: DOWN
    found = Kit(first, second).at(now)[HERE.key]
    assert isinstance(found, FetchFailure)
    assert found.kind is FailureKind.UNREACHABLE


def test_a_service_without_providers_says_what_to_set(now: datetime) -> None:
    found = Kit().at(now)[HERE.key]
    assert isinstance(found, FetchFailure)
    assert "[weather] providers" in found.message


def test_a_provider_that_is_down_is_left_alone_for_longer_and_longer(
    now: datetime, later: Clock
) -> None:
    provider = FakeProvider()
    provider.trouble = lambda _, __: DOWN
    kit = Kit(provider)
    for minute in range(0, 600, 5):
        kit.at(later(minute / 60))
    asked_h = [(moment - now) / timedelta(hours=1) for moment, _ in provider.requests]
    assert len(asked_h) < 12
    assert asked_h[-1] - asked_h[-2] >= 2.0


def test_recovery_is_one_request_and_not_a_flood(now: datetime, later: Clock) -> None:
    provider = FakeProvider(limits=FREE_LIMITS)
    kit = Kit(provider)
    provider.trouble = down_between(now, later(9))
    for hour in range(14):
        kit.at(later(hour), places(250))
    during = [keys for moment, keys in provider.requests if moment < later(9)]
    after = [keys for moment, keys in provider.requests if moment >= later(9)]
    assert len(during) <= 12
    assert len(after) <= 6
    assert isinstance(kit.at(later(13), places(250))[places(1)[0].key], Forecast)


def test_a_place_the_provider_does_not_cover_harms_no_other_place(
    now: datetime, later: Clock
) -> None:
    uncovered = places(10)[3]
    nowhere = FetchFailure(kind=FailureKind.NOT_COVERED, message="no data", retry_at=later(24))
    first, second = FakeProvider("first"), FakeProvider("second", max_batch=1)
    first.trouble = lambda _, point: nowhere if point == uncovered else None
    kit = Kit(first, second)
    for hour in range(4):
        found = kit.at(later(hour), places(10))
    assert {one.provider for one in found.values() if isinstance(one, Forecast)} == {
        "first",
        "second",
    }
    assert all(uncovered.key not in keys for _, keys in first.requests[1:])
    assert [keys for _, keys in second.requests] == [[uncovered.key]] * 2


def test_an_expiry_is_waited_for_and_validators_are_sent_back(now: datetime, later: Clock) -> None:
    provider = FakeProvider(expires_h=5.0)
    kit = Kit(provider)
    for hour in range(7):
        kit.at(later(hour))
    assert [moment for moment, _ in provider.requests] == [now, later(5)]
    assert provider.validators_seen[1][HERE.key].last_modified == f"{now:%H:%M:%S}"


def test_not_modified_keeps_the_old_frame_and_its_age_by_issue(now: datetime, later: Clock) -> None:
    provider = FakeProvider(expires_h=1.0, issued_h=2.0, air_c=4.0)
    kit = Kit(provider)
    first = kit.forecast(now)
    provider.unchanged = True
    again = kit.forecast(later(3))
    assert len(provider.requests) == 2
    assert again.issued_at == first.issued_at
    assert again.reply_id == first.reply_id
    assert standing(again, later(3)).age_h == pytest.approx(5.0)


def test_a_provider_that_is_back_is_not_trusted_alone_if_its_stand_in_is_much_colder(
    now: datetime, later: Clock
) -> None:
    first, second = FakeProvider("first", air_c=4.0), FakeProvider("second", air_c=0.0)
    kit = Kit(first, second)
    kit.at(now)
    first.trouble = lambda _, __: DOWN
    assert kit.forecast(later(7)).provider == "second"
    first.trouble = lambda _, __: None
    back = kit.forecast(later(8))
    assert back.provider == "second"
    assert back.columns["air_spread_k"][130] == pytest.approx(2.0)
    assert {one.text for one in back.attribution} == {"Data: first", "Data: second"}


def test_what_is_known_is_what_a_pass_was_given(now: datetime, later: Clock) -> None:
    ensemble = FakeProvider("spread", refresh_h=12.0)
    ensemble.spread_k = 2.5
    kit = Kit(FakeProvider(), ensemble=ensemble)
    given = kit.forecast(now)
    known = kit.cache.known(HERE, later(0.5))
    assert known is not None
    assert known.columns["air_spread_k"] == pytest.approx(given.columns["air_spread_k"])
    assert known.reply_id == given.reply_id


def test_a_view_says_from_whom_how_old_and_what_asking_again_costs(
    now: datetime, later: Clock
) -> None:
    first, second = FakeProvider("first", limits=FREE_LIMITS), FakeProvider("second")
    kit = Kit(first, second)
    kit.at(now)
    first.trouble = lambda _, __: DOWN
    kit.at(later(4))
    view = place_view(kit.cache, HERE, later(4.5))
    assert view.standing.age_h == pytest.approx(4.5)
    one, two = view.providers
    assert one.last_failure == DOWN
    assert (one.next_weight, one.spent_today, one.budget_today) == (1.0, 4.0, 8000.0)
    assert two.forecast is None
    assert two.standing.fitness is Fitness.NONE
    assert len(first.requests) == 2


def test_a_kept_reply_that_no_longer_parses_is_asked_anew(now: datetime) -> None:
    class Changed(FakeProvider):
        broken = True

        def parse(self, body, points, fetched_at):  # type: ignore[no-untyped-def]
            if self.broken:
                return {point.key: DOWN for point in points}
            return super().parse(body, points, fetched_at)

    provider = Changed()
    kit = Kit(provider)
    provider.broken = False
    kit.at(now)
    provider.broken = True
    fresh = WeatherCache([provider], kit.replies, sleep=lambda _: None)
    assert fresh.known(HERE, now) is None


def test_a_stand_in_without_a_past_keeps_what_the_water_has_felt(
    now: datetime, later: Clock
) -> None:
    first, second = FakeProvider("first", air_c=-4.0), FakeProvider("second", air_c=1.0)
    second.past_h = 0
    kit = Kit(first, second)
    kit.at(now)
    first.trouble = lambda _, __: DOWN
    for hour in (7, 8, 9, 12):
        frame = kit.forecast(later(hour))
        assert frame.provider == "second"
        assert frame.start <= later(hour) - timedelta(hours=118)
        assert frame.columns["air_c"][frame.index_at(later(6))] == -4.0
        assert frame.columns["air_c"][frame.index_at(later(hour))] == 1.0


def test_after_a_restart_the_past_comes_from_the_replies_that_were_kept(
    now: datetime, later: Clock
) -> None:
    first, second = FakeProvider("first", air_c=-4.0), FakeProvider("second", air_c=1.0)
    second.past_h = 0
    kit = Kit(first, second)
    kit.at(now)
    first.trouble = lambda _, __: DOWN
    restarted = WeatherCache([first, second], kit.replies, sleep=lambda _: None)
    frame = restarted.at([HERE], later(8))[HERE.key]
    assert isinstance(frame, Forecast)
    assert frame.provider == "second"
    assert frame.start < later(-100)
