"""A round as it is walked with forms alone: every press, undo, the end, and who may."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest

from frostwatch.advice.walk import Obstacle, PressKind
from frostwatch.fleet.people import Language
from frostwatch.ports.accounts import Role
from frostwatch.records.entries import State
from tests.web.pages_read import headline, words
from tests.web.walked import Round, a_guest
from tests.web.yards import HOSTILE, Stage, a_cold_yard, an_account, form_of


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
