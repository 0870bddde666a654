"""Every route of the app, as whoever may not: nothing is shown, nothing is changed.

The routes are those of the app itself, so that a new one is walked from the day it is there. One
whose path has a part that nobody here knows fails until somebody says what stands for it.
"""

import re
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from fastapi import FastAPI
from httpx2 import Response
from sqlalchemy import select
from starlette.testclient import TestClient

from frostwatch.ports.accounts import Account, Role
from frostwatch.records.entries import State
from frostwatch.service.first_look import Scout
from frostwatch.service.pass_ import run_pass
from frostwatch.service.photos import Sent, take_photo
from frostwatch.service.walking import release_round
from frostwatch.storage.tables import Base
from frostwatch.web.app import build_app
from frostwatch.web.pages.yard_now import yard_now
from tests.builders import (
    NOW,
    a_drive,
    a_forecourt,
    a_layout,
    a_vehicle,
    an_operator,
    an_owner,
    entries_for,
)
from tests.photographs import a_photo
from tests.web.yards import Stage, an_account

URL = "https://frost.example"
OPEN = frozenset(
    {
        "/",
        "/healthz",
        "/favicon.ico",
        "/robots.txt",
        "/static/{name}",
        "/sign-in",
        "/sign-in/code",
        "/sign-out",
        "/walk",
        "/replies",
        "/api",
        "/api/openapi.json",
    }
)
"""For everybody, and about nobody."""
BY_CODE = ("/walk/", "/a/", "/calendar/")
"""The code is the whole right; whoever walks here has none that is in force."""
STANDS_FOR = {
    "site": "cold-rigg",
    "key": "Y01",
    "vehicle": "Y01",
    "topic": "transport",
    "code": "{round}",
    "name": "style.css",
    "step": "place",
    "press": "p1",
    "account": "1",
    "number": "1",
    "secret": "A" * 43,
    "photo": "photo-of-y01",
    "person": "ailsa",
}
SECRETS = ("Cold Rigg", "A-01", "Ailsa", "key 7", "QZX")
"""What stands about the yard, its vehicle and its people."""
QUIET = frozenset({"session", "knock", "one_time_code"})
"""Tables that any visitor may make grow: tries that failed, sessions."""
METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE")


@pytest.fixture(scope="module")
def kept_stage() -> Iterator[Stage]:
    """A yard before frost with a round on the walk, another place, and an owner's van elsewhere."""
    stage = Stage(public_url=URL)
    yard = a_vehicle("Y01", bay="A-01", plate_end="QZX", key_place="key 7")
    wet = entries_for(a_layout(), State.FULL, vehicle="Y01", now=NOW)
    stage.enter([yard], wet, people=[an_operator(), an_owner()])
    other = a_vehicle("M1", site="aunt-drive", bay="", layout="panel-van", keeper="maelle")
    stage.world.enter(
        a_drive(operator="maelle"),
        [],
        [other],
        entries_for(a_layout("panel-van"), State.FULL, vehicle="M1", now=NOW),
    )
    stage.world.enter(a_forecourt(), [], [])
    stage.cold_from(14.0)
    for _ in range(3):
        run_pass(stage.world.kit, stage.clock.now, memory=stage.world.memory, everything=True)
        stage.clock.now += timedelta(hours=3)
    ledger = stage.world.ledger
    known = ledger.pages.yard("cold-rigg", stage.clock.now)
    assert known is not None
    assert known.board is not None
    lines = yard_now(known, stage.clock.now).lines
    stops = [line.stop for line in lines if line.stop is not None]
    assert stops
    sent = Sent(id="photo-of-y01", vehicle="Y01", by="kit", at=NOW, data=a_photo(), round="000000")
    take_photo(ledger.photos, sent, stage.clock.now)
    release_round(ledger.rounds, known.board, stops, by="ailsa", now=stage.clock.now)
    yield stage
    ledger.close()


@pytest.fixture
def stage(kept_stage: Stage) -> Iterator[Stage]:
    """The same, to be knocked at."""
    stage = kept_stage.copy()
    yield stage
    stage.world.ledger.close()


def routes_of(routes: Any, prefix: str = "") -> Iterator[tuple[str, str]]:
    """Method and path of every route, those of included routers too."""
    for route in routes:
        included = getattr(route, "original_router", None)
        if included is not None:
            yield from routes_of(included.routes, prefix + route.include_context.prefix)
            continue
        for method in sorted(getattr(route, "methods", None) or {"GET"}):
            if method != "HEAD":
                yield method, prefix + route.path


def app_of(stage: Stage, who: Account | None) -> FastAPI:
    return build_app(
        stage.world.ledger,
        stage.clock,
        public_url=URL,
        replies_token="x" * 24,
        stand_in=who,
        scout=Scout(kit=stage.world.kit),
    )


