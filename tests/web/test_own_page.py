"""One's own settings: light or dark, keys on the round, the language, the password."""

import re
from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Role
from frostwatch.storage.ledger import open_ledger
from frostwatch.web.app import build_app
from tests.builders import NOW, a_site
from tests.web.guests import PASSWORD, Clock, an_account_of, rights_over
from tests.web.pages_read import words
from tests.web.test_door import House
from tests.web.yards import Stage, a_cold_yard

NEW = "nine wet hedges"


@pytest.fixture
def house() -> Iterator[House]:
    """Ailsa, who runs the yard, signed in on this device."""
    ledger, clock = open_ledger("sqlite://"), Clock(NOW)
    ledger.save_fleet(sites=[a_site()])
    app = build_app(ledger, clock, public_url="https://frost.example")
    app.state.rights = rights = rights_over(ledger, clock, secure=True)
    an_account_of(rights, cold_rigg=Role.OPERATOR)
    client = TestClient(app, base_url="https://frost.example", follow_redirects=False)
    house = House(ledger=ledger, clock=clock, rights=rights, client=client)
    assert sign_in(house, PASSWORD) == 303
    yield house
    ledger.close()


@pytest.fixture(scope="module")
def yard() -> Iterator[Stage]:
    stage = a_cold_yard()
    yield stage
    stage.world.ledger.close()


def sign_in(house: House, password: str) -> int:
    house.client.cookies.clear()
    return house.send("/sign-in", email="ailsa@yard.example", password=password).status_code


def test_light_or_dark_is_chosen_on_a_device_and_the_device_decides_before(yard: Stage) -> None:
    client = yard.client()
    assert "data-theme" not in client.get("/round").text

    for look in ("dark", "light"):
        chosen = client.post("/look", data={"look": look, "next": "/roll"})
        assert (chosen.status_code, chosen.headers["location"]) == (303, "/roll")
        assert f'<html lang="en" data-theme="{look}">' in client.get("/round").text

    client.post("/look", data={"look": "device"})
    assert "data-theme" not in client.get("/round").text


def test_whoever_has_no_account_may_choose_too_and_nonsense_chooses_nothing(yard: Stage) -> None:
    client = yard.client(nobody=True)

    assert client.post("/look", data={"look": "dark"}).headers["location"] == "/"
    assert 'data-theme="dark"' in client.get("/sign-in").text
    client.post("/look", data={"look": '"><script>'})
    assert "data-theme" not in client.get("/sign-in").text


@pytest.mark.parametrize(
    "target", ["https://elsewhere.example/", "//elsewhere.example", "\\\\elsewhere", "/a\r\nb", "x"]
)
def test_choosing_a_look_leads_to_no_other_service(yard: Stage, target: str) -> None:
    chosen = yard.client().post("/look", data={"look": "dark", "next": target})

    assert chosen.headers["location"] == "/"


def test_keys_act_on_the_round_only_where_somebody_switched_them_on(yard: Stage) -> None:
    client = yard.client()
    assert "round_keys.js" not in client.get("/round").text
    page = client.get("/own").text
    token = {"form_token": re.findall(r'name="form_token" value="([^"]+)"', page)[-1]}

    client.post("/own/keys", data={**token, "keys": "on"})
    assert "round_keys.js" in client.get("/round").text
    assert "checked" in client.get("/own").text

    client.post("/own/keys", data=token)
    assert "round_keys.js" not in client.get("/round").text


def test_ones_own_page_tells_what_one_may_do_and_takes_the_language(house: House) -> None:
    assert "Operator: changes the place" in words(house.client.get("/own").text)

    house.send("/language", page="/own", language="de", next="/own")

    assert '<html lang="de">' in house.client.get("/own").text
    account = house.rights.access.accounts.by_email("ailsa@yard.example")
    assert account is not None
    assert account.language is Language.DE


def test_a_new_password_signs_every_other_device_out_and_this_one_stays(house: House) -> None:
    other = TestClient(house.client.app, base_url="https://frost.example", follow_redirects=False)
    other.cookies.update(house.client.cookies)
    sign_in(house, PASSWORD)
    assert "1 other device" in words(house.client.get("/own").text)

    changed = house.send("/own/password", page="/own", before=PASSWORD, after=NEW)

    assert changed.headers["location"] == "/own?kept=password"
    assert "is kept" in house.client.get("/own?kept=password").text
    assert other.get("/own").status_code == 401
    assert sign_in(house, PASSWORD) == 422
    assert sign_in(house, NEW) == 303


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("not this one", NEW, "not your password so far"),
        (PASSWORD, "short", "Fewer than twelve"),
        (PASSWORD, "ailsa@yard.example", "Little more than your name"),
    ],
)
def test_a_wrong_or_weak_password_changes_nothing_and_is_named_at_its_field(
    house: House, before: str, after: str, said: str
) -> None:
    refused = house.send("/own/password", page="/own", before=before, after=after)

    assert refused.status_code == 422
    assert said in refused.text
    assert 'aria-invalid="true"' in refused.text
    assert sign_in(house, PASSWORD) == 303


def test_the_password_before_cannot_be_tried_without_end(house: House) -> None:
    tries = [
        house.send("/own/password", page="/own", before=f"guess {n}", after=NEW).status_code
        for n in range(11)
    ]

    assert tries[:10] == [422] * 10
    assert tries[10] == 429


def test_other_devices_are_signed_out_by_one_press(house: House) -> None:
    other = TestClient(house.client.app, base_url="https://frost.example", follow_redirects=False)
    other.cookies.update(house.client.cookies)
    sign_in(house, PASSWORD)

    house.send("/own/devices", page="/own")

    assert other.get("/own").status_code == 401
    assert house.client.get("/own").status_code == 200
