"""The address of a calendar: made, fetched without signing in, renewed, withdrawn.

Conditional requests: RFC 9110, 8.8.3 and 13.1.2. Calendars: RFC 5545, by a parser of another hand.
"""

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import icalendar
import pytest
import vobject
from httpx2 import Response
from starlette.testclient import TestClient

from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Role
from frostwatch.records.entries import State
from frostwatch.web.calendars import FETCHES, WRONG_ADDRESSES
from tests.builders import a_drive, a_layout, a_vehicle, an_owner, entries_for
from tests.web.vans import FROST, Street, a_row_of_vans, a_street
from tests.web.yards import Stage, a_cold_yard, an_account, form_of

NOTHING = "There is no calendar here.\n"


@pytest.fixture
def yard() -> Stage:
    return a_cold_yard()


def made(stage: Stage, *, site: str = "", client: TestClient | None = None) -> str:
    """The path of an address that the operator makes on the page."""
    page = client or stage.client()
    sent = page.post("/calendar/make", data={**form_of(page, "/calendar"), "site": site})
    assert sent.status_code == 200
    return path_in(sent)


def path_in(page: Response) -> str:
    found = re.search(r'value="https://[\w.]+(/calendar/[\w-]{43}\.ics)"', page.text)
    assert found, page.text[:2000]
    return found[1]


def fetched(stage: Stage, path: str, **headers: str) -> Response:
    """As a calendar program asks: nobody is signed in."""
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return stage.client(nobody=True).get(path, headers=named)


def test_a_calendar_program_reads_the_calendar_without_signing_in(yard: Stage) -> None:
    answer = fetched(yard, made(yard))
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8; method=PUBLISH"
    assert answer.headers["cache-control"] == "private, max-age=900, must-revalidate"
    assert "set-cookie" not in answer.headers
    read = vobject.readOne(answer.text)
    assert read.validate()
    assert read.vevent_list
    assert icalendar.Calendar.from_ical(answer.text).errors == []


def test_the_address_is_shown_once_and_kept_as_a_digest(yard: Stage) -> None:
    path = made(yard)
    secret = path.removeprefix("/calendar/").removesuffix(".ics")
    assert secret not in yard.client().get("/calendar").text
    kept = yard.world.ledger.calendars.of("person/ailsa")
    assert kept is not None
    assert secret not in repr(kept)


def test_what_has_not_changed_is_not_sent_again(yard: Stage) -> None:
    path = made(yard)
    first = fetched(yard, path)
    yard.clock.pass_by(minutes=20)
    again = fetched(yard, path, if_none_match=f'"other", W/{first.headers["etag"]}')
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["etag"] == first.headers["etag"]
    assert fetched(yard, path, if_none_match='"other"').status_code == 200


def test_a_new_pass_is_a_new_calendar_with_the_same_entries(yard: Stage) -> None:
    path = made(yard)
    first = fetched(yard, path)
    yard.clock.pass_by(hours=2)
    yard.look()
    second = fetched(yard, path, if_none_match=first.headers["etag"])
    assert second.status_code == 200
    before, after = (
        {event.uid.value for event in vobject.readOne(one.text).vevent_list}
        for one in (first, second)
    )
    assert before <= after


def test_a_head_is_answered_like_a_get_and_nothing_else_is(yard: Stage) -> None:
    path = made(yard)
    client = yard.client(nobody=True)
    assert client.head(path).headers["etag"] == client.get(path).headers["etag"]
    for method in ("POST", "PUT", "DELETE", "PROPFIND", "REPORT"):
        assert client.request(method, path).status_code == 405


def test_a_new_address_ends_the_one_before_and_withdrawing_ends_all(yard: Stage) -> None:
    first = made(yard)
    second = made(yard)
    assert fetched(yard, first).status_code == 404
    assert fetched(yard, second).status_code == 200
    page = yard.client()
    gone = page.post("/calendar/withdraw", data=form_of(page, "/calendar"))
    assert "opens nothing any more" in gone.text
    assert fetched(yard, second).status_code == 404


def test_wrong_withdrawn_and_ended_addresses_are_answered_alike(yard: Stage) -> None:
    gone = made(yard)
    ended = made(yard)
    wrong = f"/calendar/{'A' * 43}.ics"
    yard.clock.now = datetime(2027, 6, 1, tzinfo=UTC)  # links end with their winter
    answers = [fetched(yard, path) for path in (gone, ended, wrong, "/calendar/x.ics")]
    told = {
        (a.status_code, a.text, tuple(sorted((k, v) for k, v in a.headers.items())))
        for a in answers
    }
    assert len(told) == 1
    assert (answers[0].status_code, answers[0].text) == (404, NOTHING)


def test_somebody_who_is_not_entered_any_more_has_no_calendar(yard: Stage) -> None:
    path = made(yard)
    ledger = yard.world.ledger
    book = ledger.load(yard.clock.now)
    ledger.save_fleet(
        sites=book.sites,
        people=[one for one in book.people if one.key != "ailsa"],
        vehicles=book.vehicles,
        remove_others=True,
    )
    assert fetched(yard, path).status_code == 404


def test_who_tries_addresses_is_turned_away(yard: Stage) -> None:
    path = made(yard)
    for number in range(WRONG_ADDRESSES):
        assert fetched(yard, f"/calendar/{number:043d}.ics").status_code == 404
    refused = fetched(yard, path)
    assert refused.status_code == 429
    assert int(refused.headers["retry-after"]) > 0
    yard.clock.pass_by(minutes=16)
    assert fetched(yard, path).status_code == 200


