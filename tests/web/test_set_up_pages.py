"""Entering a place from nothing: four pages, nobody is written to before the last is confirmed."""

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import timedelta
from typing import Any

import pytest
from httpx2 import Response
from openpyxl import Workbook
from pytest_httpserver import HTTPServer
from starlette.testclient import TestClient

from frostwatch.ports.accounts import Role
from frostwatch.service.first_look import Scout
from frostwatch.weather.asking import Use
from frostwatch.weather.providers.open_meteo_server import OpenMeteoServer
from frostwatch.web.app import build_app
from frostwatch.web.rights.asking import FORM_FIELD
from tests.builders import NOW, a_site
from tests.web.guests import PASSWORD, Clock, an_account_of, rights_over
from tests.worlds import World, a_world

URL = "https://frost.example"
PLACE = {
    "name": "Cold Rigg Yard",
    "kind": "yard",
    "where": "54.74 N, 2.31 W",
    "height": "410",
    "zone": "Europe/London",
    "opens": "08:00",
    "closes": "16:30",
    "lie": "open",
    "shelter": "open",
    "crew": "2",
    "caution": "balanced",
    "day_mon": "on",
    "day_tue": "on",
    "day_wed": "on",
    "day_thu": "on",
    "day_fri": "on",
    "gas_off": "on",
}
VEHICLES = "A-01; 481; motorhome; board 3; Mel Ashe\nA-02; 482; panel van; board 3;\n"
PEOPLE = (
    "Ailsa; operator; outbox://local; en; 07:40; ; ; ailsa.b@yard.example\n"
    "Mel Ashe; owner; outbox://local; en; 18:15; 30; ;\n"
)


@dataclass(kw_only=True)
class Office:
    """Somebody who may enter places, signed in."""

    world: World = field(default_factory=a_world)
    clock: Clock = field(default_factory=lambda: Clock(NOW))
    client: TestClient = field(init=False)

    def __post_init__(self) -> None:
        ledger = self.world.ledger
        app = build_app(ledger, self.clock, public_url=URL, scout=Scout(kit=self.world.kit))
        app.state.rights = rights = rights_over(ledger, self.clock, secure=True)
        an_account_of(rights, everywhere=Role.OPERATOR)
        self.client = TestClient(app, base_url=URL, follow_redirects=False)
        signed = self.send("/sign-in", email="ailsa@yard.example", password=PASSWORD)
        assert signed.status_code == 303

    def send(self, path: str, files: Any = None, **fields: str) -> Response:
        shown = self.client.get(path)
        token = re.search(rf'name="{FORM_FIELD}" value="([^"]+)"', shown.text)
        assert token, shown.text
        return self.client.post(path, data={FORM_FIELD: token[1], **fields}, files=files)

    def fill_in(self) -> None:
        for step, fields in (
            ("place", PLACE),
            ("vehicles", {"list": VEHICLES}),
            ("people", {"list": PEOPLE}),
        ):
            answer = self.send(f"/set-up/{step}", **fields)
            assert answer.status_code == 303, answer.text


@pytest.fixture
def office() -> Iterator[Office]:
    office = Office()
    office.world.weather.cold(NOW + timedelta(hours=30))
    yield office
    office.world.ledger.close()


def test_a_place_is_entered_from_nothing_and_only_then_people_are_written_to(
    office: Office,
) -> None:
    assert office.client.get("/set-up").headers["location"] == "/set-up/place"
    office.fill_in()

    look = office.client.get("/set-up/look")
    assert "1 of 2 vehicles would need somebody" in look.text
    assert "Counts as wet; left to its owner" in look.text
    assert "Ailsa and Mel Ashe" in look.text
    book = office.world.ledger.load(NOW)
    assert (book.sites, book.people, book.vehicles) == ((), (), ())
    assert office.world.told_at(NOW) == [], "nobody is written to before"

    done = office.send("/set-up/look", do="enter")

    assert "Cold Rigg Yard is entered" in done.text
    (site,) = office.world.ledger.load(NOW).sites
    assert (site.name, site.crew, site.operator, site.bays) == (
        "Cold Rigg Yard",
        2,
        "ailsa",
        ("A-01", "A-02"),
    )
    code = re.search(r"([A-Z2-7]{4}-){3}[A-Z2-7]{4}", done.text)
    assert code, "Ailsa may sign in"
    account = office.world.ledger.access.accounts.by_email("ailsa.b@yard.example")
    assert account is not None
    assert account.roles == {site.key: Role.OPERATOR}
    office.world.boards = False
    told = [
        message
        for hour in range(0, 30)
        for message in office.world.told_at(NOW + timedelta(hours=hour, minutes=40))
    ]
    assert {message.recipient for message in told} == {"ailsa", "mel-ashe"}
    assert office.client.get("/set-up").headers["location"] == "/set-up/place", "begun anew"


