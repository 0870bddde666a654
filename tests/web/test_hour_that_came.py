"""Pages and list of a vehicle whose handover's hour came, and of which nobody said anything."""

from dataclasses import replace
from datetime import timedelta
from functools import cache

import pytest

from frostwatch.advice.occasion_words import why_wet
from frostwatch.advice.plan_words import words_for
from frostwatch.advice.rewetted import wet_row
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.people import Language
from frostwatch.records.entries import NOBODY_SAID, Entry, State
from tests.builders import NOW, a_layout, a_site, a_vehicle, entries_for
from tests.web.pages_read import words
from tests.web.yards import Stage, a_row, an_account, water

HOUR = NOW + timedelta(hours=3)
SINCE = {
    Language.EN: ("nobody since 1 Dec", "The hour of its handover came"),
    Language.DE: ("niemand seit 1.12.", "Die Stunde seiner Übergabe kam"),
    Language.FR: ("personne depuis le 1 déc.", "L’heure de sa livraison est venue"),
}


@cache
def an_hour_later() -> Stage:
    """A drained vehicle an hour after it should have been handed over."""
    stage = Stage()
    (van,) = a_row(1)
    stage.enter([replace(van, handover=Handover(at=HOUR))], water(van, state=State.DRAINED))
    stage.cold_from(30.0)
    stage.clock.now = HOUR + timedelta(hours=1)
    stage.look()
    return stage


@pytest.mark.parametrize("language", Language)
def test_no_page_has_the_service_as_one_who_saw_it(language: Language) -> None:
    client = an_hour_later().client(an_account(language=language))
    roll, page = (words(client.get(path).text) for path in ("/roll?site=cold-rigg", "/v/Y01"))
    short, long = SINCE[language]
    assert short in roll
    assert long in page
    assert f"{NOBODY_SAID}, " not in roll
    assert f"{NOBODY_SAID}, " not in page
    assert f"{NOBODY_SAID}." not in page


def the_reason(*entries: Entry, told_only: bool = False) -> str:
    row = wet_row(
        a_vehicle("Y03"), entries, NOW, unknown=not told_only, told_only=told_only, minutes=3.0
    )
    return why_wet(row, words_for(Language.EN, a_site(), NOW))


def test_the_evenings_list_says_that_nobody_said_how_it_went() -> None:
    one, *_ = entries_for(a_layout(), State.UNKNOWN)
    came = replace(one, vehicle="Y03", by=NOBODY_SAID, event="handover")
    assert "is over and nobody said how it went" in the_reason(came)
    told = the_reason(came, told_only=True)
    assert told.endswith("is over; told drained, nobody has seen it")
    assert NOBODY_SAID not in told
