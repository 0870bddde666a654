"""In use in frost, a trip, the road, a thaw, and what got wet again."""

from dataclasses import replace
from datetime import UTC, timedelta

import numpy as np
import pytest

from frostwatch.advice.going import OF_CIRCUITS, Undo, going
from frostwatch.advice.in_use import Waste, container_for, in_use
from frostwatch.advice.rewetted import wet_again
from frostwatch.advice.thaw import Look, looks_for
from frostwatch.advice.transport import road_factor, transport
from frostwatch.errors import NoForecastError
from frostwatch.fleet.heat import Handover
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.vehicles import Circuit, HeatedHold
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater, water_of
from tests.advice.handovers import GAS_6, NOW, steady_air
from tests.builders import a_vehicle, an_entry, entries_for

KEY = "coachbuilt-seat-tank"


def water(
    state: State = State.FULL, layout: str = KEY, **changed: object
) -> tuple[CircuitWater, ...]:
    own = CATALOGUE[layout]
    vehicle = a_vehicle("V1", layout=layout)
    at = NOW - timedelta(days=2)
    entries = entries_for(own, state, vehicle="V1", at=at, **changed)
    return water_of(vehicle, own, entries, NOW)


def with_waste(entries: tuple[CircuitWater, ...], **changed: object) -> tuple[CircuitWater, ...]:
    return tuple(
        replace(e, **changed) if e.circuit is Circuit.WASTE_TANK else e  # type: ignore[arg-type]
        for e in entries
    )


# ------------------------------------------------------------------------------ in use
def test_a_bucket_of_twelve_litres_against_twenty_five_a_day_is_emptied_three_times() -> None:
    """Invented hire in use, a story of the trade."""
    container = container_for(12.0, 25.0, NOW)
    assert container.times_a_day == 3
    assert container.lasts_h == pytest.approx(9.2, abs=0.1)
    assert container.empty_by == NOW
    assert container_for(40.0, 25.0, None).times_a_day == 1


def test_only_a_valve_recorded_shut_over_freezing_water_is_worth_a_message() -> None:
    layout, frost, mild = CATALOGUE[KEY], steady_air(-4.0), steady_air(4.0)
    shut = in_use(layout, water(), frost, (GAS_6,))
    assert shut.waste is Waste.SHUT
    assert shut.must_tell
    assert shut.propane_only
    assert shut.frost_from == NOW
    opened = in_use(layout, with_waste(water(), open_end=True), frost)
    assert opened.waste is Waste.OPEN
    assert not opened.must_tell
    assert opened.container is not None
    assert not in_use(layout, water(), mild).must_tell
    empty = in_use(layout, with_waste(water(), litres_soon_l=0.0, litres_cost_l=0.0), frost)
    assert empty.waste is Waste.EMPTY


def test_a_heated_waste_tank_needs_its_ten_litres() -> None:
    """Works only with 10 L or more, on below 4 degC (one van handbook)."""
    layout = CATALOGUE["coachbuilt-heated-waste"]
    enough = with_waste(water(layout=layout.key), litres_soon_l=10.0)
    short = with_waste(water(layout=layout.key), litres_soon_l=6.0)
    frost = steady_air(-4.0)
    assert in_use(layout, enough, frost).waste is Waste.HEATED
    found = in_use(layout, short, frost)
    assert found.waste is Waste.HEATED_SHORT
    assert found.must_tell
    assert found.least_l == 10.0
    # between frost and ten litres it must be empty, and empty is all right
    dry = with_waste(water(layout=layout.key), litres_soon_l=0.0, litres_cost_l=0.0)
    emptied = in_use(layout, dry, frost)
    assert emptied.waste is Waste.EMPTY
    assert not emptied.must_tell


def test_a_heated_waste_tank_needs_its_hook_up_below_five_degrees_already() -> None:
    """Below 5 degC on 230 V, or it flattens the battery (one van handbook)."""
    layout = CATALOGUE["coachbuilt-heated-waste"]
    enough = with_waste(water(layout=layout.key), litres_soon_l=10.0)
    cool, mild = in_use(layout, enough, steady_air(3.0)), in_use(layout, enough, steady_air(6.0))
    assert cool.frost_from is None
    assert cool.hook_up_from == NOW
    assert mild.hook_up_from is None
    assert in_use(CATALOGUE[KEY], water(), steady_air(-4.0)).hook_up_from is None


