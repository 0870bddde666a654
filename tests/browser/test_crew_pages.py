"""The pages of crew and office in a real browser: how they look, and what people do on them."""

import re
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.conftest import Live
from tests.browser.looks import another_page, assert_bears_every_look, assert_bears_looking_at

YARD = "?site=cold-rigg"


def release(page: Page, live: Live) -> str:
    """Release the yard's round on the page; its code."""
    page.goto(f"{live.url}/round{YARD}")
    with another_page(page):
        page.get_by_role("button", name="Walk this round").click()
    found = re.search(r"/walk/(\d{6})", page.url)
    assert found
    return found[1]


def test_every_page_of_the_yard_bears_looking_at(live: Live, desk: Page) -> None:
    page = desk
    page.goto(f"{live.url}/roll{YARD}")
    assert_bears_every_look(page)
    for path in (
        f"/leave-alone{YARD}",
        f"/owners{YARD}",
        "/v/Y03",
        "/v/Y03/record",
        "/v/Y03/handbook",
        "/v/Y03/stands",
        f"/tags{YARD}",
        "/walk",
    ):
        page.goto(live.url + path)
        page.evaluate("document.querySelectorAll('main details').forEach(one => one.open = true)")
        assert_bears_every_look(page)
    code = release(page, live)
    for path in (f"/walk/{code}?do=part", f"/sheet/{code}", f"/sheet/{code}/tags", f"/round{YARD}"):
        page.goto(live.url + path)
        if path.startswith("/walk/"):
            page.wait_for_selector("html[data-ready]", state="attached")
        assert_bears_every_look(page)


def test_a_refused_form_bears_looking_at_and_leads_to_its_faults(live: Live, phone: Page) -> None:
    phone.goto(f"{live.url}/v/Y03/record")
    phone.get_by_label("I looked (seen)").check()
    phone.get_by_label("Drained, and the traps dosed").check()
    with another_page(phone):
        phone.get_by_role("button", name="Keep this").click()
    assert_bears_looking_at(phone)
    phone.get_by_role("link", name="Choose how strong the antifreeze in the traps is.").click()
    expect(phone).to_have_url(re.compile(r"#dose$"))


def test_the_state_of_a_vehicle_is_recorded_in_six_taps(live: Live, phone: Page) -> None:
    phone.goto(f"{live.url}/v/Y03")
    phone.get_by_role("link", name="Record what you did").tap()
    phone.get_by_label("I looked (seen)").tap()
    phone.get_by_label("Drained, and the traps dosed").tap()
    phone.get_by_label("If dosed").select_option("40")  # two taps: open the list, choose
    phone.get_by_role("button", name="Keep this").tap()
    expect(phone.get_by_role("heading", level=1)).to_contain_text("A-03: nothing to do")
    expect(phone.get_by_role("complementary")).to_contain_text("Drained")


def test_a_round_is_walked_and_handed_back_by_keyboard_alone(live: Live, desk: Page) -> None:
    desk.goto(f"{live.url}/round?site=aunt-drive")
    press_button(desk, "Walk this round")
    desk.wait_for_selector("html[data-ready]", state="attached")
    press_button(desk, "Done, all seen")
    # the server's page with what is seen and open takes the place of the phone's own
    expect(desk.get_by_text("The one stop is seen and recorded.")).to_be_visible()
    press_button(desk, "Hand the round back")
    expect(desk.get_by_role("heading", level=1)).to_contain_text("Round handed back")


def press_button(page: Page, name: str) -> None:
    """Reach a button with the tabulator alone, and press it."""
    wanted = page.get_by_role("button", name=name)
    expect(wanted).to_be_visible()
    for _ in range(80):
        page.keyboard.press("Tab")
        if wanted.evaluate("element => element === document.activeElement"):
            page.keyboard.press("Enter")
            return
    raise AssertionError(f"{name} is not reached")


def test_the_sheet_is_printed_as_a_file_of_few_pages(
    live: Live, desk: Page, tmp_path: Path
) -> None:
    code = release(desk, live)
    desk.goto(f"{live.url}/sheet/{code}")
    printed = tmp_path / "sheet.pdf"
    desk.pdf(path=printed, prefer_css_page_size=True)
    pages = printed.read_bytes().count(b"/Type /Page\n")
    assert 1 < pages <= 4


def test_links_lead_from_the_round_to_a_vehicle_and_back(live: Live, desk: Page) -> None:
    desk.goto(f"{live.url}/round{YARD}")
    desk.get_by_role("link", name="A-03", exact=True).click()
    expect(desk.get_by_role("heading", level=1)).to_contain_text("A-03")
    desk.get_by_text("The same night as a table").click()
    expect(desk.get_by_role("region", name="The night as a table")).to_be_visible()
    desk.get_by_role("main").get_by_role("link", name="Round").first.click()
    expect(desk.get_by_role("heading", level=1)).to_contain_text("bays need a visit")
