"""What somebody records between two passes, and what it does to the warmth of the water."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from frostwatch.fleet.vehicles import Circuit
from frostwatch.heatloss.kept import NodeState, carried
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.service import pass_
from frostwatch.service.nights import air_of, job_for
from tests.builders import NOW, a_layout, a_vehicle, an_entry, entries_for
from tests.worlds import FEW_MEMBERS, World, a_small_yard, a_world

COLD = datetime(2026, 12, 2, 20, tzinfo=UTC)
LATER = datetime(2026, 12, 10, 7, 40, tzinfo=UTC)
"""A week into the frost: longer than the past hours that a forecast brings along."""
FROST_C = -1.5


@pytest.fixture(scope="module")
def after_a_week() -> Iterator[World]:
    """A yard with one full vehicle, stepped through a week of frost. Only to be copied."""
    world = a_world()
    a_small_yard(world, NOW)
    world.weather.cold(COLD, hours=24.0 * 9, air_c=FROST_C)
    for day in range(10):
        look(world, NOW + timedelta(days=day))
    yield world
    world.ledger.close()


@pytest.fixture
def world(after_a_week: World) -> Iterator[World]:
    """That yard, to be gone on with."""
    world = after_a_week.copy()
    yield world
    world.ledger.close()


def look(world: World, now: datetime) -> dict[str, float]:
    """One pass over everything; share of ice in each item by now, the mean of the members."""
    (work,) = pass_.run_pass(world.kit, now, everything=True).sites
    kept = world.ledger.load(now).states["Y03"]
    van = work.vans[0]
    assert work.air is not None
    job = job_for(van, work.air, kept)
    fusion_j = job.network.water_kg * 333_500.0
    ice = np.clip(-kept.arrays["enthalpy_j"].mean(axis=1) / fusion_j, 0.0, 1.0)
    return dict(zip(job.network.item_keys, ice.tolist(), strict=True))


def record(world: World, *entries: Entry) -> None:
    world.ledger.add_entries([replace(entry, received_at=entry.at) for entry in entries])


def everything(state: State, at: datetime, event: str = "") -> tuple[Entry, ...]:
    return entries_for(a_layout(), state, at=at, event=event, by="marek")


def test_a_word_that_it_is_still_full_thaws_nothing(world: World) -> None:
    before = look(world, LATER)
    assert before["W3"] > 0.2
    record(world, *everything(State.FULL, LATER + timedelta(minutes=20)))

    after = look(world, LATER + timedelta(minutes=30))

    assert all(before[key] <= share <= before[key] + 0.01 for key, share in after.items())
    later = look(world, LATER + timedelta(hours=3))
    assert all(later[key] >= share - 1e-6 for key, share in before.items())


def test_a_word_without_a_pass_before_it_does_not_make_the_past_warm() -> None:
    """The very first pass, days into the frost: what was recorded full this morning stood there."""
    world = a_world()
    a_small_yard(world, NOW)
    world.weather.cold(COLD, hours=24.0 * 9, air_c=FROST_C)
    record(world, *everything(State.FULL, LATER - timedelta(minutes=20)))

    ice = look(world, LATER)

    assert ice["W3"] > 0.1
    world.ledger.close()


def test_what_is_really_filled_in_begins_liquid(world: World) -> None:
    look(world, LATER)
    record(world, *everything(State.FULL, LATER + timedelta(minutes=20), event="filling"))

    after = look(world, LATER + timedelta(minutes=30))

    assert after["W3"] == 0.0
    assert after["F1"] == 0.0


def test_draining_one_tank_thaws_no_other(world: World) -> None:
    before = look(world, LATER)
    record(world, an_entry(Circuit.FRESH_TANK, State.DRAINED, at=LATER + timedelta(minutes=20)))

    after = look(world, LATER + timedelta(minutes=30))

    assert "F1" not in after
    assert before["W3"] <= after["W3"] <= before["W3"] + 0.01


def test_letting_some_of_it_out_leaves_the_ice_behind(world: World) -> None:
    before = look(world, LATER)
    record(
        world,
        an_entry(
            Circuit.WASTE_TANK, State.PART_FULL, litres_l=80.0, at=LATER + timedelta(minutes=20)
        ),
    )

    after = look(world, LATER + timedelta(minutes=30))

    assert 0.1 < before["W3"] < 0.8
    assert after["W3"] == pytest.approx(before["W3"] * 90.0 / 80.0, rel=0.02)
    assert after["F1"] == pytest.approx(before["F1"], abs=0.01)


def test_filling_one_tank_leaves_the_ice_in_the_others(world: World) -> None:
    record(world, an_entry(Circuit.FRESH_TANK, State.DRAINED, at=LATER - timedelta(hours=20)))
    before = look(world, LATER)
    record(world, an_entry(Circuit.FRESH_TANK, State.FULL, at=LATER + timedelta(minutes=20)))

    after = look(world, LATER + timedelta(minutes=30))

    assert after["F1"] == 0.0
    assert before["W3"] <= after["W3"] <= before["W3"] + 0.01


def test_the_kept_state_stands_through_many_words_about_the_same_water(world: World) -> None:
    """Somebody who looks every day must not keep the water liquid by looking."""
    other = a_world()
    a_small_yard(other, NOW)
    other.weather = world.weather
    for day in range(10):
        at = NOW + timedelta(days=day)
        record(other, *everything(State.FULL, at + timedelta(minutes=5)))
        look(other, at + timedelta(minutes=10))

    silent, looked_at = look(world, LATER), look(other, LATER)

    assert looked_at == pytest.approx(silent, abs=1e-6)
    other.ledger.close()


def test_water_found_over_a_valve_that_had_opened_means_that_it_was_shut(world: World) -> None:
    """The model had the heater tank empty; in milder air somebody finds water in it."""
    mild = COLD + timedelta(hours=24.0 * 9 + 20.0)
    look(world, mild - timedelta(hours=2))
    kept = world.ledger.load(mild).states["Y03"]
    assert kept.arrays["tripped"].all()
    record(world, an_entry(Circuit.HEATER_TANK, State.FULL, at=mild, evidence=Evidence.SEEN))

    look(world, mild + timedelta(minutes=10))

    assert not world.ledger.load(mild).states["Y03"].arrays["tripped"].any()


def test_a_fill_recorded_only_after_a_pass_is_stepped_again_from_the_past() -> None:
    world = a_world()
    _, vehicle = a_small_yard(world, NOW)
    forecast = world.weather.frame(LATER)
    (work,) = pass_.run_pass(world.kit, LATER, everything=True, keep=False).sites
    air = air_of(work.site, forecast, LATER, colder_k=0.0, members=FEW_MEMBERS)
    network = job_for(work.vans[0], air, None).network
    kept = NodeState(
        at=LATER.replace(minute=0),
        signature=network.water_signature,
        enthalpy_j=np.ones((len(network.item_keys), FEW_MEMBERS), np.float32),
        hubs_c=np.zeros((3, FEW_MEMBERS), np.float32),
        tripped=np.zeros(FEW_MEMBERS, np.bool_),
    )
    filled = (LATER - timedelta(hours=4), *network.filled_at[1:])

    assert carried(kept, network) is kept
    assert carried(kept, replace(network, filled_at=filled)) is None
    soon = replace(network, filled_at=(LATER, *network.filled_at[1:]))
    assert carried(kept, soon).fresh == (0,)  # type: ignore[union-attr]
    assert carried(replace(kept, signature="of an older form"), network) is None
    assert vehicle == a_vehicle(vehicle.key)
    world.ledger.close()
