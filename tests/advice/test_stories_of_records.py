"""Stories of the trade about records, rolls and being made ready, each a test named after it.

Places, people and weather are the demo's and invented; the hours are the model's own.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from frostwatch.advice.board import board_of
from frostwatch.advice.handover import Case, plan_for
from frostwatch.advice.handover_steps import Step
from frostwatch.advice.heat_sources import sources_of
from frostwatch.advice.judge import judge
from frostwatch.advice.plan_choice import best_of
from frostwatch.advice.site_rules import roll_counts
from frostwatch.advice.view import VehicleView
from frostwatch.advice.walks import round_at
from frostwatch.advice.warm_up import standing
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording import word
from frostwatch.messages.wording.draft import Form, Kind, RollCounts
from frostwatch.records.chain import chained, verify
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import water_of
from frostwatch.records.stating import entries_stated, statement_from
from frostwatch.storage.entry_files import read_entries_csv, write_entries_csv
from tests import builders
from tests.advice.handovers import GAS_4, a_case, steady_air
from tests.advice.nights import FULL, a_night, a_van, a_view, some_water
from tests.advice.places import Place, only


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Place:
    """Cold Rigg Yard; its story's Tuesday is 1 December 2026."""
    return Place("yard", tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="module")
def forecourt(tmp_path_factory: pytest.TempPathFactory) -> Place:
    """Reisemobilhof Hinterlach; its story's Thursday is 14 January 2027, at UTC+1."""
    return Place("forecourt", tmp_path_factory.mktemp("forecourt"))


def van_of(place: Place, key: str, now: datetime) -> VehicleView:
    return next(van for van in place.view(now).vehicles if van.vehicle.key == key)


def test_story_01_a_state_is_recorded_circuit_by_circuit_in_six_words(yard: Place) -> None:
    now = yard.on(0, 9)
    van = van_of(yard, "Y01", now)
    told = Entry(
        vehicle="Y01",
        circuit=Circuit.FRESH_TANK,
        state=State.UNKNOWN,
        evidence=Evidence.SEEN,
        by="kit",
        at=now - timedelta(seconds=12),
        received_at=now - timedelta(seconds=11),
        event="drain-down",
    )
    said = ("F=drained", "H=drained", "T=drained", "W=drained", "W3=open", "W1=35%")
    made = entries_stated([statement_from(one, van.layout) for one in said], told, van.layout)
    water = {one.circuit: one for one in water_of(van.vehicle, van.layout, made, now)}
    assert water[Circuit.FRESH_TANK].state is State.DRAINED
    assert water[Circuit.HEATER_TANK].state is State.DRAINED
    assert water[Circuit.WASTE_TANK].open_end
    assert water[Circuit.TRAPS].glycol_volume_fraction == pytest.approx(0.35)
    assert {(one.by, one.at, one.evidence) for one in made} == {("kit", told.at, Evidence.SEEN)}
    record = next(
        s.record for s in board_of(yard.view(now, more=made), now).vehicles if s.vehicle == "Y01"
    )
    assert record is not None
    assert (now - record.at, record.by) == (timedelta(seconds=12), "kit")
    assert record.evidence is Evidence.SEEN


def test_story_07_the_dealer_gets_heating_on_hours_backwards_from_the_handover(
    forecourt: Place,
) -> None:
    now = forecourt.on(0, 14)
    view = forecourt.view(now)
    van = next(v for v in view.vehicles if v.vehicle.key == "D08")
    assert view.air is not None
    assert van.vehicle.handover is not None
    case = Case(
        vehicle=van.vehicle,
        site=view.site,
        layout=van.layout,
        water=van.water,
        handover=van.vehicle.handover,
        stand=standing(van.vehicle, van.layout, view.air),
        now=now,
    )
    plans = [plan_for(case, source) for source in sources_of(case.vehicle, case.layout)]
    plan = best_of(plans, view.site)
    assert plan.fits
    assert plan.on_by is not None
    zone = ZoneInfo("Europe/Berlin")
    assert f"{plan.at.astimezone(zone):%a %H:%M}" == "Fri 10:00"
    ahead = plan.at - plan.on_by
    assert timedelta(hours=1.5) < ahead < timedelta(hours=5)  # the trade reckons 3 h 15 with 6 kW
    order = [Step.HEAT, Step.SHUT, Step.FILL, Step.PRIME, Step.WATER_HEAT, Step.LEAK, Step.SPARE]
    starts = [step.starts for name in order if (step := plan.step(name)) is not None]
    assert len(starts) == len(order)
    assert starts == sorted(starts)


def test_story_09_the_record_and_not_memory_speaks_in_a_dispute(yard: Place) -> None:
    # Messages with their results and the export as a document are the record command's.
    entries = [entry for entry in yard.entries if entry.vehicle == "Y09"]
    later = [entry for entry in entries if entry.by == "marek"]
    assert len(later) == 4
    tripped = next(entry for entry in later if entry.circuit is Circuit.HEATER_TANK)
    assert (tripped.state, tripped.note) == (State.TRIPPED, "opened by itself, taps shut")
    links = chained(entries)
    assert verify(links) is None
    again = read_entries_csv(write_entries_csv(entries), yard.fleet)
    assert not isinstance(again, list)
    assert [one.link for one in chained(again)] == [one.link for one in links]
    changed = [replace(one, entry=replace(one.entry, by="kit")) for one in links]
    broken = verify(changed)
    assert broken is not None
    assert broken.entry.by == "kit"


