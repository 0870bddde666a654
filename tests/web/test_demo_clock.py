"""The demo's own pages: its clock is set by a press, plays on beside the pages, and leads there."""

import re
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from frostwatch.service.demo import prepare
from frostwatch.service.demo_stage import Stage
from frostwatch.web.app import build_app
from frostwatch.wiring import open_kit

URL = "http://127.0.0.1:8080"
TODAY = datetime(2027, 2, 3, 5, tzinfo=UTC)
PATIENCE_S = 240.0


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """The demo as it begins; its clock is set by the last test alone."""
    demo = prepare(tmp_path_factory.mktemp("demo") / "demo", TODAY, public_url=URL)
    kit, ledger = open_kit(demo.settings)
    stage = Stage(demo, kit, ledger, lambda: TODAY)
    app = build_app(ledger, stage.now, public_url=URL, demo=stage)
    with TestClient(app, base_url=URL, follow_redirects=False) as client:
        yield client
    ledger.close()


def set_clock(client: TestClient, **fields: str) -> Response:
    token = re.search(r'name="form_token" value="([^"]+)"', client.get("/demo").text)
    assert token
    return client.post("/demo/clock", data={"form_token": token[1], **fields})


@pytest.mark.parametrize("at", ["2031-01-01T00:00", "soon", "", "0001-01-01T00:00"])
def test_an_hour_outside_the_story_changes_nothing_and_says_which_there_are(
    client: TestClient, at: str
) -> None:
    refused = set_clock(client, at=at)

    assert refused.headers["location"] == "/demo?wrong=1"
    assert "The clock was not set" in client.get("/demo?wrong=1").text
    assert "05:00" in client.get("/demo").text


def test_another_page_cannot_set_the_clock(client: TestClient) -> None:
    assert client.post("/demo/clock", data={"scene": "late"}).status_code == 403


@pytest.mark.parametrize("place", ["yard", "owner", "forecourt"])
def test_each_place_is_one_click_away(client: TestClient, place: str) -> None:
    assert f'href="/demo/{place}"' in client.get("/demo").text
    assert client.get(f"/demo/{place}").headers["location"].startswith(("/round?site=", "/a/"))
    assert client.get("/demo/castle").status_code == 404


def test_an_hour_that_is_set_is_played_and_then_shown(client: TestClient) -> None:
    at = (TODAY + timedelta(minutes=45)).strftime("%Y-%m-%dT%H:%M")
    assert set_clock(client, at=at).headers["location"] == "/demo?then=yard"

    latest = time.monotonic() + PATIENCE_S
    while (shown := client.get("/demo?then=yard")).status_code != 303:
        assert "Playing the story" in shown.text
        assert 'http-equiv="refresh"' in shown.text
        assert time.monotonic() < latest
        time.sleep(0.1)

    assert shown.headers["location"] == "/round?site=cold-rigg"
    assert "It is <b>" in client.get("/round?site=cold-rigg").text
    assert "05:45" in client.get("/round?site=cold-rigg").text
