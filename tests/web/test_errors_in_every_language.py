"""Every error that a page can show is in its reader's language: forms, refusals, faults."""

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any, NoReturn

import pytest
from httpx2 import Response
from starlette.testclient import TestClient
from structlog.testing import capture_logs

from frostwatch.errors import LedgerError
from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Account, Role
from frostwatch.storage import vehicle_sheet
from frostwatch.told import FAULTS, told
from frostwatch.web.rights.limits import CODES_BY_ADDRESS
from frostwatch.web.set_up import people_list
from frostwatch.web.words import PAGE_WORDS, Tongue
from tests.builders import NOW, a_site
from tests.web.pages_read import words
from tests.web.test_set_up_pages import PEOPLE, PLACE, VEHICLES, Office
from tests.web.vans import Street, a_street
from tests.web.yards import Stage, a_cold_yard, an_account, form_of

TRANSLATED = [language for language in Language if language is not Language.EN]
each_language = pytest.mark.parametrize("language", TRANSLATED)
ENGLISH = re.compile(r"(?<!\w)(the|this|that|is|are|not|and|with|of|must|has|it|your)(?!\w)", re.I)
"""Words that no German or French sentence has."""


def spoken(text: str) -> str:
    """What a page says itself: without names, and what is quoted as another language's own."""
    text = text.replace("Your panel van", "Q7")
    return words(re.sub(r'<(\w+) lang="en"[^>]*>.*?</\1>', " ", text, flags=re.S))


def assert_speaks(answer: Response, language: Language, *statuses: int) -> None:
    """A page in that language alone, with one of these statuses."""
    assert answer.status_code in statuses, (answer.status_code, answer.text[:300])
    assert f'lang="{language.value}"' in answer.text
    shown = spoken(answer.text)
    assert len(shown) > 20
    found = ENGLISH.search(shown)
    assert found is None, shown[max(0, found.start() - 80) : found.end() + 80]


@pytest.fixture(scope="module")
def cold() -> Stage:
    """A yard before frost."""
    return a_cold_yard()


def client_of(stage: Stage, language: Language, account: Account | None, **more: Any) -> TestClient:
    client = stage.client(account, nobody=account is None)
    client.headers["accept-language"] = language.value
    return TestClient(client.app, **more, headers=dict(client.headers), base_url=URL)


URL = "https://yard.example"


def released(client: TestClient) -> str:
    """Code of the yard's round."""
    form = {**form_of(client, "/round"), "site": a_site().key, "then": "walk"}
    sent = client.post("/round/release", data=form)
    found = re.search(r"/walk/(\d{6})", sent.headers["location"])
    assert found
    return found[1]


RECORDS: tuple[dict[str, str], ...] = (
    {},
    {"how": "seen", "what": "dosed", "note": "\u202e"},
    {"how": "told", "what": "wet", "litres": "-4", "at": "2031-01-01T00:00", "note": "x" * 501},
)


@each_language
def test_the_form_of_a_record_refuses_in_its_readers_language(
    cold: Stage, language: Language
) -> None:
    client = cold.client(an_account(language=language))
    for fields in RECORDS:
        token = form_of(client, "/v/Y01/record")
        assert_speaks(client.post("/v/Y01/record", data={**token, **fields}), language, 422)


@each_language
def test_the_walk_refuses_in_its_readers_language(cold: Stage, language: Language) -> None:
    client = cold.client(an_account(language=language))
    code = released(client)
    token = form_of(client, f"/walk/{code}")
    for path, fields, status in (
        ("/walk", {"code": "12"}, 404),
        (f"/walk/{code}/press", {"kind": "nothing"}, 422),
        (f"/walk/{code}/press", {"kind": "done", "id": "a", "vehicle": "Z99"}, 422),
        (f"/walk/{code}/press", {"kind": "undo", "id": "b", "vehicle": "Y01"}, 422),
        (f"/walk/{code}/press", {"kind": "done", "note": "\x00", "vehicle": "Y01"}, 422),
        (f"/walk/{code}/settle", {}, 422),
        (f"/walk/{code}/settle", {"vehicle": "Y01", "so": "not"}, 422),
    ):
        assert_speaks(client.post(path, data={**token, **fields}), language, status)
    for presses in ("no list", '[{"kind": "done"}]', '[{"id": "c", "kind": "x"}]'):
        sent = client.post(f"/walk/{code}/presses", data={**token, "presses": presses})
        refused = sent.json()["refused"].values()
        assert refused
        assert [text for text in refused if ENGLISH.search(text)] == []
    stranger = client_of(cold, language, None)
    nameless = {**form_of(stranger, f"/walk/{code}"), "name": "\u202e"}
    assert_speaks(stranger.post(f"/walk/{code}/who", data=nameless), language, 404)


