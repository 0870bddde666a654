"""What every answer carries, and what is turned away, on a small app of its own."""

from collections.abc import Iterator
from datetime import datetime
from typing import Annotated, Any

import pytest
from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, PlainTextResponse
from starlette.datastructures import Headers
from starlette.testclient import TestClient

from frostwatch.ports.accounts import Role
from frostwatch.storage.ledger import open_ledger
from frostwatch.web.bare import preferred_language
from frostwatch.web.rights import (
    AnyVisitor,
    CheckedForm,
    NotForYouError,
    NotSignedInError,
    Rights,
    Visitor,
    WrongFormError,
    form_token,
    install,
    require,
)
from frostwatch.web.rights.asking import sign_device_in
from frostwatch.web.rights.headers import CONTENT_POLICY, Guard
from frostwatch.web.rights.secret import masked, token_of, unmasked
from tests.builders import a_forecourt, a_site
from tests.web.guests import PASSWORD, Clock, an_account_of, rights_over


def a_small_app(rights: Rights) -> FastAPI:
    app = FastAPI()
    install(app, rights, most_bytes=100_000)

    @app.get("/open")
    def open_to_all(request: Request, visitor: AnyVisitor) -> HTMLResponse:
        name = visitor.account.name if visitor.account else "nobody"
        return HTMLResponse(f"{name} {form_token(request)}")

    @app.get("/quiet")
    def without_form(visitor: AnyVisitor) -> dict[str, str]:
        return {"language": visitor.language}

    @app.post("/sign-in")
    def sign_in(form: CheckedForm) -> PlainTextResponse:
        opened = rights.sign_in(
            str(form["email"]), PASSWORD, address="192.0.2.1", lasting="lasting" in form
        )
        assert opened is not None
        answer = PlainTextResponse("in")
        sign_device_in(answer, rights, *opened)
        return answer

    @app.post("/change")
    def change(form: CheckedForm) -> str:
        return str(form["what"])

    @app.post("/raw")
    async def raw(request: Request) -> int:
        return len(await request.body())

    @app.get("/at/{site}")
    def at_site(site: str, visitor: Annotated[Visitor, require(Role.CREW)]) -> str:
        return site

    for fault, status in ((NotSignedInError, 401), (NotForYouError, 404), (WrongFormError, 403)):
        app.add_exception_handler(fault, _answering(status))
    return app


def _answering(status: int) -> Any:
    return lambda request, fault: PlainTextResponse(type(fault).__name__, status)


@pytest.fixture
def clock(now: datetime) -> Clock:
    return Clock(now)


@pytest.fixture
def rights(clock: Clock) -> Iterator[Rights]:
    ledger = open_ledger("sqlite://")
    ledger.save_fleet(sites=[a_site(), a_forecourt()])
    made = rights_over(ledger, clock)
    an_account_of(made, cold_rigg=Role.CREW)
    yield made
    ledger.close()


@pytest.fixture
def guest(rights: Rights) -> TestClient:
    return TestClient(a_small_app(rights))


def token(guest: TestClient) -> str:
    return str(guest.get("/open").text.split()[-1])


def sign_in(guest: TestClient, **more: str) -> Any:
    data = {"form_token": token(guest), "email": "ailsa@yard.example", **more}
    answer = guest.post("/sign-in", data=data)
    assert answer.text == "in"
    return answer


def test_every_answer_tells_the_browser_what_to_refuse(guest: TestClient) -> None:
    for answer in (guest.get("/open"), guest.get("/no-such-page"), guest.post("/change")):
        headers = answer.headers
        assert headers["content-security-policy"] == CONTENT_POLICY
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["x-frame-options"] == "DENY"
        assert headers["referrer-policy"] == "same-origin"
        assert headers["cache-control"] == "private, no-store"
        assert "strict-transport-security" not in headers


def test_the_content_policy_lets_in_no_other_host_and_no_script_in_the_page() -> None:
    rules = dict(rule.split(" ", 1) for rule in CONTENT_POLICY.split("; "))
    assert rules["default-src"] == rules["base-uri"] == rules["frame-ancestors"] == "'none'"
    assert rules["script-src"] == rules["style-src"] == "'self'"
    assert not any("http" in rule or "*" in rule or "eval" in rule for rule in rules.values())
    assert [name for name, rule in rules.items() if "unsafe" in rule] == ["style-src-attr"]


def test_over_https_cookies_are_the_hosts_own(rights: Rights, clock: Clock) -> None:
    secure = Rights(access=rights.access, clock=clock, secure=True, passwords=rights.passwords)
    guest = TestClient(a_small_app(secure), base_url="https://frost.example")
    cookie = sign_in(guest).headers["set-cookie"]
    assert cookie.startswith("__Host-frostwatch=")
    assert {"HttpOnly", "Secure", "Path=/", "SameSite=lax"} <= set(cookie.split("; "))
    assert "Domain" not in cookie
    assert guest.get("/open").headers["strict-transport-security"] == "max-age=31536000"
    assert guest.get("/open").text.startswith("Ailsa")


def test_a_session_cookie_ends_with_the_browser_unless_kept(guest: TestClient) -> None:
    assert "Max-Age" not in sign_in(guest).headers["set-cookie"]
    guest.cookies.clear()
    assert "Max-Age=20736000" in sign_in(guest, lasting="on").headers["set-cookie"]


