"""Signing in and out on the pages, and the first account by the code of the log."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from frostwatch.ports.accounts import Role
from frostwatch.storage.ledger import SqlLedger, open_ledger
from frostwatch.web.app import build_app
from frostwatch.web.rights import Rights
from frostwatch.web.rights.desk import rights_of_app
from tests.builders import a_site
from tests.web.guests import PASSWORD, Clock, an_account_of, rights_over


@dataclass(frozen=True, kw_only=True)
class House:
    """A yard with its door."""

    ledger: SqlLedger
    clock: Clock
    rights: Rights
    client: TestClient

    def send(self, path: str, *, page: str = "", **fields: Any) -> Response:
        """Fill in the form of a page and send it."""
        shown = self.client.get(page or path).text
        token = re.search(r'name="form_token" value="([^"]+)"', shown)
        assert token, shown
        return self.client.post(path, data={"form_token": token[1], **fields})


@pytest.fixture
def house(now: datetime) -> Iterator[House]:
    ledger, clock = open_ledger("sqlite://"), Clock(now)
    ledger.save_fleet(sites=[a_site()])
    app = build_app(ledger, clock, public_url="https://frost.example")
    cheap = rights_over(ledger, clock, secure=True)
    app.state.rights = cheap
    assert rights_of_app(app) is cheap
    client = TestClient(app, base_url="https://frost.example", follow_redirects=False)
    yield House(ledger=ledger, clock=clock, rights=cheap, client=client)
    ledger.close()


def test_whoever_has_the_code_of_the_log_makes_the_first_account_once(house: House) -> None:
    code = house.rights.first_code()
    assert code is not None

    fields = {"code": code.lower(), "email": "Ada@yard.example", "password": PASSWORD}
    done = house.send("/sign-in/code", **fields)

    assert (done.status_code, done.headers["location"]) == (303, "/")
    assert house.client.get("/round").status_code == 200
    (account,) = house.rights.access.accounts.listed()
    assert (account.email, account.everywhere) == ("ada@yard.example", Role.OPERATOR)
    assert house.rights.first_code() is None
    again = house.send("/sign-in/code", **fields)
    assert again.status_code == 422
    assert "has been used already" in again.text


def test_where_nobody_can_sign_in_yet_the_way_to_the_first_account_is_shown(house: House) -> None:
    shown = house.client.get("/round")
    assert shown.status_code == 401
    assert "Make the first account" in shown.text
    assert 'name="code"' in shown.text
    assert 'href="/sign-in/code"' in house.client.get("/sign-in").text
    code = house.rights.first_code() or ""
    house.send("/sign-in/code", code=code, email="ada@yard.example", password=PASSWORD)
    house.client.cookies.clear()
    assert "Make the first account" not in house.client.get("/round").text
    assert "Make the first account" not in house.client.get("/sign-in").text


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"code": "AAAA-AAAA-AAAA-AAAA"}, "mistyped, has expired"),
        ({"email": "ada"}, "no e-mail address"),
        ({"password": "short"}, "Fewer than twelve"),
        ({"password": "aaaaaaaaaaaaaa"}, "have nothing to do with each other"),
        ({"password": "ada@yard.example"}, "Little more than your name"),
    ],
)
def test_a_wrong_field_is_named_and_what_was_typed_is_not_lost(
    house: House, changed: dict[str, str], words: str
) -> None:
    code = house.rights.first_code() or ""
    fields = {"code": code, "email": "ada@yard.example", "password": PASSWORD}

    refused = house.send("/sign-in/code", **{**fields, **changed})

    assert refused.status_code == 422
    assert words in refused.text
    assert 'aria-invalid="true"' in refused.text
    assert str(changed.get("email", "ada@yard.example")) in refused.text
    assert PASSWORD not in refused.text
    assert not house.rights.access.accounts.any()


def test_signing_in_leads_back_to_the_page_and_out_again_shows_nothing(house: House) -> None:
    an_account_of(house.rights, cold_rigg=Role.CREW)

    refused = house.client.get("/roll?site=cold-rigg")
    assert refused.status_code == 401
    assert 'name="next" value="/roll?site=cold-rigg"' in refused.text
    done = house.send(
        "/sign-in", email="ailsa@yard.example", password=PASSWORD, next="/roll?site=cold-rigg"
    )

    assert (done.status_code, done.headers["location"]) == (303, "/roll?site=cold-rigg")
    assert "Secure" in done.headers["set-cookie"]
    assert "HttpOnly" in done.headers["set-cookie"]
    assert house.client.get("/roll").status_code == 200
    assert house.send("/sign-out", page="/roll").headers["location"] == "/sign-in"
    assert house.client.get("/roll").status_code == 401


@pytest.mark.parametrize(
    "target",
    ["//evil.example", "https://evil.example/", "/\\evil.example", "\\\\evil", "/sign-out", "x\ny"],
)
def test_signing_in_never_leads_elsewhere(house: House, target: str) -> None:
    an_account_of(house.rights, cold_rigg=Role.CREW)
    fields = {"email": "ailsa@yard.example", "password": PASSWORD, "next": target}

    assert house.send("/sign-in", **fields).headers["location"] == "/"


def test_a_wrong_password_says_the_same_as_an_unknown_address(house: House) -> None:
    an_account_of(house.rights, cold_rigg=Role.CREW)

    pages = [
        house.send("/sign-in", email=email, password="eleven warm evenings")
        for email in ("ailsa@yard.example", "stranger@yard.example")
    ]

    assert [page.status_code for page in pages] == [422, 422]
    assert all("do not belong together" in page.text for page in pages)


def test_after_too_many_tries_the_page_says_how_long_to_wait(house: House) -> None:
    for _ in range(11):
        last = house.send("/sign-in", email="ailsa@yard.example", password="wrong words here")

    assert last.status_code == 429
    assert "Wait 15 minutes" in last.text


def test_a_form_without_its_token_is_not_taken(house: House) -> None:
    an_account_of(house.rights, cold_rigg=Role.CREW)
    fields = {"email": "ailsa@yard.example", "password": PASSWORD}

    assert house.client.post("/sign-in", data=fields).status_code == 403


@pytest.mark.parametrize("path", ["/nothing", "/round/x/y", "/v/../../etc/passwd"])
def test_what_is_not_there_is_a_page_that_gives_nothing_away(house: House, path: str) -> None:
    answer = house.client.get(path)

    assert answer.status_code in (401, 404)
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    assert "cold-rigg" not in answer.text


@pytest.mark.parametrize(
    ("language", "words"), [("de-DE,de", "Anmelden"), ("fr", "Connexion"), ("nl", "Sign in")]
)
def test_the_page_speaks_the_browsers_language(house: House, language: str, words: str) -> None:
    page = house.client.get("/sign-in", headers={"accept-language": language})

    assert f"<h1>{words}</h1>" in page.text


def test_whoever_is_signed_in_chooses_the_language_of_their_pages(house: House) -> None:
    an_account_of(house.rights, everywhere=Role.OPERATOR)
    house.send("/sign-in", email="ailsa@yard.example", password=PASSWORD)

    done = house.send("/language", page="/roll", language="de", next="/roll?site=cold-rigg")

    assert (done.status_code, done.headers["location"]) == (303, "/roll?site=cold-rigg")
    assert '<html lang="de">' in house.client.get("/roll").text
    house.send("/language", page="/roll", language="tlh")
    assert '<html lang="de">' in house.client.get("/roll").text, "a language nobody has is passed"
