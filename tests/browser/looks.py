"""What every page must bear: two widths, light and dark, no sideways scroll, no axe violation."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Literal

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page, expect

PHONE, DESK = (360, 740), (1440, 900)
DARK: Literal["dark"] = "dark"
LIGHT: Literal["light"] = "light"
FIND_VIOLATIONS = "axe.run({resultTypes: ['violations']}).then(found => found.violations)"
LOOKS_IN_TURN: tuple[tuple[tuple[int, int], Literal["light", "dark"]], ...] = (
    (PHONE, DARK),
    (DESK, LIGHT),
    (PHONE, LIGHT),
)
"""Where many pages are looked at, each is in one of these looks."""


@contextmanager
def another_page(page: Page) -> Iterator[None]:
    """Around a press that opens another page: until that one is loaded.

    A click is over before the browser has begun to open anything. What is read of the page without
    waiting (its address, a text, a count, a picture, the ledger) has to come after this, or after
    an ``expect`` of something that only the new page has.
    """
    with page.expect_navigation(wait_until="load"):
        yield


def assert_bears_looking_at(page: Page) -> None:
    """The page as it stands scrolls only down, and axe-core finds no violation."""
    assert_scrolls_only_down(page)
    assert_has_no_violation(page)


def assert_scrolls_only_down(page: Page) -> None:
    """Nothing stands out at the side."""
    page.wait_for_load_state()
    expect(page.locator("body")).to_be_attached()
    wide: int = page.locator("html").evaluate("html => html.scrollWidth - window.innerWidth")
    assert wide <= 0, f"{page.url} scrolls {wide} px sideways at {page.viewport_size}"


def assert_has_no_violation(page: Page) -> None:
    """axe-core finds nothing. Half a megabyte, so that a page gets it once."""
    if not page.evaluate("typeof window.axe === 'object'"):
        page.evaluate(AXE_SCRIPT)
    found: Any = page.evaluate(FIND_VIOLATIONS)
    lines = [
        f"{one['id']}: {one['help']}: {node['html'][:200]}"
        for one in found
        for node in one["nodes"]
    ]
    assert lines == [], f"{page.url}\n" + "\n".join(lines)


def assert_bears_look(page: Page, size: tuple[int, int], scheme: Literal["light", "dark"]) -> None:
    """The same at a width and in a scheme, without opening the page anew."""
    _look(page, size, scheme)
    assert_bears_looking_at(page)


def _look(page: Page, size: tuple[int, int], scheme: Literal["light", "dark"]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.emulate_media(color_scheme=scheme)


def assert_bears_every_look(page: Page) -> None:
    """All four scroll only down; axe-core looks at two, which have each width and each scheme."""
    for size, scheme in ((DESK, LIGHT), (PHONE, DARK)):
        _look(page, size, scheme)
        assert_scrolls_only_down(page)
    for size, scheme in ((DESK, DARK), (PHONE, LIGHT)):
        assert_bears_look(page, size, scheme)