def path_of(template: str, stage: Stage) -> str:
    """The address with something real in each of its parts."""
    parts = re.findall(r"{(\w+)(?::\w+)?}", template)
    unknown = [part for part in parts if part not in STANDS_FOR]
    assert not unknown, f"{template}: say in STANDS_FOR what stands for {unknown}"
    path = re.sub(r"{(\w+)(?::\w+)?}", lambda part: STANDS_FOR[part[1]], template)
    yard = stage.world.ledger.pages.yard("cold-rigg", stage.clock.now)
    assert yard is not None
    assert yard.round is not None
    own = "000000" if template.startswith(BY_CODE) else yard.round.code
    return path.replace("{round}", own)


def everything(stage: Stage) -> dict[str, list[Any]]:
    """All that is kept, but for what visitors may add."""
    database = stage.world.ledger._database
    with database.reading() as connection:
        return {
            name: sorted(map(repr, connection.execute(select(table))))
            for name, table in Base.metadata.tables.items()
            if name not in QUIET
        }


def ask(client: TestClient, method: str, path: str) -> Response:
    """Ask for a route as somebody who knows what stands there, with the form token of a page."""
    query = {"site": "cold-rigg", "vehicle": "Y01"}
    if method == "GET":
        return client.get(path, params=query)
    token = re.search(r'name="form_token" value="([^"]+)"', client.get("/sign-in").text)
    assert token is not None
    form = {
        **query,
        "form_token": token[1],
        "answer": "done",
        "van": "Y01",
        "then": "sheet",
        "how": "seen",
        "what": "drained",
        "kind": "done",
        "id": "p1",
    }
    files = {"photo": ("x.jpg", a_photo(16, 16), "image/jpeg")} if "photo" in path else None
    return client.request(method, path, data=form, files=files)


def assert_gets_nothing(stage: Stage, who: Account | None, methods: tuple[str, ...]) -> None:
    app = app_of(stage, who)
    client = TestClient(app, base_url=URL, follow_redirects=False)
    walked = 0
    before = everything(stage)
    for method, template in routes_of(app.routes):
        if template in OPEN or method not in methods:
            continue
        answer = ask(client, method, path_of(template, stage))
        where = f"{method} {template}: {answer.status_code}"
        shown = re.sub(r'value="/[^"]*"', "", answer.text)  # where signing in would lead
        assert [secret for secret in SECRETS if secret in shown] == [], where
        assert not answer.content.startswith(b"\xff\xd8"), f"{where}: a photograph is shown"
        if answer.status_code < 300:
            assert method == "GET", where
        assert answer.status_code < 500, where
        walked += 1
    assert everything(stage) == before
    assert walked >= 5


def test_the_walk_finds_every_route_of_the_app(stage: Stage) -> None:
    found = set(routes_of(app_of(stage, None).routes))

    assert {("GET", "/round"), ("POST", "/round/release"), ("POST", "/a/{code}")} <= found
    assert {("GET", "/v/{key}/photos/{photo}"), ("POST", "/walk/{code}/photos")} <= found
    assert {("POST", "/set-up/look"), ("POST", "/api/entries")} <= found
    assert {method for method, _ in found} <= set(METHODS)


def test_nobody_gets_nothing(stage: Stage) -> None:
    assert_gets_nothing(stage, None, METHODS)


@pytest.mark.parametrize("role", [Role.CREW, Role.OPERATOR, None])
def test_people_of_another_place_get_nothing(stage: Stage, role: Role | None) -> None:
    assert_gets_nothing(stage, an_account(role, "hinterlach"), METHODS)


def test_a_viewer_changes_nothing(stage: Stage) -> None:
    app = app_of(stage, an_account(Role.VIEWER, "cold-rigg"))
    client = TestClient(app, base_url=URL, follow_redirects=False)
    before = everything(stage)
    for method, template in routes_of(app.routes):
        if template not in OPEN and method != "GET":
            answer = ask(client, method, path_of(template, stage))
            assert answer.status_code in (303, 400, 401, 403, 404, 405, 422), (method, template)
    assert everything(stage) == before


def test_the_owner_of_another_van_gets_nothing_by_their_link(stage: Stage) -> None:
    client = TestClient(app_of(stage, None), base_url=URL, follow_redirects=False)
    links = stage.world.ledger.links.made_for("maelle", since=NOW - timedelta(days=9))
    assert links, "she was written to"
    before = everything(stage)

    for query in ({}, {"van": "Y01"}, {"ask": "part", "van": "Y01"}, {"site": "cold-rigg"}):
        page = client.get(f"/a/{links[0].code}", params=query).text
        assert [secret for secret in SECRETS if secret in page] == [], query
    for answer in ("done", "part", "cannot"):
        sent = client.post(f"/a/{links[0].code}", data={"answer": answer, "van": "Y01"})
        assert sent.status_code == 422

    assert everything(stage) == before
