"""Heat kept on with little to spare, and use in frost behind a shut valve: told once a spell."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from frostwatch.fleet.heat import Fuel
from frostwatch.fleet.vehicles import Circuit, HeatedHold
from frostwatch.messages.wording.draft import Kind
from frostwatch.ports import Message
from frostwatch.records.entries import Entry, State
from tests.builders import (
    NOW,
    a_drive,
    a_layout,
    a_site,
    a_vehicle,
    an_entry,
    an_operator,
    an_owner,
    entries_for,
)
from tests.worlds import World, a_world

SIX_AMPS = HeatedHold(
    source="hook-up 6 A", power_w=1380.0, setting_c=5.0, fuel=Fuel.ELECTRIC, other_w=280.0
)
"""6 A at 230 V: a common post (EN 50160 gives the voltage); a charger draws on it too."""
OUT_OF_THE_HEAT = (
    Circuit.WASTE_TANK,
    Circuit.OUTLET_STUB,
    Circuit.WASTE_PIPES,
    Circuit.TRAPS,
    Circuit.CASSETTE,
    Circuit.CARRIERS,
)
"""Drained, so that no frost call asks for them."""
MORNING = NOW.replace(hour=7, minute=40, second=0, microsecond=0)


def a_held_world(
    hold: HeatedHold = SIX_AMPS, *, air_c: float = -2.0, layout: str = "panel-van-indoor-valve"
) -> World:
    """A yard with one vehicle held at 5 degC, its waste tank drained, frost tomorrow night."""
    world = a_world()
    held = entries_for(a_layout(layout), State.HEATED_HOLD, vehicle="Y04", now=MORNING)
    dry = [
        an_entry(circuit, State.DRAINED, vehicle="Y04", now=MORNING, hours_ago=1.0)
        for circuit in OUT_OF_THE_HEAT
    ]
    world.enter(
        a_site(), [an_operator()], [a_vehicle("Y04", hold=hold, layout=layout)], [*held, *dry]
    )
    world.weather.cold(MORNING + timedelta(hours=34), hours=14.0, air_c=air_c)
    return world


def told(world: World, *, days: int, since: datetime = MORNING) -> list[Message]:
    """Everything that is said over some days, morning and evening."""
    moments = [since + timedelta(hours=12 * half) for half in range(2 * days)]
    return [m for moment in moments for m in world.told_at(moment)]


def test_heat_with_less_than_a_quarter_to_spare_is_told_once_in_its_spell() -> None:
    said = [m for m in told(a_held_world(), days=3) if m.kind == Kind.HOLD]
    assert [m.recipient for m in said] == ["ailsa"]
    (message,) = said
    assert "under a quarter to spare" in message.short
    assert "Better drain it" in message.short
    assert "pipes pass 0 C after about" in message.short
    assert "RCD tested" in message.long
    assert "Never leave burning heat alone" in message.long
    assert "somebody looks every day" in message.long


def test_heat_with_plenty_to_spare_is_not_told() -> None:
    plenty = replace(SIX_AMPS, power_w=6000.0, fuel=Fuel.GAS)
    assert not [m for m in told(a_held_world(plenty), days=2) if m.kind == Kind.HOLD]


def test_without_frost_ahead_it_is_not_told() -> None:
    world = a_held_world()
    world.weather.spells.clear()
    assert not [m for m in told(world, days=2) if m.kind == Kind.HOLD]


def test_its_spell_ends_three_mild_days_later_and_the_next_is_told_anew() -> None:
    world = a_held_world()
    next_week = MORNING + timedelta(days=7)
    world.weather.cold(next_week + timedelta(days=2, hours=18), hours=14.0, air_c=-2.0)
    assert Kind.HOLD in {m.kind for m in told(world, days=6)}
    standing = world.ledger.load(next_week).reminders.get("cold-rigg", ())
    assert not [m for m in standing if m.about == "hold"]
    again = [m for m in told(world, days=4, since=next_week) if m.kind == Kind.HOLD]
    assert len(again) == 1, "a new spell, told anew and once"


def lived_in(*, shut: bool) -> list[Entry]:
    """Somebody lives in it; 30 L stand behind a shut valve, or run into a container."""
    used = entries_for(a_layout(), State.OPEN_RUNNING, vehicle="M1", now=MORNING)
    if not shut:
        return list(used)
    waste = an_entry(
        Circuit.WASTE_TANK, State.PART_FULL, vehicle="M1", now=MORNING, hours_ago=1.0, litres_l=30.0
    )
    return [*used, waste]


@pytest.mark.parametrize("shut", [True, False])
def test_in_use_is_told_only_behind_a_shut_valve_and_in_its_own_words(shut: bool) -> None:
    world = a_world()
    van = a_vehicle("M1", site="aunt-drive", bay="", keeper="maelle")
    world.enter(
        a_drive(operator="maelle", gas_allowed=True), [an_owner()], [van], lived_in(shut=shut)
    )
    world.weather.cold(MORNING + timedelta(hours=34), hours=30.0, air_c=-8.0)
    said = [
        m
        for m in told(world, days=2)
        if m.kind in (Kind.WORK_ORDER, Kind.LAST_CALL) and "waste valve" in m.short
    ]
    assert len(said) == int(shut)
    for message in said:
        assert "container" in message.short
        assert "3 times a day" in message.long
        assert "ice on the step" in message.long
        assert "carbon monoxide alarm" in message.long


def test_who_is_told_to_leave_it_alone_is_not_asked_to_drain_it_as_well() -> None:
    """Frost came overnight and the heat was far too weak: a valve is moved no more."""
    world = a_held_world(replace(SIX_AMPS, power_w=400.0))
    world.weather.spells.clear()
    world.weather.cold(MORNING - timedelta(hours=14), hours=60.0, air_c=-14.0)
    said = told(world, days=2)
    assert Kind.LEAVE_ALONE in {m.kind for m in said}
    assert not [m for m in said if m.kind == Kind.HOLD]
