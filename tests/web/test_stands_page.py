"""The page on which it is said where a vehicle stands, and what follows from it."""

from dataclasses import replace
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from frostwatch.fleet.people import Language
from frostwatch.fleet.roofs import Roof, Under
from frostwatch.fleet.vehicles import Circuit
from frostwatch.ports.accounts import Role
from frostwatch.records.entries import State
from tests.builders import an_entry
from tests.web.pages_read import words
from tests.web.yards import Stage, a_cold_yard, an_account, form_of

PATH = "/v/Y01/stands"


@pytest.fixture
def stage() -> Stage:
    return a_cold_yard(2)


def until(stage: Stage, days: float) -> str:
    return f"{stage.clock.now + timedelta(days=days):%Y-%m-%dT%H:%M}"


def send(client: TestClient, **fields: str) -> tuple[int, str]:
    answer = client.post(PATH, data=form_of(client, PATH) | fields)
    return answer.status_code, answer.headers.get("location", answer.text)


def under(stage: Stage) -> Under | None:
    book = stage.world.ledger.load(stage.clock.now)
    return next(v.under for v in book.vehicles if v.key == "Y01")


def test_a_heated_building_is_vouched_for_by_name_to_an_hour_and_is_on_record(
    stage: Stage,
) -> None:
    client = stage.client()
    before = client.get("/v/Y01").text
    assert "drain fully" in before
    assert "Say where it stands" in before
    assert send(client, kind="heated", warm="15,5", until=until(stage, 9)) == (303, "/v/Y01")
    said = under(stage)
    assert said is not None
    assert (said.kind, said.heated_to_c) == (Roof.HEATED, 15.5)
    assert said.until == stage.clock.now.replace(second=0, microsecond=0) + timedelta(days=9)
    page = words(client.get("/v/Y01").text)
    assert "In a building kept at" in page
    assert "says Ailsa Thornber; outdoors from then on" in page
    assert "Where it stands" in page
    assert "a heated building" in page
    stage.look()
    after = client.get("/v/Y01").text
    assert "drain fully by" not in after
    form = client.get(PATH).text
    assert 'value="15.5"' in form
    assert f'value="{until(stage, 9)}"' in form


def test_taken_back_it_stands_as_its_bay_and_asks_for_work_again(stage: Stage) -> None:
    client = stage.client()
    send(client, kind="heated", warm="15", until=until(stage, 9))
    stage.look()
    assert send(client, kind="")[0] == 303
    assert under(stage) is None
    stage.look()
    assert "drain fully" in client.get("/v/Y01").text


@pytest.mark.parametrize(("event", "stays"), [("moved", False), ("hire", False), ("photo", True)])
def test_what_takes_it_away_afterwards_ends_what_was_said(
    stage: Stage, event: str, stays: bool
) -> None:
    """Nobody need take back what a move, a hire or a trip ended; an earlier one ends nothing."""
    client = stage.client()
    send(client, kind="heated", warm="15", until=until(stage, 9))
    now = stage.clock.now
    before = an_entry(Circuit.FRESH_TANK, State.FULL, vehicle="Y01", now=now, hours_ago=2)
    stage.world.ledger.add_entries([replace(before, event="moved")])
    assert under(stage) is not None
    after = replace(before, event=event, at=now + timedelta(hours=1))
    stage.world.ledger.add_entries([replace(after, received_at=after.at)])
    assert (under(stage) is not None) is stays


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"kind": "heated", "warm": "15"}, "an hour that are still to come"),
        ({"kind": "heated", "warm": "", "until": "+9"}, "0 to 30 °C"),
        ({"kind": "heated", "warm": "nan", "until": "+9"}, "0 to 30 °C"),
        ({"kind": "heated", "warm": "80", "until": "+9"}, "0 to 30 °C"),
        ({"kind": "roofed", "until": "-1"}, "an hour that are still to come"),
        ({"kind": "roofed", "until": "+900"}, "an hour that are still to come"),
        ({"kind": "tent"}, "Choose one of them."),
    ],
)
def test_what_nobody_can_vouch_for_is_refused_and_nothing_typed_is_lost(
    stage: Stage, fields: dict[str, str], said: str
) -> None:
    client = stage.client()
    typed = {
        name: until(stage, float(text)) if text[:1] in ("+", "-") else text
        for name, text in fields.items()
    }
    status, page = send(client, **typed)
    assert status == 422
    assert said in words(page)
    if typed.get("until"):
        assert f'value="{typed["until"]}"' in page
    assert under(stage) is None


def test_those_who_only_look_cannot_say_it(stage: Stage) -> None:
    viewer = stage.client(an_account(Role.VIEWER))
    assert viewer.get(PATH).status_code in (403, 404)
    assert "Say where it stands" not in viewer.get("/v/Y01").text


@pytest.mark.parametrize("language", Language)
def test_the_form_speaks_every_language(stage: Stage, language: Language) -> None:
    client = stage.client(an_account(language=language))
    page = client.get(PATH).text
    assert f'lang="{language.value}"' in page
    assert "stands." not in words(page)
