"""The forms of the pages as a browser finds them, and all pages that links and forms lead to."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urljoin, urlsplit

from starlette.testclient import TestClient

TYPED = frozenset({"text", "email", "password", "datetime-local", "number", "search", "textarea"})


@dataclass(kw_only=True)
class Form:
    """A form of a page.

    Attributes:
        page: address of its page.
        action: where it is sent.
        values: what it sends as it stands.
        kinds: field -> type of the control.
    """

    page: str
    action: str
    values: dict[str, str] = field(default_factory=dict)
    kinds: dict[str, str] = field(default_factory=dict)

    @property
    def typed(self) -> list[str]:
        """Fields that somebody types into."""
        return [name for name, kind in self.kinds.items() if kind in TYPED]

    @property
    def chosen(self) -> list[str]:
        """Fields that a page fills, and a stranger can fill otherwise."""
        return [name for name in self.kinds if name not in (*self.typed, "form_token")]


class _Reader(HTMLParser):
    def __init__(self, page: str) -> None:
        super().__init__()
        self.page = page
        self.forms: list[Form] = []
        self.links: list[str] = []
        self._form: Form | None = None
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A link, a form, or a control in a form."""
        given = {name: value or "" for name, value in attrs}
        if tag == "a" and given.get("href"):
            self.links.append(urljoin(self.page, given["href"]))
        elif tag == "form" and given.get("method") == "post":
            self._form = Form(page=self.page, action=urljoin(self.page, given.get("action", "")))
            self.forms.append(self._form)
        elif self._form is not None:
            self._control(self._form, tag, given)

    def _control(self, form: Form, tag: str, given: dict[str, str]) -> None:
        name = given.get("name", self._select if tag == "option" else "")
        if tag == "select":
            self._select = name
        if not name or tag not in ("input", "select", "textarea", "button", "option"):
            return
        kind = given.get("type", "text" if tag == "input" else tag)
        if tag != "option":
            form.kinds.setdefault(name, kind)
        skipped = kind in ("checkbox", "radio") and "checked" not in given
        if tag == "select" or kind == "file" or (skipped and name in form.values):
            return
        if tag != "option" or "selected" in given or name not in form.values:
            form.values[name] = given.get("value", "")

    def handle_endtag(self, tag: str) -> None:
        """A form ends."""
        if tag == "form":
            self._form = None


def read_page(text: str, page: str) -> tuple[list[Form], list[str]]:
    """The forms of a page, and where its links lead."""
    reader = _Reader(page)
    reader.feed(text)
    return reader.forms, reader.links


def all_forms(client: TestClient, *starts: str) -> Iterator[Form]:
    """Every form that is reached by links from these pages, of each kind of address one."""
    waiting, seen, sent = list(starts), set(), set()
    while waiting:
        page = urlsplit(waiting.pop(0))
        kind = _kind(page.path, page.query)
        if kind in seen or page.netloc not in ("", urlsplit(str(client.base_url)).netloc):
            continue
        seen.add(kind)
        answer = client.get(f"{page.path}?{page.query}" if page.query else page.path)
        if "text/html" not in answer.headers.get("content-type", ""):
            if "location" in answer.headers:
                waiting.append(answer.headers["location"])
            continue
        forms, links = read_page(answer.text, page.path)
        waiting += links
        for form in forms:
            key = _kind(form.action, ""), tuple(sorted(form.kinds))
            if key not in sent:
                sent.add(key)
                yield form


def _kind(path: str, query: str) -> tuple[str, str]:
    """The same for addresses that differ only in the key of a vehicle, a code or a number."""
    plain = re.sub(r"/(Y\d\d|\d+|[0-9a-z]{13})(?=/|$)", "/*", path)
    return plain, " ".join(sorted(re.findall(r"(?:^|&)((?:ask|do)=\w+)", query)))
