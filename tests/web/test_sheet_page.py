"""The round on paper, and tags to cut out."""

import re

import pytest

from frostwatch.ports.accounts import Role
from frostwatch.web.pages.scan import square
from tests.builders import a_site
from tests.web.pages_read import headline, words
from tests.web.yards import HOSTILE, Stage, a_cold_yard, a_row, an_account, form_of, water


def printed(stage: Stage) -> str:
    """Release the yard's round for paper; address of its sheet."""
    client = stage.client()
    form = form_of(client, "/round") | {"site": "cold-rigg", "then": "sheet"}
    location: str = client.post("/round/release", data=form).headers["location"]
    return location


def test_the_sheet_names_hour_forecast_printing_time_and_code_in_a_head_that_repeats() -> None:
    stage = a_cold_yard()
    path = printed(stage)
    page = stage.client().get(path).text
    head = page.partition("<thead>")[2].partition("</thead>")[0]
    assert headline(page).startswith("Round: act by Tue")
    code = path.rpartition("/")[2]
    assert f"{code[:3]} {code[3:]}" in head
    assert "Printed" in head
    assert "Forecast of" in head
    assert "<svg" in head


def test_the_sheet_walks_in_order_with_passed_bays_boxes_and_room_to_write() -> None:
    stage = a_cold_yard(14, dry=1)
    page = stage.client().get(printed(stage)).text
    assert page.count('class="tick"') == 13
    assert 'class="passed"' in page
    text = words(page)
    assert "Anything else you saw" in text
    assert "Glycol heating circuits are never drained." in text
    assert "heater 10" in text.casefold()


def test_the_sheet_is_the_crew_s() -> None:
    stage = a_cold_yard()
    path = printed(stage)
    for account in (an_account(Role.VIEWER), an_account(Role.CREW, "hinterlach")):
        assert stage.client(account).get(path).status_code in (403, 404)
    assert stage.client(nobody=True).get(path).status_code in (401, 302, 303)
    assert stage.client().get("/sheet/000000").status_code == 404


def test_tags_of_a_round_are_those_of_the_vehicles_it_drains() -> None:
    stage = a_cold_yard()
    page = stage.client().get(f"{printed(stage)}/tags").text
    assert page.count("cut-tag") == 3
    assert "Do not fill. Do not switch the pump on." in page
    assert page.count("<svg") == 3


def test_tags_of_a_whole_site_come_in_pages() -> None:
    stage = Stage()
    stage.enter(a_row(30), site=a_site())
    first = stage.client().get("/tags").text
    assert first.count('class="cut-tag"') == 24
    assert "Tags 2 of 2" in first
    second = stage.client().get("/tags?page=2").text
    assert second.count('class="cut-tag"') == 6
    assert stage.client().get("/tags?page=99").status_code == 200


def test_a_square_carries_the_link_s_modules_and_nothing_of_its_text() -> None:
    drawn = str(square("https://yard.example/v/Y01"))
    assert drawn.startswith("<svg")
    assert "Y01" not in drawn
    assert "style=" not in drawn
    # ISO/IEC 18004: version 3 at level Q holds 32 bytes; 29 modules and a border of four each side
    found = re.search(r'viewBox="0 0 (\d+) (\d+)"', drawn)
    assert found is not None
    assert found.groups() == ("37", "37")


@pytest.mark.parametrize("path", ["{sheet}", "{sheet}/tags", "/tags"])
def test_paper_asks_the_database_equally_often_and_shows_what_was_typed_harmlessly(
    path: str,
) -> None:
    counts = []
    for bays in (3, 12):
        stage = Stage()
        vans = a_row(bays, name=HOSTILE[0])
        stage.enter(vans, water(*vans), site=a_site(name=HOSTILE[1]))
        stage.cold_from(30.0)
        stage.look()
        client = stage.client()
        address = path.format(sheet=printed(stage))
        page = client.get(address).text
        assert "<script" not in page
        assert "<img" not in page
        with stage.counted() as asked:
            client.get(address)
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 26