def test_story_16_a_heated_hold_is_told_with_its_heat_and_its_shut_waste_valve(
    yard: Place,
) -> None:
    # The margin of the supply belongs to the plans of heat; here: that it is held, that what the
    # heat does not reach is still asked for, and that the heater's watts stand beside it.
    now = yard.on(0, 7 + 2 / 3)
    walk = round_at(yard.view(now), "ailsa", now)
    assert walk is not None
    stop = next(s for s in (*walk.stops, *walk.left) if s.vehicle == "Y04")
    assert stop.held_w > 0.0
    wet = {one.circuit: one.litres for one in stop.wet}
    assert wet[Circuit.WASTE_TANK] == 12.0
    night = van_of(yard, "Y04", now).night
    assert night is not None
    harmed = {i.circuit for i in night.in_cost_order(96.0, above=0.1)}
    assert harmed & {Circuit.WASTE_TANK, Circuit.OUTLET_STUB, Circuit.WASTE_PIPES}
    assert Circuit.HEATER_TANK not in harmed


def test_story_17_the_roll_counts_each_vehicle_once_and_names_nobody() -> None:
    monday = datetime(2026, 11, 30, 7, 40, tzinfo=UTC)
    since = monday - timedelta(days=20)
    dry = dict.fromkeys(FULL, 0.0)
    how = {
        "drained_seen": (149, some_water(dry, since=since)),
        "dosed": (12, some_water({Circuit.TRAPS: 0.9}, since=since, state=State.DOSED)),
        "in_use": (6, some_water({Circuit.WASTE_TANK: 1.0}, since=since, state=State.OPEN_RUNNING)),
        "heated": (4, some_water(FULL, since=since, state=State.HEATED_HOLD)),
        "unknown": (
            9,
            some_water(FULL, since=since, state=State.UNKNOWN, evidence=Evidence.EXPIRED),
        ),
    }
    bays = iter(builders.bay_names(180))
    vans = [
        replace(a_van(f"{name}-{n}", bay=next(bays), night=a_night(monday)), water=water)
        for name, (count, water) in how.items()
        for n in range(count)
    ]
    assert roll_counts(vans) == RollCounts(
        drained_seen=149, dosed=12, in_use=6, heated=4, unknown=9
    )
    (draft,) = judge(a_view(monday, *vans), monday).drafts
    assert draft.kind is Kind.ROLL
    text = word(draft, Language.EN, Form.LONG).body
    for words in ("180", "149 drained and seen", "12 dosed", "6 in use", "4 heated", "9 unknown"):
        assert words in text
    assert "+44" not in text


def test_story_20_before_the_first_trip_what_was_left_open_is_listed_and_timed() -> None:
    # The list is what the record says was drained, opened or dosed; the hours are the plan's.
    at = datetime(2027, 1, 16, 8, tzinfo=UTC)  # Saturday 09:00
    case = a_case(steady_air(2.0, spread_k=1.0, members=10), at=at, fill_l=20.0)
    told = Entry(
        vehicle="D08",
        circuit=Circuit.FRESH_TANK,
        state=State.DRAINED,
        evidence=Evidence.SEEN,
        by="maelle",
        at=case.now - timedelta(days=60),
        received_at=case.now - timedelta(days=60),
        event="drain-down",
    )
    words = [statement_from("all=drained", case.layout), statement_from("W1=35%", case.layout)]
    entries = entries_stated(words, told, case.layout)
    water = water_of(case.vehicle, case.layout, entries, case.now)
    to_undo = [one for one in water if one.state in (State.DRAINED, State.DOSED)]
    assert len(to_undo) >= 9
    plan = plan_for(replace(case, water=water, handover=Handover(at=at, fill_l=20.0)), GAS_4)
    heat, fill = plan.step(Step.HEAT), plan.step(Step.FILL)
    shut, hot = plan.step(Step.SHUT), plan.step(Step.WATER_HEAT)
    found = (heat, shut, fill, hot)
    starts = [step.starts for step in found if step is not None]
    assert len(starts) == len(found)
    assert starts == sorted(starts)
    assert timedelta(hours=1) < at - starts[0] < timedelta(hours=4)


def test_the_dealers_lead_reads_an_hour_that_leaves_time_to_set_out(forecourt: Place) -> None:
    now = forecourt.on(0, 6.75)  # 07:45 there, at -11 degC
    found = judge(only(forecourt.view(now), "D06"), now)
    (draft,) = [d for d in found.drafts if d.recipient == "resi"]
    assert draft.kind is Kind.WORK_ORDER  # traps dosed 25 %, good to -9: dose them again
    assert draft.act_by is not None
    assert draft.earliest is not None
    assert draft.act_by - now >= timedelta(minutes=30 + 7)
    assert draft.act_by <= draft.earliest
