"""Round, roll and leave alone as they are served, in every state."""

import re
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from frostwatch.advice.walk import WalkRound
from frostwatch.fleet.people import Language
from frostwatch.messages.wording.gsm import LIMIT, is_gsm, length
from frostwatch.ports import Message
from frostwatch.ports.accounts import Role
from frostwatch.records.entries import State
from frostwatch.weather.forecast import FailureKind, FetchFailure
from tests.builders import a_crew, a_forecourt, a_site, a_vehicle, an_operator, an_owner
from tests.web.pages_read import headline, words
from tests.web.yards import (
    HOSTILE,
    Stage,
    a_cold_yard,
    a_row,
    an_account,
    form_of,
    the_people,
    water,
)


@pytest.fixture(scope="module")
def cold() -> Stage:
    """A yard that nobody changes."""
    return a_cold_yard()


def test_the_headline_says_how_many_bays_by_which_hour(cold: Stage) -> None:
    page = cold.client().get("/round")
    assert page.status_code == 200
    assert re.fullmatch(r"3 of 4 bays need a visit by (Tue|Wed) \d\d:\d\d", headline(page.text))


def test_stops_are_listed_with_what_to_do_and_dry_bays_stay_in_place(cold: Stage) -> None:
    text = words(cold.client().get("/round").text)
    assert text.index("A-01") < text.index("A-02") < text.index("A-03") < text.index("A-04")
    assert "Drain fully" in text
    assert "plate ends 001" in text
    assert "key 1" in text
    assert "walk past." in text


def test_every_hour_has_its_day_and_the_page_names_its_forecast(cold: Stage) -> None:
    text = cold.client().get("/round").text
    assert "Forecast of" in text
    times = re.findall(r'<time class="when" datetime="[^"]+[+-]\d\d:\d\d">([^<]+)</time>', text)
    assert times
    assert all(re.match(r"(Mon|Tue|Wed|Thu|Fri|Sat|Sun)\s", at) for at in times)


def test_an_older_forecast_is_named_with_its_age_and_hours_are_kept() -> None:
    stage = a_cold_yard()
    stage.clock.pass_by(hours=13)
    text = words(stage.client().get("/round").text)
    assert "13 h old" in text
    assert "bays need a visit by" in text or "still open" in text


def test_without_a_usable_forecast_no_hour_is_told_and_every_wet_bay_is_a_stop() -> None:
    stage = a_cold_yard()
    stage.clock.pass_by(hours=31)
    page = stage.client().get("/round").text
    assert "No usable forecast since" in page
    assert headline(page).startswith("Treat tonight, Wed 2 Dec, as frost: 3 of 4 bays")
    assert "act by" not in page
    assert "no hour known" in page


def test_before_the_first_pass_the_list_stands_without_hours() -> None:
    stage = Stage()
    vans = a_row(2)
    stage.enter(vans, water(*vans))
    page = stage.client().get("/round").text
    assert "Reading the forecast for Cold Rigg Yard" in page
    assert "2 of 2 bays are wet or unknown" in headline(page)


def test_a_pass_that_failed_is_named_and_the_list_stays() -> None:
    stage = a_cold_yard()
    stage.clock.pass_by(hours=4)
    page = stage.client().get("/round").text
    assert "Nothing was worked out since" in page
    assert "Drain fully" in page


def test_a_forecast_that_cannot_be_fetched_reads_as_frost() -> None:
    stage = Stage()
    vans = a_row(2)
    stage.enter(vans, water(*vans))
    failure = FetchFailure(kind=FailureKind.UNREACHABLE, message="no answer")
    stage.world.instead(a_site(), failure)
    stage.look()
    page = stage.client().get("/round").text
    assert "as frost" in headline(page)


def test_a_place_without_vehicles_says_how_to_begin() -> None:
    stage = Stage()
    stage.enter([])
    assert headline(stage.client().get("/round").text) == "No vehicles yet"


def test_without_any_place_the_page_says_so() -> None:
    assert headline(Stage().client().get("/round").text) == "No place is entered yet"


