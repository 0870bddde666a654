"""One vehicle on an occasion: a move, a frost, in use, a trip; and what made it wet again."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest

from frostwatch.fleet.people import Language
from frostwatch.fleet.roofs import Roof, Under
from frostwatch.ports.accounts import Role
from frostwatch.service.recording import WETTINGS
from tests.builders import NOW, a_site
from tests.web.pages_read import words
from tests.web.test_handovers_page import a_forecourt
from tests.web.yards import Stage, an_account, form_of


@pytest.fixture(scope="module")
def forecourt() -> Stage:
    """One that nobody changes: Y01 and Y02 drained, Y03 wet."""
    return a_forecourt()


def test_before_a_move_a_wet_vehicle_is_told_the_wind_of_the_road_and_a_dry_one_is_not(
    forecourt: Stage,
) -> None:
    client = forecourt.client(an_account(Role.VIEWER))
    at = (NOW + timedelta(hours=20)).astimezone(a_site().zone)
    wet = words(client.get(f"/v/Y03/advice/transport?at={at:%Y-%m-%dT%H:%M}").text)

    assert "not ready for the road" in wet
    assert "times faster under the floor" in wet
    assert "counts as frost" in wet
    assert "Never let hot water out on the road." in wet
    assert "unknown until somebody has looked" in wet
    dry = words(client.get("/v/Y02/advice/transport").text)
    assert "nothing in it is known to be wet" in dry
    assert "times faster" not in dry


@pytest.mark.parametrize("at", ["2027-06-01T12:00", "9999-12-31T23:59Z", "2020-01-01T00:00"])
def test_a_move_beyond_the_forecast_is_told_no_air(forecourt: Stage, at: str) -> None:
    page = forecourt.client().get("/v/Y03/advice/transport", params={"at": at})
    assert page.status_code == 200
    text = words(page.text)
    assert "counts as frost" not in text
    assert "does not mean no frost" in text


def test_arrived_it_is_unknown_until_somebody_has_looked() -> None:
    stage = a_forecourt()
    client = stage.client()
    page = "/v/Y02/advice/transport"
    client.post("/v/Y02/wet-again", data=form_of(client, page) | {"event": "moved"})

    assert "waste: counts as full" in words(client.get("/v/Y02").text)
    assert "Y02" in words(client.get("/handovers").text).partition("Back to drained")[2]


def test_after_a_frost_the_order_of_looking_stands_with_its_cautions(forecourt: Stage) -> None:
    text = words(forecourt.client().get("/v/Y03/advice/thaw").text)
    steps = [
        "Pump off, move no valve",
        "Photograph everything",
        "Warm it slowly",
        "open the taps",
        "Look at strainer bowl",
        "Fill 20 L",
        "pump must stay silent",
    ]
    assert [text.index(step) for step in steps] == sorted(text.index(step) for step in steps)
    assert "may not be filled yet" in text or "may be filled" in text


@pytest.mark.parametrize("topic", ["in-use", "going"])
def test_use_and_trips_have_their_page_too(forecourt: Stage, topic: str) -> None:
    answer = forecourt.client().get(f"/v/Y03/advice/{topic}")
    assert answer.status_code == 200
    assert "Mind" in words(answer.text)


def test_heat_that_is_not_kept_on_and_topics_nobody_knows_are_not_there(forecourt: Stage) -> None:
    client = forecourt.client()
    assert client.get("/v/Y03/advice/hold").status_code == 404
    assert client.get("/v/Y03/advice/spells").status_code == 404


def test_without_a_forecast_no_hour_is_told_and_it_never_reads_as_no_frost() -> None:
    stage = a_forecourt()
    stage.clock.pass_by(hours=40)
    stage.world.instead(a_site(), stage.world.weather.frame(NOW))
    text = words(stage.client().get("/v/Y03/advice/transport").text)
    assert "That does not mean no frost" in text


@pytest.mark.parametrize("language", [Language.DE, Language.FR])
def test_the_pages_speak_the_language_of_their_reader(forecourt: Stage, language: Language) -> None:
    client = forecourt.client(an_account(language=language))
    for page in ("/v/Y03/advice/transport", "/v/Y03/advice/thaw", "/v/Y03/wet"):
        text = words(client.get(page).text)
        for english in ("before a move", "Before a trip", "not ready", "Pump off", "Test fill"):
            assert english not in text


def test_every_reason_is_one_press(forecourt: Stage) -> None:
    page = forecourt.client().get("/v/Y02/wet").text
    assert re.findall(r'name="event" value="([^"]+)"', page) == list(WETTINGS)


@pytest.mark.parametrize("event", ["leak test", "part-exchange", "hire"])
def test_two_presses_put_it_into_the_list_until_it_is_seen_drained(event: str) -> None:
    stage = a_forecourt()
    client = stage.client()
    assert 'href="/v/Y02/wet"' in client.get("/v/Y02").text
    client.post("/v/Y02/wet-again", data=form_of(client, "/v/Y02/wet") | {"event": event})
    stage.clock.pass_by(minutes=5)

    listed = words(client.get("/handovers").text).partition("Back to drained")[2]
    assert "Y02" in listed
    told = {"how": "told", "what": "drained"}
    client.post("/v/Y02/record", data=form_of(client, "/v/Y02/record") | told)
    stage.clock.pass_by(minutes=5)
    listed = words(client.get("/handovers").text).partition("Back to drained")[2]
    assert "told drained, nobody has seen it" in listed
    seen = {"how": "seen", "what": "drained, traps dosed", "dose": "35"}
    client.post("/v/Y02/record", data=form_of(client, "/v/Y02/record") | seen)
    stage.clock.pass_by(minutes=5)
    assert "Y02" not in words(client.get("/handovers").text).partition("Back to drained")[2]


def test_a_word_that_is_no_reason_is_refused() -> None:
    stage = a_forecourt()
    client = stage.client()
    before = len(stage.world.ledger.record_of("Y02"))
    answer = client.post(
        "/v/Y02/wet-again", data=form_of(client, "/v/Y02/wet") | {"event": "round"}
    )
    assert answer.status_code == 422
    assert len(stage.world.ledger.record_of("Y02")) == before


def test_a_handover_whose_hour_is_over_unspoken_comes_to_the_list_by_itself() -> None:
    stage = a_forecourt(ahead_h=2.0)
    client = stage.client()
    stage.clock.pass_by(hours=3)
    listed = words(client.get("/handovers").text).partition("Back to drained")[2]
    assert "Y01 Its handover" in listed
    assert "nobody said how it went" in listed

    seen = {"how": "seen", "what": "drained"}
    client.post("/v/Y01/record", data=form_of(client, "/v/Y01/record") | seen)
    stage.clock.pass_by(minutes=5)
    assert "Y01" not in words(client.get("/handovers").text).partition("Back to drained")[2]


def test_what_is_in_use_or_stands_wet_in_a_building_is_in_our_care() -> None:
    stage = a_forecourt()
    ledger = stage.world.ledger
    van = next(v for v in ledger.load(stage.clock.now).vehicles if v.key == "Y03")
    until = stage.clock.now + timedelta(hours=9)
    hall = Under(kind=Roof.HEATED, heated_to_c=14.0, by="ailsa", until=until)
    ledger.save_fleet(vehicles=[replace(van, under=hall)])
    stage.look()
    client = stage.client()
    text = words(client.get("/handovers").text).partition("In our care")[2]
    called = re.search(r"needs a visit by (\w+ \d\d:\d\d)", words(client.get("/round").text))
    assert "Y03 Wet, and in a building: drain it before it goes out" in text
    # called for sooner than it leaves, and one vehicle has one hour
    assert called is not None
    assert f"by {called[1]}" in text
    assert f"by {until.astimezone(a_site().zone):%a %H:%M}" not in text


def test_the_vehicle_page_leads_to_its_handover_and_to_every_occasion(forecourt: Stage) -> None:
    text = forecourt.client().get("/v/Y01").text
    assert 'href="/handovers/Y01/hour"' in text
    assert "Handover " in words(text)
    for topic in ("transport", "thaw", "in-use", "going"):
        assert f'href="/v/Y01/advice/{topic}"' in text
    viewer = forecourt.client(an_account(Role.VIEWER)).get("/v/Y01").text
    assert "/hour" not in viewer
