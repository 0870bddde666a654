"""Photographs on a walk, in a real browser: kept on the phone, sent when every record arrived."""

import shutil
from collections.abc import Iterator
from datetime import datetime
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, Request, Route, expect

from frostwatch.ports.photos import Photo
from tests.browser.conftest import NewPage
from tests.browser.looks import PHONE, another_page, assert_bears_looking_at
from tests.browser.walks import (
    Yard,
    a_yard_with_a_round,
    another_does,
    arrived,
    kept,
    opened_from_server,
    signal_is_back,
    until,
    until_ready,
    walks,
)
from tests.photographs import a_photo, corners

PLACE = b"47.3769 N 8.5417 E"
CAMERA = a_photo(3000, 2000, comment=PLACE)


@pytest.fixture
def yard(demo_morning: tuple[Path, datetime], tmp_path: Path) -> Iterator[Yard]:
    database, moment = demo_morning
    with a_yard_with_a_round(Path(shutil.copy(database, tmp_path)), moment) as yard:
        yield yard


def take(page: Page, data: bytes = CAMERA) -> None:
    """Take a photograph of the stop that is open."""
    page.locator("#photo").set_input_files(
        {"name": "camera.jpg", "mimeType": "image/jpeg", "buffer": data}
    )


def done(page: Page) -> None:
    page.locator(".btn-glove").click()


def photos(yard: Yard) -> list[Photo]:
    """What arrived of the vehicles of the round."""
    walk = yard.ledger.rounds.round(yard.code)
    assert walk is not None
    return [
        photo for stop in walk.stops for photo in yard.ledger.photos.of_vehicle(stop.stop.vehicle)
    ]


def brought(page: Page, yard: Yard, count: int) -> list[Photo]:
    """Until so many photographs arrived."""
    until(page, lambda: len(photos(yard)) >= count)
    found = photos(yard)
    assert len(found) == count
    return found


def test_a_photograph_taken_without_signal_arrives_after_its_record_and_small(
    yard: Yard, phone: Page
) -> None:
    walks(phone, yard, "Kit")
    yard.cut()
    take(phone)
    kept(phone, "1 photo waits on this phone")
    expect(phone.locator("#photos-here")).to_have_text("1 photo of this stop")
    done(phone)
    kept(phone, "No signal. 1 stop kept on this phone. 1 photo waits on this phone")
    sent: list[Request] = []
    phone.on("request", lambda one: sent.append(one) if one.method == "POST" else None)
    yard.mend()
    signal_is_back(phone)
    arrived(phone, yard, 1)
    (photo,) = brought(phone, yard, 1)
    expect(phone.locator("#kept")).not_to_contain_text("photo")

    assert [one.url.rpartition("/")[2] for one in sent] == ["presses", "photos"], "record first"
    assert 0 < int(sent[1].header_value("content-length") or 0) < len(CAMERA), (
        "it was made smaller on the phone"
    )
    assert photo.by == "Kit"
    entry = yard.ledger.record_of(photo.vehicle)[photo.entry - 1].entry
    assert (entry.by, entry.at) == ("Kit", yard.presses[0].at)
    jpeg = yard.ledger.photos.jpeg(photo.vehicle, photo.id)
    assert jpeg is not None
    assert max(Image.open(BytesIO(jpeg)).size) == 1600
    assert corners(jpeg) == [0, 1, 2, 3]
    assert PLACE not in jpeg


