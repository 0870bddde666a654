"""Leave alone: the forecast beside what came, what was emptied in time, an hour for the unknown."""

from datetime import timedelta

import pytest

from frostwatch.ports import AirReading, Intake
from frostwatch.records.entries import State
from tests.builders import a_vehicle
from tests.web.pages_read import words
from tests.web.yards import Stage, a_row, water

PATH = "/leave-alone"


def a_frozen_yard() -> Stage:
    """Called for on the evening before; one was emptied since, one nobody ever recorded."""
    stage = Stage()
    wet, emptied = a_row(2)
    never = a_vehicle("Y03", bay="A-03")
    stage.enter([wet, emptied, never], water(wet, emptied))
    stage.cold_from(20.0, lasts=40.0, air_c=-10.0)
    stage.look()
    stage.clock.pass_by(hours=3)
    stage.world.ledger.add_entries(
        water(emptied, state=State.DRAINED, at=stage.clock.now, event="drain-down")
    )
    for hours in (9, 12, 12):
        stage.clock.pass_by(hours=hours)
        stage.look()
    return stage


@pytest.fixture(scope="module")
def frozen() -> Stage:
    return a_frozen_yard()


def test_what_was_reckoned_with_stands_beside_what_came(frozen: Stage) -> None:
    page = words(frozen.client().get(PATH).text)
    assert "The forecast, and what came" in page
    assert "Acted on: Work order of" in page
    assert "which reckoned with −" in page
    assert "It came as −" in page
    assert "By the forecast provider’s own analysis" in page


def test_what_was_emptied_since_the_call_is_named_with_who_and_when(frozen: Stage) -> None:
    page = words(frozen.client().get(PATH).text)
    after = page.partition("Emptied in time")[2]
    assert "A-02" in after
    assert "Kit, 1 Dec" in after
    assert "A-02" not in page.partition("Emptied in time")[0].partition("Too late")[2]


def test_the_unknown_is_told_since_when_it_would_hold_ice(frozen: Stage) -> None:
    page = words(frozen.client().get(PATH).text)
    line = page.partition("Too late for these")[2].partition("A-03")[2][:200]
    assert "Never recorded; counts as full." in line
    assert "Full, it would have held ice since about" in line


def test_a_thermometer_at_the_place_goes_before_the_provider() -> None:
    stage = a_frozen_yard()
    now = stage.clock.now
    values = [
        AirReading(at=now - timedelta(hours=hours), air_c=air_c)
        for hours, air_c in ((10.0, 1.0), (6.0, -11.5), (2.0, -3.0))
    ]
    intake = Intake(
        site="cold-rigg",
        name="gate.csv",
        received_at=now,
        count=len(values),
        first_at=values[0].at,
        last_at=values[-1].at,
    )
    stage.world.ledger.lessons.take(intake, values)
    page = words(stage.client().get(PATH).text)
    assert "It came as −12 °C" in page.replace("\u00a0", " ")
    assert "Read by a thermometer here." in page
    assert "provider’s own analysis" not in page


def test_where_nobody_observed_anything_it_is_said() -> None:
    stage = Stage()
    stage.enter(a_row(1), water(*a_row(1)))
    page = words(stage.client().get(PATH).text)
    assert "What came, nobody knows here" in page
    assert "Nobody was called in the last days" in page