def test_on_a_quiet_day_the_round_is_the_roll() -> None:
    stage = Stage()
    vans = a_row(3)
    stage.enter(vans, water(*vans, state=State.DRAINED))
    stage.look()
    page = stage.client().get("/round").text
    assert headline(page) == "Nobody needs to walk today, Tue 1 Dec"
    assert "We look again every hour" in page
    assert headline(stage.client().get("/roll").text) == headline(page)


def test_unknown_is_named_on_a_quiet_day_too_and_has_minutes() -> None:
    stage = Stage()
    vans = a_row(3)
    stage.enter(vans, water(*vans[:2], state=State.DRAINED))
    stage.look()
    page = stage.client().get("/round").text
    assert headline(page) == "1 of 3 bays wants a look, by daylight from Tue 1 Dec"
    roll = words(stage.client().get("/roll").text)
    assert "1 unknown" in roll
    assert re.search(r"A-03 Never recorded; counts as full. \d+ min", roll)


def test_where_frost_came_first_the_page_says_what_to_leave_alone() -> None:
    stage = Stage()
    vans = a_row(2)
    stage.enter(vans, [*water(vans[0]), *water(vans[1], state=State.DRAINED)])
    stage.cold_from(-30.0, lasts=60.0, air_c=-12.0)
    stage.look()
    page = stage.client().get("/round").text
    assert headline(page).startswith("Leave A-01 alone")
    assert "Do not switch a pump on" in page
    assert headline(stage.client().get("/leave-alone").text) == headline(page)


def test_leave_alone_on_an_ordinary_day_says_that_nothing_is(cold: Stage) -> None:
    page = cold.client().get("/leave-alone").text
    assert headline(page) == "Nothing is to be left alone today, Tue 1 Dec"


@pytest.mark.parametrize("path", ["/round", "/roll", "/leave-alone"])
def test_a_page_asks_the_database_equally_often_for_any_number_of_vehicles(path: str) -> None:
    counts = []
    for bays in (2, 12):
        stage = a_cold_yard(bays)
        client = stage.client()
        client.get(path)
        with stage.counted() as asked:
            client.get(path)
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 20


@pytest.mark.parametrize("path", ["/round", "/roll", "/leave-alone"])
def test_what_people_typed_is_shown_harmlessly(path: str) -> None:
    stage = Stage()
    people = [an_operator(name=HOSTILE[0]), a_crew(name=HOSTILE[1])]
    vans = [
        a_vehicle(f"Y{n:02d}", bay=f"B{n}", name=name, key_place=name, plate_end="x")
        for n, name in enumerate(HOSTILE)
    ]
    notes = [
        entry for van, note in zip(vans, HOSTILE, strict=True) for entry in water(van, by=note)
    ]
    site = a_site(name=HOSTILE[0], bays=())
    stage.enter(vans, notes, site=site, people=people)
    stage.cold_from(30.0)
    stage.look()
    page = stage.client().get(path).text
    assert "<script" not in page
    assert "<img" not in page
    assert "&lt;script&gt;" in page


def test_nobody_and_strangers_see_nothing(cold: Stage) -> None:
    for path in ("/round", "/roll", "/leave-alone"):
        assert cold.client(nobody=True).get(path).status_code in (401, 302, 303)
        stranger = cold.client(an_account(Role.OPERATOR, "hinterlach"))
        assert stranger.get(f"{path}?site=cold-rigg").status_code == 404
        assert "Cold Rigg" not in stranger.get(path).text


def test_a_viewer_sees_the_round_and_has_nothing_to_press(cold: Stage) -> None:
    client = cold.client(an_account(Role.VIEWER))
    page = client.get("/round").text
    assert "Drain fully" in page
    assert "Walk this round" not in page


def released(stage: Stage, client: TestClient, then: str = "walk", **fields: str) -> str:
    """Release the yard's round; where it leads."""
    form = form_of(client, "/round") | {"site": "cold-rigg", "then": then} | fields
    answer = client.post("/round/release", data=form)
    assert answer.status_code == 303
    return answer.headers["location"]


