"""A height nobody entered: looked up, sent with the forecast request, credited, never warmer."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

import pytest
from structlog.testing import capture_logs

from frostwatch.errors import LedgerError
from frostwatch.ports import Heights
from frostwatch.records.entries import State
from frostwatch.service.heights import UNKNOWN_HEIGHT_K, heights_of
from frostwatch.service.kit import Kit
from frostwatch.service.nights import point_of
from frostwatch.service.pass_ import PassReport, run_pass
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure
from frostwatch.weather.terrain import UNKNOWN_HEIGHT_M, KnownHeight
from tests.builders import a_layout, a_site, a_vehicle, an_operator, entries_for
from tests.weather.frames import a_frame
from tests.worlds import World, a_world

CREDIT = Attribution(text="Heights: a map", url="https://map.example", licence="open")
AWAY = FetchFailure(kind=FailureKind.UNREACHABLE, message="nobody answers")
BARE = a_site(height_m=None)


class Map:
    """Says one thing of every place."""

    def __init__(self, found: KnownHeight | FetchFailure | LedgerError) -> None:
        self._found = found

    def at(
        self, coordinates: Sequence[tuple[float, float]], now: datetime
    ) -> Mapping[tuple[float, float], KnownHeight | FetchFailure]:
        if isinstance(self._found, LedgerError):
            raise self._found
        return dict.fromkeys(coordinates, self._found)


def known(height_m: float, now: datetime) -> Map:
    return Map(KnownHeight(height_m=height_m, credit=CREDIT, asked_at=now))


@pytest.fixture
def world(now: datetime) -> World:
    world = a_world()
    world.enter(BARE, [an_operator()], [a_vehicle()], entries_for(a_layout(), State.FULL, now=now))
    return world


def passed(world: World, now: datetime, heights: Heights | None) -> PassReport:
    given: dict[str, Any] = {name: getattr(world.kit, name) for name in Kit.__slots__}
    return run_pass(Kit(**given | {"heights": heights}), now, everything=True)


def test_a_height_that_was_looked_up_goes_with_the_forecast_request(
    world: World, now: datetime
) -> None:
    report = passed(world, now, known(412.0, now))
    (work,) = report.sites
    assert work.site.height_m == 412.0
    assert point_of(work.site).height_m == 400.0
    assert world.ledger.load(now).sites[0].height_m is None, "it is not made the operator's word"


def test_a_height_of_ones_own_goes_before_any_other(now: datetime) -> None:
    site = a_site(height_m=55.0)
    assert heights_of([site], known(412.0, now), now).sites == (site,)


def test_whoever_gave_the_height_is_credited_with_the_forecast(world: World, now: datetime) -> None:
    (work,) = passed(world, now, known(412.0, now)).sites
    assert any("Heights: a map" in words for words in work.view.forecast.credit)


@pytest.mark.parametrize("trouble", [AWAY, LedgerError("the disk is full")])
def test_a_height_that_cannot_be_had_is_told_and_holds_up_nothing(
    world: World, now: datetime, trouble: FetchFailure | LedgerError
) -> None:
    with capture_logs() as lines:
        report = passed(world, now, Map(trouble))
    (work,) = report.sites
    assert work.failed == ""
    assert work.nights
    told = [line for line in lines if line["event"] == "height not known"]
    assert [line["sites"] for line in told] == [["cold-rigg"]]
    assert told[0]["cause"] in (AWAY.message, "the disk is full")


@pytest.mark.parametrize("above_m", [-80.0, 0.0, 60.0, UNKNOWN_HEIGHT_M])
def test_a_height_that_cannot_be_had_never_reads_as_warmer(
    world: World, now: datetime, above_m: float
) -> None:
    """Than any height up to 100 m above the one the forecast holds for."""
    (failed,) = passed(world, now, Map(AWAY)).sites
    assert failed.forecast is not None
    assert failed.forecast.height_m is not None
    (looked_up,) = passed(world, now, known(failed.forecast.height_m + above_m, now)).sites
    assert failed.air is not None
    assert looked_up.air is not None
    assert (failed.air.air_c <= looked_up.air.air_c + 1e-9).all(), "in the hours gone by as well"


def test_what_was_assumed_is_said(now: datetime) -> None:
    heights = heights_of([BARE], Map(AWAY), now)
    assert pytest.approx(0.65) == UNKNOWN_HEIGHT_K
    (words,) = heights.notes(BARE.key)
    assert "nobody answers" in words
    assert "100 m higher" in words


def test_where_nobody_is_asked_the_air_stays_as_the_forecast_has_it(now: datetime) -> None:
    heights = heights_of([BARE], None, now)
    assert heights.sites == (BARE,)
    frame = a_frame(now)
    assert heights.fitted(BARE.key, frame) is frame
    assert heights.notes(BARE.key) == ()
