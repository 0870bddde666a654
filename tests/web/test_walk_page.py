"""A round as it is walked with forms alone: every press, undo, the end, and who may."""

import json
import re
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from frostwatch.advice.walk import Obstacle, PressKind, WalkRound
from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Role
from frostwatch.records.entries import State
from frostwatch.records.standing_water import water_of
from tests.builders import a_layout
from tests.photographs import a_photo
from tests.web.pages_read import headline, words
from tests.web.yards import HOSTILE, Stage, a_cold_yard, a_row, an_account, form_of, water


class Round:
    """A released round, and somebody who walks it."""

    def __init__(self, stage: Stage | None = None) -> None:
        self.stage = stage or a_cold_yard()
        self.client = self.stage.client()
        form = form_of(self.client, "/round") | {"site": "cold-rigg", "then": "walk"}
        self.path = self.client.post("/round/release", data=form).headers["location"]

    @property
    def code(self) -> str:
        return self.path.rpartition("/")[2]

    @property
    def walk(self) -> WalkRound:
        found = self.stage.world.ledger.rounds.round(self.code)
        assert found is not None
        return found

    def page(self, query: str = "", client: TestClient | None = None) -> str:
        return (client or self.client).get(self.path + query).text

    def press(
        self, vehicle: str, kind: str, client: TestClient | None = None, **fields: object
    ) -> str:
        """Press a button; the page that follows."""
        who = client or self.client
        self.stage.clock.pass_by(minutes=4)
        page = who.get(f"{self.path}?stop={vehicle}").text
        ids = re.findall(r'name="id" value="(\w+)"', page)
        form = form_of(who, self.path) | {
            "vehicle": vehicle,
            "kind": kind,
            "id": ids[0],
            **fields,
        }
        answer = who.post(f"{self.path}/press", data=form)
        if answer.status_code != 303:
            return answer.text
        return who.get(answer.headers["location"]).text

    def undo(self, vehicle: str) -> str:
        presses = self.stage.world.ledger.rounds.presses(self.code)
        last = [p for p in presses if p.vehicle == vehicle and p.kind is not PressKind.UNDO][-1]
        return self.press(vehicle, "undo", undoes=last.id)

    def states(self, vehicle: str = "Y01") -> set[State]:
        record = [linked.entry for linked in self.stage.world.ledger.record_of(vehicle)]
        yard = self.stage.world.ledger.pages.yard("cold-rigg", self.stage.clock.now)
        assert yard is not None
        own = yard.vehicles[vehicle]
        return {c.state for c in water_of(own, a_layout(), record, self.stage.clock.now)}


def test_the_first_stop_is_open_with_its_bay_key_job_and_outlets() -> None:
    page = Round().page()
    assert headline(page) == "Stop 1 of 3"
    text = words(page)
    assert "A-01 key 1" in text
    assert "Drain fully" in text
    assert "Heater 10 L" in text
    assert "dump valve" in text
    assert "Done, all seen" in text
    assert "Only part" in text
    assert "Could not" in text
    assert "by Tue 15:30" in page.replace("\u00a0", " ").replace("</time>", "") or "by" in text


def test_done_records_what_was_seen_and_opens_the_next_stop() -> None:
    walk = Round()
    page = walk.press("Y01", "done")
    assert headline(page) == "Stop 2 of 3"
    assert "Done, seen Ailsa Thornber" in words(page)
    assert walk.states() <= {State.DRAINED, State.DOSED}


def test_only_part_keeps_what_is_still_wet() -> None:
    walk = Round()
    assert "What is drained or dosed now" in walk.page("?stop=Y01&do=part")
    walk.press("Y01", "part", vessel=["fresh", "heater"])
    assert {State.DRAINED, State.FULL} <= walk.states()


def test_nothing_ticked_is_no_part_and_the_reason_is_said() -> None:
    page = Round().press("Y01", "part")
    text = words(page)
    assert "Not kept: Nothing is ticked. Tick what is drained or dosed now" in text
    assert "What is drained or dosed now" in text  # the same question stays open at the same stop
    assert 'value="Y01"' in page
    assert not re.search(r'href="\?stop=', page)  # from the page of a refusal too, links lead on


def test_what_was_typed_with_a_press_that_is_refused_stays() -> None:
    page = Round().press("Y01", "could not", obstacle="nothing like that", note="gate locked")
    assert "Could not, because" in words(page)
    assert 'value="gate locked"' in page