def the_round(stage: Stage) -> WalkRound:
    yard = stage.world.ledger.pages.yard("cold-rigg", stage.clock.now)
    assert yard is not None
    assert yard.round is not None
    return yard.round


def test_a_round_is_released_once_and_gone_on_with() -> None:
    stage = a_cold_yard()
    client = stage.client()
    first = released(stage, client)
    assert re.fullmatch(r"/walk/\d{6}", first)
    assert released(stage, client, "sheet") == first.replace("walk", "sheet")
    walk = the_round(stage)
    assert [stop.stop.vehicle for stop in walk.stops] == ["Y01", "Y02", "Y03"]
    assert walk.by == "ailsa"
    page = client.get("/round").text
    assert "Walk on" in page
    assert walk.code in page


def test_the_crew_of_a_release_decides_what_fits() -> None:
    stage = a_cold_yard(12)
    client = stage.client()
    ready = []
    for crew in (1, 4):
        text = words(client.get(f"/round?crew={crew}").text)
        found = re.search(r"through about (\w{3} \d\d:\d\d)", text)
        assert found
        ready.append(found[1])
    assert ready[0] != ready[1]
    assert client.get("/round?crew=99").status_code == 422


def test_a_release_needs_the_crew_s_role_and_a_form_of_ours() -> None:
    stage = a_cold_yard()
    viewer = stage.client(an_account(Role.VIEWER))
    form = {"form_token": "guessed", "site": "cold-rigg"}
    assert viewer.post("/round/release", data=form).status_code in (400, 403)
    stranger = stage.client(an_account(Role.CREW, "hinterlach"))
    assert stranger.post("/round/release", data=form).status_code in (400, 403, 404)
    assert stage.world.ledger.pages.yard("cold-rigg", stage.clock.now).round is None  # type: ignore[union-attr]


def calls(stage: Stage) -> list[Message]:
    rows = stage.world.ledger.outbox.listed(since=stage.clock.now - timedelta(minutes=1))
    return [row.message for row in rows if row.message.reminder.startswith("round ")]


def test_sending_writes_to_everybody_who_walks_with_the_link_and_the_hour() -> None:
    stage = a_cold_yard()
    client = stage.client()
    assert "Send to Kit and Marek" in client.get("/round").text
    assert released(stage, client, "send") == "/round?site=cold-rigg"
    code = the_round(stage).code
    sent = calls(stage)
    assert {message.recipient for message in sent} == {"kit", "marek"}
    for message in sent:
        assert f"yard.example/walk/{code}" in message.short
        assert f"https://yard.example/walk/{code}" in message.long
        assert "3 stops" in message.short
        assert "act by" in message.short
        assert is_gsm(message.short)
        assert length(message.short) <= LIMIT
    assert "On its way to Kit." in words(client.get("/round").text)
    assert "Send to Kit and Marek again" in client.get("/round").text


def test_sending_again_sends_again_and_is_the_operator_s() -> None:
    stage = a_cold_yard()
    client = stage.client()
    released(stage, client, "send")
    released(stage, client, "send")
    assert [message.revision for message in calls(stage)] == [1, 1, 2, 2]
    crew = stage.client(an_account(Role.CREW))
    page = crew.get("/round").text
    assert "Send to" not in page
    assert "Walk on" in page
    form = form_of(crew, "/round") | {"site": "cold-rigg", "then": "send"}
    assert crew.post("/round/release", data=form).status_code in (403, 404)


def test_a_long_name_gives_way_in_a_text_message() -> None:
    stage = Stage(public_url="https://" + "long." * 12 + "example")
    vans = a_row(2)
    site = a_site(name="Überwinterungsplatz " * 5)
    stage.enter(vans, water(*vans), site=site)
    stage.cold_from(30.0)
    stage.look()
    client = stage.client()
    released(stage, client, "send")
    for message in calls(stage):
        assert length(message.short) <= LIMIT
        assert message.short.endswith(the_round(stage).code)


