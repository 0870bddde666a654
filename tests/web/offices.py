"""A yard with its office signed in: what an operator changes about a place of theirs."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from fastapi import FastAPI
from httpx2 import Response
from starlette.testclient import TestClient

from frostwatch.ports.accounts import Account, Role
from frostwatch.records.entries import State
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.app import build_app
from frostwatch.web.rights import Rights
from tests.builders import a_forecourt
from tests.web.guests import PASSWORD, an_account_of, rights_over
from tests.web.yards import Stage, a_cold_yard, a_row, water

URL = "https://frost.example"
PLACE = "/place/cold-rigg"


@dataclass(kw_only=True)
class Office:
    """The yard Cold Rigg before a cold night, another place, and who looks after them.

    Attributes:
        stage: the yard.
        app: the app over it.
        rights: who gets in.
        chief: an operator of every place.
        ailsa: the operator of the yard alone.
    """

    stage: Stage = field(default_factory=a_cold_yard)
    app: FastAPI = field(init=False)
    rights: Rights = field(init=False)
    chief: Account = field(init=False)
    ailsa: Account = field(init=False)

    def __post_init__(self) -> None:
        self.ledger.save_fleet(sites=[a_forecourt()])
        self.app = build_app(self.ledger, self.stage.clock, public_url=URL)
        self.app.state.rights = self.rights = rights_over(
            self.ledger, self.stage.clock, secure=True
        )
        self.chief = an_account_of(self.rights, "chief", everywhere=Role.OPERATOR)
        self.ailsa = an_account_of(self.rights, "ailsa", cold_rigg=Role.OPERATOR)

    @property
    def ledger(self) -> SqlLedger:
        """What is kept."""
        return self.stage.world.ledger

    def signed_in(self, name: str = "ailsa") -> "Browser":
        """A browser in which somebody is signed in."""
        client = TestClient(self.app, base_url=URL, follow_redirects=False)
        browser = Browser(client=client)
        answer = browser.send("/sign-in", email=f"{name}@yard.example", password=PASSWORD)
        assert answer.status_code == 303
        return browser


@dataclass(kw_only=True)
class Browser:
    """A browser that fills in forms."""

    client: TestClient

    def get(self, path: str) -> Response:
        """A page."""
        return self.client.get(path)

    def send(self, path: str, page: str = "", files: Any = None, **fields: Any) -> Response:
        """Send a form with the token of a page, its own unless said otherwise."""
        shown = self.client.get(page or path).text
        token = re.search(r'name="form_token" value="([^"]+)"', shown)
        assert token, shown
        return self.client.post(path, data={"form_token": token[1], **fields}, files=files)

    def typed_in(self, path: str) -> dict[str, str]:
        """The main form of a page as it is shown: what a browser would send unchanged."""
        return self.typed_in_of(self.client.get(path).text)

    def typed_in_of(self, text: str) -> dict[str, str]:
        """The same of a page that is there already."""
        form = text[text.index('<form id="change"') :]
        form = form[: form.index("</form>")]
        found: dict[str, str] = {}
        for tag in re.findall(r"<input[^>]*>", form):
            name, kind = re.search(r' name="([^"]+)"', tag), re.search(r' type="([^"]+)"', tag)
            value = re.search(r' value="([^"]*)"', tag)
            if name is None or name[1] == "form_token" or (kind and kind[1] == "file"):
                continue
            if kind and kind[1] in ("checkbox", "radio") and " checked" not in tag:
                continue
            found[name[1]] = plain(value[1]) if value else ""
        for name, inner in re.findall(
            r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', form, re.S
        ):
            chosen = re.search(r'<option value="([^"]*)" selected', inner)
            first = re.search(r'<option value="([^"]*)"', inner)
            shown = chosen or first
            found[name] = plain(shown[1]) if shown else ""
        for name, inner in re.findall(
            r'<textarea[^>]* name="([^"]+)"[^>]*>\n?(.*?)</textarea>', form, re.S
        ):
            found[name] = plain(inner)
        return found


def a_yard_nobody_looked_at() -> Stage:
    """The yard of ``a_cold_yard`` before the first pass."""
    stage, vans = Stage(), a_row(4)
    stage.enter(vans, [*water(*vans[:3]), *water(vans[3], state=State.DRAINED)])
    return stage


def plain(text: str) -> str:
    """Text of an attribute without its escapes."""
    for escaped, sign in (("&#34;", '"'), ("&#39;", "'"), ("&lt;", "<"), ("&gt;", ">")):
        text = text.replace(escaped, sign)
    return text.replace("&amp;", "&")


@contextmanager
def an_office(*, looked: bool = True) -> Iterator[Office]:
    """An office, closed behind whoever used it.

    Args:
        looked: whether a pass has been over the yard; half a second.
    """
    office = Office() if looked else Office(stage=a_yard_nobody_looked_at())
    yield office
    office.ledger.close()


def hidden(text: str, name: str) -> str:
    """What a hidden field of a page holds."""
    return text.partition(f'name="{name}" value="')[2].partition('"')[0]
