"""What people of the trade asked for, each as a test named after it.

The places, people and weather are the demo's and invented; the hours are the model's own.
"""

from dataclasses import replace
from datetime import time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from frostwatch.advice.judge import judge
from frostwatch.advice.reminders import Answer, AnswerKind, Reason
from frostwatch.advice.rounds import Round
from frostwatch.advice.view import SiteView
from frostwatch.advice.walks import round_at
from frostwatch.fleet.people import Language
from frostwatch.fleet.sites import Shift
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording import word
from frostwatch.messages.wording.draft import Form, Job, Kind, Level
from frostwatch.records.entries import Entry, Evidence, State
from tests.advice.nights import Days
from tests.advice.places import Place, judged, only


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Place:
    """Cold Rigg Yard; its story's Tuesday is 1 December 2026."""
    return Place("yard", tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="module")
def tuesday(yard: Place) -> SiteView:
    """The yard on Tuesday at 07:40."""
    return yard.view(yard.on(0, 7 + 2 / 3))


@pytest.fixture(scope="module")
def drive(tmp_path_factory: pytest.TempPathFactory) -> Place:
    """Maëlle's van; its story's Thursday is 19 November 2026, at UTC+1."""
    return Place("owner", tmp_path_factory.mktemp("owner"))


def the_round(view: SiteView) -> Round:
    """The office's round on Tuesday at 07:40."""
    assert view.judged_to is not None
    walk = round_at(view, "ailsa", view.judged_to + timedelta(hours=1))
    assert walk is not None
    return walk


def test_story_02_the_yard_gets_one_round_for_the_night_not_one_message_a_van(
    yard: Place, tuesday: SiteView
) -> None:
    now = yard.on(0, 7 + 2 / 3)
    drafts = [d for d in judge(tuesday, now).drafts if d.recipient == "ailsa"]
    (draft,) = drafts
    assert draft.kind is Kind.WORK_ORDER
    assert len(draft.vehicles) >= 10
    assert 15 <= draft.facts.count <= 20
    assert draft.facts.all_count == 23  # one of 24 is in use, its user hears for herself
    assert draft.facts.crew_h == pytest.approx(3.0, abs=0.8)
    assert draft.facts.fits
    assert draft.facts.first[:2] == ("A-02", "A-03")
    assert len(draft.facts.first) <= 5
    text = word(draft, Language.EN, Form.SHORT).body
    assert "bays by Tue 15:30" in text


def test_story_03_the_owner_is_told_what_is_still_wet_and_by_when(drive: Place) -> None:
    now = drive.on(0, 17.25)
    (draft,) = judge(drive.view(now), now).drafts
    wet = {entry.circuit: entry.litres for entry in draft.facts.wet}
    assert (wet[Circuit.FRESH_TANK], wet[Circuit.HEATER_TANK]) == (20.0, 10.0)
    assert wet[Circuit.WASTE_TANK] == 8.0
    assert draft.act_by is not None
    local = draft.act_by.astimezone(ZoneInfo("Europe/Paris"))
    assert f"{local:%a %H}" == "Fri 17"
    assert draft.facts.took_min == 45.0
    assert draft.facts.dark_at is not None
    assert draft.facts.valve_at is not None
    text = word(draft, Language.EN, Form.LONG).body
    assert "fresh tank 20" in text
    assert "will probably empty itself" in text
    assert "If you cannot come" in text


def test_story_04_will_empty_itself_is_not_will_be_damaged(yard: Place) -> None:
    now = yard.on(0, 7 + 2 / 3)
    dry = Entry(
        vehicle="Y08",
        circuit=Circuit.HOT_PIPES,
        state=State.DRAINED,
        evidence=Evidence.SEEN,
        by="kit",
        at=now - timedelta(days=1),
        received_at=now - timedelta(days=1),
        event="drain-down",
    )
    found = judge(only(yard.view(now, more=(dry,)), "Y08"), now)
    assert found.drafts == ()
    decision = next(d for d in found.decisions if d.recipient == "ailsa")
    assert decision.level is Level.NOTICE
    assert decision.reason in (Reason.VALVE, Reason.STAYS_LIQUID)
    night = next(v.night for v in yard.view(now, more=(dry,)).vehicles if v.vehicle.key == "Y08")
    assert night is not None
    assert night.valve_opens(96.0).probability > 0.9
    assert "H1" not in [item.key for item in night.items]


