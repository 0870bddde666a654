"""A round walked on phones while the network comes and goes, in a real browser."""

import shutil
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from fastapi import FastAPI
from playwright.sync_api import Page, Route, expect

from frostwatch.advice.walk import Obstacle, PressKind, stops_now
from frostwatch.service.walking import hand_back
from frostwatch.web.serving import listening_at, serving
from tests.browser.conftest import NewPage
from tests.browser.looks import PHONE, another_page, assert_bears_every_look
from tests.browser.walks import (
    Yard,
    a_yard_before_its_round,
    a_yard_with_a_round,
    another_does,
    arrived,
    kept,
    opened_from_server,
    signal_is_back,
    until_kept,
    until_ready,
    walks,
)


@pytest.fixture
def yard(demo_morning: tuple[Path, datetime], tmp_path: Path) -> Iterator[Yard]:
    database, moment = demo_morning
    with a_yard_with_a_round(Path(shutil.copy(database, tmp_path)), moment) as yard:
        yield yard


def done(page: Page) -> None:
    page.locator(".btn-glove").click()


def bay(page: Page) -> str:
    return page.locator("#bay").inner_text()


def test_presses_made_while_the_network_is_cut_arrive_when_it_is_back(
    yard: Yard, phone: Page
) -> None:
    walks(phone, yard, "Kit")
    first = bay(phone)
    done(phone)
    arrived(phone, yard, 1)
    yard.cut()
    done(phone)
    kept(phone, "No signal. 1 stop kept on this phone")
    phone.get_by_role("button", name="Could not").click()
    phone.get_by_role("button", name="No key").click()
    kept(phone, "No signal. 2 stops kept on this phone")
    phone.get_by_role("button", name="Only part").click()
    phone.get_by_role("button", name="Keep this").click()
    wrong = phone.get_by_role("alert")
    expect(wrong).to_contain_text("Nothing is ticked. Tick what is drained or dosed now")
    phone.locator("fieldset input").first.check()
    expect(wrong).to_be_hidden()
    phone.get_by_role("button", name="Keep this").click()
    kept(phone, "No signal. 3 stops kept")
    assert len(yard.presses) == 1
    yard.mend()
    signal_is_back(phone)
    arrived(phone, yard, 4)
    by_kind = {press.kind: press for press in yard.presses}
    assert set(by_kind) == {PressKind.DONE, PressKind.COULD_NOT, PressKind.PART}
    assert by_kind[PressKind.COULD_NOT].obstacle is Obstacle.NO_KEY
    assert by_kind[PressKind.PART].circuits
    assert first != bay(phone)
    assert {press.note for press in yard.presses} == {""}


def test_a_round_is_released_and_walked_by_phone_offline_in_the_middle(
    demo_morning: tuple[Path, datetime], tmp_path: Path, phone: Page
) -> None:
    database, moment = demo_morning
    with a_yard_before_its_round(Path(shutil.copy(database, tmp_path)), moment) as yard:
        phone.context.clock.set_system_time(moment)
        phone.goto(yard.round_page)
        phone.get_by_role("button", name="Walk this round").tap()
        until_kept(phone)
        yard.code = phone.url[-6:]
        stops = phone.locator("ol.walk > li").count()
        phone.get_by_role("button", name="Done, all seen").tap()
        arrived(phone, yard, 1)
        yard.cut()
        for n in range(1, stops):
            phone.locator(".btn-glove").tap()
            kept(phone, f"No signal. {n} stop")
        yard.mend()
        signal_is_back(phone)
        expect(phone.get_by_text(f"All {stops} stops are seen and recorded.")).to_be_visible()
        yard.late_s = 0.7  # later than a round is waited for that was opened before
        phone.get_by_role("button", name="Hand the round back").tap()
        expect(phone.get_by_role("heading", level=1)).to_contain_text("Round handed back")
        assert len(yard.presses) == stops


