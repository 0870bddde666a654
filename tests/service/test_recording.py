"""What somebody says about a whole vehicle, circuit by circuit."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from frostwatch.advice.jobs import is_open, still_wet
from frostwatch.errors import FleetError, RecordError
from frostwatch.fleet.vehicles import Circuit
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater, water_of
from frostwatch.service.gathering import vans_of
from frostwatch.service.nights import Memory
from frostwatch.service.recording import But, Said, Statement, entries_said, wet_again
from frostwatch.storage.ledger import open_ledger
from tests.builders import NOW, a_layout, a_site, a_vehicle, entries_for

VAN = a_vehicle()
LAYOUT = a_layout()


def a_statement(said: Said, **changed: object) -> Statement:
    statement = Statement(said=said, evidence=Evidence.SEEN, at=NOW)
    return replace(statement, **changed)  # type: ignore[arg-type]


def after(*entries: Entry) -> dict[Circuit, CircuitWater]:
    before = entries_for(LAYOUT, State.FULL, hours_ago=48.0)
    water = water_of(VAN, LAYOUT, (*before, *entries), NOW + timedelta(minutes=1))
    return {entry.circuit: entry for entry in water}


def said(statement: Statement) -> dict[Circuit, CircuitWater]:
    return after(*entries_said(VAN, statement, by="kit", now=NOW))


def test_drained_leaves_the_traps_as_they_were() -> None:
    water = said(a_statement(Said.DRAINED))
    assert water[Circuit.FRESH_TANK].state is State.DRAINED
    assert water[Circuit.HEATER_TANK].state is State.DRAINED
    assert water[Circuit.TRAPS].state is State.FULL


def test_dosed_says_how_strong_the_traps_are() -> None:
    water = said(a_statement(Said.DOSED, dose_fraction=0.4))
    assert water[Circuit.TRAPS].state is State.DOSED
    assert water[Circuit.TRAPS].glycol_volume_fraction == pytest.approx(0.4)
    assert not is_open(still_wet(tuple(water.values())))


def test_wet_takes_everything_as_full_but_for_the_litres_somebody_knows() -> None:
    water = said(a_statement(Said.WET, litres=30.0))
    assert water[Circuit.FRESH_TANK].litres_cost_l == pytest.approx(30.0)
    assert water[Circuit.HEATER_TANK].state is State.FULL


def test_one_vessel_may_be_different() -> None:
    but = {"waste": But(state=State.PART_FULL, litres=12.0)}
    water = said(a_statement(Said.DRAINED, but=but))
    assert water[Circuit.WASTE_TANK].litres_cost_l == pytest.approx(12.0)
    assert water[Circuit.OUTLET_STUB].state is State.FULL
    assert water[Circuit.FRESH_TANK].state is State.DRAINED


def test_what_nobody_can_tell_counts_as_unknown() -> None:
    water = said(a_statement(Said.UNKNOWN))
    assert {entry.state for entry in water.values()} == {State.UNKNOWN}


def test_what_was_found_frozen_is_noted_and_says_nothing_about_the_water() -> None:
    water = said(a_statement(Said.FROZEN, found=True))
    assert water[Circuit.FRESH_TANK].state is State.FULL


def test_a_demonstration_makes_everything_full_and_needs_draining() -> None:
    drained = entries_said(VAN, a_statement(Said.DRAINED), by="kit", now=NOW)
    wet = wet_again(VAN, by="kit", now=NOW + timedelta(seconds=30), event="demonstration")
    water = after(*drained, *wet)
    assert {entry.state for entry in water.values()} == {State.FULL}


@pytest.mark.parametrize("off", [timedelta(minutes=1), timedelta(days=-500)])
def test_hours_that_cannot_be_are_refused(off: timedelta) -> None:
    with pytest.raises(RecordError):
        entries_said(VAN, a_statement(Said.WET, at=NOW + off), by="kit", now=NOW)


def test_a_vehicle_whose_layout_nobody_knows_is_refused_with_the_reason() -> None:
    with pytest.raises(FleetError):
        entries_said(a_vehicle(layout="none"), a_statement(Said.WET), by="kit", now=NOW)


@pytest.mark.parametrize(
    ("latitude_deg", "now", "wet"),
    [
        (-45.0, datetime(2027, 2, 20, tzinfo=UTC), False),
        (-45.0, datetime(2027, 6, 20, tzinfo=UTC), True),
        (45.0, datetime(2027, 6, 20, tzinfo=UTC), False),
    ],
)
def test_what_a_place_south_of_the_equator_knows_ends_before_its_own_winter(
    latitude_deg: float, now: datetime, wet: bool
) -> None:
    site = a_site(latitude_deg=latitude_deg)
    seen = entries_for(LAYOUT, at=datetime(2026, 10, 10, tzinfo=UTC), vehicle=VAN.key)
    ledger = open_ledger("sqlite://")
    ledger.save_fleet(sites=[site], vehicles=[VAN])
    ledger.add_entries(seen)
    (van,) = vans_of(ledger.load(now), {site.key}, Memory(), now)[0][site.key]
    ledger.close()
    assert van.is_wet is wet
