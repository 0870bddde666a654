"""Handovers: the hour, the stairs, who is at work, what got wet, who may press, and the paper."""

import re
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache
from typing import Any

import pytest
from starlette.testclient import TestClient

from frostwatch.fleet.heat import Fuel, Handover, HeatSource, Post
from frostwatch.fleet.people import Language
from frostwatch.fleet.sites import SiteKind
from frostwatch.languages.phrases import Counted, leaves
from frostwatch.messages.wording.plans import PLANS
from frostwatch.ports.accounts import Role
from frostwatch.records.entries import State
from frostwatch.records.standing_water import water_of
from frostwatch.web.words import PAGE_WORDS
from tests.builders import NOW, a_layout, a_site
from tests.web.pages_read import headline, words
from tests.web.yards import HOSTILE, Stage, a_row, an_account, form_of, water
from tests.worlds import a_world

GAS = HeatSource(fuel=Fuel.GAS, power_w=6000.0)
WEAK = HeatSource(fuel=Fuel.ELECTRIC, power_w=300.0)
AHEAD_H = 26.0


def a_forecourt(
    *, heat: tuple[HeatSource, ...] = (GAS, WEAK), ahead_h: float = AHEAD_H, count: int = 3
) -> Stage:
    """A dealer's place in frost: the first vehicle is handed over, the last one is wet.

    Worked out once and copied.
    """
    return _forecourt(heat, ahead_h, count).copy()


@cache
def _forecourt(heat: tuple[HeatSource, ...], ahead_h: float, count: int) -> Stage:
    stage = Stage(world=a_world())
    stage.world.plans = True
    first, *others = (replace(van, name=van.key) for van in a_row(count))
    handed = replace(
        first, handover=Handover(at=NOW + timedelta(hours=ahead_h), fill_l=40.0), heat=heat
    )
    site = replace(
        a_site(),
        kind=SiteKind.FORECOURT,
        gas_allowed=True,
        posts=(Post(name="1", amps=16.0), Post(name="2", amps=16.0)),
    )
    entries = [*water(handed, *others[:-1], state=State.DRAINED), *water(others[-1])]
    stage.enter([handed, *others], entries, site=site)
    stage.cold_from(10.0, lasts=60.0, air_c=-6.0)
    stage.look()
    stage.clock.pass_by(minutes=5)
    return stage


@pytest.fixture(scope="module")
def forecourt() -> Stage:
    """One that nobody changes."""
    return a_forecourt()


def press(
    client: TestClient, what: str, *, step: str = "", heat: str = "", van: str = "Y01"
) -> Any:
    form = form_of(client, "/handovers")
    return client.post("/handovers/Y01", data={**form, "press": what, "step": step, "heat": heat})


def waited_for(client: TestClient) -> str:
    """The step that the page waits for."""
    found = re.search(r'name="step" value="(\w*)"', client.get("/handovers").text)
    return found[1] if found else ""


def on_by(stage: Stage) -> datetime:
    board = stage.world.ledger.plans.board("cold-rigg")
    assert board is not None
    found = board.vans[0].proposed.on_by
    assert found is not None
    return found


def test_the_headline_says_heating_on_by_when(forecourt: Stage) -> None:
    text = forecourt.client().get("/handovers").text

    at = on_by(forecourt).astimezone(a_site().zone)
    assert headline(text) == f"Y01: heating on by {at:%a %H:%M}"
    assert 'aria-current="page">Handovers' in text


def test_the_stairs_lead_from_looking_to_the_hour_with_their_gates(forecourt: Stage) -> None:
    text = forecourt.client().get("/handovers").text

    stairs = text[text.index('<ol class="plan">') : text.index("</ol>")]
    hours = re.findall(r'<span class="t">(\d\d:\d\d)</span>', stairs)
    assert len(hours) >= 8
    assert stairs.count("Go on when") >= 4
    assert "never wedged" in stairs
    ends = [float(end) for end in re.findall(r"--to:([\d.]+)", stairs)]
    assert ends == sorted(ends)
    assert ends[-1] == 100.0


def test_every_source_has_its_own_hour_and_can_be_shown(forecourt: Stage) -> None:
    client = forecourt.client()
    text = client.get("/handovers").text

    labels = re.findall(r'<label>.*?name="heat" value="([\w-]+)".*?</label>', text, re.S)
    assert labels == ["gas-6000", "electric-300"]
    assert "cannot" in words(text)

    other = client.get("/handovers?van=Y01&heat=electric-300").text
    assert "Y01 cannot be ready by" in headline(other)
    assert re.search(r'value="electric-300" checked', other)


