"""The demo's pages hold at both widths, light and dark, whatever place is shown."""

import pytest

from tests.browser.conftest import Live, NewPage
from tests.browser.looks import LOOKS, assert_bears_looking_at


@LOOKS
@pytest.mark.parametrize("site", ["cold-rigg", "aunt-drive", "hinterlach"])
def test_the_round_of_each_place_bears_looking_at(
    live: Live, new_page: NewPage, site: str, size: tuple[int, int], dark: bool
) -> None:
    page = new_page(size, dark=dark)
    page.goto(f"{live.url}/round?site={site}")

    assert_bears_looking_at(page)
