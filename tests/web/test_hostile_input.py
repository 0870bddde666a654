"""Hostile text in every field of every form: shown harmlessly, or refused with a reason."""

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from frostwatch.ports.accounts import Role
from frostwatch.service.first_look import Scout
from frostwatch.web.app import build_app
from frostwatch.web.rights.limits import Limits
from tests.web.forms import Form, all_forms
from tests.web.guests import PASSWORD, an_account_of, rights_over
from tests.web.vans import Street, a_street
from tests.web.yards import Stage, a_cold_yard, form_of

URL = "https://yard.example"
HOSTILE = (
    '<script>alert("x")</script>',
    "'\"><img src=x onerror=alert(1)>",
    '=HYPERLINK("http://x.example","y")',
    "\u202egnirts\u202c \u2066x",
    "{{ 7*19100001 }} {% raw %} ${7*19100001}",
    "🧊" * 20,
    "x" * 10_000,
    "a\x00b",
)
MANY = 5
LEAVES = ("/sign-out", "/look", "/language", "/own/keys")
"""Forms that hold nothing typed, and end or change how the others are read."""


def assert_harmless(answer: Response, sent: str, where: str) -> None:
    """No fault, no markup that came from outside, nothing run, nothing turned."""
    assert answer.status_code < 500, (where, answer.text[:300])
    if "html" not in answer.headers.get("content-type", ""):
        return
    text = answer.text
    for mark in ("<script>alert", "<img src=x", "133700007", "\x00"):
        assert mark not in text, (where, mark)
    shown = re.sub(r"<textarea.*?</textarea>|<[^>]*>", " ", text, flags=re.S)
    assert not set(shown) & set("\u202e\u2066"), (where, "turned")
    if answer.status_code >= 400 and sent:
        assert len(shown.split()) > 5, (where, "refused without a reason")


def sent_with(client: TestClient, form: Form, name: str, text: str) -> Response:
    """The form sent with something else in one field."""
    token = {"form_token": form.values["form_token"]} if "form_token" in form.values else {}
    return client.post(form.action, data={**form.values, **token, name: text})


def one_of_each(names: list[str]) -> list[str]:
    """Of fields that only differ in what they belong to, ``litres-fresh``, the first."""
    return list({name.partition("-")[0]: name for name in reversed(names)}.values())


def put_everywhere(client: TestClient, forms: list[Form]) -> Counter[str]:
    """Every hostile text into every field that is typed, one into every other; how many."""
    count: Counter[str] = Counter()
    for form in forms:
        typed = one_of_each(form.typed)
        for name in typed:
            # of a long form each field gets some of them in turn, so that all are tried on it
            some = HOSTILE if len(typed) < MANY else HOSTILE[count["typed"] % 3 :: 3]
            for text in some:
                answer = sent_with(client, form, name, text)
                assert_harmless(answer, text, f"{form.action} {name} {text[:20]!r}")
                count["typed"] += 1
        for name in one_of_each(form.chosen):
            text = HOSTILE[count["chosen"] % len(HOSTILE)]
            answer = sent_with(client, form, name, text)
            assert_harmless(answer, text, f"{form.action} {name} {text[:20]!r}")
            count["chosen"] += 1
    return count


@pytest.fixture
def stage() -> Stage:
    """A yard before frost."""
    return a_cold_yard()


@pytest.fixture
def office(stage: Stage, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestClient]:
    """Somebody signed in who may do everything; failed tries shut nobody out."""
    monkeypatch.setattr(Limits, "refuse_if_shut", lambda *_: None)
    kit, ledger = stage.world.kit, stage.world.ledger
    app = build_app(ledger, stage.clock, public_url=URL, scout=Scout(kit=kit))
    app.state.rights = rights = rights_over(ledger, stage.clock, secure=True)
    an_account_of(rights, everywhere=Role.OPERATOR)
    client = TestClient(app, base_url=URL, follow_redirects=False, raise_server_exceptions=False)
    who = {"email": "ailsa@yard.example", "password": PASSWORD}
    assert client.post("/sign-in", data={**form_of(client, "/sign-in"), **who}).is_redirect
    yield client
    ledger.close()


def test_hostile_text_in_any_field_of_the_pages_does_no_harm(
    stage: Stage, office: TestClient
) -> None:
    release = {**form_of(office, "/round"), "site": "cold-rigg", "then": "walk"}
    walk = office.post("/round/release", data=release).headers["location"]
    starts = (
        "/round",
        "/handovers/Y01/hour",
        "/v/Y01",
        "/v/Y01/record",
        "/own",
        "/set-up/place",
        "/set-up/vehicles",
    )
    pages = (*starts, "/set-up/people", "/set-up/look", f"{walk}?do=why", f"{walk}?do=part", walk)
    forms = [form for form in all_forms(office, *pages) if form.action not in LEAVES]
    reached = {form.action.partition("/")[2].partition("/")[0] for form in forms}
    assert {"round", "v", "walk", "set-up", "own", "place", "handovers"} <= reached

    count = put_everywhere(office, forms)

    assert count["typed"] > 150
    for page in ("/round", "/roll", "/v/Y01", "/handovers", walk, "/place/cold-rigg/accounts"):
        assert_harmless(office.get(page), "", page)
    assert_no_formula(office.get("/v/Y01/record.csv").text)


def assert_no_formula(text: str) -> None:
    """No cell of an exported sheet that a spreadsheet would run (OWASP, CSV Injection)."""
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert any(cell.lstrip("'").startswith("=HYPERLINK") for cell in cells), "none was kept"
    assert [cell for cell in cells if re.match(r"[=+@\t\r]|-(?![\d.])", cell)] == []


def test_hostile_text_at_the_door_does_no_harm(
    stage: Stage, office: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    stranger = TestClient(
        office.app, base_url=URL, follow_redirects=False, raise_server_exceptions=False
    )
    code = office.post(
        "/round/release",
        data={**form_of(office, "/round"), "site": "cold-rigg", "then": "walk"},
    ).headers["location"]
    pages = ("/sign-in", "/sign-in/code", "/walk", code)
    forms = [form for form in all_forms(stranger, *pages) if form.action not in LEAVES]

    count = put_everywhere(stranger, forms)

    assert count["typed"] >= 5 * len(HOSTILE)


def test_hostile_text_behind_a_link_does_no_harm() -> None:
    street: Street = a_street()
    start = f"/a/{street.link().code}"
    pages = (start, f"{start}?ask=part", f"{start}?ask=going")
    forms = [form for form in all_forms(street.client, *pages) if form.action not in LEAVES]

    count = put_everywhere(street.client, forms)

    assert count["typed"] + count["chosen"] >= 8
    assert_harmless(street.get(street.link()), "", start)