def test_a_tab_that_is_closed_without_signal_loses_nothing(yard: Yard, phone: Page) -> None:
    walks(phone, yard, "Kit")
    yard.cut()
    done(phone)
    kept(phone, "1 stop kept on this phone")
    second = bay(phone)
    context = phone.context
    phone.close()
    again = context.new_page()
    again.goto(yard.url)
    until_ready(again)
    kept(again, "No signal. 1 stop kept on this phone")
    assert bay(again) == second
    done(again)
    kept(again, "No signal. 2 stops kept")
    yard.mend()
    signal_is_back(again)
    arrived(again, yard, 2)
    assert {press.by for press in yard.presses} == {"Kit"}


def test_a_phone_clock_an_hour_off_is_noted_and_arrival_counts(yard: Yard, phone: Page) -> None:
    walks(phone, yard, "Kit", off_h=1.0)
    done(phone)
    arrived(phone, yard, 1)
    (press,) = yard.presses
    assert press.note == "phone clock 60 min ahead: time of arrival counts"
    assert press.at == yard.clock.now


def test_what_was_taken_back_without_signal_never_happened(yard: Yard, phone: Page) -> None:
    walks(phone, yard, "Kit")
    first = bay(phone)
    yard.cut()
    done(phone)
    kept(phone, "1 stop kept")
    phone.get_by_role("button", name=f"Undo {first}").click()
    expect(phone.locator("#bay")).to_have_text(first)
    kept(phone, "No signal. 2 stops kept")
    yard.mend()
    signal_is_back(phone)
    kept(phone, "All sent")
    walk = yard.ledger.rounds.round(yard.code)
    assert walk is not None
    assert all(stop.is_open for stop in stops_now(walk, yard.presses))


def test_an_answer_that_is_lost_does_nothing_twice(yard: Yard, new_page: NewPage) -> None:
    phone = new_page(PHONE, has_touch=True, service_workers="block")
    phone.context.clock.set_system_time(yard.clock.now)
    lost = []

    def lose(route: Route) -> None:
        route.fetch()
        lost.append(1)
        route.abort()

    phone.goto(yard.url)
    phone.get_by_label("Your initials or name").fill("Kit")
    phone.get_by_role("button", name="Begin").click()
    until_ready(phone)
    phone.route("**/presses", lose, times=1)
    done(phone)
    kept(phone, "1 stop kept on this phone")
    assert lost
    assert len(yard.presses) == 1
    signal_is_back(phone)
    arrived(phone, yard, 1)
    assert len(yard.ledger.record_of(yard.presses[0].vehicle)) > 0


def test_two_phones_that_differ_keep_both_and_ask_which_is_so(
    yard: Yard, new_page: NewPage
) -> None:
    kit, marek = (new_page(PHONE, has_touch=True) for _ in range(2))
    walks(kit, yard, "Kit")
    walks(marek, yard, "Marek")
    first = bay(kit)
    yard.cut()
    done(kit)
    marek.get_by_role("button", name="Could not").click()
    marek.get_by_role("button", name="Valve stuck, left alone").click()
    kept(kit, "No signal. 1 stop kept")
    kept(marek, "No signal. 1 stop kept")
    yard.mend()
    for count, phone in enumerate((kit, marek), start=1):
        signal_is_back(phone)
        arrived(phone, yard, count)
    assert {(press.by, press.kind) for press in yard.presses} == {
        ("Kit", PressKind.DONE),
        ("Marek", PressKind.COULD_NOT),
    }
    two = kit.get_by_text(f"{first} has two records")
    opened_from_server(kit, two)
    expect(two).to_be_visible()
    with another_page(kit):
        kit.get_by_role("button", name="It is not done").click()
    opened_from_server(kit, two, there=False)


def test_what_the_other_phone_did_is_shown_when_signal_is_back(
    yard: Yard, new_page: NewPage
) -> None:
    kit, marek = (new_page(PHONE, has_touch=True) for _ in range(2))
    walks(kit, yard, "Kit")
    walks(marek, yard, "Marek")
    done(kit)
    arrived(kit, yard, 1)
    signal_is_back(marek)
    expect(marek.locator(".line[data-done]").first).to_contain_text("Kit")


