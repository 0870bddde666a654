"""The page on which a vehicle's handbook and its own figures are entered, and where they show."""

import re

import pytest
from starlette.testclient import TestClient

from frostwatch.fleet.handbook import HandbookLine, OwnSource, Rule
from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Role
from tests.builders import NOW, an_owner
from tests.web.pages_read import words
from tests.web.yards import HOSTILE, Stage, a_cold_yard, a_row, an_account, form_of, water

SHUT = HandbookLine(rule=Rule.WASTE_VALVE, says="shut", page="p. 88", by="kit", at=NOW)
PATH = "/v/Y01/handbook"


@pytest.fixture
def stage() -> Stage:
    return a_cold_yard(2)


def send(client: TestClient, **fields: str) -> tuple[int, str]:
    """Send the form as it is shown, with some fields changed."""
    page = client.get(PATH).text
    hidden = dict(re.findall(r'<input type="hidden" name="(was-[^"]+)" value="([^"]*)"', page))
    shown = {name.removeprefix("was-"): value for name, value in hidden.items()}
    named = {name.replace("__", "."): value for name, value in fields.items()}
    answer = client.post(PATH, data=form_of(client, PATH) | hidden | shown | named)
    return answer.status_code, answer.headers.get("location", answer.text)


def handbook(stage: Stage) -> dict[str, str]:
    vehicle = next(v for v in stage.world.ledger.load(stage.clock.now).vehicles if v.key == "Y01")
    return {line.rule.value: line.says for line in vehicle.handbook}


def test_what_was_read_in_the_handbook_shows_with_who_and_when_and_is_on_record(
    stage: Stage,
) -> None:
    client = stage.client()
    said = {"rule-WASTE_VALVE": "shut", "page-WASTE_VALVE": "p. 88", "rule-PUMP_RUN": "60"}
    assert send(client, **said) == (303, "/v/Y01#book")
    page = words(client.get("/v/Y01").text)
    assert "Waste valve shut over winter" in page
    assert "Otherwise: waste valve left open over winter." in page
    assert "Handbook, p. 88. Ailsa Thornber, Tue 07:50" in page
    assert "Pump dry for 60 s at most" in page
    assert "Handbook: waste valve shut over winter. Ailsa Thornber. “p. 88”" in page
    assert handbook(stage) == {"waste valve": "shut", "pump run": "60"}


def test_only_what_was_changed_is_entered_again_and_a_line_can_be_taken_out(stage: Stage) -> None:
    client = stage.client()
    send(client, **{"rule-WASTE_VALVE": "shut"})
    before = len(stage.world.ledger.record_of("Y01"))
    assert send(client)[0] == 303
    assert len(stage.world.ledger.record_of("Y01")) == before
    assert send(client, **{"rule-WASTE_VALVE": ""})[0] == 303
    assert handbook(stage) == {}
    assert "Waste valve over winter: no longer entered" in words(client.get("/v/Y01").text)


def test_what_another_wrote_meanwhile_about_another_rule_stays(stage: Stage) -> None:
    client = stage.client()
    fields = form_of(client, PATH)
    send(client, **{"rule-SALT": "allowed"})
    old = fields | {"rule-WASTE_VALVE": "shut", "was-WASTE_VALVE": ""}
    assert client.post(PATH, data=old).status_code == 303
    assert handbook(stage) == {"waste valve": "shut", "salt": "allowed"}


def test_a_figure_of_its_own_shows_its_source_and_what_would_hold_otherwise(stage: Stage) -> None:
    client = stage.client()
    said = {"own-F1.capacity_l": "110", "from-F1.capacity_l": "plate", "own-W3.foam_m": "25"}
    assert send(client, **said)[0] == 303
    page = words(client.get("/v/Y01").text)
    assert "Fresh tank holds: 110 L" in page
    assert "Otherwise 100 L. From: plate. Ailsa Thornber" in page
    assert "Waste tank, insulation: 25 mm" in page
    vehicle = stage.world.ledger.load(stage.clock.now).vehicles[0]
    assert dict(vehicle.overrides) == {"F1.capacity_l": 110.0, "W3.foam_m": 0.025}