def test_what_does_not_fit_says_so_with_ways_out() -> None:
    text = a_forecourt(heat=(WEAK,)).client().get("/handovers").text

    assert "Y01 cannot be ready by" in headline(text)
    assert "Bring it into a warm building by" in words(text)


def test_without_a_handover_the_page_says_so_and_still_lists_what_is_wet() -> None:
    stage = a_forecourt(ahead_h=200.0)
    text = stage.client().get("/handovers").text

    assert headline(text) == "No handover is due before Fri 07:45"
    assert "Y03 Wet." in words(text)


def test_back_to_drained_lists_a_demonstration_at_once() -> None:
    stage = a_forecourt()
    client = stage.client()
    client.post("/v/Y02/wet-again", data=form_of(client, "/v/Y02"))
    stage.clock.pass_by(minutes=1)

    assert re.search(r"Y02 Demonstration, .*?, Ailsa", words(client.get("/handovers").text))


def test_a_handover_entered_since_the_pass_is_named_and_planned_with_the_next() -> None:
    stage = a_forecourt()
    ledger = stage.world.ledger
    van = next(v for v in ledger.load(stage.clock.now).vehicles if v.key == "Y02")
    ledger.save_fleet(
        vehicles=[replace(van, handover=Handover(at=NOW + timedelta(hours=30)), heat=(GAS,))]
    )
    client = stage.client()
    assert "not planned yet" in client.get("/handovers").text

    stage.clock.pass_by(minutes=5)
    stage.look()
    text = client.get("/handovers").text
    assert "not planned yet" not in text
    assert "Y02 Heating on by" in words(text)


def test_an_old_forecast_is_taken_colder_and_no_forecast_keeps_the_last_plan() -> None:
    stage = a_forecourt()
    client = stage.client()
    stage.clock.pass_by(hours=14)
    assert "14 h old" in words(client.get("/handovers").text)

    stage = a_forecourt(ahead_h=60.0)
    stage.clock.pass_by(hours=31)
    text = stage.client().get("/handovers").text
    assert "no hour can be told anew" in headline(text)
    assert "There is no usable forecast. This plan is from" in words(text)
    assert '<ol class="plan">' in text


def test_plans_made_with_an_old_forecast_say_how_much_colder() -> None:
    stage = a_forecourt()
    frame = stage.world.weather.frame(stage.clock.now)
    stage.world.instead(a_site(), frame)
    stage.clock.pass_by(hours=14)
    stage.look()

    assert "colder, which makes the hour earlier" in words(stage.client().get("/handovers").text)


def test_a_gate_run_over_moves_the_rest_and_names_the_new_hour() -> None:
    stage = a_forecourt()
    client = stage.client()
    stage.clock.now = on_by(stage)
    press(client, "on")
    text = client.get("/handovers").text
    assert "ready about" in headline(text)

    stage.clock.pass_by(hours=6)
    late = client.get("/handovers").text
    assert re.search(r"Y01: new hour \w+ \d\d:\d\d ?, it cannot be ready by", headline(late))
    assert "Heating is on. New hour" in words(late)


def stairs_of(client: TestClient) -> dict[str, datetime]:
    """Words of each step -> its hour on the page."""
    text = client.get("/handovers").text
    stairs = text[text.index('<ol class="plan">') : text.index("</ol>")]
    found = re.findall(r'<span class="t">(\d\d:\d\d)</span><div class="w"><b>([^<]+)</b>', stairs)
    return {what: datetime.strptime(at, "%H:%M") for at, what in found}  # noqa: DTZ007


def test_a_gate_twenty_minutes_late_moves_every_later_step_and_past_the_spare_names_the_hour() -> (
    None
):
    stage = a_forecourt()
    client = stage.client()
    stage.clock.now = on_by(stage)
    press(client, "on")
    way = stage.world.ledger.plans.file("cold-rigg", stage.clock.now).under_way["Y01"]
    gate = next(step for step in way.plan.steps if step.step.name == "HEAT")
    before = stairs_of(client)
    stage.clock.now = gate.ends + timedelta(minutes=20)
    press(client, "passed", step="heat")

    after = stairs_of(client)
    later = [what for what in before if what.startswith(("Low points", "Fill", "Pump on", "Leak"))]
    assert len(later) == 4
    moved = {what: after[what] - before[what] for what in later}
    assert moved["Low points, drains and taps shut, then the dump valve; watch it"] == timedelta(
        minutes=20
    )
    assert len(set(moved.values())) == 1, moved
    assert "new hour" not in headline(client.get("/handovers").text)

    stage.clock.pass_by(minutes=60)
    assert re.search(r"new hour \w+ \d\d:\d\d", headline(client.get("/handovers").text))