def test_a_network_that_never_answers_does_not_hold_up_the_walk(yard: Yard, phone: Page) -> None:
    walks(phone, yard, "Kit")
    first = bay(phone)
    yard.hold()
    phone.goto(yard.url, wait_until="commit")
    until_ready(phone)
    done(phone)
    expect(phone.locator("#bay")).not_to_have_text(first)
    assert yard.presses == []
    yard.let_go()
    signal_is_back(phone)
    arrived(phone, yard, 1)


def test_a_round_opened_from_the_phone_hears_the_server_as_soon_as_it_answers(
    yard: Yard, phone: Page
) -> None:
    walks(phone, yard, "Kit")
    yard.hold()
    phone.goto(yard.url, wait_until="commit")
    until_ready(phone)
    walk = yard.ledger.rounds.round(yard.code)
    assert walk is not None
    another_does(yard, walk.stops[1].stop.vehicle)
    button = phone.locator(".btn-glove").element_handle()
    yard.let_go()
    expect(phone.locator(".line[data-done]").first).to_contain_text("Marek")
    assert button.evaluate("one => one.isConnected"), "it stays under the thumb that presses it"
    yard.hold()
    phone.goto(yard.url, wait_until="commit")
    until_ready(phone)
    for stop in (walk.stops[0], *walk.stops[2:]):
        another_does(yard, stop.stop.vehicle)
    yard.let_go()
    expect(phone.get_by_text(f"All {len(walk.stops)} stops are seen and recorded.")).to_be_visible()


def test_a_server_that_is_down_behind_its_proxy_leaves_the_walker_the_round(
    yard: Yard, phone: Page
) -> None:
    walks(phone, yard, "Kit")
    first = bay(phone)
    yard.cut()
    proxy = FastAPI()
    proxy.add_api_route("/{path:path}", lambda path: {}, status_code=502)
    with listening_at("127.0.0.1", yard.port) as door, serving(proxy, door):
        phone.goto(yard.url)
        until_ready(phone)
        expect(phone.locator("#bay")).to_have_text(first)
        done(phone)
        expect(phone.locator("#bay")).not_to_have_text(first)


def test_the_walk_bears_looking_at_in_every_state(yard: Yard, phone: Page) -> None:
    walks(phone, yard, "Kit")
    assert_bears_every_look(phone)
    phone.get_by_role("button", name="Only part").click()
    phone.get_by_role("button", name="Keep this").click()
    expect(phone.get_by_role("alert")).to_contain_text("Nothing is ticked")
    assert_bears_every_look(phone)
    phone.get_by_role("button", name="Back to the stop").click()
    phone.get_by_role("button", name="Could not").click()
    assert_bears_every_look(phone)


def test_without_script_every_button_is_a_form(yard: Yard, new_page: NewPage) -> None:
    phone = new_page(PHONE, java_script_enabled=False)
    phone.goto(yard.url)
    phone.get_by_label("Your initials or name").fill("Kit")
    phone.get_by_role("button", name="Begin").click()
    first = phone.locator("#bay").inner_text()
    with another_page(phone):
        done(phone)
    assert phone.locator("#bay").inner_text() != first
    assert [press.kind for press in yard.presses] == [PressKind.DONE]
    with another_page(phone):
        phone.get_by_role("button", name=f"Undo {first}").click()
    assert phone.locator("#bay").inner_text() == first


def test_presses_that_arrive_after_the_round_was_handed_back_are_kept_and_stay_in_sight(
    yard: Yard, phone: Page
) -> None:
    walks(phone, yard, "Marek")
    yard.cut()
    done(phone)
    kept(phone, "No signal. 1 stop kept on this phone")
    walk = yard.ledger.rounds.round(yard.code)
    assert walk is not None
    hand_back(yard.ledger.rounds, walk, yard.clock.now)
    yard.mend()
    signal_is_back(phone)
    arrived(phone, yard, 1)
    expect(phone.locator(".line[data-done]").first).to_contain_text("Marek")