def test_a_tab_closed_without_signal_keeps_its_photographs_and_sends_each_once(
    yard: Yard, phone: Page
) -> None:
    walks(phone, yard, "Kit")
    yard.cut()
    take(phone)
    kept(phone, "1 photo waits")
    take(phone)
    kept(phone, "2 photos wait")
    context = phone.context
    phone.close()
    again = context.new_page()
    again.goto(yard.url)
    until_ready(again)
    kept(
        again,
        "No signal. Kept on this phone. Nothing waits to be sent. 2 photos wait on this phone",
    )
    expect(again.locator("#photos-here")).to_have_text("2 photos of this stop")
    lost = []

    def lose(route: Route) -> None:
        route.fetch()
        lost.append(1)
        route.abort()

    context.route("**/photos", lose, times=1)
    yard.mend()
    signal_is_back(again)
    until(again, lambda: bool(lost))
    kept(again, "No signal")
    signal_is_back(again)
    brought(again, yard, 2)
    expect(again.locator("#kept")).not_to_contain_text("photo")
    assert lost, "an answer was lost, and the photograph sent again"
    assert len(photos(yard)) == 2


def test_a_record_pressed_while_a_photograph_is_on_its_way_goes_first(
    yard: Yard, new_page: NewPage
) -> None:
    phone = new_page(PHONE, has_touch=True, service_workers="block")
    phone.context.clock.set_system_time(yard.clock.now)
    phone.goto(yard.url)
    phone.get_by_label("Your initials or name").fill("Kit")
    phone.get_by_role("button", name="Begin").click()
    until_ready(phone)
    held: list[Route] = []
    phone.route("**/photos", lambda route: held.append(route), times=1)
    take(phone)
    kept(phone, "Sending 1 photo")
    until(phone, lambda: bool(held))
    assert held, "the photograph hangs in a slow network"

    done(phone)

    arrived(phone, yard, 1)
    (photo,) = brought(phone, yard, 1)
    assert photo.entry > 0


def test_what_is_no_photograph_is_named_and_the_record_is_kept(yard: Yard, phone: Page) -> None:
    walks(phone, yard, "Kit")
    take(phone, b"<svg xmlns='http://www.w3.org/2000/svg'/>")
    kept(phone, "The photo is not kept: It is no photograph that can be read here")
    done(phone)
    arrived(phone, yard, 1)
    assert photos(yard) == []


def test_the_end_of_the_walk_waits_for_photographs_and_names_them(yard: Yard, phone: Page) -> None:
    walks(phone, yard, "Kit")
    phone.route("**/photos", lambda route: route.abort())
    take(phone)
    kept(phone, "1 photo waits")
    walk = yard.ledger.rounds.round(yard.code)
    assert walk is not None
    for stop in walk.stops:
        another_does(yard, stop.stop.vehicle)
    left = phone.locator("#photos-left")
    opened_from_server(phone, left)
    expect(left).to_have_text("1 photo waits on this phone")
    assert_bears_looking_at(phone)
    backs: list[Request] = []
    phone.on("request", lambda one: backs.append(one) if one.url.endswith("/back") else None)
    phone.get_by_role("button", name="Hand the round back").click()
    expect(left).to_have_text("1 photo waits on this phone")
    still = yard.ledger.rounds.round(yard.code)
    assert still is not None
    assert still.handed_back_at is None, "it waits for the photograph"

    phone.unroute("**/photos")
    signal_is_back(phone)

    brought(phone, yard, 1)
    expect(left).to_have_text("")
    with another_page(phone):
        phone.get_by_role("button", name="Hand the round back").click()
    assert len(backs) == 1, "the first press sent nothing"
    over = yard.ledger.rounds.round(yard.code)
    assert over is not None
    assert over.handed_back_at is not None


def test_without_script_a_photograph_is_a_form(yard: Yard, new_page: NewPage) -> None:
    phone = new_page(PHONE, java_script_enabled=False)
    phone.goto(yard.url)
    phone.get_by_label("Your initials or name").fill("Kit")
    phone.get_by_role("button", name="Begin").click()
    first = phone.locator("#bay").inner_text()
    take(phone)
    phone.get_by_role("button", name="Add a photo").click()
    expect(phone.locator("#photos-here")).to_have_text("1 photo of this stop")
    assert phone.locator("#bay").inner_text() == first
    assert len(photos(yard)) == 1
