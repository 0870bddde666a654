"""Writing to owners by hand: seen before it goes, sent once, and what became of it."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from frostwatch.fleet.people import Channel, Language
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.messages.outbox import flush
from frostwatch.messages.replies import codes_in
from frostwatch.ports import Message, OutboxRow, Refused, Sent
from frostwatch.ports.accounts import Role
from frostwatch.service.quiet import hold_for
from tests.builders import NOW, a_vehicle, an_owner
from tests.web.pages_read import headline, words
from tests.web.yards import Stage, an_account, form_of, the_people, water

PATH = "/owners"
UTTA = an_owner("utta", name="Utta Brendel", language=Language.DE, slots=())
IAN = an_owner("ian", name="Ian Marsh", language=Language.EN, slots=())
NOBODY = an_owner("nils", name="Nils Moor", channels=())


class Post:
    """Takes everything, or refuses it for good."""

    def __init__(self, refuse: str = "") -> None:
        self.refuse = refuse
        self.sent: list[Message] = []

    def send(self, message: Message, now: object) -> Sent | Refused:
        if self.refuse:
            return Refused(permanent=True, reason=self.refuse)
        self.sent.append(message)
        return Sent(note="taken")


def the_vans() -> list[Vehicle]:
    return [
        a_vehicle("Y01", bay="A-01", keeper="utta"),
        a_vehicle("Y02", bay="A-02", keeper="ian"),
        a_vehicle("Y03", bay="A-03", keeper="nils"),
        a_vehicle("Y04", bay="A-04"),
    ]


def a_stage(*, frozen: bool = False) -> Stage:
    """Three kept by owners, one of whom cannot be reached, and one of the yard's."""
    stage = Stage()
    vans = the_vans()
    stage.enter(vans, water(*vans), people=[*the_people(), UTTA, IAN, NOBODY])
    if frozen:
        stage.cold_from(-30.0, lasts=60.0, air_c=-12.0)
    else:
        stage.cold_from(30.0)
    stage.look()
    _forget_what_went_out(stage)
    stage.clock.pass_by(minutes=10)
    return stage


def _forget_what_went_out(stage: Stage) -> None:
    """What the pass itself told owners is taken out, so that writing by hand is what is seen."""
    ledger = stage.world.ledger
    from sqlalchemy import delete

    from frostwatch.storage.tables import MessageRow, ReminderRow, table_of

    with ledger._database.writing() as connection:
        for row_class in (MessageRow, ReminderRow):
            connection.execute(delete(table_of(row_class)))


def rows(stage: Stage) -> list[OutboxRow]:
    since = NOW - timedelta(days=30)
    return list(stage.world.ledger.told_at("cold-rigg", since))


def press(client: TestClient) -> tuple[int, str]:
    page = client.get(PATH).text
    mark = re.search(r'name="mark" value="([^"]+)"', page)
    own = {"site": "cold-rigg", "mark": mark[1] if mark else ""}
    fields = form_of(client, "/v/Y04/record") | own
    answer = client.post(PATH, data=fields)
    return answer.status_code, answer.headers.get("location", answer.text)


def test_the_operator_sees_to_whom_and_what_in_each_ones_language_before_anything_goes() -> None:
    stage = a_stage()
    client = stage.client()
    assert "Write to 2 owners…" in client.get("/round").text
    page = client.get(PATH).text
    said = words(page)
    assert headline(page) == "Write to 2 owners, Tue 1 Dec"
    assert "To Utta Brendel" in said
    assert "Sprache: Deutsch" not in said
    assert "In Deutsch." in said
    assert 'lang="de"' in page
    assert "Frost gegen Mi 12:00" in said.split("To Ian Marsh")[0]
    assert "Nils Moor: no way to reach them is entered; ring them." in said
    assert "No owner is entered who keeps this one" in said, "the yard's own is not left out"
    crew = page.split('aria-labelledby="crew"')[1].split("</section>")[0]
    assert re.findall(r'href="/v/(\w+)"', crew) == ["Y04"]
    assert rows(stage) == []


def test_one_press_sends_to_each_and_a_second_one_sends_nothing_more() -> None:
    stage = a_stage()
    client = stage.client()
    page = client.get(PATH).text
    mark = re.search(r'name="mark" value="([^"]+)"', page)
    assert mark is not None
    fields = form_of(client, PATH) | {"site": "cold-rigg", "mark": mark[1]}
    for _ in range(2):
        answer = client.post(PATH, data=fields)
        assert answer.headers["location"] == "/owners?site=cold-rigg#kept"
    assert sorted(row.message.recipient for row in rows(stage)) == ["ian", "utta"]
    said = words(client.get(PATH).text)
    assert "No owner to write to now" in said
    assert re.search(r"Utta Brendel: told already, (<[^>]+>)?Tue 07:50", said)
    assert "Whom we wrote to" in client.get("/round").text


def test_what_is_sent_is_word_for_word_what_was_shown_and_its_link_opens_the_vehicle() -> None:
    stage = a_stage()
    client = stage.client()
    shown = words(client.get(PATH).text)
    press(client)
    for row in rows(stage):
        (code,) = codes_in(row.message.body)
        assert words(row.message.body.replace(code, "…")).strip() in shown
        assert code not in client.get(PATH).text
        assert client.get(f"/a/{code}").status_code == 200


def test_where_harm_is_likely_the_parts_are_named_and_little_is_never_said() -> None:
    stage = a_stage()
    long = replace(IAN, channels=(Channel(name="e-mail", address="outbox://local"),))
    stage.world.ledger.save_fleet(people=[long])
    said = words(stage.client().get(PATH).text)
    assert "ice could split: hot pipes and taps" in said
    assert "little is likely to break" not in said


