"""Changing a place in a real browser, one's own settings, and keys from stop to stop."""

import re

from playwright.sync_api import Page, expect

from tests.browser.conftest import Live
from tests.browser.looks import another_page, assert_bears_every_look, assert_bears_looking_at

PLACE = "/place/cold-rigg"
YARD = "?site=cold-rigg"
PAGES = (
    PLACE,
    *(f"{PLACE}/{part}" for part in ("place", "vehicles", "people", "accounts", "tokens", "links")),
    f"{PLACE}/vehicles/new",
    f"{PLACE}/vehicles/Y03/leave",
    f"{PLACE}/vehicle-list",
    f"{PLACE}/people/ailsa",
    "/own",
    "/calendar",
)


def test_every_page_on_which_a_place_is_changed_bears_looking_at(live: Live, desk: Page) -> None:
    for path in PAGES:
        desk.goto(live.url + path)
        desk.evaluate("document.querySelectorAll('main details').forEach(one => one.open = true)")
        assert_bears_every_look(desk)


def test_a_vehicle_is_moved_from_its_page_and_the_record_says_so(live: Live, phone: Page) -> None:
    phone.goto(f"{live.url}/v/Y03")
    with another_page(phone):
        phone.get_by_role("link", name="Change what is entered").tap()
    expect(phone.get_by_label("Bay", exact=True)).to_have_value("A-03")
    phone.get_by_label("Bay", exact=True).fill("A-33")
    phone.get_by_label("It was moved to this bay").check()
    phone.get_by_label("Heat that is kept on").evaluate("one => one.closest('details').open = true")
    phone.get_by_label("Held at, degrees").fill("99")
    with another_page(phone):
        phone.get_by_role("button", name="Keep this").tap()

    expect(phone.get_by_role("alert")).to_contain_text("from 0 to 30")
    assert_bears_looking_at(phone)
    phone.get_by_role("alert").get_by_role("link").first.tap()
    expect(phone.get_by_label("Held at, degrees")).to_have_value("99")
    expect(phone.get_by_label("Bay", exact=True)).to_have_value("A-33")
    phone.get_by_label("Held at, degrees").fill("")
    with another_page(phone):
        phone.get_by_role("button", name="Keep this").tap()
    expect(phone.get_by_role("alert")).to_contain_text("is recorded as moved")
    assert_bears_looking_at(phone)
    with another_page(phone):
        phone.get_by_role("button", name="Keep this").tap()

    expect(phone.get_by_role("status")).to_contain_text("Kept.")
    phone.goto(f"{live.url}/v/Y03")
    expect(phone.get_by_role("main")).to_contain_text("A-33")
    expect(phone.get_by_role("main")).to_contain_text("Moved. Demo.")
    assert live.ledger.record_of("Y03")[-1].entry.note == "from A-03 to A-33"


def test_keys_go_from_stop_to_stop_only_in_the_list_and_only_where_switched_on(
    live: Live, desk: Page
) -> None:
    desk.goto(f"{live.url}/round{YARD}")
    stops = desk.locator("table.round tr.stop th a")
    stops.first.focus()
    desk.keyboard.press("j")
    expect(stops.first).to_be_focused()

    desk.goto(f"{live.url}/own")
    desk.get_by_label("Keys go from stop to stop").check()
    with another_page(desk):
        desk.get_by_role("button", name="Keep this").click()
    expect(desk.get_by_label("Keys go from stop to stop")).to_be_checked()
    desk.goto(f"{live.url}/round{YARD}")
    desk.keyboard.press("j")
    expect(stops.nth(1)).not_to_be_focused()
    stops.first.focus()
    for key, at in (("j", 1), ("ArrowDown", 2), ("k", 1), ("ArrowUp", 0), ("k", 0)):
        desk.keyboard.press(key)
        expect(stops.nth(at)).to_be_focused()


def test_dark_is_chosen_in_the_foot_holds_on_every_page_and_never_on_paper(
    live: Live, desk: Page
) -> None:
    ground = "getComputedStyle(document.body).backgroundColor"
    desk.goto(f"{live.url}/roll{YARD}")
    light = desk.evaluate(ground)
    with another_page(desk):
        desk.get_by_role("button", name="Dark", exact=True).click()
    body = desk.locator("body")
    expect(body).not_to_have_css("background-color", light)
    expect(desk).to_have_url(re.compile("/roll"))
    dark = desk.evaluate(ground)

    desk.goto(f"{live.url}/v/Y03")
    assert desk.evaluate(ground) == dark
    desk.emulate_media(media="print", color_scheme="dark")
    assert desk.evaluate(ground) in ("rgb(255, 255, 255)", "rgba(0, 0, 0, 0)")
    assert desk.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    desk.emulate_media(media="screen", color_scheme="dark")
    with another_page(desk):
        desk.get_by_role("button", name="Light", exact=True).click()
    expect(body).to_have_css("background-color", light)  # whatever the device says