def _broken(*_: object, **__: object) -> NoReturn:
    raise LedgerError("the disk is gone")


@each_language
def test_refusals_and_faults_are_pages_in_their_readers_language(
    cold: Stage, language: Language, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = client_of(cold, language, an_account(language=language), raise_server_exceptions=False)
    token = form_of(client, "/v/Y01/record")
    viewer = client_of(cold, language, an_account(Role.VIEWER, a_site().key, language=language))
    nobody = client_of(cold, language, None)
    many = {**token, **{f"field{n}": "" for n in range(2001)}}
    elsewhere = {"sec-fetch-site": "cross-site"}
    for answer, status in (
        (client.get("/no-such-page"), 404),
        (client.get("/round?site=elsewhere"), 404),
        (client.put("/round"), 405),
        (viewer.get("/v/Y01/record"), 403),
        (nobody.get("/round"), 401),
        (client.post("/v/Y01/record", data={}), 403),
        (client.post("/v/Y01/record", data=token, headers=elsewhere), 403),
        (client.post("/v/Y01/record", data=many), 400),
        (client.post("/v/Y01/record", headers={"content-length": "13000000"}), 413),
    ):
        assert_speaks(answer, language, status)
    monkeypatch.setattr(type(cold.world.ledger.pages), "vehicle", _broken)
    assert_speaks(client.get("/v/Y01"), language, 503)
    monkeypatch.setattr(type(cold.world.ledger.pages), "vehicle", lambda *_: 1 / 0)
    with capture_logs() as logged:
        assert_speaks(client.get("/v/Y01"), language, 500)
    assert [line["event"] for line in logged] == ["page failed"]


@each_language
def test_the_door_refuses_in_the_browsers_language(language: Language) -> None:
    stage = a_cold_yard(1)
    nobody = client_of(stage, language, None)

    def send(path: str, **fields: str) -> Response:
        return nobody.post(path, data={**form_of(nobody, path), **fields})

    assert_speaks(send("/sign-in", email="a", password="b"), language, 422)
    for fields in (
        {"code": "x", "email": "no address", "password": "y"},
        {"code": "x", "email": "a@b.example", "password": "y"},
    ):
        assert_speaks(send("/sign-in/code", **fields), language, 422)
    for _ in range(CODES_BY_ADDRESS):
        last = nobody.get("/walk/000000")
    assert_speaks(last, language, 404, 429)
    assert_speaks(nobody.get("/walk/000000"), language, 429)


@pytest.fixture(scope="module")
def street() -> Street:
    """An owner who was written to."""
    return a_street()


@each_language
def test_the_page_behind_a_link_refuses_in_its_readers_language(
    street: Street, language: Language
) -> None:
    link, browser = street.link(), {"accept-language": language.value}

    def ask(method: str, path: str, **fields: str) -> Response:
        return street.client.request(method, f"/a/{path}", data=fields, headers=browser)

    said = f"{link.code}?lang={language.value}"
    assert_speaks(ask("POST", said, answer="going", other="2020-01-01T10:00"), language, 422)
    assert_speaks(ask("POST", said, answer="done", van="Z9"), language, 422)
    assert_speaks(ask("POST", said, answer="nothing"), language, 422)
    assert_speaks(ask("GET", "0" * 13), language, 404)
    now, street.clock.now = street.clock.now, datetime(2027, 6, 1, tzinfo=UTC)
    assert_speaks(ask("GET", said), language, 410)
    street.clock.now = now


VEHICLE_LISTS = (
    "",
    "A 01; 481; motorhome; x;\n",
    "A-01; 481; spaceship; x;\nA-01; 482; van; y;\nB-1..B-3; 1; van\n=1+1; ; van; ;\n",
    "bay;bay;colour;\nA-01;A-02;red;9\n",
    'A-01;"481; van\n',
    f"{'x' * 130}; 481; van\n\u202eA; 1; van\n",
    "bay;kennzeichen\nA-01;481\n",
    "bay;type;indoors;F1.capacity_l;handover at;hold power w;hold source\n"
    "A-01;van;maybe;1,000;soon;9;lamp\nA-02;van;yes;many;2026-11-20T10:00;10;\n",
)
PEOPLE_LISTS = (
    "",
    "Ailsa; captain; a@b.example; xx; 7 Uhr; 9999; someday 8-9; nowhere\n",
    "Ailsa; operator; foo://x; en; ; x; ; \nAilsa; owner; ; ; ; ; mon 10:00-09:00; a@b.example\n",
    "Ailsa; crew; ; ; ; 1,000; mon-fri; \nKit; crew; mailto://127.0.0.1; ; ; ; ; k@b.example\n"
    "Lou; crew; ; ; ; ; ; k@b.example\n",
    f"{'y' * 600}; crew\n\u202ez; crew\n\x07; crew\n; owner\n",
    "Kit; crew; outbox://local; en; 07:40; ; ;\n",
)


@pytest.fixture(scope="module")
def office() -> Iterator[Office]:
    office = Office()
    yield office
    office.world.ledger.close()


@each_language
def test_the_set_up_refuses_in_its_readers_language(office: Office, language: Language) -> None:
    chosen = {**form_of(office.client, "/set-up/place"), "language": language.value}
    assert office.client.post("/language", data=chosen).status_code == 303
    for fields in (
        dict.fromkeys(PLACE, ""),
        {**PLACE, "name": "\u202e", "where": "here", "height": "tall", "opens": "9 Uhr"},
        {**PLACE, "name": "x" * 121, "height": "99999", "opens": "17:00", "closes": "08:00"},
        {**PLACE, "crew": "900", "zone": "Mars"},
    ):
        assert_speaks(office.send("/set-up/place", **fields), language, 422)
    assert office.send("/set-up/place", **PLACE).status_code == 303
    for text in VEHICLE_LISTS:
        assert_speaks(office.send("/set-up/vehicles", list=text), language, 422)
    no_text = {"file": ("list.csv", b"\xff\xfe\xfa", "text/csv")}
    assert_speaks(office.send("/set-up/vehicles", files=no_text), language, 422)
    assert office.send("/set-up/vehicles", list=VEHICLES).status_code == 303
    for text in PEOPLE_LISTS:
        assert_speaks(office.send("/set-up/people", list=text), language, 422)
    server = {"list": PEOPLE, "mail_server": "no address"}
    assert_speaks(office.send("/set-up/people", **server), language, 422)
    assert office.send("/set-up/people", list=PEOPLE).status_code == 303
    assert_speaks(office.client.get("/set-up/look"), language, 200)


def test_what_nobody_can_translate_is_marked_as_english() -> None:
    tongue = Tongue(language=Language.DE, zone=a_site().zone, now=NOW)
    said = tongue.fault("the disk <is> full")
    assert said == 'im Wortlaut: <span lang="en">the disk &lt;is&gt; full</span>'
    nested = tongue.fault(told("unsent", why="no route"))
    assert nested == "Dorthin kann nichts gesendet werden: no route"


HEADS: tuple[Callable[[str], str], ...] = (
    lambda word: vehicle_sheet.HEADERS.get(word, ""),
    lambda word: people_list.HEADERS.get(word, ""),
)


@pytest.mark.parametrize("language", list(Language))
def test_every_head_that_a_fault_names_is_understood_in_a_list(language: Language) -> None:
    for field, word in PAGE_WORDS[language].columns.items():
        assert field in {read(word.casefold()) for read in HEADS}, word


def test_a_fault_is_plain_english_to_whoever_asks_for_no_more() -> None:
    assert told("no_number", given="'x'") == "'x' is no number."
    assert all(text and not text.endswith(" ") for text in FAULTS.values())
