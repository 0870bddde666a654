"""An owner sets out on Saturday at nine: the list, the plan, the messages, and dry again after.

The story is the trade's own (first use in spring, "going Saturday 09:00"); its hours come from the
heat model. That heating on comes before the valve, the valve before the fill and the fill before
hot water is common practice, no source.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import vobject
from starlette.testclient import TestClient

from frostwatch.fleet.handbook import HandbookLine, Rule
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.people import Channel, Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.replies import parse_trip
from frostwatch.messages.wording.draft import Kind
from frostwatch.ports.plans import HandoverChange, Plans
from frostwatch.records.entries import Evidence, State
from frostwatch.service.kit import Kit
from frostwatch.service.planner import Planner
from frostwatch.web.app import build_app
from tests.builders import a_layout, an_entry, entries_for
from tests.web.test_calendar_address import path_in
from tests.web.vans import PUBLIC, THURSDAY, TOKEN, Street, maelles_van

PARIS = ZoneInfo("Europe/Paris")
SATURDAY = datetime(2026, 11, 28, 9, tzinfo=PARIS)
PHONE = "+44 7700 900123"
"""Of the range set aside for drama (Ofcom numbering plan)."""
FRIDAY = datetime(2026, 11, 27, 17, 15, tzinfo=UTC)


class Planned(Street):
    """A street whose plans are kept for the pages, as a running service keeps them."""

    @cached_property
    def kit(self) -> Kit:
        ledger = self.world.ledger
        return replace(self.world.kit, links=ledger.links, public_url=PUBLIC, plans=ledger.plans)

    @cached_property
    def client(self) -> TestClient:
        app = build_app(
            self.world.ledger,
            self.clock,
            public_url=PUBLIC,
            replies_token=TOKEN,
            planner=Planner(kit=self.kit),
        )
        return TestClient(app, base_url=PUBLIC, client=("192.0.2.7", 5000))


def a_trip_street(**changed: Any) -> Planned:
    """Told on Thursday of frost, drained and dosed since, a week before the trip."""
    street = Planned()
    street.world.weather.cold(datetime(2026, 11, 21, 2, tzinfo=UTC), hours=8.0, air_c=-5.0)
    address = "json://gateway.example/hook?to=447700900123"
    maelles_van(street, channels=(Channel(name="phone", address=address, form="short"),), **changed)
    ledger = street.world.ledger
    (van,) = [one for one in ledger.load(THURSDAY).vehicles if one.key == "M1"]
    # its valve stands in the living room, where the heating reaches it
    ledger.save_fleet(vehicles=[replace(van, layout="panel-van-indoor-valve")])
    street.told_at(THURSDAY)
    dry = entries_for(
        a_layout("panel-van"),
        State.DRAINED,
        vehicle="M1",
        now=THURSDAY + timedelta(hours=20),
        hours_ago=0.0,
        by="maelle",
    )
    dosed = an_entry(
        Circuit.TRAPS,
        State.DOSED,
        vehicle="M1",
        now=THURSDAY + timedelta(hours=21),
        hours_ago=0.0,
        dose_fraction=0.4,
        by="maelle",
    )
    street.world.ledger.add_entries([*dry, dosed])
    street.clock.now = datetime(2026, 11, 26, 18, tzinfo=UTC)
    return street


@pytest.fixture(scope="module")
def street() -> Planned:
    return a_trip_street()


def set_out(street: Street, at: str = "2026-11-28T09:00") -> str:
    link = street.link()
    return street.client.post(f"/a/{link.code}", data={"answer": "trip", "other": at}).text


def trip_hour(street: Street) -> datetime | None:
    (van,) = [v for v in street.world.ledger.load(street.clock.now).vehicles if v.key == "M1"]
    return van.handover.at if van.handover is not None else None


def test_the_list_of_a_trip_minds_a_handbook_that_keeps_the_waste_tank_empty() -> None:
    street = a_trip_street()
    ledger = street.world.ledger
    (van,) = [one for one in ledger.load(street.clock.now).vehicles if one.key == "M1"]
    empty = HandbookLine(rule=Rule.CONTAINER, says="kept empty")
    assert "open over a container" in set_out(street)
    ledger.save_fleet(vehicles=[replace(van, handbook=(empty,))])

    page = set_out(street)
    told = [m for hours in (0.0, 3.0) for m in street.told_at(FRIDAY + timedelta(hours=hours))]
    for text in (page, *(m.long for m in told if m.kind == Kind.WARM_UP)):
        assert "open over a container" not in text
    assert any(m.kind == Kind.WARM_UP for m in told)


class Overtaken:
    """Plans that somebody else changes just before anything is entered."""

    def __init__(self, plans: Plans, after: Handover | None) -> None:
        self._plans, self._after = plans, after

    def enter(self, change: HandoverChange, *, post: str | None = None) -> bool:
        self._plans.enter(replace(change, after=self._after))
        return self._plans.enter(change, post=post)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._plans, name)


@pytest.mark.parametrize(
    ("others", "said"),
    [
        (Handover(at=SATURDAY + timedelta(hours=3)), "changed the hour meanwhile; it is Sat 12:00"),
        (None, "took the hour off meanwhile"),
    ],
)
def test_an_hour_that_somebody_else_changed_meanwhile_is_asked_for_again(
    others: Handover | None, said: str
) -> None:
    street = a_trip_street()
    if others is None:
        set_out(street, "2026-11-28T07:00")
    state, plans = street.client.app.state, street.world.ledger.plans  # type: ignore[attr-defined]
    known = state.answers
    overtaken: Any = Overtaken(plans, others)
    state.answers = replace(known, trips=replace(known.trips, plans=overtaken))
    sent = {"answer": "trip", "other": "2026-11-28T09:00"}

    answer = street.client.post(f"/a/{street.link().code}", data=sent)
    assert answer.status_code == 409
    assert said in answer.text.replace("\xa0", " ")
    assert 'value="2026-11-28T09:00"' in answer.text, "what was typed stays"
    assert trip_hour(street) == (others.at if others is not None else None)

    state.answers = known
    set_out(street)
    assert trip_hour(street) == SATURDAY


def test_the_whole_story_from_the_answer_to_dry_again() -> None:
    street = a_trip_street()
    link = street.link()
    assert "Going on a trip?" in street.get(link).text
    page = set_out(street)
    assert trip_hour(street) == SATURDAY
    for put_back in ("drain plug", "Low points and taps shut", "Dump valve shut", "Antifreeze"):
        assert put_back in page, put_back
    assert "heating on by Sat" in page.replace("\xa0", " ")
    assert "disposal point" in page
    assert "Never wedge" in page
    assert "Water heating only with the tank full" in page

    # the evening before, and when the heating goes on
    told = [
        m for hours in (0.0, 3.0, 12.6) for m in street.told_at(FRIDAY + timedelta(hours=hours))
    ]
    plans = [m for m in told if m.kind == Kind.WARM_UP]
    assert [m.recipient for m in plans] == ["maelle", "maelle"]
    evening, on = plans
    assert "to set out Sat 09:00" in evening.long.replace("\xa0", " ")
    assert "put back: " in evening.long
    assert "After the trip drain it" in evening.long
    assert "heating on now" in on.long
    assert len(evening.short) <= 160
    newest = street.link()
    assert f"/a/{newest.code}" in on.short
    assert "<h1>A trip: Sat" in street.get(newest).text

    # the hour has come: nobody knows what is in it, and the page says how it gets dry again
    street.told_at(datetime(2026, 11, 28, 12, tzinfo=UTC))
    (begun,) = [e for e in street.entries() if e.event == "trip"]
    assert (begun.state, begun.evidence, begun.at) == (
        State.UNKNOWN,
        Evidence.PREDICTED,
        SATURDAY,
    )
    street.told_at(datetime(2026, 11, 28, 13, tzinfo=UTC))
    assert len([e for e in street.entries() if e.event == "trip"]) == 1
    after = street.get(link).text
    assert "Back from the trip of" in after
    assert "The knob leaves some 20 L" in after.replace("\u00a0", " ")

    street.press(link, "done")
    assert "Back from the trip" not in street.get(link).text


def test_after_a_trip_the_vehicle_is_asked_about_before_the_next_frost() -> None:
    street = a_trip_street()
    set_out(street)
    street.told_at(datetime(2026, 11, 28, 12, tzinfo=UTC))
    street.world.weather.cold(datetime(2026, 12, 3, 1, tzinfo=UTC), hours=9.0, air_c=-7.0)
    monday = datetime(2026, 11, 30, tzinfo=UTC)
    told = street.told_through(*(monday + timedelta(hours=hour) for hour in range(72)))
    assert {m.kind for m in told} & {Kind.WORK_ORDER, Kind.LAST_CALL, Kind.CHECK_REQUEST}


def test_the_hour_is_moved_later_and_the_plan_with_it(street: Planned) -> None:
    first = set_out(street)
    later = set_out(street, "2026-11-28T14:00")
    assert trip_hour(street) == SATURDAY.replace(hour=14)
    assert "Sat 14:00" in later.replace("\xa0", " ")
    assert first != later
    stay = street.client.post(f"/a/{street.link().code}", data={"answer": "no trip"}).text
    assert trip_hour(street) is None
    assert "Going on a trip?" in stay


def test_an_hour_that_has_passed_is_asked_again_with_what_was_typed(street: Planned) -> None:
    answer = street.client.post(
        f"/a/{street.link().code}", data={"answer": "trip", "other": "2020-01-01T09:00"}
    )
    assert answer.status_code == 422
    assert 'value="2020-01-01T09:00"' in answer.text
    assert trip_hour(street) is None


def test_where_no_heating_reaches_the_page_says_why_and_names_no_hour_that_has_passed() -> None:
    """A dump valve under the floor shuts by the outside air; a drained trip is a way out.

    Common practice, no source.
    """
    street = a_trip_street()
    ledger = street.world.ledger
    (van,) = [one for one in ledger.load(street.clock.now).vehicles if one.key == "M1"]
    ledger.save_fleet(vehicles=[replace(van, layout="panel-van", heat=())])
    street.world.weather.cold(datetime(2026, 11, 26, 12, tzinfo=UTC), hours=60.0, air_c=1.0)
    street.told_at(street.clock.now)

    page = set_out(street, "2026-11-26T21:00").replace("\xa0", " ")
    assert "cannot be ready by Thu 21:00" in page
    assert "Its dump valve is under the floor, where no heating reaches" in page
    assert "set out with nothing in it" in page
    assert "warm building" not in page, "two hours warm nothing"
    assert "Nobody has entered what heats it" in page

    morning = set_out(street, "2026-11-28T09:00").replace("\xa0", " ")
    assert "warm building" not in morning, "driven out to light its burner, the valve is cold again"
    assert "set out with nothing in it" in morning


def test_a_trip_stands_in_the_owner_s_calendar_and_moves_there(street: Planned) -> None:
    path = path_in(street.client.post(f"/a/{street.link().code}/calendar"))
    set_out(street)

    def entries() -> dict[str, datetime]:
        read = vobject.readOne(street.client.get(path).text)
        return {e.uid.value: e.dtstart.value for e in read.vevent_list if "handover" in e.uid.value}

    before = entries()
    assert SATURDAY in before.values()
    set_out(street, "2026-11-28T10:00")
    after = entries()
    assert after.keys() == before.keys()
    assert all(at - before[uid] == timedelta(hours=1) for uid, at in after.items()) or (
        SATURDAY + timedelta(hours=1) in after.values()
    )
    street.client.post(f"/a/{street.link().code}", data={"answer": "no trip"})


@pytest.mark.parametrize(
    ("text", "back"),
    [
        ("GOING SAT 09:00", "set out"),
        ("Trip Saturday at 9:00.", "set out"),
        ("Going Sat 9h", "set out"),
    ],
)
def test_a_word_in_reply_with_day_and_hour_is_a_trip(street: Planned, text: str, back: str) -> None:
    answer = street.client.post(
        "/replies",
        json={"from": PHONE, "text": text},
        headers={"authorization": f"Bearer {TOKEN}"},
    ).json()
    assert answer["taken"] == "trip", answer
    assert back in answer["reply"]
    assert "Sat 28 Nov 09:00" in answer["reply"], "which Saturday was understood"
    assert len(answer["reply"]) <= 160
    assert trip_hour(street) == SATURDAY
    street.client.post(f"/a/{street.link().code}", data={"answer": "no trip"})


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("REISE SA 9 Uhr", (28, 9, 0)),
        ("Fahrt Samstag um 9.30", (28, 9, 30)),
        ("DEPART SAM 9h", (28, 9, 0)),
        ("départ dimanche à 9h30", (29, 9, 30)),
        ("going thu 08:00", (3, 8, 0)),
        ("> GOING?\ngoing fri 10:00", (27, 10, 0)),
        ("going sat", None),
        ("going on sat 09:00 maybe", None),
        ("we are going sat 09:00", None),
        ("going sat 25:00", None),
        ("done sat 09:00", None),
    ],
)
def test_a_trip_is_read_from_day_and_hour_alone(
    text: str, wanted: tuple[int, int, int] | None
) -> None:
    now = datetime(2026, 11, 26, 18, tzinfo=UTC)  # a Thursday, 19:00 in Paris
    found = parse_trip(text, now, PARIS)
    if wanted is None:
        assert found is None
    else:
        there = found.astimezone(PARIS) if found is not None else None
        assert there is not None
        assert (there.day, there.hour, there.minute) == wanted


def test_nobody_but_an_owner_names_a_trip_and_opening_names_none(street: Planned) -> None:
    before = street.everything()
    assert "When do you set out?" in street.get(street.link(), ask="trip").text
    assert street.everything() == before


@pytest.mark.parametrize("language", [Language.DE, Language.FR])
def test_the_trip_speaks_the_owner_s_language(language: Language) -> None:
    street = a_trip_street(language=language)
    page = set_out(street).replace("\xa0", " ").replace("\u202f", " ")
    head = {Language.DE: "Reise: Sa 09:00", Language.FR: "Voyage : sam. 9 h"}[language]
    assert head in page
    assert "heating" not in page
