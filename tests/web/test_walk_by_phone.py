"""What a phone sends of a round: presses it kept without signal, and photographs."""

import json
import re
from datetime import timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.photographs import a_photo
from tests.web.pages_read import headline, words
from tests.web.walked import Round, a_guest, a_kept_press, sends
from tests.web.yards import Stage, a_row, form_of, water


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
