"""The crew's round: first loop, walking order, what fits, what to take."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.advice.rounds import (
    FIRST_STOPS,
    SETTING_OUT_MIN,
    Stop,
    deadline_of,
    most_in_time,
    round_for,
    setting_out_min,
    shares,
    take_for,
)
from frostwatch.fleet.vehicles import Circuit
from frostwatch.messages.wording.draft import Job, Take, Wet

STARTS = datetime(2026, 12, 1, 8, tzinfo=UTC)


def a_stop(place: int, **changed: object) -> Stop:
    fields: dict[str, object] = {
        "vehicle": f"Y{place:02d}",
        "bay": f"A-{place:02d}",
        "place": place,
        "job": Job.DRAIN_FULLY,
        "minutes": 18.0,
        "act_by": STARTS + timedelta(hours=7.5),
        "cost": 100.0,
    }
    return Stop(**(fields | changed))  # type: ignore[arg-type]


def test_five_come_first_and_the_rest_is_walking_order() -> None:
    stops = [a_stop(n, cost=float(n)) for n in range(1, 13)]
    walk = round_for(stops, starts=STARTS, crew=2)
    assert [s.place for s in walk.first] == [8, 9, 10, 11, 12]
    assert len(walk.first) == FIRST_STOPS
    assert [s.place for s in walk.rest] == [1, 2, 3, 4, 5, 6, 7]
    assert walk.fits


def test_time_comes_before_cost_in_the_first_loop() -> None:
    soon = STARTS + timedelta(hours=3)
    stops = [a_stop(n, cost=1000.0) for n in range(1, 8)]
    stops.append(a_stop(9, cost=10.0, act_by=soon))
    walk = round_for(stops, starts=STARTS, crew=3)
    assert walk.first[0].place == 9


def test_a_valve_that_may_stick_waits_for_its_place_though_it_freezes_first() -> None:
    # Y05, 4 L behind a shut valve, goes three hours before Y03; Y03 has pump, taps and heater full.
    early, late = STARTS + timedelta(hours=35), STARTS + timedelta(hours=38)
    y05 = a_stop(5, job=Job.OPEN_WASTE, minutes=7.0, cost=60.0, earliest=early)
    y03 = a_stop(3, cost=2000.0, earliest=late)
    walk = round_for([y05, y03], starts=STARTS, crew=1)
    assert [s.vehicle for s in walk.first] == ["Y03"]
    assert [s.vehicle for s in walk.rest] == ["Y05"]


def test_forty_full_vans_and_one_person_the_cut_falls_under_the_twenty_third() -> None:
    # 40 x 18 min = 12 person-hours (estimates of the trade). One person from 08:15 to 15:30 has
    # 7.25 h, of which half an hour goes for keys and grit: 22 vans; 24 without that half hour.
    starts = STARTS + timedelta(minutes=15)
    deadline = starts + timedelta(hours=7.25)
    stops = [a_stop(n, act_by=deadline) for n in range(1, 41)]
    walk = round_for(stops, starts=starts, crew=1)
    assert walk.crew_h == pytest.approx(12.0)
    assert len(walk.stops) == 22
    assert len(walk.left) == 18
    early = [a_stop(n, act_by=deadline + timedelta(minutes=SETTING_OUT_MIN)) for n in range(1, 41)]
    assert len(round_for(early, starts=starts, crew=1).stops) == 24
    assert round_for(stops, starts=starts, crew=2).fits


def test_what_does_not_fit_is_the_cheapest_and_stands_dearest_first() -> None:
    deadline = STARTS + timedelta(minutes=setting_out_min(5) + 2 * 18)
    stops = [a_stop(n, cost=float(10 * n), act_by=deadline) for n in range(1, 6)]
    walk = round_for(stops, starts=STARTS, crew=1)
    assert {s.place for s in walk.stops} == {4, 5}
    assert [s.place for s in walk.left] == [3, 2, 1]


def _least_left(stops: Sequence[Stop], crew: int) -> float:
    """The least cost left undone over all subsets, by trying them."""

    def fits(chosen: Sequence[Stop]) -> bool:
        worked = 0.0
        far = STARTS + timedelta(days=99)
        for stop in sorted(chosen, key=lambda s: s.act_by or far):
            worked += stop.minutes / crew
            done = STARTS + timedelta(minutes=setting_out_min(len(stops)) + worked)
            if stop.act_by is not None and done > stop.act_by + timedelta(seconds=1):
                return False
        return True

    whole = sum(s.cost + 1.0 for s in stops)
    best = 0.0
    for count in range(len(stops) + 1):
        for chosen in combinations(stops, count):
            if fits(chosen):
                best = max(best, sum(s.cost + 1.0 for s in chosen))
    return whole - best


@settings(max_examples=60)
@given(
    jobs=st.lists(
        st.tuples(
            st.sampled_from([3.0, 5.0, 7.0, 18.0, 26.0]),
            st.integers(0, 5),
            st.integers(40, 160),
        ),
        min_size=1,
        max_size=9,
    ),
    crew=st.integers(1, 3),
)
def test_no_other_choice_leaves_less_undone(jobs: list[tuple[float, int, int]], crew: int) -> None:
    # Lawler and Moore's table against brute force.
    stops = [
        a_stop(n, minutes=m, cost=100.0 * c, act_by=STARTS + timedelta(minutes=due))
        for n, (m, c, due) in enumerate(jobs)
    ]
    kept = most_in_time(stops, starts=STARTS, crew=crew)
    left = sum(s.cost + 1.0 for n, s in enumerate(stops) if n not in kept)
    assert left == pytest.approx(_least_left(stops, crew))


def test_five_hundred_stops_are_exact_too() -> None:
    # All alike: as many as fit, and no more.
    deadline = STARTS + timedelta(minutes=SETTING_OUT_MIN + 100 * 7.0)
    stops = [a_stop(n, minutes=7.0, act_by=deadline) for n in range(500)]
    assert len(most_in_time(stops, starts=STARTS, crew=1)) == 100


@pytest.mark.parametrize(("count", "crew", "seed"), [(60, 1, 1), (200, 2, 2), (500, 3, 3)])
def test_hundreds_of_different_stops_are_left_as_a_linear_program_leaves_them(
    count: int, crew: int, seed: int
) -> None:
    from scipy.optimize import Bounds, LinearConstraint, milp

    # The reference is scipy's HiGHS: of the jobs due by each deadline as many minutes as fit.
    rng = np.random.default_rng(seed)
    minutes = rng.choice([3.0, 5.0, 7.0, 18.0, 26.0], count)
    due = rng.choice([120.0, 240.0, 300.0, 420.0, 600.0], count)
    cost = rng.integers(0, 2500, count).astype(float)
    stops = [
        a_stop(
            n,
            minutes=float(minutes[n]),
            cost=float(cost[n]),
            act_by=STARTS + timedelta(minutes=float(due[n])),
        )
        for n in range(count)
    ]
    kept = most_in_time(stops, starts=STARTS, crew=crew)
    deadlines = np.unique(due)
    room = (deadlines - setting_out_min(count)) * crew
    rows = np.where(due[None, :] <= deadlines[:, None], minutes[None, :], 0.0)
    best = milp(
        -(cost + 1.0),
        constraints=LinearConstraint(rows, -np.inf, room),
        integrality=np.ones(count),
        bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0.0},
    )
    assert best.success
    assert sum(cost[n] + 1.0 for n in kept) == pytest.approx(-best.fun)


def test_a_stop_whose_hour_has_come_by_is_due_before_its_earliest_harm() -> None:
    passed = STARTS - timedelta(hours=2)
    ahead = a_stop(1, act_by=passed, earliest=STARTS + timedelta(hours=2))
    near = a_stop(2, act_by=passed, earliest=STARTS + timedelta(minutes=5))
    begun = a_stop(3, act_by=passed, earliest=passed)
    assert deadline_of(ahead, STARTS) == ahead.earliest
    assert deadline_of(begun, STARTS) is None
    walk = round_for([ahead, near, begun], starts=STARTS, crew=1)
    assert [s.place for s in walk.stops] == [1, 3]
    assert [s.place for s in walk.left] == [2]


def test_a_look_without_a_deadline_always_fits() -> None:
    stops = [
        a_stop(1, act_by=STARTS + timedelta(minutes=1)),
        a_stop(2, act_by=None, job=Job.LOOK, minutes=5.0, cost=0.0),
    ]
    walk = round_for(stops, starts=STARTS, crew=1)
    assert [s.place for s in walk.stops] == [2]


def test_two_people_share_the_walk_in_two_stretches() -> None:
    stops = [a_stop(n) for n in range(1, 11)]
    first, second = shares(stops, 2)
    assert [s.place for s in first] == [1, 2, 3, 4, 5]
    assert [s.place for s in second] == [6, 7, 8, 9, 10]


def test_a_mid_season_round_takes_the_hours_the_trade_reckons() -> None:
    # 22 drained (3 min), 10 top-up (7), 6 full (18), 2 unknown (5) = 254 min = 4.2 person-hours;
    # estimates of the trade, sum computed. Without the 22 looks: 188 min.
    jobs = [(Job.OPEN_TAPS, 7.0)] * 10 + [(Job.DRAIN_FULLY, 18.0)] * 6 + [(Job.LOOK, 5.0)] * 2
    stops = [a_stop(n, job=job, minutes=minutes) for n, (job, minutes) in enumerate(jobs)]
    walk = round_for(stops, starts=STARTS, crew=2)
    assert walk.minutes == 188.0
    assert walk.ready_at == STARTS + timedelta(minutes=30 + 94)


def test_what_to_take_follows_from_what_is_wet() -> None:
    waste = (Wet(circuit=Circuit.WASTE_TANK, litres=60.0),)
    stops = [a_stop(1, wet=waste), a_stop(2, job=Job.LOOK, minutes=5.0)]
    assert dict(take_for(stops)) == {
        Take.KEYS: 2.0,
        Take.CONTAINERS: 2.0,
        Take.DOSE: 1.5,
        Take.MESH: 1.0,
        Take.GRIT: 1.0,
        Take.TAGS: 1.0,
    }
