"""Handovers that share crew, posts and power."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frostwatch.advice.handover import Plan, Trouble, plan_for
from frostwatch.advice.shared import Choice, Shared, Use, choice_of, choices_for
from frostwatch.advice.shared_board import conflicts_of
from frostwatch.advice.shared_order import order_for, posts_for
from frostwatch.fleet.heat import Fuel, HeatSource, Post
from frostwatch.fleet.sites import Site
from tests.advice.handovers import AT, ELECTRIC, GAS_6, NOW, a_case, steady_air
from tests.builders import a_forecourt

AIR = steady_air(-3.0)
POSTS = (Post(name="1", amps=16.0), Post(name="2", amps=16.0), Post(name="3", amps=6.0))


def a_choice(vehicle: str, starts_min: int, lasts_min: int, who: str = "", **how: float) -> Choice:
    """A made-up way: hands for so long, from a minute of the morning on."""
    starts = NOW + timedelta(minutes=starts_min)
    ends = starts + timedelta(minutes=lasts_min)
    uses = [Use(what=Shared.CREW, starts=starts, ends=ends)]
    if who:
        uses.append(Use(what=Shared.PERSON, starts=starts, ends=ends, who=who))
    if how.get("watts"):
        uses.append(Use(what=Shared.POSTS, starts=starts, ends=ends, least_w=how["watts"]))
        uses.append(Use(what=Shared.POWER, starts=starts, ends=ends, amount=how["watts"]))
    plan = Plan(vehicle=vehicle, site="s", at=NOW, source=GAS_6, on_by=starts)
    return Choice(
        plan=plan,
        hour=ends,
        late_min=how.get("late", 0.0),
        early_min=how.get("early", 0.0),
        uses=tuple(uses),
    )


def test_two_at_one_hour_with_one_pair_of_hands_collide_and_are_put_in_order() -> None:
    site = a_forecourt(crew=1)
    cases = [a_case(AIR, key=key, site=site, heat=(GAS_6,)) for key in ("D08", "D09")]
    wished = [choice_of(plan_for(case, GAS_6), case.vehicle.post) for case in cases]
    (conflict,) = [c for c in conflicts_of(wished, site) if c.what is Shared.CREW]
    assert conflict.vehicles == ("D08", "D09")
    assert conflict.need == 2
    assert conflict.have == 1
    order = order_for({c.vehicle.key: choices_for(c) for c in cases}, site)
    assert order.exact
    assert order.left_over == ()
    assert not conflicts_of(order.choices, site)
    # both cannot be shown at ten by one person
    assert sorted(choice.late_min for choice in order.choices) == [0.0, 30.0]


def test_one_after_the_other_needs_no_order() -> None:
    site = a_forecourt(crew=1)
    first = a_case(AIR, key="D08", site=site, heat=(GAS_6,))
    second = a_case(AIR, key="D09", site=site, heat=(GAS_6,), at=AT + timedelta(hours=5))
    wished = [choice_of(plan_for(case, GAS_6), case.vehicle.post) for case in (first, second)]
    assert conflicts_of(wished, site) == ()


def test_too_few_posts_that_give_enough_are_found() -> None:
    """1.8 kW and the water element are 2.8 kW: 16 A posts do, 6 A (1.38 kW) do not."""
    site = a_forecourt(crew=9, posts=POSTS)
    cases = [a_case(AIR, key=f"D{n}", site=site, heat=(ELECTRIC,)) for n in range(3)]
    wished = [choice_of(plan_for(case, ELECTRIC), case.vehicle.post) for case in cases]
    (conflict,) = conflicts_of(wished, site)
    assert conflict.what is Shared.POSTS
    assert (conflict.need, conflict.have) == (3, 2)
    order = order_for({c.vehicle.key: choices_for(c) for c in cases[:2]}, site)
    assert sorted(posts_for(order).values()) == ["1", "2"]


def test_the_supply_of_the_place_is_shared_too() -> None:
    site = a_forecourt(crew=9, posts=POSTS, supply_w=4000.0)
    cases = [a_case(AIR, key=f"D{n}", site=site, heat=(ELECTRIC,)) for n in range(2)]
    wished = [choice_of(plan_for(case, ELECTRIC), case.vehicle.post) for case in cases]
    (conflict,) = conflicts_of(wished, site)
    assert conflict.what is Shared.POWER
    assert conflict.need == pytest.approx(5600.0)


def test_a_vehicle_at_its_own_post_takes_it_from_the_others() -> None:
    site = a_forecourt(crew=9, posts=POSTS)
    own = a_case(AIR, key="D1", site=site, heat=(ELECTRIC,), post="2")
    others = [a_case(AIR, key=f"D{n}", site=site, heat=(ELECTRIC,)) for n in (2, 3)]
    wished = [choice_of(plan_for(case, ELECTRIC), case.vehicle.post) for case in (own, *others)]
    (conflict,) = conflicts_of(wished, site)
    assert set(conflict.vehicles) >= {"D2", "D3"}
    weak = a_case(AIR, key="D4", site=site, heat=(ELECTRIC,), post="3")
    (alone,) = conflicts_of([choice_of(plan_for(weak, ELECTRIC), weak.vehicle.post)], site)
    assert alone.have == 0


def test_each_post_that_is_short_is_told_with_those_that_need_it_alone() -> None:
    site = a_forecourt(crew=9, posts=POSTS)
    cases = [
        a_case(AIR, key=key, site=site, heat=(ELECTRIC,), post=post)
        for key, post in (("D1", "3"), ("D2", "1"), ("D3", "2"), ("D4", "2"))
    ]
    wished = [choice_of(plan_for(case, ELECTRIC), case.vehicle.post) for case in cases]
    found = {one.post: one for one in conflicts_of(wished, site)}
    assert set(found) == {"2", "3"}
    assert found["3"].vehicles == ("D1",)
    assert found["3"].have == 0
    assert found["2"].vehicles == ("D3", "D4")
    assert (found["2"].need, found["2"].have) == (2, 1)


def test_one_person_named_for_two_at_one_hour_is_told_and_put_in_order() -> None:
    """Hands enough there are; the one who was named has two of them."""
    site = a_forecourt(crew=9)
    cases = [
        a_case(AIR, key=key, site=site, heat=(GAS_6,), who=who)
        for key, who in (("D1", "Resi Zwiesel"), ("D2", " resi  zwiesel"), ("D3", "Jonas"))
    ]
    wished = [choice_of(plan_for(c, GAS_6), who=c.handover.who) for c in cases]
    (conflict,) = conflicts_of(wished, site)
    assert conflict.what is Shared.PERSON
    assert conflict.who == "resi zwiesel"
    assert conflict.vehicles == ("D1", "D2")
    order = order_for({c.vehicle.key: choices_for(c) for c in cases}, site)
    assert order.exact
    assert order.left_over == ()
    assert not conflicts_of(order.choices, site)
    assert sorted(choice.late_min for choice in order.choices) == [0.0, 0.0, 30.0]


def test_heat_that_never_gets_there_is_no_way_however_early_and_said_apart() -> None:
    site = a_forecourt(crew=9)
    never = a_case(steady_air(-9.0), key="D1", site=site, layout="panel-van", heat=(GAS_6,))
    other = a_case(AIR, key="D2", site=site, heat=(GAS_6,))
    assert plan_for(never, GAS_6).trouble is Trouble.NEVER
    order = order_for({c.vehicle.key: choices_for(c) for c in (never, other)}, site)
    assert order.left_over == order.never == ("D1",)


def test_electric_gives_way_to_the_burner_where_posts_are_short() -> None:
    site = a_forecourt(crew=9, posts=POSTS[:1])
    small = HeatSource(fuel=Fuel.ELECTRIC, power_w=1800.0)
    cases = [a_case(AIR, key=f"D{n}", site=site, heat=(small, GAS_6)) for n in range(2)]
    order = order_for({c.vehicle.key: choices_for(c) for c in cases}, site)
    fuels = sorted(choice.plan.source.fuel.value for choice in order.choices)
    assert fuels == ["electric", "gas"]
    assert all(choice.late_min == 0.0 for choice in order.choices)


def brute_force(options: Sequence[Sequence[Choice]], site: Site) -> tuple[int, float, float]:
    """The least cost of all, by trying every choice of every vehicle."""
    best = (len(options) + 1, 0.0, 0.0)
    for taken in product(*[(*own, None) for own in options]):
        there = [choice for choice in taken if choice is not None]
        left = len(options) - len(there)
        cost = (left, sum(c.late_min for c in there), sum(c.early_min for c in there))
        if cost < best and it_goes(there, site):
            best = cost
    return best


def over_each_other(one: Use, other: Use) -> bool:
    return one.starts < other.ends and other.starts < one.ends


def it_goes(taken: Sequence[Choice], site: Site) -> bool:
    """Hands and power suffice at every moment, and every vehicle gets a post for itself."""
    uses = [use for choice in taken for use in choice.uses]
    for moment in {use.starts for use in uses}:
        there = [use for use in uses if use.starts <= moment < use.ends]
        if sum(use.amount for use in there if use.what is Shared.CREW) > site.crew:
            return False
        named = [use.who for use in there if use.what is Shared.PERSON]
        if len(named) > len(set(named)):
            return False
        watts = sum(use.amount for use in there if use.what is Shared.POWER)
        if site.supply_w and watts > site.supply_w + 1e-6:
            return False
    plugs = [use for use in uses if use.what is Shared.POSTS]
    return any(
        all(
            post.power_w >= use.least_w and (not use.post or use.post == post.name)
            for use, post in zip(plugs, handed, strict=True)
        )
        and not any(
            handed[n].name == handed[m].name and over_each_other(plugs[n], plugs[m])
            for n in range(len(plugs))
            for m in range(n)
        )
        for handed in product(site.posts, repeat=len(plugs))
    )


def assert_nobody_is_in_two_places(choices: Sequence[Choice], site: Site) -> None:
    """By hand, moment by moment: no post twice, no more power or hands than there are."""
    uses = [(choice.plan.vehicle, use) for choice in choices for use in choice.uses]
    power = {post.name: post.power_w for post in site.posts}
    for vehicle, use in uses:
        if use.what is Shared.POSTS:
            assert use.post in power
            assert power[use.post] >= use.least_w
        for other, beside in uses:
            if vehicle < other and use.what is beside.what is Shared.POSTS:
                assert use.post != beside.post or not over_each_other(use, beside)
    for moment in {use.starts for _, use in uses}:
        there = [use for _, use in uses if use.starts <= moment < use.ends]
        assert sum(u.amount for u in there if u.what is Shared.CREW) <= site.crew
        watts = sum(u.amount for u in there if u.what is Shared.POWER)
        assert not site.supply_w or watts <= site.supply_w + 1e-6


@settings(max_examples=40, deadline=None)
@given(
    rows=st.lists(
        st.lists(
            st.tuples(
                st.integers(0, 12),
                st.integers(1, 6),
                st.sampled_from([0.0, 1000.0, 2800.0]),
                st.integers(0, 3),
                st.integers(0, 3),
            ),
            min_size=1,
            max_size=4,
        ),
        min_size=1,
        max_size=4,
    ),
    people=st.lists(st.sampled_from(["", "", "resi", "jonas"]), min_size=4, max_size=4),
    crew=st.integers(1, 2),
)
def test_the_order_is_the_best_of_all(
    rows: list[list[tuple[int, int, float, int, int]]], people: list[str], crew: int
) -> None:
    """Against every way of every vehicle with every post, tried one by one."""
    site = a_forecourt(crew=crew, posts=POSTS, supply_w=5000.0)
    options = {
        f"V{n}": sorted(
            (
                a_choice(
                    f"V{n}", 10 * s, 10 * d, people[n], watts=w, late=15.0 * late, early=5.0 * early
                )
                for s, d, w, late, early in row
            ),
            key=lambda choice: choice.cost,
        )
        for n, row in enumerate(rows)
    }
    order = order_for(options, site)
    cost = (
        len(order.left_over),
        sum(c.late_min for c in order.choices),
        sum(c.early_min for c in order.choices),
    )
    assert order.exact
    assert not conflicts_of(order.choices, site)
    assert_nobody_is_in_two_places(order.choices, site)
    assert cost == brute_force(list(options.values()), site)


@settings(max_examples=15, deadline=None)
@given(
    rows=st.lists(
        st.lists(
            st.tuples(
                st.integers(0, 40), st.integers(1, 12), st.sampled_from([0.0, 1000.0, 2800.0])
            ),
            min_size=1,
            max_size=8,
        ),
        min_size=5,
        max_size=12,
    ),
    crew=st.integers(1, 3),
)
def test_however_many_nobody_is_in_two_places_and_no_post_or_power_is_used_twice(
    rows: list[list[tuple[int, int, float]]], crew: int
) -> None:
    site = a_forecourt(crew=crew, posts=POSTS, supply_w=6000.0)
    options = {
        f"V{n:02d}": [
            a_choice(f"V{n:02d}", 10 * s, 10 * d, watts=w, late=10.0 * s) for s, d, w in sorted(row)
        ]
        for n, row in enumerate(rows)
    }
    order = order_for(options, site)
    placed = {choice.plan.vehicle for choice in order.choices}
    assert placed | set(order.left_over) == set(options)
    assert not placed & set(order.left_over)
    assert_nobody_is_in_two_places(order.choices, site)


def test_what_fits_nowhere_is_left_over() -> None:
    site = a_forecourt(crew=1)
    options = {f"V{n}": [a_choice(f"V{n}", 0, 30)] for n in range(2)}
    order = order_for(options, site)
    assert len(order.choices) == 1
    assert len(order.left_over) == 1


def test_hours_of_the_choices_move_with_the_heating() -> None:
    case = a_case(AIR, heat=(GAS_6,))
    choices = choices_for(case)
    assert choices[0].late_min == 0.0
    assert choices[0].early_min == 0.0
    late = [choice for choice in choices if choice.late_min > 0.0]
    assert late
    assert all(choice.hour > AT for choice in late)
    hours: list[datetime] = [c.plan.on_by for c in choices if c.plan.on_by]
    assert max(hours) - min(hours) == timedelta(hours=8)
    assert replace(choices[0], early_min=1.0).cost == (0.0, 1.0)


@cache
def own_choices(heat: tuple[HeatSource, ...]) -> tuple[Choice, ...]:
    return choices_for(a_case(AIR, heat=heat))


def named(choice: Choice, vehicle: str, later: timedelta = timedelta(0)) -> Choice:
    """The same way for another vehicle, so much later."""
    plan = replace(choice.plan, vehicle=vehicle, at=choice.plan.at + later)
    if plan.on_by is not None:
        plan = replace(plan, on_by=plan.on_by + later)
    uses = tuple(replace(u, starts=u.starts + later, ends=u.ends + later) for u in choice.uses)
    return replace(choice, plan=plan, hour=choice.hour + later, uses=uses)


def alike(count: int, heat: tuple[HeatSource, ...] = (GAS_6,)) -> dict[str, list[Choice]]:
    """So many vehicles of one kind, all wished at one hour."""
    keys = [f"D{n:02d}" for n in range(count)]
    return {key: [named(choice, key) for choice in own_choices(heat)] for key in keys}


@pytest.mark.parametrize(("crew", "count"), [(1, 4), (2, 8), (3, 12)])
def test_alike_at_one_hour_are_put_in_an_order_that_none_can_beat(crew: int, count: int) -> None:
    """Half an hour each to hand over, so as many as there are hands go every half hour."""
    site = a_forecourt(crew=crew)
    order = order_for(alike(count), site)

    assert order.left_over == ()
    assert order.exact
    late = sorted(choice.late_min for choice in order.choices)
    assert late == [30.0 * (n // crew) for n in range(count)]
    assert_nobody_is_in_two_places(order.choices, site)


def test_twelve_of_all_kinds_are_placed_within_what_there_is() -> None:
    site = a_forecourt(crew=2, posts=POSTS, supply_w=6000.0)
    options = {}
    for n, hour in enumerate((0, 0, 0, 1, 1, 2, 3, 3, 4, 5, 5, 6)):
        heat = ((ELECTRIC, GAS_6), (GAS_6,), (ELECTRIC,))[n % 3]
        key, later = f"D{n:02d}", timedelta(hours=hour)
        options[key] = [named(choice, key, later) for choice in own_choices(heat)]
    order = order_for(options, site)

    assert len(order.choices) + len(order.left_over) == 12
    assert len(order.choices) >= 10
    assert_nobody_is_in_two_places(order.choices, site)


def test_the_same_handovers_are_put_in_the_same_order_again() -> None:
    site = a_forecourt(crew=1, posts=POSTS, supply_w=4000.0)
    options = alike(5, (ELECTRIC, GAS_6))
    assert order_for(options, site) == order_for(options, site)
