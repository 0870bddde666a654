"""A round that was handed back: it stays so, loses no stop, and late presses are still kept."""

from dataclasses import replace
from datetime import timedelta

from frostwatch.records.entries import State
from frostwatch.service.walking import hand_back
from tests.web.pages_read import words
from tests.web.walked import Round, a_guest, a_kept_press, sends
from tests.web.yards import form_of


def test_a_page_read_before_the_round_was_handed_back_does_not_open_it_again() -> None:
    walk = Round()
    rounds, before, now = walk.stage.world.ledger.rounds, walk.walk, walk.stage.clock.now
    over = hand_back(rounds, before, now)
    assert over == walk.walk
    assert rounds.change_round(walk.code, lambda it: replace(it, minutes=900.0)) == over
    assert hand_back(rounds, before, now + timedelta(hours=1)) == walk.walk == over


def test_a_round_handed_back_keeps_the_stops_that_joined_since_it_was_read() -> None:
    walk = Round()
    rounds, read = walk.stage.world.ledger.rounds, walk.walk
    *_, last = read.stops
    there = replace(last, number=4, stop=replace(last.stop, vehicle="Y04"))
    rounds.change_round(walk.code, lambda it: replace(it, stops=(*it.stops, there)))
    over = hand_back(rounds, read, walk.stage.clock.now)
    assert [stop.stop.vehicle for stop in over.stops] == ["Y01", "Y02", "Y03", "Y04"]
    assert walk.walk == over


def test_what_a_phone_brings_after_the_round_was_handed_back_is_kept_and_asked_about() -> None:
    walk = Round()
    guest = a_guest(walk, "Marek")
    seen = walk.stage.clock.now
    press = a_kept_press(walk, kind="could not", obstacle="no key")
    form = form_of(guest, f"{walk.path}?stop=Y02")
    walk.press("Y01", "done")
    walk.client.post(f"{walk.path}/back", data=form_of(walk.client, walk.path))
    walk.stage.clock.pass_by(hours=2)

    told = sends(walk, press, client=guest)
    assert told == {"kept": ["phone-Y01-1"], "refused": {}}
    (late,) = [p for p in walk.stage.world.ledger.rounds.presses(walk.code) if p.by == "Marek"]
    assert late.at == seen
    assert guest.get(f"{walk.path}/state").status_code == 404, "its figures show nothing more"
    fields = {"vehicle": "Y02", "kind": "done", "id": "kept-on-page"}
    answer = guest.post(f"{walk.path}/press", data=form | fields)
    assert "is on the round of today" in words(answer.text)
    assert walk.states("Y02") <= {State.DRAINED, State.DOSED}

    assert "A-01 has two records" in words(walk.client.get("/round").text)
    assert "A-01 has two records" in words(walk.page())
    so = form_of(walk.client, walk.path) | {"vehicle": "Y01", "so": "emptied"}
    assert walk.client.post(f"{walk.path}/settle", data=so).status_code == 303
    assert "has two records" not in words(walk.client.get("/round").text)

    walk.stage.clock.pass_by(hours=36)
    assert sends(walk, a_kept_press(walk, id="phone-Y01-2"), client=guest) == {"closed": True}