def test_a_phone_is_told_how_far_the_clock_of_the_round_runs_before_its_own() -> None:
    walk = Round()
    state = walk.client.get(f"{walk.path}/state").json()
    assert state["ahead_s"] == 0.0
    walk.client.app.state.room = replace(  # type: ignore[attr-defined]
        walk.client.app.state.room,  # type: ignore[attr-defined]
        ahead=lambda: timedelta(hours=-3),
    )
    assert walk.client.get(f"{walk.path}/state").json()["ahead_s"] == -3 * 3600.0


@pytest.mark.parametrize("obstacle", list(Obstacle))
def test_could_not_is_kept_with_its_reason(obstacle: Obstacle) -> None:
    walk = Round()
    assert "Could not, because" in walk.page("?stop=Y01&do=why")
    page = walk.press("Y01", "could not", obstacle=obstacle.value, note="gate locked")
    presses = walk.stage.world.ledger.rounds.presses(walk.code)
    assert presses[0].obstacle is obstacle
    assert presses[0].note == "gate locked"
    assert headline(page) == "Stop 2 of 3"
    assert State.FULL in walk.states()


def test_could_not_without_a_reason_is_refused() -> None:
    assert "say why it could not be done" in words(Round().press("Y01", "could not"))


def test_undo_takes_back_and_opens_the_stop_again() -> None:
    walk = Round()
    walk.press("Y01", "done")
    page = walk.undo("Y01")
    assert headline(page) == "Stop 1 of 3"
    assert walk.states() == {State.FULL}


def test_stops_may_be_done_in_any_order_and_keep_their_numbers() -> None:
    walk = Round()
    assert headline(walk.page("?stop=Y03")) == "Stop 3 of 3"
    page = walk.press("Y03", "done")
    assert headline(page) == "Stop 1 of 3"


def test_the_same_form_twice_is_one_press() -> None:
    walk = Round()
    page = walk.page()
    found = re.search(r'name="id" value="(\w+)"', page)
    assert found
    form = form_of(walk.client, walk.path) | {"vehicle": "Y01", "kind": "done", "id": found[1]}
    for _ in range(2):
        assert walk.client.post(f"{walk.path}/press", data=form).status_code == 303
    assert len(walk.stage.world.ledger.rounds.presses(walk.code)) == 1


def test_the_end_says_what_is_seen_what_is_open_and_how_long_it_took() -> None:
    walk = Round()
    walk.press("Y01", "done")
    walk.press("Y02", "could not", obstacle="no key")
    page = walk.press("Y03", "done")
    assert headline(page).startswith("Round done, Tue ")
    text = words(page)
    assert "2 of 3 are seen and recorded." in text
    assert "Still open A-02" in text
    assert "No key" in text
    assert "from the first press to the last" in text
    answer = walk.client.post(f"{walk.path}/back", data=form_of(walk.client, walk.path))
    assert answer.status_code == 303
    closed = words(walk.page())
    assert "This round is done" not in closed, "one is open"
    assert "Still open A-02" in closed
    assert "Walk this round" in walk.client.get("/round").text or walk.code not in closed


def test_a_round_handed_back_in_the_middle_names_the_stops_nobody_reached() -> None:
    walk = Round()
    walk.press("Y01", "done")
    walk.client.post(f"{walk.path}/back", data=form_of(walk.client, walk.path))
    closed = words(walk.page())
    assert "This round is done" not in closed
    still = closed.partition("Still open")[2]
    assert "A-02" in still
    assert "A-03" in still


def test_two_people_who_differ_are_both_kept_and_a_third_says_which_is_so() -> None:
    walk = Round()
    walk.press("Y01", "done")
    crew = walk.stage.client(an_account(Role.CREW, "cold-rigg"))
    guest = a_guest(walk, "Marek")
    del crew
    walk.press("Y01", "could not", client=guest, obstacle="no key")
    walk.press("Y02", "done")
    page = walk.press("Y03", "done")
    assert "A-01 has two records" in words(page)
    assert "A-01 has two records" in words(walk.client.get("/round").text)
    form = form_of(walk.client, walk.path) | {"vehicle": "Y01", "so": "not"}
    assert walk.client.post(f"{walk.path}/settle", data=form).status_code == 303
    after = words(walk.page())
    assert "has two records" not in after
    assert State.UNKNOWN in walk.states()


def a_guest(walk: Round, name: str) -> TestClient:
    """Somebody without an account who typed the figures and a name."""
    client = walk.stage.client(nobody=True)
    page = client.get(walk.path).text
    assert "Who walks?" in page
    assert "A-01" not in page
    form = form_of(client, walk.path) | {"name": name}
    assert client.post(f"{walk.path}/who", data=form).status_code == 303
    return client