def test_story_05_quick_drained_is_not_drained(tuesday: SiteView) -> None:
    stops = [stop.vehicle for stop in the_round(tuesday).stops]
    assert stops.index("Y02") < stops.index("Y16")  # 20 L at travel level; moved, 0 L
    travel = next(stop for stop in the_round(tuesday).stops if stop.vehicle == "Y02")
    assert travel.job is Job.DRAIN_FULLY


def test_story_06_deadline_and_cost_are_shown_apart(tuesday: SiteView) -> None:
    walk = the_round(tuesday)
    stops = {stop.vehicle: stop for stop in walk.stops}
    valve, full = stops["Y05"], stops["Y03"]  # 4 L behind a shut valve; nothing drained yet
    nights = {van.vehicle.key: van.night for van in tuesday.vehicles}
    assert nights["Y05"] is not None
    assert nights["Y03"] is not None
    outlet = {i.key: c for i, c in nights["Y05"].item_chances(96.0)}["W4"]
    tank = {i.key: c for i, c in nights["Y03"].item_chances(96.0)}["W3"]
    assert outlet.earliest_h < tank.earliest_h
    assert full.cost > valve.cost
    assert "Y03" in [stop.vehicle for stop in walk.first]
    assert "Y05" not in [stop.vehicle for stop in walk.first]


def test_story_08_unknown_never_becomes_quiet(yard: Place, tuesday: SiteView) -> None:
    stops = {stop.vehicle: stop for stop in the_round(tuesday).stops}
    for key in ("Y07", "Y15", "Y21"):
        assert (stops[key].job, stops[key].minutes) == (Job.LOOK, 5.0)
    (draft,) = [d for d in judge(tuesday, yard.on(0, 7 + 2 / 3)).drafts if d.recipient == "ailsa"]
    assert {"Y07", "Y15", "Y21"} <= set(draft.vehicles)


def test_story_10_done_stops_the_nagging(drive: Place) -> None:
    done = Answer(vehicle="VAN", by="maelle", kind=AnswerKind.DONE, at=drive.on(1, 15 + 2 / 3))
    days = Days(answers=[done])
    moments = [(0, 17.25), (1, 11.25), (1, 16), (1, 17.25), (2, 8), (2, 11.25), (3, 11.25)]
    judged(drive, *(drive.on(day, hour) for day, hour in moments), days=days)
    assert days.kinds() == ["work order", "work order"]
    assert all(at < done.at for at, *_ in days.said)


def test_story_11_in_use_with_the_valve_open_is_no_drain_order(yard: Place) -> None:
    now = yard.on(1, 17)
    assert judge(only(yard.view(now), "Y19"), now).drafts == ()
    shut = Entry(
        vehicle="Y19",
        circuit=Circuit.WASTE_TANK,
        state=State.PART_FULL,
        evidence=Evidence.SEEN,
        by="orla",
        litres_l=6.0,  # its tank heater needs 10 L to run
        at=now - timedelta(minutes=40),
        received_at=now - timedelta(minutes=39),
    )
    (draft,) = judge(only(yard.view(now, more=(shut,)), "Y19"), now).drafts
    assert (draft.recipient, draft.kind) == ("orla", Kind.LAST_CALL)
    assert draft.level is Level.URGENT
    assert Circuit.WASTE_TANK in {entry.circuit for entry in draft.facts.wet}


def test_story_12_a_weak_dose_is_caught_and_a_strong_one_is_silent(yard: Place) -> None:
    now = yard.on(1, 7 + 2 / 3)
    found = judge(only(yard.view(now), "Y10", "Y11"), now)
    called = [d for d in found.drafts if d.recipient == "ailsa"]
    assert [d.vehicles for d in called] == [("Y10",)]
    stops = the_round(only(yard.view(now), "Y10", "Y11"))
    assert [stop.job for stop in stops.stops] == [Job.DOSE_TRAPS]


def test_story_13_a_change_of_the_forecast_is_handled_once(yard: Place) -> None:
    # Every three hours brings a new issue, each colder than the one before.
    moments = [yard.on(0, 7 + 2 / 3), yard.on(0, 10), yard.on(0, 15.5), yard.on(0, 18 + 1 / 6)]
    days = judged(yard, *moments)
    assert days.kinds("ailsa") == ["work order", "last call"]
    before = [said for said in days.said if said[1] == "ailsa"]
    days.judge(yard.view(yard.on(1, 6 + 2 / 3)), yard.on(1, 6 + 2 / 3))
    assert [said for said in days.said if said[1] == "ailsa"] == before


