"""The server beside the schedule: whom it believes, how it stops, and a door that is taken."""

import socket
from collections.abc import Sequence

import pytest
import requests
from fastapi import FastAPI, Request
from starlette.responses import PlainTextResponse

from frostwatch.errors import SettingsError
from frostwatch.web.serving import listening_at, serving


def seen_from(proxies: Sequence[str]) -> str:
    """The visitor's address as an app sees it, behind whoever sends X-Forwarded-For."""
    app = FastAPI()

    @app.get("/")
    def who(request: Request) -> PlainTextResponse:
        assert request.client is not None
        return PlainTextResponse(f"{request.url.scheme} {request.client.host}")

    headers = {"x-forwarded-for": "192.0.2.7", "x-forwarded-proto": "https"}
    with listening_at("127.0.0.1", 0) as door, serving(app, door, proxies=proxies):
        url = f"http://127.0.0.1:{door.getsockname()[1]}/"
        answer = requests.get(url, headers=headers, timeout=60)
    assert "server" not in answer.headers
    return answer.text


@pytest.mark.parametrize("proxies", [["127.0.0.1"], ["10.0.0.1", "127.0.0.0/8"]])
def test_a_named_proxy_is_believed_about_its_visitors(proxies: list[str]) -> None:
    assert seen_from(proxies) == "https 192.0.2.7"


@pytest.mark.parametrize("proxies", [[], ["10.0.0.1"]])
def test_anybody_else_is_not(proxies: list[str]) -> None:
    assert seen_from(proxies) == "http 127.0.0.1"


def test_when_it_stops_nobody_answers_any_more() -> None:
    with listening_at("127.0.0.1", 0) as door:
        port = door.getsockname()[1]
        with serving(FastAPI(), door):
            assert requests.get(f"http://127.0.0.1:{port}/", timeout=60).status_code == 404
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", port)) != 0


def test_a_door_that_is_taken_says_the_way_out() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with (
            pytest.raises(SettingsError, match=r"already in use\..*--no-pages"),
            listening_at("127.0.0.1", port),
        ):
            pass