@pytest.mark.parametrize(
    ("field", "value", "expected"),
    [
        ("rule-PUMP_RUN", "9000", "give a number from 0 to 600"),
        ("rule-PUMP_RUN", "soon", "give a number from 0 to 600"),
        ("rule-SALT", "perhaps", "Salt:"),
        ("page-SALT", "\x00", "signs that cannot be shown"),
        ("own-F1.capacity_l", "-3", "Fresh tank holds, L: give a number"),
        ("own-F1.left_travel_l", "900", "does not fit the rest"),
    ],
)
def test_what_cannot_be_is_refused_with_its_reason_and_nothing_is_kept(
    stage: Stage, field: str, value: str, expected: str
) -> None:
    both = {"rule-WASTE_VALVE": "shut", field: value}
    if field.startswith("page-"):
        both["rule-SALT"] = "allowed"
    status, page = send(stage.client(), **both)
    assert status == 422
    assert expected in words(page)
    assert 'value="shut" selected' in page
    assert handbook(stage) == {}


def test_hostile_words_in_page_and_source_are_shown_harmlessly_or_refused(stage: Stage) -> None:
    client = stage.client()
    for text in HOSTILE:
        said = {"rule-SALT": "allowed", "page-SALT": text[:60]}
        said |= {"own-F1.capacity_l": "110", "from-F1.capacity_l": text}
        send(client, **said)
        for path in ("/v/Y01", PATH):
            page = client.get(path).text
            assert "<script>alert" not in page
            assert "<img" not in page


def test_only_who_runs_the_place_changes_it(stage: Stage) -> None:
    crew = stage.client(an_account(Role.CREW))
    assert crew.get(PATH).status_code == 403
    assert crew.post(PATH, data={}).status_code in (400, 403)
    assert "/v/Y01/handbook" not in crew.get("/v/Y01").text
    assert "/v/Y01/handbook" in stage.client().get("/v/Y01").text


def test_the_round_the_sheet_and_the_walk_say_what_the_handbook_wants() -> None:
    stage = Stage()
    vans = a_row(2, handbook=(SHUT,))
    stage.enter(vans, water(*vans))
    stage.cold_from(30.0)
    stage.look()
    client = stage.client()
    said = "Its handbook, p. 88: waste valve shut over winter."
    round_page = words(client.get("/round").text)
    assert round_page.count(said) == 2
    assert "mesh" not in round_page
    form = form_of(client, "/round") | {"site": "cold-rigg", "then": "walk"}
    walk = client.post("/round/release", data=form).headers["location"]
    assert said in words(client.get(walk).text)
    assert said in words(client.get(walk.replace("walk", "sheet")).text)
    tags = words(client.get(walk.replace("walk", "sheet") + "/tags").text)
    assert "Everything stands open but the waste valve: fresh, heater, pipes." in tags


def test_in_german_and_french_it_is_said_in_the_language_of_the_page(stage: Stage) -> None:
    send(stage.client(), **{"rule-WASTE_VALVE": "shut", "page-WASTE_VALVE": "88"})
    german = stage.client(an_account(language=Language.DE)).get("/v/Y01").text
    assert "Abwasserschieber über den Winter zu" in words(german)
    french = stage.client(an_account(language=Language.FR)).get("/v/Y01").text
    assert "Vanne des eaux usées fermée l’hiver" in words(french)


def test_a_source_that_nobody_named_is_said_to_be_missing() -> None:
    stage = Stage()
    own = (("F1.capacity_l", 90.0), ("valve.opens_below_c", 4.0))
    known = (OwnSource(number="valve.opens_below_c", source="p. 164", by="kit", at=NOW),)
    stage.enter(a_row(1, overrides=own, own_from=known), people=[an_owner(), *()])
    page = words(stage.client().get("/v/Y01").text)
    assert "Nobody noted where it comes from." in page
    assert "Heater valve opens by itself below: 4 °C" in page.replace("\u00a0", " ")
    assert "From: p. 164." in page