def test_whoever_types_the_figures_and_a_name_walks_that_round_and_nothing_else() -> None:
    walk = Round()
    client = walk.stage.client(nobody=True)
    form = form_of(client, "/walk") | {"code": f" {walk.code[:3]} {walk.code[3:]} "}
    assert client.post("/walk", data=form).headers["location"] == walk.path
    guest = a_guest(walk, "Marek")
    page = walk.press("Y01", "done", client=guest)
    assert "Done, seen Marek" in words(page)
    assert guest.get("/round").status_code in (401, 302, 303)
    assert guest.get("/v/Y01").status_code in (401, 302, 303)


def test_figures_of_no_round_show_nothing_and_are_counted() -> None:
    walk = Round()
    client = walk.stage.client(nobody=True)
    wrong = "999999" if walk.code != "999999" else "999998"
    for _ in range(10):
        answer = client.get(f"/walk/{wrong}")
        assert answer.status_code == 404
        assert "No round has this code now" in answer.text
    assert client.get(f"/walk/{wrong}").status_code == 429
    assert client.get(walk.path).status_code == 429
    assert walk.client.get(walk.path).status_code == 200


@pytest.mark.parametrize("code", ["1", "abcdef", "48201٦", "4820166", "%00", "' OR 1=1"])
def test_odd_figures_show_nothing(code: str) -> None:
    assert Stage().client(nobody=True).get(f"/walk/{code}").status_code in (404, 422)


@pytest.mark.parametrize("name", ["", "x" * 41, "a\x00b", "\u202eevil"])
def test_names_that_cannot_stand_in_the_record_are_refused(name: str) -> None:
    walk = Round()
    client = walk.stage.client(nobody=True)
    form = form_of(client, walk.path) | {"name": name}
    answer = client.post(f"{walk.path}/who", data=form)
    assert answer.status_code == 404
    assert "Give a name" in answer.text


def test_a_viewer_walks_only_with_the_figures_and_a_name() -> None:
    walk = Round()
    viewer = walk.stage.client(an_account(Role.VIEWER))
    assert "Who walks?" in viewer.get(walk.path).text


def test_too_late_while_walking_turns_wet_stops_to_look_only() -> None:
    walk = Round()
    walk.press("Y01", "done")
    walk.stage.world.weather.spells.clear()
    walk.stage.cold_from(-20.0, lasts=60.0, air_c=-14.0)
    walk.stage.clock.pass_by(minutes=2)
    walk.stage.look()
    page = walk.page()
    text = words(page)
    assert "Look only: touch nothing" in text
    assert "Looked" in text
    assert "Only part" not in text
    walk.press("Y02", "looked")
    presses = walk.stage.world.ledger.rounds.presses(walk.code)
    assert presses[-1].kind is PressKind.LOOKED


def test_stops_that_join_later_are_marked_and_done_ones_stay() -> None:
    stage = a_cold_yard(5, dry=2)
    walk = Round(stage)
    walk.press("Y01", "done")
    stage.client().post("/v/Y05/wet-again", data=form_of(stage.client(), "/v/Y05"))
    client = stage.client()
    client.post("/v/Y05/wet-again", data=form_of(client, "/v/Y05"))
    stage.clock.pass_by(minutes=10)
    stage.look()
    page = walk.page()
    assert headline(page).endswith("of 4")
    assert "added" in words(page)
    assert "Done, seen" in words(page)


def test_an_old_forecast_is_one_line_in_the_head_and_blocks_nothing() -> None:
    walk = Round()
    walk.stage.clock.pass_by(hours=32)
    page = walk.page()
    assert "No usable forecast: treat tonight as frost." in page
    assert headline(walk.press("Y01", "done")) == "Stop 2 of 3"


def test_a_walk_asks_the_database_equally_often_for_any_number_of_stops() -> None:
    counts = []
    for bays in (3, 12):
        walk = Round(a_cold_yard(bays))
        walk.page()
        with walk.stage.counted() as asked:
            walk.page()
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 20


def test_notes_and_names_are_shown_harmlessly() -> None:
    walk = Round()
    guest = a_guest(walk, HOSTILE[0][:40])
    page = walk.press("Y01", "could not", client=guest, obstacle="other", note=HOSTILE[1])
    for text in (page, walk.page(), walk.client.get("/round").text, walk.client.get("/v/Y01").text):
        assert "<script>alert" not in text
        assert "<img" not in text