def test_what_changed_since_it_was_shown_is_shown_again_instead_of_sent() -> None:
    stage = a_stage()
    client = stage.client()
    mark = re.search(r'name="mark" value="([^"]+)"', client.get(PATH).text)
    assert mark is not None
    fields = form_of(client, PATH) | {"site": "cold-rigg", "mark": mark[1]}
    ledger = stage.world.ledger
    ledger.save_fleet(vehicles=[replace(the_vans()[1], keeper="")])
    answer = client.post(PATH, data=fields)
    assert answer.status_code == 409
    assert "Something changed since this page was opened" in words(answer.text)
    assert rows(stage) == []


def test_what_became_of_it_is_told_afterwards() -> None:
    stage = a_stage()
    client = stage.client()
    press(client)
    store = stage.world.ledger.outbox
    flush(store, Post(refuse="no such number"), stage.clock.now, limit=1)
    flush(store, Post(), stage.clock.now, limit=5)
    said = words(client.get(PATH).text)
    assert "refused. no such number" in said
    assert re.search(r": taken (<[^>]+>)?Tue 07:50", said)
    assert said.count("No answer yet.") == 2


def test_in_quiet_hours_it_is_said_when_it_goes_and_it_waits() -> None:
    stage = a_stage()
    stage.clock.pass_by(hours=14)
    stage.look()
    _forget_what_went_out(stage)
    client = stage.client()
    assert "Quiet hours: goes out" in words(client.get(PATH).text)
    press(client)
    book = stage.world.ledger.load(stage.clock.now)
    post = Post()
    flush(stage.world.ledger.outbox, post, stage.clock.now, may_go=hold_for(book))
    assert post.sent == []
    assert "waits, goes out from" in words(client.get(PATH).text)
    morning = stage.at(2, 7)
    flush(stage.world.ledger.outbox, post, morning, may_go=hold_for(book))
    assert {message.recipient for message in post.sent} == {"ian", "utta"}


def test_a_pass_does_not_say_again_what_was_written_by_hand() -> None:
    stage = a_stage()
    press(stage.client())
    before = len(rows(stage))
    for hours in (1, 3, 5):
        stage.clock.pass_by(hours=hours)
        stage.look()
    own = [row for row in rows(stage)[before:] if row.message.recipient in ("ian", "utta")]
    assert [row.message.kind for row in own if row.message.kind == "work order"] == []


def test_what_was_written_stands_on_the_vehicle_s_record() -> None:
    stage = a_stage()
    client = stage.client()
    press(client)
    assert "Work order to Ian Marsh" in words(client.get("/v/Y02").text)


def test_where_it_froze_they_are_told_to_leave_it_alone() -> None:
    stage = a_stage(frozen=True)
    client = stage.client()
    assert "Write to 2 owners…" in client.get("/round").text
    said = words(client.get(PATH).text)
    assert "Leave alone: A-01" in said
    press(client)
    assert {row.message.kind for row in rows(stage)} == {"leave alone"}


def test_somebody_told_often_enough_this_winter_is_named_instead() -> None:
    stage = a_stage()
    client = stage.client()
    press(client)
    stage.clock.pass_by(hours=7)
    stage.look()
    for _ in range(3):
        press(client)
        stage.clock.pass_by(hours=7)
        stage.look()
    sent = [row for row in rows(stage) if row.message.recipient == "ian"]
    assert len({(row.message.reminder, row.message.revision) for row in sent}) <= 3


@pytest.mark.parametrize("role", [Role.CREW, Role.VIEWER])
def test_only_who_runs_the_place_writes(role: Role) -> None:
    stage = a_stage()
    client = stage.client(an_account(role))
    assert client.get(PATH).status_code == 403
    assert client.post(PATH, data={"site": "cold-rigg"}).status_code in (400, 403)
    assert "Write to" not in client.get("/round").text
    assert rows(stage) == []


def test_without_a_usable_forecast_nobody_is_written_an_hour() -> None:
    stage = a_stage()
    stage.clock.pass_by(hours=31)
    said = words(stage.client().get(PATH).text)
    assert "Without a usable forecast" in said
    assert "To Ian Marsh" not in said


def test_a_yard_without_owners_asks_the_database_nothing_for_them() -> None:
    stage = Stage()
    vans = [a_vehicle("Y01")]
    stage.enter(vans, water(*vans))
    stage.cold_from(30.0)
    stage.look()
    client = stage.client()
    client.get("/round")
    with stage.counted() as asked:
        client.get("/round")
    assert not any("FROM message" in statement for statement in asked)


def test_a_channel_s_address_is_shown_to_nobody() -> None:
    stage = a_stage()
    secret = replace(IAN, channels=(Channel(name="phone", address="json://secret.example/x"),))
    stage.world.ledger.save_fleet(people=[secret])
    assert "secret.example" not in stage.client().get(PATH).text


def test_who_has_no_slot_before_the_frost_gets_a_last_call_and_who_has_no_time_is_named() -> None:
    stage = Stage()
    vans = [a_vehicle("Y01", bay="A-01", keeper="maelle")]
    far = an_owner(travel_min=2500.0)
    for person, expected in (
        (an_owner(), "Last call: A-01"),
        (far, "Maëlle Kerdoncuff: no time is left for them to come before the frost"),
    ):
        stage.enter(vans, water(*vans), people=[*the_people(), person])
        stage.cold_from(30.0)
        stage.look()
        _forget_what_went_out(stage)
        assert expected in words(stage.client().get(PATH).text)
