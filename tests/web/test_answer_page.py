"""The page behind a link: what it shows, and what a press on it does, once."""

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest

from frostwatch.advice.reminders import AnswerKind
from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Kind
from frostwatch.records.entries import Evidence, State
from frostwatch.web.static_files import static_files
from tests.builders import a_layout, entries_for
from tests.web.vans import FROST, PUBLIC, THURSDAY, Street, a_row_of_vans, a_street

FRIDAY = datetime(2026, 11, 20, 15, 40, tzinfo=UTC)


@pytest.fixture
def street() -> Street:
    return a_street()


def test_every_message_carries_a_short_link_of_its_own(street: Street) -> None:
    link = street.link()
    (message,) = [m for m in street.world.channels.sent if m.recipient == "maelle"]

    assert f" frost.example/a/{link.code}" in message.short
    assert f"{PUBLIC}/a/{link.code}" in message.long
    assert len(message.short) <= 160
    assert link.draft.kind is Kind.WORK_ORDER


def test_the_page_says_what_by_when_and_what_is_still_in_it(street: Street) -> None:
    page = street.get(street.link()).text

    assert re.search(r'<h1>Let the water out by <span class="by">Fri\s17:00</span>.</h1>', page)
    assert "Fresh tank, 20\u00a0L" in page
    assert "As you told us on 24\u00a0Oct. Nobody has looked since." in page
    assert "Not a public warning" in page
    assert page.count("<h1>") == 1


def test_a_press_on_done_is_written_down_as_told_and_ends_the_asking(street: Street) -> None:
    link, told = street.link(), len(street.entries())
    street.clock.now = FRIDAY

    answer = street.press(link, "done")

    assert answer.status_code == 200, "the browser is sent back to the page"
    assert "Noted, Fri\u00a016:40. No more messages for this frost." in answer.text
    assert "drained, told by you, Fri\u00a016:40" in answer.text
    new = street.entries()[told:]
    assert {entry.circuit for entry in new} == {
        Circuit.FRESH_TANK,
        Circuit.HEATER_TANK,
        Circuit.WASTE_TANK,
    }
    assert {(e.state, e.evidence, e.by, e.event) for e in new} == {
        (State.DRAINED, Evidence.ASSERTED, "maelle", "answer")
    }
    later = [FRIDAY + timedelta(hours=hours) for hours in range(1, 72, 2)]
    assert street.told_through(*later) == []


def test_pressing_twice_does_nothing_twice(street: Street) -> None:
    link = street.link()
    street.press(link, "done", press="0")
    once = street.everything()
    street.press(link, "done", press="0")
    street.press(link, "done")
    assert street.everything() == once


def test_presses_at_the_same_moment_are_one(street: Street) -> None:
    """All forms were shown before any was taken: only the name of the press tells."""
    link = street.link()
    street.get(link)
    with ThreadPoolExecutor(4) as hands:
        list(hands.map(lambda _: street.press(link, "cannot", press="0"), range(4)))
    answers = street.world.ledger.load(street.clock.now).answers["M1"]
    assert [answer.kind for answer in answers] == [AnswerKind.CANNOT]


def test_only_part_asks_what_is_still_wet_and_believes_it(street: Street) -> None:
    link, told = street.link(), len(street.entries())

    asked = street.get(link, ask="part").text
    assert re.findall(r'name="still" value="(\w+)" checked', asked) == ["fresh", "heater", "waste"]
    page = street.press(link, "part", still=["waste"]).text

    assert "Still to do: Waste tank, 8\u00a0L." in page
    new = street.entries()[told:]
    assert {entry.circuit for entry in new} == {Circuit.FRESH_TANK, Circuit.HEATER_TANK}
    assert 'value="done"' in page


def test_only_part_with_nothing_left_is_done(street: Street) -> None:
    assert "No more messages" in street.press(street.link(), "part").text


def test_done_can_be_taken_back_in_part_and_earlier_words_stand_again(street: Street) -> None:
    link = street.link()
    page = street.press(link, "done").text
    assert "It was only part of it" in page
    assert 'value="waste">' in street.get(link, ask="part").text, "all was told empty: no ticks"
    before = street.entries()
    street.clock.now += timedelta(minutes=2)

    page = street.press(link, "part", still=["waste"]).text

    assert "Still to do: Waste tank, 8\u00a0L." in page
    assert street.entries()[: len(before)] == before, "nothing is removed"
    assert {entry.event for entry in street.entries()[len(before) :]} == {"taken back"}


