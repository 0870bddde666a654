"""A height is asked for once and never again; what cannot be had is tried again later."""

from collections.abc import Sequence
from datetime import datetime, timedelta

import pytest

from frostwatch.weather.asking import Limit
from frostwatch.weather.cache import HeightService, KeptHeights, MemoryTerrain, PlaceHeights
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure
from frostwatch.weather.manners import MemoryAttempts
from frostwatch.weather.terrain import KnownHeight
from tests.weather.fake_providers import FREE_LIMITS

CREDIT = Attribution(text="Heights: a map", url="https://map.example", licence="open")
HOME = (54.40123, -2.90111)
AWAY = FetchFailure(kind=FailureKind.UNREACHABLE, message="away")


class Map:
    """Knows that the ground rises 10 m every thousandth of a degree to the north."""

    def __init__(self, limits: tuple[Limit, ...] = ()) -> None:
        self.asked: list[Sequence[tuple[float, float]]] = []
        self.trouble: FetchFailure | None = None
        self.store = MemoryTerrain()
        self.attempts = MemoryAttempts()
        service = HeightService(ask=self.ask, credit=CREDIT, host="map.example", limits=limits)
        self.heights = PlaceHeights(service, self.store, self.attempts)

    def ask(
        self, coordinates: Sequence[tuple[float, float]], now: datetime
    ) -> tuple[float, ...] | FetchFailure:
        self.asked.append(coordinates)
        if self.trouble is not None:
            return self.trouble
        return tuple(10_000.0 * (latitude - 54.39) for latitude, _ in coordinates)


def test_a_height_is_asked_for_once_and_never_again(now: datetime) -> None:
    there = Map()
    found = there.heights.at([HOME], now)[HOME]
    assert found == KnownHeight(height_m=112.0, credit=CREDIT, asked_at=now)
    assert there.heights.at([HOME], now + timedelta(days=4000))[HOME] == found
    assert KeptHeights(there.store).at([HOME], now)[HOME] == found
    assert len(there.asked) == 1
    (attempt,) = there.attempts.since("map.example", now)
    assert attempt.weight == 9.0


def test_sites_of_one_place_share_the_question_and_have_their_own_heights(now: datetime) -> None:
    there = Map()
    lower = (54.3991, -2.9)
    found = there.heights.at([HOME, lower], now)
    assert len(there.asked[0]) == 9
    assert [one.height_m for one in found.values() if isinstance(one, KnownHeight)] == [112, 91]


def test_no_exact_address_is_sent(now: datetime) -> None:
    there = Map()
    there.heights.at([HOME], now)
    assert HOME not in there.asked[0]
    neighbour = Map()
    neighbour.heights.at([(54.4041, -2.8961)], now)
    assert neighbour.asked == there.asked, "whoever lives in that square asks the same"


def test_a_failed_question_is_told_and_asked_again_after_some_hours(now: datetime) -> None:
    there = Map()
    there.trouble = AWAY
    assert there.heights.at([HOME], now)[HOME] == AWAY
    assert there.heights.at([HOME], now + timedelta(hours=1))[HOME] == AWAY
    assert len(there.asked) == 1
    there.trouble = None
    assert isinstance(there.heights.at([HOME], now + timedelta(hours=7))[HOME], KnownHeight)


def test_a_thousand_places_are_asked_a_few_at_a_time_within_the_limits(now: datetime) -> None:
    there = Map(FREE_LIMITS)
    places = [(40.0 + number / 50, 7.0) for number in range(120)]
    for minutes in range(0, 30, 5):
        found = there.heights.at(places, now + timedelta(minutes=minutes))
    assert all(isinstance(one, KnownHeight) for one in found.values())
    assert max(len(coordinates) for coordinates in there.asked) <= 100
    assert len({at for coordinates in there.asked for at in coordinates}) == 120 * 9
    in_a_minute = [one for one in there.attempts.since("map.example", now) if one.at == now]
    assert sum(one.weight for one in in_a_minute) <= 0.8 * 600


def test_a_host_that_hit_its_limit_is_left_alone(now: datetime) -> None:
    there = Map()
    there.trouble = FetchFailure(kind=FailureKind.THROTTLED, message="daily limit")
    there.heights.at([HOME], now)
    elsewhere = (10.0, 10.0)
    found = there.heights.at([elsewhere], now + timedelta(seconds=20))[elsewhere]
    assert isinstance(found, FetchFailure)
    assert len(there.asked) == 1


@pytest.mark.parametrize("asked", [[], [HOME]])
def test_what_was_kept_is_shown_without_asking(
    now: datetime, asked: list[tuple[float, float]]
) -> None:
    found = KeptHeights(MemoryTerrain()).at(asked, now)
    assert [one.message for one in found.values() if isinstance(one, FetchFailure)] == [
        "It was not asked for yet; the next pass does."
    ] * len(asked)
