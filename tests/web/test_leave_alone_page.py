"""Leave alone: the forecast beside what came, what was emptied in time, an hour for the unknown."""

import re
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from frostwatch.advice.passing import Passing
from frostwatch.fleet.people import Language
from frostwatch.messages.wording.draft import Level
from frostwatch.ports import AirReading, Intake
from frostwatch.records.entries import State
from frostwatch.web.pages.late_view import late_view
from frostwatch.web.pages.roll_view import roll_view
from frostwatch.web.pages.yard_now import yard_now
from frostwatch.web.words import Tongue
from tests.builders import a_vehicle
from tests.web.pages_read import words
from tests.web.yards import Stage, a_cold_yard, a_row, water

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
    came = page.partition("The lowest since Tue")[2]
    assert re.match(r".\d\d:\d\d ?: −\d", came), "the hours since the call"
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


def test_the_roll_sends_nobody_to_look_at_what_is_to_be_left_alone(frozen: Stage) -> None:
    page = words(frozen.client().get("/roll").text)
    assert "are to be left alone" in page
    assert "to look at, by daylight" not in page


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
    assert ": −12 °C, " in page.replace("\u00a0", " ").partition("The lowest since")[2][:40]
    assert "Read by a thermometer here." in page
    assert "provider’s own analysis" not in page


def test_where_nobody_observed_anything_it_is_said() -> None:
    stage = Stage()
    stage.enter(a_row(1), water(*a_row(1)))
    page = words(stage.client().get(PATH).text)
    assert "What came, nobody knows here" in page
    assert "Nobody was called in the last days" in page


def test_ice_is_not_said_to_be_older_than_the_frost_that_came(frozen: Stage) -> None:
    page = frozen.client().get(PATH).text
    began = re.findall(r'Ice since about <time class="when" datetime="([^"]+)"', page)
    onset = re.findall(r'below 0\s°C from <time class="when" datetime="([^"]+)"', page)
    assert began
    assert len(onset) == 1
    # told hours are rounded to half an hour
    least = datetime.fromisoformat(onset[0]) - timedelta(minutes=15)
    assert all(datetime.fromisoformat(hour) >= least for hour in began)


def test_once_it_is_mild_enough_to_look_no_thaw_is_called_out_of_sight(frozen: Stage) -> None:
    now = frozen.clock.now
    yard = frozen.world.ledger.pages.yard("cold-rigg", now)
    assert yard is not None
    assert yard.board is not None
    board = replace(yard.board, thaw_at=now - timedelta(minutes=10))
    tongue = Tongue(language=Language.EN, zone=yard.site.zone, now=now)
    view = late_view(yard_now(replace(yard, board=board), now), tongue)
    assert view.headline.startswith("It is mild enough to look at")
    assert "no thaw in sight" not in view.headline


def test_where_frost_is_over_the_roll_and_its_list_judge_alike(frozen: Stage) -> None:
    now = frozen.clock.now
    yard = frozen.world.ledger.pages.yard("cold-rigg", now)
    assert yard is not None
    assert yard.board is not None
    over: dict[str, Any] = dict.fromkeys(("earliest", "likely", "valve_at", "began_at"))
    over["unknown"] = False
    first, *others = (replace(one, **over) for one in yard.board.vehicles)
    thawed = replace(first, level=Level.THAW, passing=Passing.THAWED)
    dry = [replace(o, level=Level.NONE, work=None, passing=Passing.DRAINED) for o in others]
    board = replace(yard.board, vehicles=(thawed, *dry))
    tongue = Tongue(language=Language.EN, zone=yard.site.zone, now=now)
    view = roll_view(yard_now(replace(yard, board=board, fresh={}), now), tongue)
    assert "Look after the frost" in str(view)
    assert "one vehicle wants a look" in view.headline
    assert "Nobody needs to walk today" not in view.headline


def test_an_hour_that_has_come_by_is_not_told_as_one_to_work_to() -> None:
    stage = a_cold_yard()
    stage.clock.pass_by(hours=14)
    page = words(stage.client().get(PATH).text)
    assert "It was to be done by Tue 15:30 : look for ice before anything is moved." in page
    assert " by Tue 15:30 A-02" not in page
    assert "By the forecast of Tue 07:40 no vehicle here is likely to have frozen." in page
