"""The round where no forecast is read, where its hours came by, and whom it counts."""

import re
from datetime import UTC, timedelta

import pytest

from frostwatch.messages.wording.gsm import LIMIT, length
from frostwatch.ports.accounts import Role
from frostwatch.weather.forecast import FailureKind, FetchFailure
from tests.builders import a_site, a_vehicle, an_owner
from tests.web.pages_read import headline, words
from tests.web.test_round_page import released, the_round
from tests.web.yards import Stage, a_cold_yard, a_row, an_account, the_people, water


def a_blind_yard(day: int, hour: int) -> Stage:
    """A wet yard of which no forecast can be had, at an hour of December 2026."""
    stage = Stage()
    vans = a_row(4)
    stage.clock.now = stage.at(day, hour).astimezone(UTC)
    stage.enter(vans, water(*vans))
    failure = FetchFailure(kind=FailureKind.UNREACHABLE, message="no answer")
    stage.world.instead(a_site(), failure)
    stage.look()
    return stage


@pytest.mark.parametrize(
    ("day", "hour", "says"),
    [
        (4, 12, "Kit and Marek are through about Fri 13:00 . Dusk is Fri 15:"),
        (4, 15, "That is after the last working hour before tonight, Fri 15:"),
        (5, 10, "No working hour lies before tonight: whoever can come, today before dusk, Sat"),
        (5, 20, "The night has begun, and nobody can say whether it freezes before first light"),
    ],
    ids=["hours enough", "hours too few", "day off", "dark"],
)
def test_without_a_forecast_no_hour_is_named_after_the_night_it_is_for(
    day: int, hour: int, says: str
) -> None:
    stage = a_blind_yard(day, hour)
    text = words(stage.client().get("/round").text)
    assert says in text
    assert "Mon" not in text.partition("How to read")[0]


def test_a_round_sent_without_a_forecast_says_that_the_night_counts_as_frost() -> None:
    stage = a_blind_yard(5, 10)
    client = stage.client(an_account(Role.OPERATOR))
    released(stage, client, "send")
    rows = stage.world.ledger.outbox.listed(since=stage.clock.now)
    told = [row.message for row in rows if "/walk/" in row.message.long]
    assert told
    for message in told:
        assert "treat tonight as frost" in message.short
        assert "No usable forecast: treat tonight as frost" in message.long
        assert length(message.short) <= LIMIT
    sheet = words(client.get(f"/sheet/{the_round(stage).code}").text)
    assert "treat tonight as frost" in sheet
    assert "No usable forecast: look for ice" in sheet


def test_a_round_released_long_after_its_hours_holds_every_stop_that_is_still_wet() -> None:
    stage = a_cold_yard(18, dry=0)
    stage.clock.pass_by(hours=16)
    client = stage.client()
    page = words(client.get("/round").text)
    assert "18 stops are past their hour, and still wet as far as we know" in page
    assert "It was to be done by Tue 15:30 : look for ice before anything is moved." in page
    before = re.search(r"(\d+) of 18 fit before (\w{3} \d\d:\d\d)", page)
    assert before is None or (int(before[1]) > 0 and before[2].startswith("Wed"))
    where = released(stage, client)
    walk = the_round(stage)
    assert {stop.stop.vehicle for stop in walk.stops} == {f"Y{n:02d}" for n in range(1, 19)}
    assert not walk.left
    below = [stop for stop in walk.stops if stop.below]
    assert below == list(walk.stops[len(walk.stops) - len(below) :])
    text = client.get(where).text
    assert re.search(r"was to be done by <span class=.by.><time [^>]+>Tue\s15:30", text)
    assert words(text).count("last: does not fit before its hour") == len(below)


def test_a_likely_hour_of_harm_that_came_by_without_a_pass_is_too_late() -> None:
    stage = a_cold_yard(3, dry=0)
    client = stage.client()
    code = released(stage, client).rpartition("/")[2]
    board = stage.world.ledger.pages.board("cold-rigg")
    assert board is not None
    likely = [one.likely for one in board.vehicles]
    assert all(likely)
    stage.clock.now = max(hour for hour in likely if hour) + timedelta(minutes=1)
    assert board.basis.issued_at
    assert stage.clock.now - board.basis.issued_at < timedelta(hours=30)
    assert "Look only: touch nothing" in client.get(f"/walk/{code}").text
    assert headline(client.get("/leave-alone").text).startswith("Leave A-01, A-02 and A-03 alone")
    assert headline(client.get("/v/Y01").text).startswith("Leave A-01 alone")


def test_the_bays_of_the_headline_and_those_left_to_owners_make_up_all_that_stand_here() -> None:
    stage = Stage()
    vans = [*a_row(3), a_vehicle("Y04", bay="A-04", keeper="maelle")]
    stage.enter(vans, water(*vans), people=[*the_people(), an_owner()])
    stage.cold_from(30.0)
    stage.look()
    page = stage.client().get("/round").text
    assert headline(page).startswith("3 of 3 bays")
    text = words(page)
    assert "for the 3 vehicles here. One more is left to its owner." in text
    assert "Counts as wet; left to its owner: Maëlle Kerdoncuff." in text
