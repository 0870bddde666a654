"""A link made by hand: it tells the newest word, or how the vehicle stands where there was none."""

from datetime import timedelta

import pytest

from frostwatch.errors import FleetError
from frostwatch.messages.replies import new_code
from frostwatch.ports import AnswerLink
from frostwatch.service.owner_links import link_by_hand
from tests.web.vans import FROST, THURSDAY, Street, a_street, maelles_van


def made(street: Street, person: str = "") -> AnswerLink:
    ledger = street.world.ledger
    link = link_by_hand(ledger, "M1", person, street.clock.now, code=new_code())
    ledger.links.keep([link])
    return link


def quiet_street() -> Street:
    """Nobody was told anything, and no frost is in sight."""
    street = Street()
    maelles_van(street)
    street.told_at(THURSDAY)
    return street


def test_where_nothing_was_written_it_says_that_water_is_in_it_and_what_the_look_found() -> None:
    street = quiet_street()
    shown = " ".join(street.get(made(street)).text.split())
    assert "There is still water in it, Thu 19 Nov." in shown.replace("\xa0", " ")
    assert "nothing calls for a visit now" in shown
    assert "Written" not in shown
    assert "<b>Fresh tank, 20" in shown.replace("\xa0", " ")


def test_where_the_look_found_work_it_names_the_hour_before_anybody_is_written_to() -> None:
    street = Street()
    street.world.weather.cold(FROST, hours=8.0, air_c=-5.0)
    maelles_van(street)
    earlier = THURSDAY - timedelta(hours=1)
    street.world.ledger.commit("aunt-drive", earlier, judged_to=earlier)
    street.told_at(earlier)  # a look, at which nobody reads
    told = street.world.ledger.links.made_for("maelle", since=earlier - timedelta(days=30))
    assert told == ()
    shown = street.get(made(street)).text
    assert "Empty it before" in shown
    assert "Sat" in shown
    assert "nothing calls for a visit" not in shown


def test_it_tells_the_word_that_was_written_before_it_was_made() -> None:
    street = a_street()
    written, by_hand = street.get(street.link()), street.get(made(street))
    headline = written.text.partition("<h1")[2].partition("</h1>")[0]
    assert headline
    assert headline in by_hand.text


def test_it_says_to_treat_the_night_as_frost_where_no_forecast_was_read() -> None:
    street = Street()
    maelles_van(street)
    shown = " ".join(street.get(made(street)).text.split())
    assert "as frost" in shown
    assert "nothing calls for a visit" not in shown


def test_done_behind_it_is_noted_as_told_by_its_holder() -> None:
    street = quiet_street()
    link = made(street)
    assert street.press(link, "done").status_code == 200
    last = street.entries()[-1]
    assert (last.by, last.event) == ("maelle", "answer")


def test_opening_it_changes_nothing() -> None:
    street = quiet_street()
    link = made(street)
    before = street.everything()
    street.get(link)
    assert street.everything() == before


@pytest.mark.parametrize(
    ("vehicle", "person", "words"),
    [
        ("X9", "", "There is no vehicle 'X9'"),
        ("M1", "nobody", "There is no person 'nobody'"),
    ],
)
def test_a_link_that_would_open_nothing_is_not_made(vehicle: str, person: str, words: str) -> None:
    street = quiet_street()
    with pytest.raises(FleetError, match=words):
        link_by_hand(street.world.ledger, vehicle, person, THURSDAY, code=new_code())