def test_where_nobody_who_walks_can_be_written_to_there_is_nothing_to_send() -> None:
    stage = Stage()
    vans = a_row(2)
    stage.enter(vans, water(*vans), people=[an_operator(), a_crew(channels=())])
    stage.cold_from(30.0)
    stage.look()
    assert "Send to" not in stage.client().get("/round").text


def test_people_who_see_several_places_choose_among_them() -> None:
    stage = a_cold_yard()
    vans = [a_vehicle("H01", site="hinterlach")]
    stage.enter(vans, site=a_forecourt(), people=[an_operator("resi", sites=("hinterlach",))])
    client = stage.client()
    page = client.get("/round?site=hinterlach").text
    assert "Reisemobilhof Hinterlach" in page
    assert "Cold Rigg Yard" in page
    assert 'href="/roll?site=hinterlach"' in page
    alone = stage.client(an_account(Role.CREW, "cold-rigg")).get("/round").text
    assert "Other places" not in alone


def test_a_bay_whose_owner_is_written_to_is_passed_with_their_name() -> None:
    stage = Stage()
    vans = [a_vehicle("Y01", keeper="maelle"), a_vehicle("Y02", bay="A-02")]
    people = [*the_people(), an_owner()]
    stage.enter(vans, water(*vans), people=people)
    stage.cold_from(30.0)
    stage.look()
    assert "Maëlle Kerdoncuff" in words(stage.client().get("/round").text)


@pytest.mark.parametrize("language", list(Language))
def test_the_pages_speak_every_language(cold: Stage, language: Language) -> None:
    client = cold.client(an_account(language=language))
    for path in ("/round", "/roll", "/leave-alone"):
        page = client.get(path)
        assert page.status_code == 200
        assert f'<html lang="{language.value}">' in page.text


def test_long_pages_are_packed_for_browsers_that_take_it(cold: Stage) -> None:
    client = cold.client()
    packed = client.get("/round")
    plain = client.get("/round", headers={"accept-encoding": "identity"})
    assert packed.headers["content-encoding"] == "gzip"
    assert "content-encoding" not in plain.headers
    assert int(packed.headers["content-length"]) * 3 < int(plain.headers["content-length"])
    assert headline(packed.text) == headline(plain.text)


def test_what_froze_before_the_forecast_ended_is_looked_at_and_not_forgotten() -> None:
    stage = Stage()
    vans = a_row(2)
    stage.enter(vans, [*water(vans[0]), *water(vans[1], state=State.DRAINED)])
    stage.cold_from(-30.0, lasts=60.0, air_c=-12.0)
    stage.look()
    stage.clock.pass_by(hours=31)
    page = stage.client().get("/round").text
    assert headline(page) == "Treat tonight, Wed 2 Dec, as frost: 1 of 2 bays is wet or unknown"
    assert "Look" in words(page)
    assert "Drain fully" not in words(page)


def test_an_hour_that_has_passed_on_a_round_is_told_as_passed() -> None:
    stage = a_cold_yard()
    client = stage.client()
    released(stage, client)
    stage.clock.pass_by(hours=10)
    assert "were to be done by Tue 15:30" in headline(client.get("/round").text)


def test_a_vehicle_that_stands_alone_is_called_by_its_name() -> None:
    stage = Stage()
    vans = a_row(1, name="the panel van")
    stage.enter(vans, water(*vans))
    stage.cold_from(30.0)
    stage.look()
    page = stage.client().get("/round").text
    assert headline(page) == "the panel van needs a visit by Tue 15:30"


def test_without_a_forecast_nothing_is_said_not_to_have_frozen() -> None:
    stage = a_cold_yard()
    stage.clock.pass_by(hours=31)
    page = stage.client().get("/leave-alone").text
    assert headline(page).startswith("We cannot say what froze")
    assert "until somebody has looked" in words(page)
    assert "likely to have frozen" not in words(page)