def test_a_fresh_tank_under_the_floor_and_an_outside_point_are_named() -> None:
    layout = CATALOGUE["coachbuilt-underslung-fresh"]
    found = in_use(layout, water(layout=layout.key), steady_air(-4.0))
    assert found.fresh_outside
    assert found.outside_point
    assert not in_use(CATALOGUE[KEY], water(), steady_air(-4.0)).fresh_outside


# ------------------------------------------------------------------------------ going
def test_a_trip_lists_everything_recorded_open_removed_or_dosed() -> None:
    """Story: "going Saturday 09:00", list of the things recorded open or removed."""
    layout = CATALOGUE[KEY]
    found = going(layout, water(State.DRAINED), NOW + timedelta(days=2))
    undone = [one.undo for one in found.put_back]
    assert Undo.SHUT_VALVE in undone
    assert Undo.SHUT_FRESH in undone
    assert undone.count(Undo.SHUT_LOW_POINTS) == 1
    low = next(one for one in found.put_back if one.undo is Undo.SHUT_LOW_POINTS)
    assert set(low.circuits) == {Circuit.COLD_PIPES, Circuit.HOT_PIPES}
    assert low.by == "kit"
    assert not found.disinfect
    assert found.unknown == ()


def test_antifreeze_is_rinsed_out_and_what_nobody_knows_is_looked_at() -> None:
    layout = CATALOGUE[KEY]
    vehicle = a_vehicle("V1", layout=KEY)
    dosed = an_entry(Circuit.TRAPS, State.DOSED, vehicle="V1", dose_fraction=0.35, now=NOW)
    found = going(layout, water_of(vehicle, layout, (dosed,), NOW), NOW)
    undone = {one.undo: one.circuits for one in found.put_back}
    assert undone[Undo.RINSE_DOSE] == (Circuit.TRAPS,)
    assert Circuit.FRESH_TANK in undone[Undo.LOOK]
    assert Circuit.FRESH_TANK in found.unknown
    assert found.disinfect


def test_after_a_month_dry_the_water_is_disinfected_and_a_full_vehicle_needs_nothing() -> None:
    layout = CATALOGUE[KEY]
    assert going(layout, water(State.DRAINED), NOW + timedelta(days=40)).disinfect
    assert going(layout, water(State.FULL), NOW).put_back == ()
    no_valve = CATALOGUE["caravan-no-valve"]
    found = going(no_valve, water(State.DRAINED, no_valve.key), NOW)
    assert Undo.SHUT_HEATER_DRAIN in [one.undo for one in found.put_back]
    assert set(OF_CIRCUITS.values()) | {
        Undo.LOOK,
        Undo.WASTE_EMPTY,
        Undo.RINSE_DOSE,
        Undo.SHUT_VALVE,
        Undo.SHUT_HEATER_DRAIN,
    } == set(Undo)


# ------------------------------------------------------------------------------ transport
def test_on_the_road_a_tank_under_the_floor_loses_heat_several_times_faster() -> None:
    """ "Rises several-fold" at 80 km/h on a carrier: estimate of the trade. The film rises with the
    wind of the road; 4 mm of tank wall limit it."""
    tank = CATALOGUE[KEY].item("W3")
    assert 2.0 < road_factor(tank) < 8.0
    found = transport(CATALOGUE[KEY], water(), steady_air(1.0), NOW)
    assert found.faster > 2.0
    assert found.frost  # +1 degC counts as frost on the road
    assert not found.ready
    assert not transport(CATALOGUE[KEY], water(), steady_air(3.0), NOW).frost


@pytest.mark.parametrize("days", [-30, 30])
def test_a_move_beyond_what_is_known_of_the_air_is_told_no_air(days: int) -> None:
    with pytest.raises(NoForecastError, match="does not mean no frost"):
        transport(CATALOGUE[KEY], water(), steady_air(9.0), NOW + timedelta(days=days))


