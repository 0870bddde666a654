"""By label and button: the first account, a place from nothing, an owner's press on Done."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from frostwatch.ports import AnswerLink
from frostwatch.storage.access import SqlAccess
from frostwatch.web.rights import Rights
from frostwatch.web.rights.passwords import Passwords
from tests.browser.conftest import Live, NewPage, served
from tests.browser.looks import (
    PHONE,
    another_page,
    assert_bears_every_look,
    assert_bears_looking_at,
)
from tests.web.guests import CHEAP, PASSWORD

PASSWORDS = Passwords(CHEAP)


def first_code(door: Live) -> str:
    access: SqlAccess = door.ledger.access
    rights = Rights(access=access, clock=door.clock, secure=False, passwords=PASSWORDS)
    code = rights.first_code()
    assert code is not None
    return code


def let_in(door: Live, page: Page) -> None:
    """Make the first account, as whoever starts the service does."""
    page.goto(f"{door.url}/sign-in/code")
    page.get_by_label("One-time code").fill(first_code(door))
    page.get_by_label("E-mail you will sign in with").fill("ada@yard.example")
    page.get_by_label("New password").fill(PASSWORD)
    page.get_by_role("button", name="Keep this password").click()
    expect(page.get_by_role("navigation", name="Main")).to_be_visible()


def test_the_first_account_is_made_signed_out_and_in_again(door: Live, desk: Page) -> None:
    let_in(door, desk)

    desk.get_by_role("button", name="Sign out").click()
    expect(desk.get_by_role("heading", name="Sign in")).to_be_visible()
    desk.get_by_label("E-mail").fill("ada@yard.example")
    desk.get_by_label("Password").fill("not this one at all")
    desk.get_by_role("button", name="Sign in").click()
    expect(desk.get_by_role("alert")).to_contain_text("do not belong together")
    assert_bears_looking_at(desk)
    desk.get_by_label("Password").fill(PASSWORD)
    desk.get_by_role("button", name="Sign in").click()
    expect(desk.get_by_role("button", name="Sign out")).to_be_visible()


def test_a_place_is_set_up_from_nothing_by_phone(door: Live, phone: Page, tmp_path: Path) -> None:
    let_in(door, phone)
    phone.goto(f"{door.url}/set-up")
    phone.get_by_label("Name of the place").fill("Low Fold")
    phone.get_by_label("Latitude and longitude").fill("54.6 N, 2.4 W")
    phone.get_by_label("Height above sea level").fill("4100000")
    phone.get_by_role("button", name="Keep, and go to Vehicles").click()
    expect(phone.get_by_role("alert").first).to_contain_text("One thing to put right")
    assert_bears_looking_at(phone)
    phone.get_by_label("Height above sea level").fill("210")
    with another_page(phone):
        phone.get_by_role("button", name="Keep, and go to Vehicles").click()
    vans = tmp_path / "vans.csv"
    vans.write_text("L-1; 901; motorhome; hook 1;\nL-2; 902; panel van; hook 2;\n")
    phone.get_by_label("Or a file").set_input_files(vans)
    assert_bears_looking_at(phone)
    with another_page(phone):
        phone.get_by_role("button", name="Keep, and go to People").click()
    phone.get_by_label("List of people").fill("Ada; operator; outbox://local; en; 07:40")
    assert_bears_looking_at(phone)
    with another_page(phone):
        phone.get_by_role("button", name="Keep, and take a first look").click()
    expect(phone.get_by_role("heading", level=1)).to_be_visible()
    assert_bears_looking_at(phone)
    assert "low-fold" not in door.ledger.pages.site_names(), "nothing is entered yet"
    phone.get_by_role("button", name="Enter Low Fold").click()
    expect(phone.get_by_role("heading", name="Low Fold is entered")).to_be_visible()
    assert_bears_looking_at(phone)
    assert "low-fold" in door.ledger.pages.site_names()


def test_from_an_empty_service_to_the_first_record_each_step_is_one_tap(
    new_page: NewPage, tmp_path: Path
) -> None:
    taps = 0
    moment = datetime(2026, 12, 2, 7, tzinfo=UTC)
    with served(tmp_path / "empty.db", moment, signed_in=False) as empty:
        phone = new_page(PHONE, has_touch=True)

        def tap(what: Locator) -> None:
            nonlocal taps
            taps += 1
            what.tap()

        phone.goto(empty.url)
        expect(phone.get_by_role("heading", name="Make the first account")).to_be_visible()
        let_in(empty, phone)
        tap(phone.get_by_role("link", name="Set up the place"))
        phone.get_by_label("Name of the place").fill("Low Fold")
        phone.get_by_label("Latitude and longitude").fill("54.6 N, 2.4 W")
        tap(phone.get_by_role("button", name="Keep, and go to Vehicles"))
        phone.get_by_label("List of vehicles").fill("L-1; caravans")
        tap(phone.get_by_role("button", name="Keep, and go to People"))
        expect(phone.get_by_label("List of people")).to_have_value(re.compile("ada;Operator"))
        tap(phone.get_by_role("button", name="Keep, and take a first look"))
        expect(phone.get_by_text("Nobody has an address")).to_be_visible()
        tap(phone.get_by_role("button", name="Enter Low Fold"))
        assert taps == 5
        expect(phone.get_by_role("heading", name="Low Fold is entered")).to_be_visible()

        tap(phone.get_by_role("link", name="Say what is in L-1"))
        tap(phone.get_by_label("I looked (seen)"))
        tap(phone.get_by_label("Drained, and the traps dosed"))
        phone.get_by_label("If dosed").select_option("40")
        taps += 2  # open the list, choose
        tap(phone.get_by_role("button", name="Keep this"))
        assert taps == 5 + 6
        expect(phone).to_have_url(re.compile(r"/v/L-1(\?.*)?$"))
        assert len(empty.ledger.record_of("L-1")) > 0


@pytest.mark.parametrize("locale", ["en-GB", "de-DE"])
def test_the_pages_for_nobody_bear_looking_at(door: Live, new_page: NewPage, locale: str) -> None:
    page = new_page(locale=locale)
    for path in ("/sign-in", "/sign-in/code", "/nothing-here", "/a/0000000000000"):
        page.goto(door.url + path)
        assert_bears_every_look(page)


def owners_link(live: Live) -> AnswerLink:
    """The link of the newest message to the crew of the yard or to an owner."""
    since = datetime(2026, 11, 1, tzinfo=UTC)
    return live.ledger.links.made_for("ailsa", since=since)[0]


@pytest.mark.parametrize("lang", ["en", "fr"])
def test_the_page_behind_a_link_bears_looking_at_asked_and_answered(
    live: Live, phone: Page, lang: str
) -> None:
    phone.goto(f"{live.url}/a/{owners_link(live).code}?lang={lang}")
    assert_bears_every_look(phone)

    with another_page(phone):
        phone.locator("#answer button").first.click()
    assert_bears_every_look(phone)


def test_one_press_on_done_and_the_record_says_told(live: Live, new_page: NewPage) -> None:
    page, link = new_page(PHONE, has_touch=True), owners_link(live)
    live.clock.now += timedelta(hours=1)
    page.goto(f"{live.url}/a/{link.code}?lang=en")
    with another_page(page):
        page.get_by_role("button", name=re.compile("^Done")).last.click()

    expect(page.get_by_role("heading", level=1)).to_contain_text("Noted")
    told = [one.entry for one in live.ledger.record_of(link.draft.vehicles[0])]
    assert told[-1].event == "answer"