def test_one_calendar_is_fetched_only_so_often(yard: Stage) -> None:
    path = made(yard)
    client = yard.client(nobody=True)
    assert {client.get(path).status_code for _ in range(FETCHES)} == {200}
    assert client.get(path).status_code == 429
    assert fetched(yard, made(yard, site="cold-rigg")).status_code == 200


def test_a_site_s_calendar_is_for_those_who_run_it(yard: Stage) -> None:
    crew = yard.client(an_account(Role.CREW, "cold-rigg"))
    token = form_of(crew, "/calendar")
    assert crew.post("/calendar/make", data={**token, "site": "cold-rigg"}).status_code == 403
    assert crew.post("/calendar/make", data=token).status_code == 200, "their own"
    nobody = yard.client(replace(an_account(Role.VIEWER, "cold-rigg"), person=""))
    assert nobody.post("/calendar/make", data=form_of(nobody, "/sign-in")).status_code == 404
    assert "accounts add --person" in nobody.get("/calendar").text


def test_without_a_usable_forecast_the_calendar_says_treat_tonight_as_frost(yard: Stage) -> None:
    path = made(yard, site="cold-rigg")
    yard.clock.pass_by(hours=31)  # settled: no forecast older than 30 h is used
    answer = fetched(yard, path)
    said = [event.summary.value for event in vobject.readOne(answer.text).vevent_list]
    assert any("no usable forecast, treat tonight as frost" in one for one in said)
    assert "does not mean no frost" in str(vobject.readOne(answer.text).description.value)


def test_nothing_due_is_a_calendar_that_says_when_it_was_worked_out() -> None:
    stage = Stage()
    stage.enter([a_vehicle("Y01")], entries_for(a_layout(), State.DRAINED, vehicle="Y01"))
    stage.look()
    read = vobject.readOne(fetched(stage, made(stage, site="cold-rigg")).text)
    assert read.validate()
    (event,) = read.vevent_list
    assert event.transp.value == "TRANSPARENT"
    assert "worked out" in event.description.value
    assert "from the forecast of" in event.description.value


@pytest.fixture
def street() -> Street:
    return a_street()


def test_an_owner_gets_an_address_from_the_link_and_sees_their_own_vehicle_alone(
    street: Street,
) -> None:
    other = a_vehicle("QZX9", site="aunt-drive", bay="", layout="panel-van", keeper="yann")
    street.world.enter(
        a_drive(),
        [an_owner("yann", name="Yann")],
        [other],
        entries_for(a_layout("panel-van"), State.FULL, vehicle="QZX9"),
    )
    link = street.link()
    before = street.everything()
    street.get(link)
    assert street.everything() == before, "opening makes nothing"
    page = street.client.post(f"/a/{link.code}/calendar")
    assert page.status_code == 200
    calendar = street.client.get(path_in(page))
    read = vobject.readOne(calendar.text)
    assert [e for e in read.vevent_list if "Fri\xa017:00" in e.summary.value]
    assert "QZX9" not in calendar.text
    assert "Yann" not in calendar.text


def test_done_calls_the_slot_off_in_the_owner_s_calendar(street: Street) -> None:
    link = street.link()
    path = path_in(street.client.post(f"/a/{link.code}/calendar"))
    (slot,) = vobject.readOne(street.client.get(path).text).vevent_list
    street.clock.now += timedelta(minutes=30)
    street.press(link, "done")
    events = vobject.readOne(street.client.get(path).text).vevent_list
    (same,) = [event for event in events if event.uid.value == slot.uid.value]
    assert same.status.value == "CANCELLED"
    assert int(same.sequence.value) == int(slot.sequence.value) + 1


def test_the_vehicle_s_new_keeper_takes_it_out_of_the_old_one_s_calendar(street: Street) -> None:
    link = street.link()
    path = path_in(street.client.post(f"/a/{link.code}/calendar"))
    ledger = street.world.ledger
    book = ledger.load(street.clock.now)
    sold = [replace(one, keeper="nobody") for one in book.vehicles if one.keeper == "maelle"]
    ledger.save_fleet(sites=book.sites, people=book.people, vehicles=sold)
    events = vobject.readOne(street.client.get(path).text).vevent_list
    assert not [event for event in events if "Fri\xa017:00" in event.summary.value]


def test_a_crew_s_link_gives_no_calendar_of_everything_they_see() -> None:
    street = Street()
    a_row_of_vans(street)
    street.world.weather.cold(FROST, hours=8.0, air_c=-8.0)
    street.told_at(FROST - timedelta(hours=18, minutes=20))
    link = street.link("ailsa")
    assert "/calendar" not in street.get(link).text
    assert street.client.post(f"/a/{link.code}/calendar").status_code == 404


@pytest.mark.parametrize("language", list(Language))
def test_the_page_of_calendars_speaks_every_language(yard: Stage, language: Language) -> None:
    text = yard.client(an_account(language=language)).get("/calendar").text
    word = {Language.EN: "Make an address", Language.DE: "Adresse anlegen"}
    assert word.get(language, "Créer une adresse") in text.replace("\xa0", " ")


def test_taking_an_owner_s_links_back_ends_the_calendar_they_made(street: Street) -> None:
    path = path_in(street.client.post(f"/a/{street.link().code}/calendar"))
    street.world.ledger.links.revoke("maelle")
    assert street.client.get(path).status_code == 404