def test_cannot_come_is_believed_and_says_when_we_write_again(street: Street) -> None:
    page = street.press(street.link(), "cannot").text

    assert "Noted, Thu\u00a018:15: you cannot come." in page
    assert re.search(r"once more if it gets colder than −\d\s°C", page)
    assert 'value="done"' in page, "it can still be done"
    assert street.told_at(FRIDAY) == []


def test_going_on_a_day_offers_the_persons_own_slots_and_leaves_them_to_it(street: Street) -> None:
    link = street.link()
    asked = street.get(link, ask="going").text
    offered = re.findall(r'name="when" value="([^"]+)"', asked)
    assert len(offered) == 4
    assert re.search(r"Fri\u00a015:30–17:\d[05]<", asked), "dusk, to five minutes"
    assert asked.count("after the hour to work to") == 3, "said before it is chosen"

    page = street.press(link, "going", when=offered[0], other="").text

    assert "Noted: you go Fri\u00a015:30" in page, "the slot, no hour out of its middle"
    assert "only if it freezes first" in page
    assert street.told_at(FRIDAY) == []


def test_going_after_the_hour_to_work_to_is_noted_and_said_to_be_late(street: Street) -> None:
    page = street.press(street.link(), "going", other="2026-11-22T11:00", when="").text

    assert "Noted: you go Sun\u00a011:00." in page
    assert "later than Fri\u00a017:00" in page


@pytest.mark.parametrize(
    "other", ["", "yesterday", "2026-11-01T10:00", "2031-01-01T10:00", "0001-01-01T00:00", "9" * 99]
)
def test_a_day_that_makes_no_sense_is_asked_again_and_nothing_is_lost(
    street: Street, other: str
) -> None:
    before = street.everything()
    again = street.press(street.link(), "going", other=other, when="")

    assert again.status_code == 422
    assert "in the coming 30 days" in again.text
    assert f'value="{other[:200]}"' in again.text
    assert street.everything() == before


@pytest.mark.parametrize("answer", ["", "yes", "DONE", "done\0", "drop table"])
def test_an_answer_nobody_knows_changes_nothing(street: Street, answer: str) -> None:
    before = street.everything()
    assert street.press(street.link(), answer).status_code == 422
    assert street.everything() == before


def test_a_round_is_answered_bay_by_bay_or_all_at_once() -> None:
    street = Street()
    street.world.weather.cold(FROST, hours=8.0, air_c=-6.0)
    a_row_of_vans(street)
    street.told_at(datetime(2026, 11, 20, 7, 40, tzinfo=UTC))
    link = street.link("ailsa")
    assert link.draft.vehicles == ("Y01", "Y02", "Y03")
    street.clock.now += timedelta(hours=2)

    page = street.press(link, "done", van=["Y02"]).text
    assert "drained, told by Ailsa Thornber" in page
    assert len(re.findall(r'name="answer" value="done"', page)) == 3, "two bays, and both"
    assert "Done, all 2" in page

    page = street.press(link, "done", van=["Y01", "Y03"]).text
    assert ". All of them are drained, as told." in page
    assert 'value="done"' not in page


def test_too_late_is_said_without_buttons_on_the_old_link_too(street: Street) -> None:
    link = street.link()
    street.world.weather.cold(FROST, hours=60.0, air_c=-9.0)
    span_h = int((FROST - FRIDAY) / timedelta(hours=1)) + 30
    street.told_through(*(FRIDAY + timedelta(hours=hour) for hour in range(span_h + 1)))
    told = street.world.ledger.links.made_for("maelle", since=THURSDAY)
    assert Kind.LEAVE_ALONE in {one.draft.kind for one in told}

    before = street.everything()
    page = street.get(link).text
    assert "<h1>Leave Your panel van alone until " in page
    assert "Do not switch the pump on" in page
    assert 'name="answer"' not in page, "nothing to press but light and dark"
    assert street.press(link, "done").status_code == 422
    assert street.everything() == before


def test_an_hour_that_has_passed_is_never_still_the_headline(street: Street) -> None:
    link = street.link()
    early = link.draft.earliest
    assert early is not None
    for moment, says in (
        (FRIDAY.replace(hour=17), "Before that it still helps."),
        (early + timedelta(minutes=5), "nobody told us how it stands"),
    ):
        street.clock.now = moment
        page = street.get(link).text.replace("\xa0", " ")
        assert "<h1>Your panel van still counts as wet, and Fri 17:00 has passed.</h1>" in page
        assert says in page
        assert "Let the water out by" not in page
        assert 'value="done"' in page, "it can still be done"
    assert "It takes 45 min" not in page, "no plan for hours that are gone"