@pytest.mark.parametrize("note", ["x" * 501, "a\x00b", "\u202e"])
def test_notes_that_cannot_be_kept_are_refused_with_the_reason(note: str) -> None:
    walk = Round()
    page = walk.press("Y01", "could not", obstacle="other", note=note)
    assert "Not kept" in page
    assert walk.stage.world.ledger.rounds.presses(walk.code) == ()


@pytest.mark.parametrize("language", list(Language))
def test_the_walk_speaks_every_language(language: Language) -> None:
    walk = Round()
    client = walk.stage.client(an_account(language=language))
    assert f'<html lang="{language.value}">' in walk.page(client=client)


def sends(
    walk: Round, *presses: dict[str, object], client: TestClient | None = None
) -> dict[str, Any]:
    """What a phone sends after it had no signal; what it is told."""
    client, now = client or walk.client, walk.stage.clock.now.isoformat()
    form = form_of(client, "/walk") | {"sent_at": now, "presses": json.dumps(presses)}
    found: dict[str, Any] = client.post(f"{walk.path}/presses", data=form).json()
    return found


def a_kept_press(walk: Round, **changed: object) -> dict[str, object]:
    now = walk.stage.clock.now.isoformat()
    return {"id": "phone-Y01-1", "vehicle": "Y01", "kind": "done", "at": now, **changed}


def test_what_a_phone_sends_is_kept_once_and_answered_with_the_round() -> None:
    walk = Round()
    press = a_kept_press(walk)
    for _ in range(2):
        told = sends(walk, press)
        assert told["kept"] == ["phone-Y01-1"]
        assert told["refused"] == {}
        assert told["state"]["stops"][0]["press_id"] == "phone-Y01-1"
    assert len(walk.stage.world.ledger.rounds.presses(walk.code)) == 1


@pytest.mark.parametrize(
    "changed",
    [
        {"vehicle": "none"},
        {"kind": "flown"},
        {"kind": "could not"},
        {"kind": "part", "vessels": ["fridge"]},
        {"kind": "undo", "undoes": "nothing"},
        {"note": "x" * 501},
        {"note": "\u202e"},
        {"vehicle": ["Y01"]},
        {"id": "kurz"},
    ],
)
def test_a_press_that_does_not_hold_together_is_refused_and_others_are_kept(
    changed: dict[str, object],
) -> None:
    walk = Round()
    odd = a_kept_press(walk, **changed)
    told = sends(walk, odd, a_kept_press(walk, vehicle="Y02", id="phone-Y02-1"))
    assert told["kept"] == ["phone-Y02-1"]
    assert list(told["refused"]) == [odd["id"]]


@pytest.mark.parametrize("at", ["", "soon", "+099999-01-01T00:00Z", "0001-01-01T00:00+14:00"])
def test_an_hour_that_makes_no_sense_loses_no_press(at: str) -> None:
    walk = Round()
    form = form_of(walk.client, walk.path) | {
        "sent_at": at,
        "presses": json.dumps([a_kept_press(walk, at=at)]),
    }
    assert walk.client.post(f"{walk.path}/presses", data=form).json()["kept"] == ["phone-Y01-1"]
    (press,) = walk.stage.world.ledger.rounds.presses(walk.code)
    assert press.at == walk.stage.clock.now
    assert "time of arrival counts" in press.note


@pytest.mark.parametrize("text", ["", "{", "{}", "[1]", '[{"id": 1}]', "[" * 5000])
def test_what_is_no_list_of_presses_is_refused(text: str) -> None:
    walk = Round()
    form = form_of(walk.client, walk.path) | {"sent_at": "", "presses": text}
    assert walk.client.post(f"{walk.path}/presses", data=form).status_code == 422


def test_the_state_that_a_phone_keeps_ends_no_element_of_its_page() -> None:
    stage = Stage()
    vans = a_row(1, name="</script><script>alert(1)</script>", key_place="<!--")
    stage.enter(vans, water(*vans))
    stage.cold_from(30.0)
    stage.look()
    page = Round(stage).page()
    assert page.count("</script>") == 2
    assert "<script>alert" not in page
    assert "<!--" not in page


def test_nobody_without_a_name_reads_or_sends_the_state() -> None:
    walk = Round()
    guest = walk.stage.client(nobody=True)
    assert guest.get(f"{walk.path}/state").status_code == 404
    form = form_of(guest, walk.path) | {"presses": "[]", "sent_at": ""}
    assert guest.post(f"{walk.path}/presses", data=form).status_code == 404


