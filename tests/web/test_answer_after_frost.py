"""An owner's link after the frost has come: what was told since counts, and the thaw is not missed.

That an owner is sent at most three messages a spell is common practice, no source.
"""

import math
import re
from datetime import UTC, datetime, timedelta
from functools import cache

from frostwatch.fleet.people import Language
from frostwatch.messages.wording.draft import Kind
from tests.web.vans import FROST, Street, a_street

STEP = timedelta(hours=3)
FRIDAY_NOON = datetime(2026, 11, 20, 11, 15, tzinfo=UTC)
"""12:15 at the owner's: she is reminded, for she has not answered."""
MORNING = datetime(2026, 11, 21, 8, 15, tzinfo=UTC)
NEXT_DAY = datetime(2026, 11, 22, 11, tzinfo=UTC)


def after_frost(until: datetime, *, answer: str = "", language: Language = Language.EN) -> Street:
    return _after_frost(until, answer, language).copy()


@cache
def _after_frost(until: datetime, answer: str, language: Language) -> Street:
    if until > MORNING:
        street, moment = after_frost(MORNING, answer=answer, language=language), MORNING + STEP
    else:
        street, moment = a_street(language=language), FRIDAY_NOON
        if answer:
            street.press(street.link(), answer)
    steps = range(math.ceil((until - moment) / STEP))
    street.told_through(*(moment + step * STEP for step in steps), until)
    return street


def kinds(street: Street) -> list[Kind]:
    """What she was written, oldest first."""
    made = street.world.ledger.links.made_for("maelle", since=FROST - timedelta(days=9))
    return [link.draft.kind for link in made][::-1]


def text_of(street: Street) -> str:
    return street.get(street.link()).text.replace("\xa0", " ")


def test_leave_alone_names_the_hour_of_the_message_and_promises_no_message_that_cannot_come() -> (
    None
):
    street = after_frost(MORNING)
    assert kinds(street) == [Kind.WORK_ORDER, Kind.LAST_CALL, Kind.LEAVE_ALONE]
    page = text_of(street)
    told = street.link().draft.facts
    assert told.thaw_at is not None
    assert not told.looks_again
    assert re.search(r"<h1>Leave Your panel van alone until about Sat \d\d:\d\d\.</h1>", page)
    assert "<title>Leave Your panel van alone" in page, "its name once"
    assert "No further message comes about this frost" in page
    assert "We write" not in page
    assert "As far as anybody recorded, water stood in it" in page, "nobody looked"
    long = street.world.ledger.outbox.listed(since=MORNING - timedelta(hours=3))
    assert any("what to look at and in which order stands here" in one.message.long for one in long)


def test_after_the_third_message_the_link_itself_says_that_it_may_be_looked_at() -> None:
    street = after_frost(NEXT_DAY)
    assert Kind.THAW_CHECK not in kinds(street), "three a spell"
    page = text_of(street)
    assert "<h1>Thaw check: Your panel van, Sun 12:00.</h1>" in page
    assert "Open the taps and let out what comes." in page
    assert "Leave Your panel van alone" not in page

    street.clock.now = datetime(2026, 11, 22, 20, tzinfo=UTC)
    evening = text_of(street)
    named = re.search(r"<h1>Thaw check: Your panel van, Mon (\d\d):\d\d\.</h1>", evening)
    assert named is not None
    assert 7 <= int(named[1]) <= 9, "not in the night"


def test_where_it_freezes_again_before_anybody_looked_it_is_left_alone_again() -> None:
    street = after_frost(NEXT_DAY)
    street.world.weather.cold(NEXT_DAY + timedelta(hours=4), hours=40.0, air_c=-9.0)
    street.told_through(*(NEXT_DAY + timedelta(hours=hours) for hours in range(3, 24, 3)))
    page = text_of(street)
    assert "Thaw check" not in page
    assert "<h1>Leave Your panel van alone until it has thawed, " in page


def test_what_was_written_since_counts_more_than_an_answer_before_it() -> None:
    street = after_frost(MORNING, answer="cannot")
    assert kinds(street)[-1] is Kind.LEAVE_ALONE
    page = text_of(street)
    assert "<h1>Leave Your panel van alone until about" in page
    assert "Noted" not in page


def test_after_a_thaw_check_the_button_says_what_is_written_down() -> None:
    page = text_of(after_frost(NEXT_DAY))
    assert 'value="done">Looked: all is empty</button>' in page, "twenty litres may be in it again"


def test_the_stricter_gate_for_filling_stands_beside_the_thaw_check() -> None:
    """A valve that stays shut and a pump that is warm: common practice, no source."""
    page = text_of(after_frost(NEXT_DAY))
    assert "May it be filled again?" in page
    assert "Your panel van may not be filled yet." in page
    assert "Nobody has looked since the frost." in page
    assert "May it be filled again?" not in text_of(after_frost(MORNING))

    street = after_frost(NEXT_DAY)
    street.clock.now += timedelta(hours=40)
    assert "May it be filled again?" not in text_of(street), "no forecast is read"
