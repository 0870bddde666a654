"""What every page must bear: two widths, light and dark, no sideways scroll, no axe violation."""

from typing import Any, Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

PHONE, DESK = (360, 740), (1440, 900)
DARK: Literal["dark"] = "dark"
LIGHT: Literal["light"] = "light"
LOOKS_IN_TURN: tuple[tuple[tuple[int, int], Literal["light", "dark"]], ...] = (
    (PHONE, DARK),
    (DESK, LIGHT),
    (PHONE, LIGHT),
)
"""Where many pages are looked at, each is in one of these looks."""
LOOKS = pytest.mark.parametrize(
    ("size", "dark"),
    [(PHONE, False), (PHONE, True), (DESK, False), (DESK, True)],
    ids=["360 light", "360 dark", "1440 light", "1440 dark"],
)


def assert_bears_looking_at(page: Page) -> None:
    """The page as it stands scrolls only down, and axe-core finds no violation."""
    wide: int = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert wide <= 0, f"{page.url} scrolls {wide} px sideways"
    found: Any = Axe().run(page).response["violations"]
    lines = [
        f"{one['id']}: {one['help']}: {node['html'][:200]}"
        for one in found
        for node in one["nodes"]
    ]
    assert lines == [], f"{page.url}\n" + "\n".join(lines)


def assert_bears_look(page: Page, size: tuple[int, int], scheme: Literal["light", "dark"]) -> None:
    """The same at a width and in a scheme, without opening the page anew."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    # colours that are still on their way have no contrast of their own
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    assert_bears_looking_at(page)


def assert_bears_every_look(page: Page) -> None:
    """The same at both widths, and light and dark: each once."""
    for size, scheme in ((DESK, DARK), (PHONE, LIGHT)):
        assert_bears_look(page, size, scheme)