def test_pressed_through_on_time_it_is_handed_over_at_its_hour_and_goes_back_to_drained() -> None:
    stage = a_forecourt()
    client, ledger = stage.client(), stage.world.ledger
    stage.clock.now = on_by(stage)
    press(client, "on")
    seen = []
    while step := waited_for(client):
        seen.append(step)
        stage.clock.pass_by(minutes=2)
        press(client, "passed", step=step)
    assert seen[0] == "heat"
    assert "fill" in seen
    assert "new hour" not in headline(client.get("/handovers").text)

    press(client, "handed")
    book = ledger.load(stage.clock.now)
    van = next(v for v in book.vehicles if v.key == "Y01")
    standing = water_of(van, a_layout(van.layout), book.entries["Y01"], stage.clock.now)
    assert all(entry.state is State.FULL for entry in standing if entry.is_wet)
    events = {entry.event for entry in book.entries["Y01"]}
    assert {"warm-up", "handover"} <= events
    text = words(client.get("/handovers").text)
    assert "No handover is due before Sat 05:19" in text
    assert re.search(r"Y01 Handover, .*?, Ailsa", text)


def test_water_going_in_is_recorded_when_the_step_is_passed_and_not_before() -> None:
    stage = a_forecourt()
    client, ledger = stage.client(), stage.world.ledger
    stage.clock.now = on_by(stage)
    press(client, "on")
    while (step := waited_for(client)) != "fill":
        press(client, "passed", step=step)
    before = len(ledger.record_of("Y01"))
    press(client, "passed", step="fill")

    assert before < len(ledger.record_of("Y01"))


def test_a_press_on_a_page_that_no_longer_holds_changes_nothing_and_says_so() -> None:
    stage = a_forecourt()
    client = stage.client()
    stage.clock.now = on_by(stage)
    press(client, "on")
    step = waited_for(client)
    assert "again" not in press(client, "passed", step=step).headers["location"]
    twice = press(client, "passed", step=step)

    assert twice.headers["location"].endswith("again=1")
    assert waited_for(client) != step
    assert "Somebody else pressed" in client.get(twice.headers["location"]).text


def test_undo_takes_back_one_press_and_in_the_end_the_heating() -> None:
    stage = a_forecourt()
    client = stage.client()
    stage.clock.now = on_by(stage)
    press(client, "on")
    press(client, "passed", step="heat")
    press(client, "undo", step=waited_for(client))
    assert waited_for(client) == "heat"
    press(client, "undo", step="heat")
    assert waited_for(client) == ""
    assert "Heating is on" in words(client.get("/handovers").text)


def test_a_plan_under_way_outlives_the_next_forecast() -> None:
    stage = a_forecourt()
    client = stage.client()
    stage.clock.now = on_by(stage)
    press(client, "on")
    stage.clock.pass_by(minutes=70)
    stage.look()

    assert "heating on since" in words(client.get("/handovers").text)


def test_viewers_see_the_page_and_press_nothing(forecourt: Stage) -> None:
    client = forecourt.client(an_account(Role.VIEWER))
    text = client.get("/handovers").text
    assert "heating on by" in headline(text)
    assert 'action="/handovers/Y01"' not in text

    form = form_of(forecourt.client(), "/handovers")
    assert client.post("/handovers/Y01", data={**form, "press": "on"}).status_code >= 400
    assert forecourt.world.ledger.plans.file("cold-rigg", NOW).under_way == {}


def test_the_crew_may_press() -> None:
    stage = a_forecourt()
    client = stage.client(an_account(Role.CREW, "cold-rigg"))
    assert press(client, "on").status_code == 303
    assert waited_for(client) == "heat"


def test_the_card_tells_the_air_after_the_hour_and_leaves_its_state_to_be_ticked(
    forecourt: Stage,
) -> None:
    """Who takes it at ten meets the air after ten; what had been before is nobody's business."""
    text = words(forecourt.client(an_account(Role.VIEWER)).get("/handovers/Y01/card").text)
    at = NOW + timedelta(hours=AHEAD_H)
    zone = a_site().zone
    after = text[text.index("The forecast") :]
    assert f"From {at.astimezone(zone):%a %H:%M} to" in after
    assert "lowest" in after
    assert "One of the two is ticked" in text
    assert "Drained: everything open" in text
    assert "Full, warm and checked" not in text


