"""Heat kept on in several vehicles, against posts and supply of their place."""

from frostwatch.advice.handover import plan_for
from frostwatch.advice.held_together import drawing_at, held_conflicts, what_is_left
from frostwatch.advice.holding import Doubt, hold_view
from frostwatch.advice.plan_words import words_for
from frostwatch.advice.shared import Shared, choice_of, choices_for
from frostwatch.advice.shared_board import conflicts_of
from frostwatch.advice.shared_order import order_for, posts_for
from frostwatch.advice.shared_words import clash_words
from frostwatch.fleet.heat import Fuel, Post
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.people import Language
from frostwatch.fleet.vehicles import HeatedHold, Vehicle
from tests.advice.handovers import ELECTRIC, NOW, a_case, steady_air
from tests.builders import a_forecourt, a_vehicle

POSTS = tuple(Post(name=str(n), amps=16.0) for n in (1, 2, 3))


def kept(key: str, post: str = "", fuel: Fuel | None = Fuel.ELECTRIC) -> Vehicle:
    hold = HeatedHold(source="fan heater", power_w=2000.0, setting_c=8.0, fuel=fuel, other_w=500.0)
    return a_vehicle(key, site="hinterlach", post=post, hold=hold)


def test_all_heat_kept_on_is_set_against_what_the_place_gives() -> None:
    """Three of 2.5 kW at 16 A each run well alone; a supply of 6 kW trips."""
    site = a_forecourt(posts=POSTS, supply_w=6000.0)
    vans = [kept("D1", "1"), kept("D2", "2"), kept("D3", "3")]
    assert held_conflicts(drawing_at(vans[:2]), site, NOW) == ()
    (found,) = held_conflicts(drawing_at(vans), site, NOW)
    assert (found.what, found.need, found.have) == (Shared.POWER, 7500.0, 6000.0)
    said = clash_words(words_for(Language.EN, site, NOW), found, {v.key: v.key for v in vans})
    said = said.replace("\u00a0", " ")
    assert "7.5 kW" in said
    assert "6.0 kW: D1, D2, D3" in said


def test_two_at_one_post_are_told_where_it_does_not_feed_both() -> None:
    site = a_forecourt(posts=POSTS)
    (found,) = held_conflicts(drawing_at([kept("D1", "1"), kept("D2", "1")]), site, NOW)
    assert (found.what, found.post, found.vehicles) == (Shared.POSTS, "1", ("D1", "D2"))
    strong = a_forecourt(posts=(Post(name="1", amps=32.0),))
    assert held_conflicts(drawing_at([kept("D1", "1"), kept("D2", "1")]), strong, NOW) == ()


def test_what_burns_draws_on_no_post_and_what_nobody_said_does() -> None:
    assert drawing_at([kept("D1", "1", Fuel.GAS), kept("D2", "1", Fuel.DIESEL)]) == ()
    assert [one.vehicle for one in drawing_at([kept("D3", "1", None)])] == ["D3"]


def test_a_place_whose_supply_nobody_gave_is_told_nothing() -> None:
    site = a_forecourt(posts=POSTS)
    many = [kept(f"D{n}") for n in range(9)]
    assert held_conflicts(drawing_at(many), site, NOW) == ()
    assert what_is_left(site, drawing_at(many)).supply_w is None


def test_heat_that_may_trip_with_the_others_is_no_bridge() -> None:
    site = a_forecourt(posts=POSTS, supply_w=4000.0)
    one, other = kept("D1", "1"), kept("D2", "2")
    air = steady_air(3.0)
    alone = hold_view(one, layout_of(one), (), site, air)
    both = hold_view(one, layout_of(one), (), site, air, (one, other))
    assert alone.doubts == ()
    assert both.doubts == (Doubt.TOGETHER,)
    assert both.should_drain


def test_handovers_find_the_posts_and_the_power_that_heat_kept_on_leaves() -> None:
    """1.8 kW and the water element are 2.8 kW: of 6 kW heat kept on leaves 3.5, for one of two."""
    site = a_forecourt(crew=9, posts=POSTS, supply_w=6000.0)
    drawing = drawing_at([kept("D9", "2")])
    left = what_is_left(site, drawing)
    assert left.supply_w == 3500.0
    cases = [a_case(steady_air(-3.0), key=k, site=site, heat=(ELECTRIC,)) for k in ("D1", "D2")]
    wished = [choice_of(plan_for(case, ELECTRIC)) for case in cases]
    assert conflicts_of(wished, site) == ()
    (found,) = conflicts_of(wished, left, kept_w=2500.0)
    assert found.what is Shared.POWER
    said = clash_words(words_for(Language.EN, site, NOW), found, {"D1": "D1", "D2": "D2"})
    assert "heat kept on elsewhere leaves 3.5 kW" in said.replace("\u00a0", " ")
    order = order_for({c.vehicle.key: choices_for(c) for c in cases}, left)
    assert "2" not in posts_for(order).values()
    assert not conflicts_of(order.choices, left)
