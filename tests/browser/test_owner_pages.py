"""What an owner's link leads to, in a browser: a trip, the calendar's address, after the frost."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import cast

from fastapi import FastAPI
from playwright.sync_api import Page, expect

from frostwatch.web.serving import listening_at, serving
from tests.browser.looks import DARK, DESK, LIGHT, PHONE, assert_bears_look
from tests.web.test_answer_after_frost import MORNING, NEXT_DAY, after_frost
from tests.web.test_trip_story import a_trip_street
from tests.web.vans import Street


@contextmanager
def shown(street: Street) -> Iterator[str]:
    """The page behind the newest link of an owner."""
    app = cast(FastAPI, street.client.app)
    with listening_at("127.0.0.1", 0) as door, serving(app, door):
        yield f"http://127.0.0.1:{door.getsockname()[1]}/a/{street.link().code}"


def is_set_as_all_pages_are(page: Page) -> None:
    """A page one step further down finds its style too."""
    left = page.get_by_role("main").evaluate("main => getComputedStyle(main).paddingLeft")
    assert left != "0px"


def test_an_owner_names_a_trip_and_sees_its_plan_first(phone: Page) -> None:
    with shown(a_trip_street()) as url:
        phone.goto(url)
        phone.get_by_role("link", name="Name the hour").click()
        expect(phone.get_by_role("heading", level=1)).to_have_text("When do you set out?")
        assert_bears_look(phone, PHONE, DARK)
        phone.get_by_label("Day and hour").fill("2026-11-28T09:00")
        phone.get_by_role("button", name="Keep this").click()
        expect(phone.get_by_role("heading", level=1)).to_have_text("A trip: Sat 09:00")
        expect(phone).to_have_title("A trip: Sat 09:00")
        assert_bears_look(phone, PHONE, LIGHT)
        assert_bears_look(phone, DESK, DARK)
        said = phone.get_by_role("main").inner_text()
        assert said.index("Put back before any water goes in") < said.index("Photo")
        assert "maelle" not in said, "a name, no key"
        step = phone.get_by_role("listitem").filter(has_text="Space heating on")
        tops = step.locator(".mind").evaluate_all("all => all.map(one => one.offsetTop)")
        assert tops == sorted(set(tops)), "each caution on a line of its own"

        phone.get_by_role("button", name="We stay at home").click()
        expect(phone.get_by_role("heading", name="Going on a trip?")).to_be_visible()


def test_an_owner_gets_an_address_for_the_calendar(phone: Page) -> None:
    with shown(a_trip_street()) as url:
        phone.goto(f"{url}?lang=de")
        phone.get_by_role("button", name="Adresse für den Kalender holen").click()
        head = phone.get_by_role("heading", level=1)
        expect(head).to_have_text("Die Adresse des Kalenders")
        expect(phone.get_by_label("Die Adresse des Kalenders")).to_have_value(
            re.compile(r"https://frost\.example/calendar/[\w-]{43}\.ics")
        )
        is_set_as_all_pages_are(phone)
        assert_bears_look(phone, PHONE, LIGHT)
        assert_bears_look(phone, DESK, DARK)
        phone.get_by_role("link", name="Zurück").click()
        expect(head).to_contain_text("Nichts zu tun")


def test_after_the_frost_the_page_leads_from_leaving_alone_to_looking(phone: Page) -> None:
    for moment, says in ((MORNING, "alone until about Sat"), (NEXT_DAY, "Thaw check: ")):
        with shown(after_frost(moment)) as url:
            phone.goto(url)
            expect(phone.get_by_role("heading", level=1)).to_contain_text(says)
            assert_bears_look(phone, PHONE, DARK)
            assert_bears_look(phone, DESK, LIGHT)
