"""Entering a handover, moving its hour, choosing its heat, taking it off."""

import re
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from starlette.testclient import TestClient

from frostwatch.fleet.heat import Handover
from frostwatch.ports.accounts import Role
from tests.builders import NOW, a_site
from tests.web.pages_read import headline, words
from tests.web.test_handovers_page import GAS, WEAK
from tests.web.test_handovers_page import a_forecourt as a_place
from tests.web.yards import HOSTILE, Stage, an_account, form_of

ZONE = a_site().zone


def hidden(client: TestClient, page: str) -> dict[str, str]:
    """The form token, and the mark of the handover as the page shows it."""
    found = re.search(r'name="was" value="(\w+)"', client.get(page).text)
    return form_of(client, page) | {"was": found[1] if found else ""}


def fields(at: datetime, **changed: str) -> dict[str, str]:
    """What is typed for an hour."""
    local = at.astimezone(ZONE)
    return {
        "day": f"{local:%Y-%m-%d}",
        "clock": f"{local:%H:%M}",
        "litres": "40",
        "heat": "",
        "post": "",
        "indoors": "",
        "who": "",
        "taker": "",
    } | changed


def enter(client: TestClient, van: str, at: datetime, **changed: str) -> Any:
    page = f"/handovers/{van}/hour"
    return client.post(page, data=hidden(client, page) | fields(at, **changed))


def entered(stage: Stage, van: str) -> Handover | None:
    book = stage.world.ledger.load(stage.clock.now)
    return next(one for one in book.vehicles if one.key == van).handover


AT_TEN = datetime(2026, 12, 3, 10, tzinfo=ZoneInfo("Europe/London"))
"""A Thursday, two days after the tests' day."""


def test_an_entered_handover_is_planned_at_once_and_says_who_entered_it() -> None:
    stage = a_place()
    client = stage.client()
    answer = enter(client, "Y02", AT_TEN, heat="", litres="25", who="Kit", taker="Familie Brugger")

    assert answer.status_code == 303
    page = client.get(answer.headers["location"]).text
    assert re.search(r"Y02: heating on by \w+ \d\d:\d\d", headline(page))
    assert "Entered by Ailsa" in words(page)
    assert "for Familie Brugger" in words(page)
    assert "Fill 25 L" in words(page)
    assert "Kit makes it ready" in words(page)
    known = entered(stage, "Y02")
    assert known is not None
    assert known.at == AT_TEN


def test_a_moved_hour_moves_the_plan_and_the_change_is_kept_with_its_author() -> None:
    stage = a_place()
    client = stage.client()
    before = entered(stage, "Y01")
    assert before is not None
    first = headline(client.get("/handovers?van=Y01").text)
    assert enter(client, "Y01", before.at + timedelta(hours=2)).status_code == 303

    page = client.get("/handovers?van=Y01").text
    assert headline(page) != first
    assert "Moved from" in words(page)
    (change,) = stage.world.ledger.plans.changes_of("Y01")
    assert (change.by, change.at, change.before) == ("ailsa", stage.clock.now, before)


def test_two_who_move_one_hour_keep_both_in_sight_and_neither_is_overwritten() -> None:
    stage = a_place()
    one, other = stage.client(), stage.client()
    page = "/handovers/Y01/hour"
    seen = hidden(one, page)
    assert enter(other, "Y01", AT_TEN).status_code == 303

    late = one.post(page, data=seen | fields(AT_TEN + timedelta(hours=3), taker="Somebody"))
    assert late.status_code == 409
    assert "changed this handover" in words(late.text)
    assert 'value="Somebody"' in late.text
    known = entered(stage, "Y01")
    assert known is not None
    assert known.at == AT_TEN
    again = re.search(r'name="was" value="(\w+)"', late.text)
    assert again is not None
    kept = one.post(page, data=seen | fields(AT_TEN + timedelta(hours=3)) | {"was": again[1]})
    assert kept.status_code == 303


def test_a_press_that_met_another_in_the_ledger_keeps_nothing() -> None:
    stage = a_place()
    ledger = stage.world.ledger
    van = next(v for v in ledger.load(stage.clock.now).vehicles if v.key == "Y01")
    from frostwatch.service.handover_entry import enter as keep

    assert keep(ledger.plans, van, Handover(at=AT_TEN), by="a", now=stage.clock.now)
    assert not keep(ledger.plans, van, None, by="b", now=stage.clock.now)
    assert entered(stage, "Y01") == Handover(at=AT_TEN)


