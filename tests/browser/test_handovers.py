"""Handovers in a real browser: both widths, light and dark, on paper, and one under way."""

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Live, NewPage
from tests.browser.looks import LOOKS, assert_bears_looking_at


@LOOKS
@pytest.mark.parametrize(
    "path",
    [
        "/handovers?site=hinterlach",
        "/handovers?site=hinterlach&van=D09",
        "/handovers?site=cold-rigg",
        "/handovers/D08/card",
    ],
)
def test_plans_and_card_bear_looking_at(
    live: Live, new_page: NewPage, path: str, size: tuple[int, int], dark: bool
) -> None:
    page = new_page(size, dark=dark)
    page.goto(f"{live.url}{path}")

    assert_bears_looking_at(page)


@LOOKS
def test_another_source_is_shown_and_a_gate_run_over_names_the_new_hour(
    live: Live, new_page: NewPage, size: tuple[int, int], dark: bool
) -> None:
    page = new_page(size, dark=dark, java_script_enabled=False)
    page.goto(f"{live.url}/handovers?site=hinterlach")
    first = page.locator("h1").inner_text()
    page.get_by_label("gas 4 kW").check()
    page.get_by_role("button", name="Show this plan").click()
    assert page.locator("h1").inner_text() != first

    page.get_by_role("button", name="Heating is on").click()
    assert "ready about" in page.locator("h1").inner_text()
    live.clock.pass_by(hours=30)
    page.reload()
    assert "new hour" in page.locator("h1").inner_text()
    page.get_by_role("button", name="It is so: go on").click()
    assert page.locator("[aria-current=step] b").first.inner_text().startswith("Low points")


def test_on_paper_nothing_is_left_to_press(live: Live, desk: Page) -> None:
    page = desk
    page.goto(f"{live.url}/handovers?site=hinterlach")
    page.emulate_media(media="print")

    assert page.get_by_role("button").count() == 0
    assert page.locator(".plan li").first.is_visible()