def send(walk: Round, vehicle: str, data: bytes, client: TestClient | None = None) -> str:
    """Send a photograph by the form of a stop; the page that follows."""
    who = client or walk.client
    page = walk.page(f"?stop={vehicle}", who)
    form, _, rest = page.partition('enctype="multipart/form-data"')
    assert form, "no form for photographs"
    found = re.search(r'name="id" value="(\w+)"', rest)
    assert found is not None
    fields = form_of(who, walk.path) | {"id": found[1], "vehicle": vehicle}
    files = {"photo": ("valve.jpg", data, "image/jpeg")}
    answer = who.post(f"{walk.path}/photo?stop={vehicle}", data=fields, files=files)
    return answer.text if answer.status_code != 303 else who.get(answer.headers["location"]).text


def test_a_photograph_taken_before_the_press_belongs_to_what_it_records() -> None:
    walk = Round()
    page = send(walk, "Y02", a_photo())
    assert headline(page) == "Stop 2 of 3", "the same stop is open"
    assert "1 photo of this stop" in words(page)
    photos = walk.stage.world.ledger.photos
    (photo,) = photos.of_vehicle("Y02")
    assert (photo.entry, photo.round, photo.by) == (0, walk.code, "ailsa")

    walk.press("Y02", "done")

    (photo,) = photos.of_vehicle("Y02")
    entry = walk.stage.world.ledger.record_of("Y02")[photo.entry - 1].entry
    assert (entry.event, entry.at) == ("drain-down", walk.stage.clock.now)


def test_a_photograph_that_is_none_is_refused_and_the_round_goes_on() -> None:
    walk = Round()
    page = send(walk, "Y01", b"<svg/>")
    assert "Not kept: It is no photograph that can be read here" in words(page)
    assert walk.stage.world.ledger.photos.of_vehicle("Y01") == ()
    assert headline(walk.press("Y01", "done")) == "Stop 2 of 3"


def test_a_guest_adds_photographs_to_the_round_and_sees_none() -> None:
    walk = Round()
    guest = a_guest(walk, "Kit B.")
    send(walk, "Y01", a_photo(), guest)
    (photo,) = walk.stage.world.ledger.photos.of_vehicle("Y01")
    assert photo.by == "Kit B."
    assert guest.get(f"/v/Y01/photos/{photo.id}").status_code in (303, 401)


def by_phone(walk: Round, client: TestClient, **fields: str) -> tuple[int, Any]:
    """What a phone sends later; status and answer."""
    now = walk.stage.clock.now.isoformat()
    sent = form_of(client, "/walk") | {
        "id": "phone-photo-1",
        "vehicle": "Y01",
        "at": now,
        "sent_at": now,
        **fields,
    }
    files = {"photo": ("photo", a_photo(), "image/jpeg")}
    answer = client.post(f"{walk.path}/photos", data=sent, files=files)
    return answer.status_code, answer.json()


def test_a_phone_brings_its_photographs_once_and_also_after_the_round_was_handed_back() -> None:
    walk = Round()
    guest = a_guest(walk, "Kit B.")
    walk.press("Y01", "done", guest)
    assert by_phone(walk, guest) == (200, {"kept": "phone-photo-1"})
    assert by_phone(walk, guest) == (200, {"kept": "phone-photo-1"})
    walk.client.post(f"{walk.path}/back", data=form_of(walk.client, walk.path))
    assert by_phone(walk, guest, id="phone-photo-2")[0] == 200

    first, second = walk.stage.world.ledger.photos.of_vehicle("Y01")

    assert first.entry == second.entry > 0
    walk.stage.clock.pass_by(hours=37)
    assert by_phone(walk, guest, id="phone-photo-3") == (404, {"closed": True})


def test_a_photograph_of_a_vehicle_that_is_not_on_the_round_is_refused() -> None:
    walk = Round()
    status, told = by_phone(walk, walk.client, vehicle="Y04")
    assert (status, told["refused"]) == (
        422,
        "The vehicle is not on this round. Add the photograph on its own page.",
    )


def test_a_phone_clock_that_was_off_is_noted_with_the_photograph() -> None:
    walk = Round()
    early = (walk.stage.clock.now - timedelta(hours=1)).isoformat()
    by_phone(walk, walk.client, at=early, sent_at=early)
    (photo,) = walk.stage.world.ledger.photos.of_vehicle("Y01")
    assert photo.at == walk.stage.clock.now
    assert photo.note == "phone clock 60 min behind: time of arrival counts"
    assert "The phone’s clock was off" in words(walk.client.get("/v/Y01").text)
