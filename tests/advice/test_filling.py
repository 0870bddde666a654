"""When water may go in again after a frost: the gate that is stricter than the one for looking."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.advice.air_facts import thawed_hours
from frostwatch.advice.filling import LOOKED, fillings, last_frost
from frostwatch.advice.thaw import WARM_C, WARM_H, MayFill, Want
from frostwatch.advice.warm_up import standing
from frostwatch.fleet.layouts import CATALOGUE, layout_of
from frostwatch.fleet.vehicles import Circuit
from frostwatch.heatloss.warming import CABIN, FURNITURE, LOCKER
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import water_of
from frostwatch.weather.site_air import SiteAir
from tests.advice.handovers import NOW, steady_air
from tests.builders import a_vehicle, an_entry, entries_for

KEY = "coachbuilt-seat-tank"
"""Valve in the living room, pump in the locker."""


def an_air_of(
    past_c: float, steps: tuple[tuple[int, float], ...], *, spread_k: float = 0.0, members: int = 1
) -> SiteAir:
    """So much up to now, then from each hour after now on what stands beside it."""
    air = steady_air(past_c, spread_k=spread_k, members=members, ahead_h=120)
    air_c = air.air_c.copy()
    for hour, degrees in steps:
        lift = degrees - past_c
        air_c[:, air.now_index + hour :] = air.air_c[:, air.now_index + hour :] + lift
    return replace(air, air_c=air_c)


def gate(
    air: SiteAir,
    state: State = State.DRAINED,
    *,
    looked_h_ago: float | None = 0.5,
    evidence: Evidence = Evidence.SEEN,
    now: datetime = NOW,
) -> MayFill:
    vehicle = a_vehicle("V1", layout=KEY)
    layout = layout_of(vehicle)
    entries = list(entries_for(layout, state, vehicle="V1", at=NOW - timedelta(days=2)))
    if looked_h_ago is not None:
        looked = an_entry(
            Circuit.FRESH_TANK, state, vehicle="V1", now=NOW, hours_ago=looked_h_ago, event=LOOKED
        )
        entries.append(replace(looked, evidence=evidence))
    said: tuple[Entry, ...] = tuple(entries)
    return fillings([(vehicle, layout, water_of(vehicle, layout, said, NOW), said)], air, now)[0]


def test_after_a_frost_and_a_long_mild_spell_it_may_be_filled_once_somebody_has_looked() -> None:
    mild = an_air_of(12.0, ())
    assert gate(mild).now
    assert gate(mild).again_at is None
    assert gate(mild).lasting_from == NOW
    unseen = gate(mild, looked_h_ago=None)
    assert unseen.wants == (Want.LOOK,)
    assert unseen.from_at == NOW
    assert gate(mild, evidence=Evidence.ASSERTED).wants == (Want.LOOK,)


def test_in_the_frost_all_four_warmths_are_missing_and_the_hour_is_told() -> None:
    """Frost up to now, then 10 degC for good, full of water."""
    found = gate(an_air_of(-6.0, ((0, 10.0),)), State.FULL, looked_h_ago=None)
    assert set(found.wants) == {Want.ICE, Want.WARMTH, Want.VALVE, Want.PUMP, Want.LOOK}
    assert found.from_at is None or found.from_at - NOW > timedelta(hours=24)


def test_a_look_before_the_last_frost_does_not_count() -> None:
    """It was mild, froze for four hours six hours ago, and is mild again."""
    air = an_air_of(11.0, ())
    air_c = air.air_c.copy()
    air_c[:, air.now_index - 10 : air.now_index - 6] = -1.0
    frosty = replace(air, air_c=air_c)
    assert last_frost(frosty, NOW) == NOW - timedelta(hours=7)
    assert Want.LOOK in gate(frosty, looked_h_ago=9.0).wants
    assert Want.LOOK not in gate(frosty, looked_h_ago=2.0).wants
    # one cold member in five is a frost; where no known hour froze a look holds for a month
    some = replace(frosty, air_c=np.concatenate([np.repeat(air.air_c, 4, axis=0), air_c]))
    assert last_frost(some, NOW) == NOW - timedelta(hours=7)
    assert last_frost(air, NOW) == NOW - timedelta(days=30)


def test_by_itself_it_never_gets_there_where_the_valve_stays_below_seven() -> None:
    found = gate(an_air_of(-3.0, ((0, 5.0),)))
    assert found.from_at is None
    assert found.lasting_from is None


def test_a_mild_day_between_two_frosts_is_told_with_the_frost_that_follows() -> None:
    """Mild from now for 40 hours, then two days of frost, then mild for good."""
    found = gate(an_air_of(-2.0, ((0, 11.0), (40, -4.0), (72, 11.0))))
    assert found.from_at is not None
    assert found.again_at == NOW + timedelta(hours=40)
    assert found.lasting_from is not None
    assert found.lasting_from > NOW + timedelta(hours=72 + WARM_H)
    for_good_cold = gate(an_air_of(-2.0, ((0, 11.0), (40, -4.0))))
    assert for_good_cold.again_at is not None
    assert for_good_cold.lasting_from is None


def test_what_is_not_known_to_have_been_warm_for_six_hours_counts_as_cold() -> None:
    air = an_air_of(12.0, ())
    short = replace(
        air,
        start=air.start + timedelta(hours=air.now_index - 3),
        air_c=air.air_c[:, air.now_index - 3 :],
        wind_m_per_s=air.wind_m_per_s[air.now_index - 3 :],
        roof_k=air.roof_k[air.now_index - 3 :],
        now_index=3,
    )
    assert Want.WARMTH in gate(short).wants


steps = st.lists(st.tuples(st.integers(0, 110), st.floats(-8.0, 14.0)), min_size=1, max_size=4).map(
    lambda some: tuple(sorted(some))
)


@settings(max_examples=15, deadline=None)
@given(past_c=st.floats(-8.0, 13.0), steps=steps, spread_k=st.sampled_from([0.0, 2.0]))
def test_no_hour_is_told_that_misses_one_of_the_conditions(
    past_c: float, steps: tuple[tuple[int, float], ...], spread_k: float
) -> None:
    """Each condition asked again of the vehicle's own air, member by member in plain words."""
    members = 10 if spread_k else 1
    air = an_air_of(past_c, steps, spread_k=spread_k, members=members)
    found = gate(air)
    vehicle, layout = a_vehicle("V1", layout=KEY), CATALOGUE[KEY]
    stand = standing(vehicle, layout, air, back_h=WARM_H)
    most = 0.9 * members - 1e-9
    for at in {found.from_at, found.lasting_from} - {None}:
        assert at is not None
        index = stand.index(at)
        pipes_c = 0.7 * stand.x_c[CABIN] + 0.3 * stand.outside_c
        for back in range(WARM_H + 1):
            assert (pipes_c[:, index - 12 * back] >= WARM_C).sum() >= most
        assert (stand.x_c[FURNITURE][:, index] >= 7.0).sum() >= most
        assert (stand.x_c[LOCKER][:, index] >= 5.0).sum() >= most
    if found.now:
        assert found.from_at == NOW
    if found.lasting_from is not None:
        after = int((found.lasting_from - air.start) / timedelta(hours=1))
        assert (np.quantile(air.air_c[:, after:], 0.1, axis=0) >= -1e-9).all()
        assert found.from_at is not None
        assert found.lasting_from >= found.from_at


@settings(max_examples=10, deadline=None)
@given(
    past_c=st.floats(-8.0, -0.5),
    steps=steps,
    colder_k=st.floats(0.1, 4.0),
    state=st.sampled_from([State.DRAINED, State.FULL]),
)
def test_colder_air_never_opens_the_gate_earlier_nor_before_it_is_worth_looking(
    past_c: float, steps: tuple[tuple[int, float], ...], colder_k: float, state: State
) -> None:
    air = an_air_of(past_c, steps)
    mild, cold = gate(air, state), gate(replace(air, air_c=air.air_c - colder_k), state)
    if cold.from_at is not None:
        assert mild.from_at is not None
        assert mild.from_at <= cold.from_at
    if mild.from_at is not None:
        looking = np.flatnonzero(thawed_hours(air)[air.now_index :])
        assert looking.size
        assert mild.from_at >= NOW + timedelta(hours=int(looking[0]))


@pytest.mark.parametrize("state", [State.DRAINED, State.FULL])
def test_nobody_having_looked_it_is_never_open(state: State) -> None:
    assert not gate(an_air_of(14.0, ()), state, looked_h_ago=None).now