def test_where_nothing_is_entered_one_press_leads_to_the_set_up(office: Office) -> None:
    for path in ("/round", "/roll", "/handovers"):
        assert 'class="btn btn-main" href="/set-up"' in office.client.get(path).text, path


def test_a_role_at_no_place_is_shown_no_way_that_is_shut(office: Office) -> None:
    accounts = office.world.ledger.access.accounts
    (account,) = accounts.listed()
    accounts.add(replace(account, id=0, email="other@yard.example"))
    accounts.save(replace(account, everywhere=None))
    shown = office.client.get("/round").text
    assert "/set-up" not in shown
    assert "gives you a role" in " ".join(shown.split())


def test_a_place_without_vehicles_leads_to_a_list_and_to_a_form(office: Office) -> None:
    office.world.ledger.save_fleet(sites=[a_site("low-fold", operator="", bays=())])
    shown = office.client.get("/round?site=low-fold").text
    for path in ("vehicle-list", "vehicles/new"):
        assert f"/place/low-fold/{path}" in shown
        assert office.client.get(f"/place/low-fold/{path}").status_code == 200


def test_the_list_of_people_begins_with_whoever_enters_the_place_and_the_keepers(
    office: Office,
) -> None:
    office.send("/set-up/place", **PLACE)
    office.send("/set-up/vehicles", list=VEHICLES)
    begun = office.client.get("/set-up/people").text
    assert "Ailsa;Operator;;en;07:40;;;\nMel Ashe;Owner;;en;;;;\n</textarea>" in begun
    kept = office.send("/set-up/people", list="Ailsa;Operator;;en;07:40;;;\nMel Ashe;Owner;;en;;;;")
    assert kept.headers["location"] == "/set-up/look"
    look = office.client.get("/set-up/look").text
    assert "Nobody has an address, so nobody is written to" in look
    assert "and write to these people" not in look
    assert "Ailsa;Operator" in office.client.get("/set-up/people").text


def test_enter_in_the_search_for_a_place_searches(office: Office) -> None:
    fields = {**PLACE, "where": "", "find": "Cold Rigg", "do": "next"}
    searched = office.send("/set-up/place", **fields)
    assert searched.status_code == 200
    assert "to put right" not in searched.text
    given = office.send("/set-up/place", **{**fields, "where": PLACE["where"]})
    assert given.headers["location"] == "/set-up/vehicles", "with coordinates it goes on"


def test_every_refused_line_is_told_and_all_that_was_pasted_stays(office: Office) -> None:
    pasted = "A-01; 481; motorhome\nA-02; 482; boat\nA-03; 483; Kastenwagn\nA-04\n"
    office.send("/set-up/place", **PLACE)
    refused = office.send("/set-up/vehicles", list=pasted)
    assert refused.status_code == 422
    said = " ".join(refused.text.split())
    assert "Line 2, C (kind): kind &#39;boat&#39; is not known. Give motorhome" in said
    assert "Line 3, C (kind): kind &#39;Kastenwagn&#39; is not known. Did you mean Kastenw" in said
    assert "Line 4, C (kind): the kind is missing. Give motorhome" in said
    assert pasted in refused.text
    assert 'id="kinds"' in refused.text, "the list that the sentences name is there"


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"name": ""}, "Give it a name"),
        ({"name": "x" * 10_000}, "More than 120 letters"),
        ({"name": "Yard\0"}, "control character"),
        ({"name": "\u202edraY"}, "turns the direction"),
        ({"where": "somewhere"}, "not understood"),
        ({"height": "high"}, "no height"),
        ({"zone": "Mars/Base"}, "not known"),
        ({"opens": "17:00"}, "ends before it begins"),
        ({"crew": "0"}, "from 1 to"),
        ({"kind": "castle"}, "Choose one"),
    ],
)
def test_a_field_that_makes_no_sense_is_named_and_nothing_typed_is_lost(
    office: Office, changed: dict[str, str], words: str
) -> None:
    refused = office.send("/set-up/place", **{**PLACE, **changed})

    assert refused.status_code == 422
    assert words in refused.text
    assert 'role="alert"' in refused.text
    assert 'aria-invalid="true"' in refused.text
    kept = office.client.get("/set-up/place").text
    assert PLACE["closes"] in kept
    if "name" not in changed:
        assert PLACE["name"] in kept