def test_a_dry_vehicle_is_ready_for_the_road_and_an_unknown_one_is_not() -> None:
    layout = CATALOGUE[KEY]
    dry = tuple(replace(e, litres_soon_l=0.0, litres_cost_l=0.0) for e in water(State.DRAINED))
    found = transport(layout, dry, steady_air(-5.0), NOW)
    assert found.ready
    assert found.faster == 1.0
    vehicle = a_vehicle("V1", layout=KEY)
    assert not transport(layout, water_of(vehicle, layout, (), NOW), steady_air(3.0), NOW).ready


# ------------------------------------------------------------------------------ thaw
def test_the_order_of_looking_leaves_out_what_a_vehicle_has_not() -> None:
    assert looks_for(CATALOGUE[KEY]) == tuple(Look)
    small = looks_for(CATALOGUE["small-camper"])
    assert Look.HEATER not in small
    assert small[0] is Look.LEAVE
    assert small.index(Look.PHOTOGRAPH) < small.index(Look.OPEN) < small.index(Look.FILL)


# ------------------------------------------------------------------------------ wet again
def an_event(event: str, hours_ago: float, **changed: object) -> Entry:
    entry = an_entry(
        Circuit.FRESH_TANK, State.FULL, vehicle="V1", now=NOW, hours_ago=hours_ago, event=event
    )
    return replace(entry, **changed)  # type: ignore[arg-type]


def listed(*entries: Entry, **vehicle: object) -> tuple[object, ...]:
    own = CATALOGUE[KEY]
    one = replace(a_vehicle("V1", layout=KEY), **vehicle)  # type: ignore[arg-type]
    return wet_again([(one, water_of(one, own, entries, NOW), entries)], NOW)


def test_a_demonstration_puts_a_vehicle_on_the_evenings_list_until_seen_drained() -> None:
    drained = entries_for(CATALOGUE[KEY], State.DRAINED, vehicle="V1", at=NOW - timedelta(days=5))
    assert listed(*drained) == ()
    (shown,) = listed(*drained, an_event("demonstration", 6.0))
    assert shown.event == "demonstration"  # type: ignore[attr-defined]
    assert shown.by == "kit"  # type: ignore[attr-defined]
    told = entries_for(
        CATALOGUE[KEY],
        State.DRAINED,
        vehicle="V1",
        at=NOW - timedelta(hours=1),
        evidence=Evidence.ASSERTED,
    )
    (still,) = listed(*drained, an_event("demonstration", 6.0), *told)
    assert still.told_only  # type: ignore[attr-defined]
    seen = entries_for(CATALOGUE[KEY], State.DRAINED, vehicle="V1", at=NOW - timedelta(hours=1))
    assert listed(*drained, an_event("demonstration", 6.0), *seen) == ()


def test_one_that_was_moved_is_listed_with_who_said_so_until_somebody_has_looked() -> None:
    drained = entries_for(CATALOGUE[KEY], State.DRAINED, vehicle="V1", at=NOW - timedelta(days=5))
    moved = an_event("moved", 6.0, state=State.UNKNOWN, evidence=Evidence.ASSERTED)
    (shown,) = listed(*drained, moved)
    assert (shown.event, shown.by, shown.unknown) == ("moved", "kit", True)  # type: ignore[attr-defined]
    seen = entries_for(CATALOGUE[KEY], State.DRAINED, vehicle="V1", at=NOW - timedelta(hours=1))
    assert listed(*drained, moved, *seen) == ()


def test_what_is_heated_or_in_use_is_not_on_the_list_and_a_near_handover_is_told() -> None:
    wet = an_event("handover", 6.0)
    hold = HeatedHold(source="hook-up", power_w=900.0, setting_c=5.0)
    assert listed(wet, hold=hold) == ()
    at = NOW.astimezone(UTC) + timedelta(hours=18)
    (soon,) = listed(wet, handover=Handover(at=at))
    assert soon.may_wait_for == at  # type: ignore[attr-defined]
    assert np.isfinite(soon.minutes)  # type: ignore[attr-defined]