def test_nothing_due_says_so_once_somebody_else_saw_to_it(street: Street) -> None:
    seen = entries_for(
        a_layout("panel-van"), State.DRAINED, vehicle="M1", now=FRIDAY, hours_ago=1.0, by="kit"
    )
    street.world.ledger.add_entries(seen)
    street.clock.now = FRIDAY

    page = street.get(street.link()).text
    assert "Nothing to do, " in page
    assert "Seen by kit on 20\u00a0Nov." in page
    assert 'name="answer"' not in page, "nothing to press but light and dark"


def test_without_a_forecast_the_page_never_says_that_nothing_is_due(street: Street) -> None:
    link = street.link()
    street.clock.now = THURSDAY + timedelta(hours=33)
    page = street.get(link).text
    assert "We cannot read the forecast now. Treat tonight as frost." in page
    assert 'value="done"' in page


@pytest.mark.parametrize("going", ["2026-11-21T14:00", "2026-11-22T11:00"])
def test_without_a_forecast_no_time_after_tonight_counts_as_in_time(
    street: Street, going: str
) -> None:
    street.clock.now = datetime(2026, 11, 21, 8, tzinfo=UTC)
    link, late = street.link(), "not before tonight, which counts as frost"
    today, *later = re.findall(r'<label class="choice">.*', street.get(link, ask="going").text)
    assert "Sat\u00a010:00–16:00" in today
    assert late not in today
    assert len(later) == 3
    assert all(late in one for one in later)

    page = street.press(link, "going", other=going, when="").text
    assert "Noted: you go " in page
    assert (f"That is {late}" in page) == (going > "2026-11-22")


def test_when_the_frost_has_passed_an_old_link_says_that_nothing_is_due(street: Street) -> None:
    street.world.weather.spells.clear()
    moment = THURSDAY + timedelta(days=6)
    street.told_through(*(THURSDAY + timedelta(hours=hour) for hour in range(6, 24 * 6 + 1, 6)))

    page = street.get(street.link()).text
    assert "Nothing to do now, " in page
    assert "Tell us, and you hear nothing" in page
    assert 'value="done"' in page

    street.clock.now = moment + timedelta(hours=33)
    blind = street.get(street.link()).text
    assert re.search(r"Treat tonight, \w{3}\u00a0\d+\u00a0Nov, as frost\.", blind)
    assert "Nothing to do" not in blind


def test_an_old_link_tells_of_the_next_frost_before_anybody_is_written_to(street: Street) -> None:
    link = street.link()
    street.world.weather.spells.clear()
    moment = THURSDAY + timedelta(days=6)
    street.told_through(*(THURSDAY + timedelta(hours=hour) for hour in range(6, 24 * 6 + 1, 6)))
    street.world.weather.cold(moment + timedelta(hours=33), air_c=-5.0)
    street.told_at(moment + timedelta(hours=16))

    page = street.get(link).text
    assert (
        "by the last look at the forecast" in page or "the last look at the forecast found" in page
    )
    assert "Nothing to do" not in page


@pytest.mark.parametrize(
    ("language", "headline"),
    [
        (Language.EN, "Let the water out by"),
        (Language.DE, "Wasser ablassen bis"),
        (Language.FR, "Vidangez avant"),
    ],
)
def test_the_page_speaks_the_readers_language_and_offers_the_others(
    language: Language, headline: str
) -> None:
    street = a_street(language=language)
    link = street.link()
    page = street.get(link).text
    assert f'<html lang="{language.value}">' in page
    assert headline in page
    for other in Language:
        if other is not language:
            assert f'lang="{other.value}" hreflang' in page
            assert f'<html lang="{other.value}">' in street.get(link, lang=other.value).text


def test_every_part_of_the_drawing_has_its_style(street: Street) -> None:
    page = street.get(street.link()).text
    drawing = page[page.index("<svg") : page.index("</svg>")]
    style = static_files()["style.css"].body.decode()

    for name in set(re.findall(r'class="([\w-]+)"', drawing)):
        assert re.search(rf"\.{name}\b", style), name