def test_lists_may_come_as_files_and_their_faults_name_the_line(office: Office) -> None:
    office.send("/set-up/place", **PLACE)
    good = {"file": ("vans.csv", VEHICLES.encode(), "text/csv")}
    assert office.send("/set-up/vehicles", files=good).headers["location"] == "/set-up/people"
    assert "board 3" in office.client.get("/set-up/vehicles").text

    book, out = Workbook(), io.BytesIO()
    sheet = book.active
    assert sheet is not None
    for row in (["A-07", "777", "van"], ["A-08", "778", "caravan"]):
        sheet.append(row)
    book.save(out)
    workbook = {"file": ("vans.xlsx", out.getvalue(), "application/octet-stream")}
    taken = office.send("/set-up/vehicles", files=workbook)
    assert taken.headers["location"] == "/set-up/people"
    assert "A-08,778,caravan" in office.client.get("/set-up/vehicles").text

    bad = office.send("/set-up/vehicles", list="A-01; 481; spaceship; board 3;\n")
    assert bad.status_code == 422
    assert "Line 1" in bad.text
    binary = {"file": ("vans.xls", b"\xd0\xcf\x11\xe0\xff", "application/vnd.ms-excel")}
    assert "Save it as .xlsx or CSV" in office.send("/set-up/vehicles", files=binary).text


def test_a_later_step_leads_back_to_the_first_that_is_not_done(office: Office) -> None:
    office.send("/set-up/place", **PLACE)

    assert office.client.get("/set-up/look").headers["location"] == "/set-up/vehicles"
    assert office.send("/set-up/vehicles", list=VEHICLES, do="later").status_code == 303
    assert office.client.get("/set-up").headers["location"] == "/set-up/people"


@pytest.mark.parametrize("typed", ["<script>alert(1)</script>", "{{ 7*7 }}", '"><img src=x>'])
def test_what_was_typed_is_shown_harmlessly(office: Office, typed: str) -> None:
    office.send("/set-up/place", **{**PLACE, "name": typed})
    office.send("/set-up/vehicles", list=f"A-01; ; ; {typed};\n")
    office.send("/set-up/people", list=typed)

    for step in ("place", "vehicles", "people"):
        page = office.client.get(f"/set-up/{step}").text
        assert "<script>alert" not in page
        assert "<img src=x" not in page
        assert ">49<" not in page


def test_only_whoever_may_enter_places_gets_in(office: Office) -> None:
    office.world.ledger.save_fleet(sites=[a_site()])
    rights = office.client.app.state.rights  # type: ignore[attr-defined]
    an_account_of(rights, "kit", cold_rigg=Role.OPERATOR)
    office.client.cookies.clear()
    assert office.client.get("/set-up/place").status_code == 401

    office.send("/sign-in", email="kit@yard.example", password=PASSWORD)

    assert office.client.get("/set-up/place").status_code == 403


def test_a_place_is_found_by_its_name_and_taken(office: Office, httpserver: HTTPServer) -> None:
    found = {
        "name": "Coldbeck",
        "admin1": "Cumbria",
        "country": "United Kingdom",
        "latitude": 54.4701,
        "longitude": -2.3702,
        "elevation": 208.0,
        "timezone": "Europe/London",
    }
    httpserver.expect_request("/v1/search").respond_with_json({"results": [found]})
    base = httpserver.url_for("").rstrip("/")

    def server() -> OpenMeteoServer:
        return OpenMeteoServer("geocoding-api", user_agent="t", use=Use.PRIVATE, base_url=base)

    room = office.client.app.state.set_up  # type: ignore[attr-defined]
    scout = replace(room.scout, places=server)
    office.client.app.state.set_up = replace(room, scout=scout)  # type: ignore[attr-defined]

    page = office.send("/set-up/place", **{**PLACE, "where": "", "do": "find", "find": "Coldb"})
    assert "Take Coldbeck, Cumbria, United Kingdom" in page.text
    taken = re.search(r'name="take" value="([^"]+)"', page.text)
    assert taken
    shown = office.send("/set-up/place", **{**PLACE, "height": "", "take": taken[1]})

    assert 'value="54.4701 N, 2.3702 W"' in shown.text
    assert 'value="208"' in shown.text
    assert PLACE["name"] in shown.text, "what was typed stays"
