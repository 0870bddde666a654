"""The demo's pages hold at both widths, light and dark, whatever place is shown."""

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Live
from tests.browser.looks import assert_bears_every_look


@pytest.mark.parametrize("site", ["cold-rigg", "aunt-drive", "hinterlach"])
def test_the_round_of_each_place_bears_looking_at(live: Live, desk: Page, site: str) -> None:
    desk.goto(f"{live.url}/round?site={site}")

    assert_bears_every_look(desk)