@pytest.mark.parametrize(
    ("at", "said"),
    [
        (NOW - timedelta(hours=3), "is over. Give an hour that is still to come."),
        (NOW + timedelta(days=500), "more than a year ahead"),
        (AT_TEN.replace(hour=3), "Nobody is at work at"),
    ],
)
def test_an_hour_that_cannot_be_is_refused_with_what_was_typed(at: datetime, said: str) -> None:
    stage = a_place()
    answer = enter(stage.client(), "Y02", at, taker="Familie Brugger")

    assert answer.status_code == 422
    assert said in words(answer.text)
    assert 'value="Familie Brugger"' in answer.text
    assert 'aria-invalid="true"' in answer.text
    assert entered(stage, "Y02") is None


@pytest.mark.parametrize("at", ["9999-12-31T23:59-12:00", "0001-01-01T00:00+12:00", "soon"])
def test_a_link_with_an_hour_beyond_any_calendar_opens_the_form_as_it_stands(at: str) -> None:
    client = a_place().client()
    plain = client.get("/handovers/Y01/hour").text
    odd = client.get("/handovers/Y01/hour", params={"at": at})
    assert odd.status_code == 200
    assert headline(odd.text) == headline(plain)


def test_an_hour_at_night_is_kept_where_it_is_meant_so() -> None:
    stage = a_place()
    at = AT_TEN.replace(hour=3)
    asked = enter(stage.client(), "Y02", at)
    assert "The nearest hours are" in words(asked.text)
    assert 'name="meant"' in asked.text

    assert enter(stage.client(), "Y02", at, meant="1").status_code == 303
    known = entered(stage, "Y02")
    assert known is not None
    assert known.at == at


def test_an_hour_too_soon_is_kept_and_answered_with_the_ways_out() -> None:
    stage = a_place(heat=(GAS,))
    stage.clock.pass_by(hours=14)
    stage.look()
    client = stage.client()
    answer = enter(client, "Y01", stage.clock.now + timedelta(minutes=20), meant="1")

    page = client.get(answer.headers["location"]).text
    assert "Y01 cannot be ready by" in headline(page)
    assert "There is not enough time left" in words(page)
    later = re.search(r'href="(/handovers/Y01/hour\?at=[^"]+)"', page)
    assert later is not None
    proposed = client.get(later[1].replace("&amp;", "&")).text
    day = re.search(r'name="day" type="date" required value="([\d-]+)"', proposed)
    assert day is not None
    assert day[1] >= f"{stage.clock.now:%Y-%m-%d}"


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"day": ""}, "Give the day"),
        ({"clock": "25:99"}, "Give the hour"),
        ({"litres": "lots"}, "Give litres"),
        ({"litres": "0"}, "Give litres"),
        ({"heat": "steam-1"}, "no such heat"),
        ({"post": "9"}, "no such post"),
        ({"indoors": "soon"}, "Give day and hour"),
        ({"indoors": "2026-12-03T11:00"}, "before it is handed over"),
        ({"indoors": "2026-11-30T11:00"}, "is over. Say from when"),
        ({"who": "x" * 200}, "longer than 120"),
        ({"day": "2026-03-29", "clock": "01:30"}, "not one that the clock skips"),
    ],
)
def test_what_cannot_be_read_is_named_and_nothing_is_kept(
    changed: dict[str, str], said: str
) -> None:
    stage = a_place()
    answer = enter(stage.client(), "Y02", AT_TEN, **changed)

    assert answer.status_code == 422
    assert said in words(answer.text)
    assert entered(stage, "Y02") is None


def test_a_chosen_source_is_kept_for_everybody_and_after_the_next_pass() -> None:
    stage = a_place()
    client = stage.client()
    page = "/handovers?van=Y01"
    assert 'value="gas-6000" checked' in client.get(page).text
    client.post("/handovers/Y01/heat", data=hidden(client, page) | {"heat": "electric-300"})

    text = stage.client().get(page).text
    assert 'value="electric-300" checked' in text
    assert "cannot be ready" in headline(text)
    stage.clock.pass_by(minutes=61)
    stage.look()
    assert 'value="electric-300" checked' in client.get(page).text
    board = stage.world.ledger.plans.board("cold-rigg")
    assert board is not None
    assert board.vans[0].proposed.source == WEAK

    client.post("/handovers/Y01/heat", data=hidden(client, page) | {"heat": ""})
    assert 'value="gas-6000" checked' in client.get(page).text


