"""Photographs on a vehicle's page in a real browser, shown under its content policy."""

from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.conftest import Live, NewPage
from tests.browser.looks import DESK, PHONE, another_page, assert_bears_looking_at
from tests.photographs import a_photo

VEHICLE = "/v/Y02"


def natural_width(page: Page) -> int:
    """Pixels of the first photograph as the browser opened it; 0 for none."""
    found: int = page.locator(".photos img").first.evaluate(
        "image => image.decode().then(() => image.naturalWidth)"
    )
    return found


@pytest.mark.parametrize(("size", "dark"), [(PHONE, True), (DESK, False)], ids=["phone", "desk"])
def test_a_photograph_is_added_shown_and_opened(
    live: Live, new_page: NewPage, tmp_path: Path, size: tuple[int, int], dark: bool
) -> None:
    file = tmp_path / "valve.jpg"
    file.write_bytes(a_photo(3000, 2000))
    page = new_page(size, dark=dark)
    page.goto(live.url + VEHICLE)
    with another_page(page):
        page.get_by_role("link", name="Add a photo").click()
    assert_bears_looking_at(page)
    page.get_by_label("Photo").set_input_files(file)
    with another_page(page):
        page.get_by_role("button", name="Keep this").click()

    expect(page.get_by_role("link", name="Photo by")).to_be_visible()
    page.locator(".photos").scroll_into_view_if_needed()
    assert natural_width(page) == 320
    assert_bears_looking_at(page)
    large = page.get_by_role("link", name="Photo by").get_attribute("href")
    assert large is not None
    answer = page.request.get(live.url + large)
    assert max(Image.open(BytesIO(answer.body())).size) == 1600