def test_story_14_too_late_is_said_plainly(yard: Place) -> None:
    moments = [(0, 7 + 2 / 3), (0, 15.5), (1, 7 + 2 / 3), (2, 7 + 2 / 3)]
    days = judged(yard, *(yard.on(day, hour) for day, hour in moments))
    thursday = yard.on(2, 8)
    found = days.judge(yard.view(thursday), thursday)
    assert not [d for d in found.drafts if d.kind is Kind.WORK_ORDER]
    matter = next(
        r for r in days.reminders.values() if (r.recipient, r.vehicle) == ("ailsa", "Y03")
    )
    assert matter.kind is Kind.LEAVE_ALONE
    told = matter.last(Kind.WORK_ORDER, Kind.LAST_CALL)
    assert told is not None
    alone = replace(only(yard.view(thursday), "Y03"), judged_to=yard.on(2, 7))
    (draft, *_) = judge(alone, thursday).drafts
    assert (draft.kind, draft.level) == (Kind.LEAVE_ALONE, Level.TOO_LATE)
    assert draft.facts.thaw_at is not None
    assert draft.facts.thaw_at > yard.on(3, 12)
    text = word(draft, Language.EN, Form.LONG).body
    assert "Do not switch the pump on, do not move a valve" in text


def test_story_15_the_thaw_check_comes_with_the_thaw_and_not_before(yard: Place) -> None:
    days = judged(yard, yard.on(2, 7 + 2 / 3))
    assert days.kinds("ailsa")[-1] == "leave alone"
    judged(yard, yard.on(3, 12), yard.on(3, 14), yard.on(4, 8), days=days)
    assert "thaw check" not in days.kinds("ailsa")
    judged(yard, *(yard.on(6, hour) for hour in (7 + 2 / 3, 10, 12)), days=days)
    assert days.kinds("ailsa").count("thaw check") == 1


def test_story_19_works_without_data(tmp_path: Path) -> None:
    place = Place("yard", tmp_path, last_issue_h=-2.0)  # the last issue is that of -3 h
    old = place.on(0, 11 + 2 / 3)
    view = place.view(old)
    people = tuple(replace(person, reading=(time(11, 40),)) for person in view.people)
    drafts = judge(replace(view, people=people), old).drafts
    draft = next(d for d in drafts if d.recipient == "ailsa")
    assert draft.kind is Kind.WORK_ORDER
    assert draft.facts.colder_k == 2.0
    assert "2 K colder" in word(draft, Language.EN, Form.LONG).body

    lost = place.on(1, 7 + 2 / 3)
    (draft,) = [d for d in judge(place.view(lost), lost).drafts if d.recipient == "ailsa"]
    assert draft.kind is Kind.NO_FORECAST
    assert draft.act_by is None
    assert draft.facts.onset is None
    assert draft.facts.count >= 15


def test_story_18_the_plan_fits_crew_and_light_or_says_what_does_not(yard: Place) -> None:
    now = yard.on(0, 7 + 2 / 3)
    view = yard.view(now)
    short = (Shift(weekday=1, opens=time(8), closes=time(10)),)
    alone = replace(view, site=replace(view.site, crew=1, shifts=short))
    walk = the_round(alone)
    assert not walk.fits
    assert walk.left
    assert [s.cost for s in walk.left] == sorted((s.cost for s in walk.left), reverse=True)
    (draft,) = [d for d in judge(alone, now).drafts if d.recipient == "ailsa"]
    assert f"with the crew entered {len(walk.stops)} of {draft.facts.count} fit" in (
        word(draft, Language.EN, Form.LONG).body
    )


def test_three_mild_weeks_are_silent(tmp_path: Path) -> None:
    place = Place("owner", tmp_path, shift_k=9.0)
    moments = [place.on(day, hour) for day in range(4) for hour in (11.25, 17.25)]
    assert judged(place, *moments).said == []


def test_five_kelvin_colder_is_the_case_to_act_in(tmp_path: Path) -> None:
    place = Place("owner", tmp_path, shift_k=-5.0)
    now = place.on(0, 17.25)
    drafts = judge(place.view(now), now).drafts
    assert [draft.kind in (Kind.WORK_ORDER, Kind.LAST_CALL) for draft in drafts] == [True]
    assert drafts[0].level is Level.URGENT