def test_the_night_before_indoors_is_a_source_with_a_later_hour_of_its_own() -> None:
    stage = a_place()
    client = stage.client()
    enter(client, "Y01", AT_TEN)
    text = client.get("/handovers?van=Y01").text
    keys = re.findall(r'type="radio" name="heat" value="([^"]+)"', text)
    (indoors,) = [key for key in keys if "~" in key]
    assert "the night before indoors" in words(text)
    client.post(
        "/handovers/Y01/heat", data=hidden(client, "/handovers?van=Y01") | {"heat": indoors}
    )

    text = client.get("/handovers?van=Y01").text
    assert "It stands in a warm building, at about 12 °C, from" in words(text)
    board = stage.world.ledger.plans.board("cold-rigg")
    assert board is not None
    van = board.vans[0]
    outside = next(
        plan
        for plan in van.plans
        if plan.source == van.proposed.source and plan.indoors_from is None
    )
    assert van.proposed.on_by is not None
    assert outside.on_by is None or van.proposed.on_by > outside.on_by


def test_taken_off_it_is_planned_no_longer_and_its_page_says_by_whom() -> None:
    stage = a_place()
    client = stage.client()
    form = hidden(client, "/handovers/Y01/hour")
    assert client.post("/handovers/Y01/off", data=form).status_code == 303

    assert entered(stage, "Y01") is None
    assert headline(client.get("/handovers").text).startswith("No handover is due before")
    assert "Taken off by Ailsa" in words(client.get("/handovers/Y01/hour").text)
    assert client.post("/handovers/Y01/off", data=form).headers["location"].endswith("again=1")


def test_a_plan_under_way_moves_with_its_hour_and_ends_when_it_is_taken_off() -> None:
    stage = a_place()
    client = stage.client()
    form = form_of(client, "/handovers")
    client.post("/handovers/Y01", data=form | {"press": "on"})
    enter(client, "Y01", AT_TEN)
    way = stage.world.ledger.plans.file("cold-rigg", stage.clock.now).under_way["Y01"]
    assert way.plan.at == way.handover.at == AT_TEN
    assert "Heating is on" in words(client.get("/handovers").text)

    client.post("/handovers/Y01/off", data=hidden(client, "/handovers/Y01/hour"))
    assert stage.world.ledger.plans.file("cold-rigg", stage.clock.now).under_way == {}


def test_handovers_beyond_three_days_are_listed_with_their_hour() -> None:
    stage = a_place()
    client = stage.client()
    enter(client, "Y02", AT_TEN + timedelta(days=7))

    text = client.get("/handovers").text
    assert "Later handovers" in text
    assert 'href="/handovers/Y02/hour"' in text


def test_viewers_are_shown_no_form_and_change_nothing() -> None:
    stage = a_place()
    viewer = stage.client(an_account(Role.VIEWER))
    assert "/hour" not in viewer.get("/handovers").text
    assert viewer.get("/handovers/Y01/hour").status_code >= 400
    assert viewer.get("/handovers/enter").status_code >= 400


def test_which_vehicle_is_asked_first() -> None:
    stage = a_place()
    client = stage.client()
    assert client.get("/handovers/enter").text.count("<option") == 3
    went = client.get("/handovers/enter?van=Y02")
    assert went.headers["location"] == "/handovers/Y02/hour"


@pytest.mark.parametrize("hostile", HOSTILE)
def test_what_is_typed_stays_text(hostile: str) -> None:
    stage = a_place()
    client = stage.client()
    enter(client, "Y01", AT_TEN, who=hostile, taker=hostile)
    for page in ("/handovers?van=Y01", "/handovers/Y01/hour", "/handovers/Y01/card"):
        text = client.get(page).text
        assert "<script>alert" not in text
        assert "<img src=x" not in text


def test_without_a_forecast_it_is_kept_all_the_same_and_said_to_be_unplanned() -> None:
    stage = a_place()
    stage.clock.pass_by(hours=40)
    stage.world.instead(a_site(), stage.world.weather.frame(NOW))
    client = stage.client()
    enter(client, "Y02", stage.clock.now + timedelta(hours=30), meant="1")

    assert entered(stage, "Y02") is not None
    assert "not planned yet" in client.get("/handovers").text