def test_only_a_page_with_a_form_gives_a_cookie(guest: TestClient) -> None:
    assert "set-cookie" not in guest.get("/quiet").headers
    assert guest.get("/open").headers["set-cookie"].startswith("frostwatch-form=")
    assert "set-cookie" not in guest.get("/open").headers


def test_two_forms_of_the_first_page_share_its_cookie(rights: Rights) -> None:
    app = a_small_app(rights)

    @app.get("/two")
    def two_forms(request: Request) -> PlainTextResponse:
        return PlainTextResponse(f"{form_token(request)} {form_token(request)}")

    client = TestClient(app)
    tokens = client.get("/two").text.split()
    for one in tokens:
        sent = client.post("/change", data={"what": "this", "form_token": one})
        assert sent.json() == "this"


def test_a_form_needs_the_token_of_its_own_visitor(guest: TestClient, rights: Rights) -> None:
    other = TestClient(a_small_app(rights))
    for sent in ({}, {"form_token": ""}, {"form_token": "x" * 64}, {"form_token": token(other)}):
        assert guest.post("/change", data={"what": "this", **sent}).status_code == 403
    before = token(guest)
    assert guest.post("/change", data={"what": "this", "form_token": before}).json() == "this"
    sign_in(guest)
    assert guest.post("/change", data={"what": "this", "form_token": before}).status_code == 403
    assert guest.post("/change", data={"what": "x", "form_token": token(guest)}).json() == "x"


def test_a_form_without_any_cookie_is_refused(guest: TestClient) -> None:
    sent = {"what": "this", "form_token": token(guest)}
    guest.cookies.clear()
    assert guest.post("/change", data=sent).status_code == 403


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),
        ({"sec-fetch-site": "same-origin"}, 200),
        ({"sec-fetch-site": "none"}, 200),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site"}, 403),
        ({"origin": "http://testserver"}, 200),
        ({"origin": "http://elsewhere.example"}, 403),
        ({"origin": "null"}, 403),
    ],
)
def test_a_change_sent_by_another_sites_page_is_turned_away(
    guest: TestClient, headers: dict[str, str], status: int
) -> None:
    sent = {"what": "this", "form_token": token(guest)}
    assert guest.post("/change", data=sent, headers=headers).status_code == status
    assert guest.get("/open", headers=headers).status_code == 200


def test_a_body_that_is_too_large_is_not_read(guest: TestClient) -> None:
    assert guest.post("/raw", content=b"x" * 100_000).json() == 100_000
    assert guest.post("/raw", content=b"x" * 100_001).status_code == 413

    def in_parts() -> Iterator[bytes]:
        for _ in range(11):
            yield b"x" * 10_000

    assert guest.post("/raw", content=in_parts()).status_code == 413


def test_require_asks_who_it_is_and_whether_they_may(guest: TestClient, clock: Clock) -> None:
    assert guest.get("/at/cold-rigg").text == "NotSignedInError"
    sign_in(guest)
    assert guest.get("/at/cold-rigg").json() == "cold-rigg"
    assert guest.get("/at/hinterlach").text == "NotForYouError"
    assert guest.get("/at/nowhere").text == "NotForYouError"
    clock.pass_by(hours=13)
    assert guest.get("/at/cold-rigg").text == "NotSignedInError"


@pytest.mark.parametrize(
    "cookie", ["", "x", "x" * 10_000, "%00", "' OR 1=1 --", "é".encode().decode("latin-1")]
)
def test_a_made_up_cookie_is_nobody(guest: TestClient, cookie: str) -> None:
    answer = guest.get("/open", headers={b"cookie": f"frostwatch={cookie}".encode("latin-1")})
    assert answer.text.startswith("nobody")


@pytest.mark.parametrize(
    ("wished", "language"),
    [
        ("", "en"),
        ("de-CH,de;q=0.9,en;q=0.8", "de"),
        ("it, fr;q=0.8, de;q=0.9", "de"),
        ("fr-CA", "fr"),
        ("*", "en"),
        ("de;q=x,fr", "fr"),
        ("\x00;;;,,,q=", "en"),
    ],
)
def test_pages_are_in_the_browsers_first_language_that_there_is(wished: str, language: str) -> None:
    """Weights as in RFC 9110, 12.4.2."""
    headers = [(b"accept-language", wished.encode())]
    assert preferred_language(Headers(raw=headers)) == language


def test_a_token_looks_different_on_every_page_and_still_fits() -> None:
    token = token_of("a secret")
    shown = {masked(token) for _ in range(20)}
    assert len(shown) == 20
    assert {unmasked(text) for text in shown} == {token}
    assert unmasked("no token") == "no token"
    assert unmasked("ab.cdef") == "ab.cdef"


def test_an_address_with_a_nul_reaches_the_pages_without_it() -> None:
    """PostgreSQL keeps no NUL in a text (its manual, "Character Types"; from memory)."""
    app = FastAPI()

    @app.get("/v/{key}")
    def seen(key: str, site: str) -> list[str]:
        return [key, site]

    guarded = Guard(app, secure=False)
    answer = TestClient(guarded).get("/v/a%00b?site=%00")
    assert answer.json() == ["a\ufffdb", "\ufffd"]
