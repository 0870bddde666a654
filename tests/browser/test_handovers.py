"""Handovers in a real browser: both widths, light and dark, on paper, and one under way."""

from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from playwright.sync_api import Page

from tests.browser.conftest import Live, NewPage
from tests.browser.looks import PHONE, another_page, assert_bears_every_look


def test_plans_and_card_bear_looking_at(live: Live, desk: Page) -> None:
    for path in (
        "/handovers?site=hinterlach",
        "/handovers?site=hinterlach&van=D09",
        "/handovers?site=cold-rigg",
        "/handovers/D08/card",
        "/handovers/D08/hour",
        "/v/D15/advice/transport",
        "/v/D02/wet",
    ):
        desk.goto(f"{live.url}{path}")
        assert_bears_every_look(desk)


def test_another_source_is_shown_and_a_gate_run_over_names_the_new_hour(
    live: Live, new_page: NewPage
) -> None:
    page = new_page(PHONE, java_script_enabled=False)
    page.goto(f"{live.url}/handovers?site=hinterlach")
    first = page.locator("h1").inner_text()
    page.get_by_label("gas 4 kW").check()
    with another_page(page):
        page.get_by_role("button", name="Keep this choice").click()
    assert page.locator("h1").inner_text() != first

    with another_page(page):
        page.get_by_role("button", name="Heating is on").click()
    assert "ready about" in page.locator("h1").inner_text()
    live.clock.pass_by(hours=30)
    page.reload()
    assert "new hour" in page.locator("h1").inner_text()
    with another_page(page):
        page.get_by_role("button", name="It is so: go on").click()
    assert page.locator("[aria-current=step] b").first.inner_text().startswith("Low points")


def test_on_paper_nothing_is_left_to_press(live: Live, desk: Page) -> None:
    page = desk
    page.goto(f"{live.url}/handovers?site=hinterlach")
    page.emulate_media(media="print")

    assert page.get_by_role("button").count() == 0
    assert page.locator(".plan li").first.is_visible()


def test_a_handover_is_entered_its_source_changed_a_gate_run_over_and_all_of_it_printed(
    live: Live, new_page: NewPage, tmp_path: Path
) -> None:
    """The whole way without script, as on a phone that allows none."""
    page = new_page((360, 780), dark=False, java_script_enabled=False)
    page.goto(f"{live.url}/handovers?site=hinterlach")
    with another_page(page):
        page.get_by_role("link", name="Enter a handover").click()
    page.get_by_label("Vehicle").select_option("D03")
    with another_page(page):
        page.get_by_role("button", name="Go on").click()
    day = live.clock.now.astimezone(ZoneInfo("Europe/Berlin")) + timedelta(days=2)
    page.get_by_label("Day").fill(f"{day:%Y-%m-%d}")
    page.get_by_label("Hour", exact=True).fill("03:00")
    page.get_by_label("Who makes it ready").fill("Resi")
    page.get_by_label("Whom it is handed to").fill("Familie Brugger")
    with another_page(page):
        page.get_by_role("button", name="Keep this handover").click()
    assert "Nobody is at work at" in page.get_by_role("alert").inner_text()
    page.get_by_label("Hour", exact=True).fill("11:00")
    with another_page(page):
        page.get_by_role("button", name="Keep this handover").click()

    assert page.locator("h1").inner_text().startswith("H-03: heating on")
    assert "Familie Brugger" in page.locator(".kicker").inner_text()
    indoors = page.get_by_label("the night before indoors")
    indoors.check()
    with another_page(page):
        page.get_by_role("button", name="Keep this choice").click()
    assert "in a warm building" in page.locator("main").inner_text()

    with another_page(page):
        page.get_by_role("button", name="Heating is on").click()
    live.clock.pass_by(hours=60)
    page.goto(f"{live.url}/handovers?site=hinterlach&van=D03")
    assert "H-03: new hour" in page.locator("h1").inner_text()
    with another_page(page):
        page.get_by_role("link", name="Plan and card for print").click()
    assert "Where the water is let out" in page.locator("main").inner_text()
    card = tmp_path / "card.pdf"
    page.pdf(path=card, prefer_css_page_size=True)
    printed = card.read_bytes()
    assert printed.startswith(b"%PDF-")
    assert printed.count(b"/Type /Page\n") >= 2, "the plan and the card, a sheet each"
