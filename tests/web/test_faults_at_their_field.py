"""What is wrong with a field is said at the field, not only in the list at the top of the page."""

from html.parser import HTMLParser

import pytest

from tests.web.yards import a_cold_yard, form_of

VOID = frozenset({"input", "br", "img", "meta", "link", "hr", "col"})
ENDS_P = frozenset(
    {"p", "div", "ul", "ol", "section", "form", "fieldset", "table", "h1", "h2", "h3"}
)
"""A paragraph ends where one of these begins: the HTML standard, 13.2.6.4.7, "in body"."""


class Fields(HTMLParser):
    """The ids that stand in one and the same field, as a browser takes the page apart."""

    def __init__(self) -> None:
        super().__init__()
        self._open: list[tuple[str, int]] = []
        self.field_of: dict[str, int] = {}
        self._count = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ENDS_P and self._open and self._open[-1][0] == "p":
            self._open.pop()
        given = dict(attrs)
        here = self._open[-1][1] if self._open else 0
        if "field" in (given.get("class") or "").split():
            self._count += 1
            here = self._count
        if given.get("id"):
            self.field_of[str(given["id"])] = here
        if tag not in VOID:
            self._open.append((tag, here))

    def handle_endtag(self, tag: str) -> None:
        if any(name == tag for name, _ in self._open):
            while self._open.pop()[0] != tag:
                pass


@pytest.mark.parametrize(
    ("path", "typed"),
    [
        ("/v/Y01/record", {"how": "seen", "what": "wet", "litres": "much"}),
        ("/handovers/Y01/hour", {"day": "", "clock": "10:00", "litres": "much", "was": ""}),
        ("/v/Y01/stands", {"kind": "heated", "warm": "much", "until": ""}),
        ("/v/Y01/handbook", {"own-F1.capacity_l": "much"}),
    ],
)
def test_what_is_wrong_stands_in_the_field_that_it_is_about(
    path: str, typed: dict[str, str]
) -> None:
    client = a_cold_yard(2).client()
    answer = client.post(path, data=form_of(client, path) | typed)
    page = Fields()
    page.feed(answer.text)

    said = [name for name in page.field_of if name.endswith("-wrong")]
    assert said, answer.text[:300]
    for name in said:
        field = page.field_of[name]
        assert field > 0, name
        assert page.field_of[name.removesuffix("-wrong")] == field, name