def test_heating_that_went_on_long_before_its_hour_is_told() -> None:
    stage = a_forecourt()
    client = stage.client()
    assert press(client, "on").status_code == 303
    text = words(client.get("/handovers").text)
    assert "long before its hour" in text
    assert "somebody stays with the heat" in text


def test_a_post_that_gives_too_little_stands_before_the_plan_and_in_the_list() -> None:
    """16 A at 230 V are 3.7 kW; 9 kW of heat and the water element draw 10."""
    heat = (HeatSource(fuel=Fuel.ELECTRIC, power_w=9000.0),)
    stage = a_forecourt(heat=heat)
    first = next(v for v in stage.world.ledger.load(NOW).vehicles if v.key == "Y01")
    stage.world.ledger.save_fleet(vehicles=[replace(first, post="1")])
    stage.clock.pass_by(hours=1)
    stage.look()
    text = words(stage.client(an_account(Role.VIEWER)).get("/handovers").text)
    weak = "Post 1 gives 3.7 kW, this draws 10.0 kW"
    assert text.count(weak) >= 2
    days = text[text.index("Handovers, next three days") :]
    assert weak in days
    assert "urgent" in days[: days.index("Back to drained")]


def test_what_must_be_met_first_stands_first() -> None:
    """Two for one hour: the weaker heat begins earlier, and the page opens with it."""
    stage = a_forecourt()
    at = NOW + timedelta(hours=AHEAD_H)
    second = next(v for v in stage.world.ledger.load(NOW).vehicles if v.key == "Y02")
    slow = HeatSource(fuel=Fuel.GAS, power_w=2500.0)
    stage.world.ledger.save_fleet(
        sites=[],
        people=[],
        vehicles=[replace(second, handover=Handover(at=at, fill_l=40.0), heat=(slow,))],
    )
    stage.clock.pass_by(hours=1)
    stage.look()
    page = stage.client(an_account(Role.VIEWER)).get("/handovers").text
    assert headline(page).startswith("Y02: heating on by")
    days = words(page)
    days = days[days.index("Handovers, next three days") :]
    assert days.index("Y02") < days.index("Y01")


def test_the_card_has_the_plan_the_outlets_and_lines_to_sign(forecourt: Stage) -> None:
    client = forecourt.client(an_account(Role.VIEWER))
    text = words(client.get("/handovers/Y01/card").text)

    assert "Y01: heating on by" in text
    assert "Where the water is let out" in text
    assert "Handed over by" in text
    assert "Never wedge" in text
    assert client.get("/handovers/Y02/card").status_code == 404
    assert client.get("/handovers/nobody/card").status_code == 404


def test_the_page_reads_as_often_for_thirty_vehicles_as_for_three() -> None:
    counts = []
    for count in (3, 30):
        stage = a_forecourt(count=count)
        client = stage.client()
        client.get("/handovers")
        with stage.counted() as asked:
            client.get("/handovers")
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 20


@pytest.mark.parametrize("hostile", HOSTILE)
def test_what_somebody_typed_stays_text(hostile: str) -> None:
    stage = a_forecourt(heat=(GAS,))
    ledger = stage.world.ledger
    van = next(v for v in ledger.load(stage.clock.now).vehicles if v.key == "Y01")
    ledger.save_fleet(vehicles=[replace(van, name=hostile, post="1")])

    client = stage.client()
    for page in ("/handovers", "/handovers/Y01/card"):
        text = client.get(page).text
        assert "<script>alert" not in text
        assert "<img src=x" not in text


@pytest.mark.parametrize("language", [one for one in Language if one is not Language.EN])
@pytest.mark.parametrize(
    "page", ["/handovers", "/handovers?heat=electric-300", "/handovers/Y01/card"]
)
def test_nothing_on_the_page_stays_english(forecourt: Stage, page: str, language: Language) -> None:
    shown = words(forecourt.client(an_account(language=language)).get(page).text)
    left = []
    for source in (PAGE_WORDS, PLANS):
        pairs = zip(leaves(source.english), leaves(source[language]), strict=True)
        for (_, own), (_, other) in pairs:
            if isinstance(own, Counted) or own == other:
                continue
            parts = [part.strip() for part in re.split(r"\{\w+\}|<[^>]+>", own)]
            left += [p for p in parts if re.search(r"[a-z]{2,} [a-z]{2,}", p) and p in shown]
    assert left == []
