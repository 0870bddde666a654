"""What was pressed by mistake behind a link is taken back by a new entry; nothing is removed."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from frostwatch.advice.reminders import AnswerKind
from frostwatch.messages.wording.draft import Kind
from frostwatch.records.entries import State
from tests.builders import a_layout, entries_for
from tests.photographs import a_photo
from tests.web.pages_read import words
from tests.web.vans import FROST, Street, a_row_of_vans, a_street

FRIDAY = datetime(2026, 11, 20, 8, 40, tzinfo=UTC)


@pytest.fixture
def street() -> Street:
    street = a_street()
    street.clock.now = FRIDAY
    return street


def kinds(street: Street, vehicle: str = "M1") -> list[AnswerKind]:
    return [answer.kind for answer in street.world.ledger.load(street.clock.now).answers[vehicle]]


def test_done_is_taken_back_whole_and_everything_stands_as_before(street: Street) -> None:
    link = street.link()
    asked = words(street.get(link).text)
    page = street.press(link, "done").text
    assert 'value="undo"' in page
    before = street.entries()
    street.clock.now += timedelta(minutes=2)

    page = street.press(link, "undo").text

    assert "Taken back, Fri 09:42. It stands as before." in words(page)
    assert 'value="done"' in page
    still = asked[asked.index("Still in it") : asked.index("Nobody has looked since.")]
    assert still in words(page), "with the date of what was told before"
    assert street.entries()[: len(before)] == before, "nothing is removed"
    new = street.entries()[len(before) :]
    assert {(e.state, e.event, e.by) for e in new} == {(State.UNKNOWN, "taken back", "maelle")}
    assert kinds(street) == [AnswerKind.DONE, AnswerKind.UNDO]


def test_the_same_press_twice_takes_back_once(street: Street) -> None:
    link = street.link()
    street.press(link, "cannot")
    street.press(link, "done")
    street.press(link, "undo", press="2")
    once = street.everything()
    street.press(link, "undo", press="2")
    assert street.everything() == once
    assert "Noted" in words(street.get(link).text)
    assert "you cannot come" in words(street.get(link).text), "the answer before it stands again"


@pytest.mark.parametrize("answer", ["cannot", "going"])
def test_any_answer_is_taken_back(street: Street, answer: str) -> None:
    link = street.link()
    fields = {"when": (FRIDAY + timedelta(hours=6)).isoformat(), "other": ""}
    street.press(link, answer, **(fields if answer == "going" else {}))
    page = street.press(link, "undo").text
    assert "Taken back" in page
    assert street.get(link).text.count('value="undo"') == 0


def test_part_is_taken_back_whole(street: Street) -> None:
    link = street.link()
    street.press(link, "part", still=["waste"])
    page = words(street.press(link, "undo").text)
    for still in ("Fresh tank, 20 L", "Heater tank", "Waste tank, 8 L"):
        assert still in page


def test_what_took_something_back_itself_is_not_undone_but_said_anew(street: Street) -> None:
    link = street.link()
    street.press(link, "done")
    street.clock.now += timedelta(minutes=1)
    page = street.press(link, "part", still=["waste"]).text
    assert 'value="undo"' not in page
    before = street.everything()
    street.press(link, "undo")
    assert street.everything() == before


def test_nothing_answered_is_nothing_to_take_back(street: Street) -> None:
    before = street.everything()
    assert 'value="undo"' not in street.press(street.link(), "undo").text
    assert street.everything() == before


def test_a_link_that_ended_takes_nothing_back(street: Street) -> None:
    link = street.link()
    street.press(link, "done")
    before = street.everything()
    street.clock.now = link.expires_at
    assert street.press(link, "undo").status_code == 410
    street.clock.now = FRIDAY
    assert street.everything() == before


def test_somebody_elses_done_meanwhile_stands() -> None:
    street = Street()
    street.world.weather.cold(FROST, hours=8.0, air_c=-5.0)
    a_row_of_vans(street)
    street.told_at(datetime(2026, 11, 20, 7, 40, tzinfo=UTC))
    link = street.link("ailsa")
    street.press(link, "cannot", van=["Y01"])
    ledger, now = street.world.ledger, street.clock.now
    (mine,) = ledger.load(now).answers["Y01"]
    kits = replace(mine, by="kit", kind=AnswerKind.DONE, at=now + timedelta(minutes=1))
    ledger.add_answers([kits])
    dry = entries_for(a_layout(), State.DRAINED, vehicle="Y01", now=now, hours_ago=0.0)
    ledger.add_entries([replace(entry, by="kit") for entry in dry])
    before = street.entries("Y01")
    street.clock.now += timedelta(minutes=5)

    page = words(street.press(link, "undo", van=["Y01"]).text)

    assert "drained, told by kit" in page
    assert street.entries("Y01") == before
    assert AnswerKind.DONE in kinds(street, "Y01")


@pytest.mark.parametrize("back", ["undo", "part"])
def test_who_took_it_back_is_asked_again_by_the_next_passes(street: Street, back: str) -> None:
    """Also where a pass had noted the answer in between: what is wet must not count as done."""
    link = street.link()
    street.press(link, "done")
    assert street.told_at(FRIDAY + timedelta(minutes=30)) == []
    street.clock.now = FRIDAY + timedelta(hours=1)
    street.press(link, back, still=["fresh", "heater", "waste"])
    told = street.told_through(*(FRIDAY + timedelta(hours=hours) for hours in range(2, 20)))
    assert {m.kind for m in told if m.recipient == "maelle"} & {Kind.WORK_ORDER, Kind.LAST_CALL}


def test_a_photograph_goes_with_what_it_proved(street: Street) -> None:
    link = street.link()
    street.press(link, "done")
    files = {"photo": ("valve.jpg", a_photo(), "image/jpeg")}
    fields = {"id": "photo-of-friday", "van": "M1"}
    street.client.post(f"/a/{link.code}/photo", data=fields, files=files)
    street.clock.now += timedelta(minutes=5)
    page = words(street.press(link, "undo").text)
    assert "Fresh tank, 20 L" in page
    assert len(street.world.ledger.photos.of_vehicle("M1")) == 1, "it is kept"
