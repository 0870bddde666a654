"""The catalogue: every number has a source, every size holds its volume."""

import math
from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import pytest

from frostwatch.errors import FleetError
from frostwatch.fleet.layouts import CATALOGUE, layout_of
from frostwatch.fleet.layouts.overrides import override_names
from frostwatch.fleet.vehicles import Circuit, Figure, Item, Layout, Place, Shape
from tests.builders import a_vehicle

LAYOUTS = list(CATALOGUE.values())
ITEMS = [pytest.param(item, id=f"{lay.key}-{item.key}") for lay in LAYOUTS for item in lay.items]
each_layout = pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.key)
each_item = pytest.mark.parametrize("item", ITEMS)


def figures_in(part: object, path: str = "") -> Iterator[tuple[str, Figure]]:
    if isinstance(part, Figure):
        yield path, part
    elif isinstance(part, tuple):
        for one in part:
            yield from figures_in(one, path)
    elif is_dataclass(part):
        for field in fields(part):
            yield from figures_in(getattr(part, field.name), f"{path}.{field.name}")


def test_there_are_layouts_for_the_whole_trade() -> None:
    assert len(CATALOGUE) >= 10
    assert any(layout.valve is None for layout in LAYOUTS)
    assert any(layout.hydronic_l for layout in LAYOUTS)
    covered = {item.circuit for layout in LAYOUTS for item in layout.items}
    assert covered == set(Circuit) - {Circuit.HYDRONIC}


@each_layout
def test_every_figure_has_a_source_and_lies_in_its_range(layout: Layout) -> None:
    for path, figure in figures_in(layout):
        assert figure.source, path
        assert figure.low <= figure.value <= figure.high, path


@each_layout
def test_items_stand_in_the_order_of_the_record_under_keys_of_their_own(layout: Layout) -> None:
    order = list(Circuit)
    places = [order.index(item.circuit) for item in layout.items]
    assert places == sorted(places)
    assert len({item.key for item in layout.items}) == len(layout.items)


@each_layout
def test_the_valve_drains_an_item_that_exists(layout: Layout) -> None:
    if layout.valve is not None:
        assert layout.item(layout.valve.drains).circuit is Circuit.HEATER_TANK
        assert layout.valve.closable_above_c.value > layout.valve.opens_below_c.value


@each_item
def test_key_begins_with_the_circuit_code(item: Item) -> None:
    assert item.key.split(".")[0] == item.circuit.value


@each_item
def test_sizes_hold_the_capacity_within_five_percent(item: Item) -> None:
    if item.shape is Shape.TANK:
        litres = 1000 * math.prod(item.size_m)
    elif item.shape is Shape.FITTING:
        assert item.ua_w_per_k is not None
        return
    else:
        bore_m, length_m = item.size_m
        litres = 1000 * math.pi / 4 * bore_m**2 * length_m
    assert litres == pytest.approx(item.capacity_l.value, rel=0.05)
    assert item.ua_w_per_k is None


@each_item
def test_what_stays_behind_is_never_more_than_it_holds(item: Item) -> None:
    assert 0 <= item.left_drained_l.value <= item.left_travel_l.value <= item.capacity_l.value


@pytest.mark.parametrize(
    ("key", "circuit", "litres", "standing"),
    [
        ("coachbuilt-seat-tank", "F1", 100.0, "common practice, no source"),
        ("coachbuilt-seat-tank", "W3", 90.0, "common practice, no source"),
        ("coachbuilt-seat-tank", "H1", 10.0, "common practice, no source"),
        ("coachbuilt-underslung-fresh", "T1", 8.0, "common practice, no source"),
    ],
)
def test_volumes_are_those_the_trade_reckons_with(
    key: str, circuit: str, litres: float, standing: str
) -> None:
    capacity = CATALOGUE[key].item(circuit).capacity_l
    assert (capacity.value, capacity.source) == (litres, standing)


def test_the_quick_drain_leaves_twenty_litres() -> None:
    """Common practice, no source: the travel-level knob leaves 20 L of 100 to 120 L."""
    assert CATALOGUE["alcove-family"].item("F1").capacity_l.value == 120.0
    assert CATALOGUE["alcove-family"].item("F1").left_travel_l.value == 20.0


@each_layout
def test_the_locker_follows_the_outside_in_two_and_a_half_hours(layout: Layout) -> None:
    """Estimate: 0.12 MJ/K behind 6 W/K to the cabin and the rest to the outside."""
    shell = layout.shell
    links = shell.locker_to_cabin_w_per_k.value + shell.locker_to_outside_w_per_k.value
    assert shell.locker_j_per_k.value / links / 3600 == pytest.approx(2.5, abs=0.05)


def test_the_typical_coachbuilt_loses_95_watts_per_kelvin() -> None:
    """Panel areas of a 5.5 x 2.2 x 2.0 m body: 69 W/K with bridges, 26 for cab and vents."""
    loss = CATALOGUE["coachbuilt-seat-tank"].shell.cabin_ua_w_per_k
    assert loss.value == pytest.approx(95.0, abs=0.5)
    assert loss.low == pytest.approx(60.0, abs=0.5)
    assert loss.high == pytest.approx(150.0, abs=0.5)


def test_a_vehicle_without_overrides_shares_the_layout_of_the_catalogue() -> None:
    vehicle = a_vehicle()
    assert layout_of(vehicle) is CATALOGUE[vehicle.layout]


def test_equal_overrides_share_one_layout() -> None:
    one = layout_of(a_vehicle("Y01", overrides=(("F1.capacity_l", 80.0), ("W3.foam_m", 0.02))))
    other = layout_of(a_vehicle("Y02", overrides=(("W3.foam_m", 0.02), ("F1.capacity_l", 80.0))))
    assert one is other


def test_overrides_replace_single_numbers() -> None:
    layout = layout_of(
        a_vehicle(
            overrides=(
                ("W3.foam_m", 0.025),
                ("valve.opens_below_c", 5.0),
                ("shell.cabin_ua_w_per_k", 70.0),
                ("heat.space_heat_w", 6000.0),
                ("F3.exposed.left_drained_l", 0.05),
                ("W4.ua_w_per_k", 0.6),
            )
        )
    )
    assert layout.item("W3").foam_m == 0.025
    assert layout.valve is not None
    assert layout.valve.opens_below_c.value == 5.0
    assert layout.valve.opens_below_c.source == "given for this vehicle"
    assert layout.shell.cabin_ua_w_per_k.value == 70.0
    assert layout.space_heat_w.value == 6000.0
    assert layout.item("F3.exposed").left_drained_l.value == 0.05
    ua = layout.item("W4").ua_w_per_k
    assert ua is not None
    assert ua.value == 0.6


@pytest.mark.parametrize(("key", "litres"), [("F1", 15.0), ("H1", 14.0), ("F3.cabin", 3.0)])
def test_a_capacity_of_its_own_changes_the_sizes_with_it(key: str, litres: float) -> None:
    item = layout_of(a_vehicle(overrides=((f"{key}.capacity_l", litres),))).item(key)
    before = CATALOGUE["coachbuilt-seat-tank"].item(key)
    grown = math.prod(item.size_m) / math.prod(before.size_m)
    if item.shape is Shape.DRUM:
        grown = (item.size_m[0] / before.size_m[0]) ** 3
    assert grown == pytest.approx(litres / before.capacity_l.value)
    assert item.left_travel_l.value <= litres
    test_what_stays_behind_is_never_more_than_it_holds(item)


def test_a_number_given_beside_a_capacity_holds() -> None:
    layout = layout_of(a_vehicle(overrides=(("F1.capacity_l", 40.0), ("F1.left_travel_l", 12.0))))
    assert layout.item("F1").left_travel_l.value == 12.0
    assert layout.item("F1").capacity_l.value == 40.0


@pytest.mark.parametrize(
    ("overrides", "said"),
    [
        ((("F1.capcity_l", 80.0),), "Did you mean 'F1.capacity_l'?"),
        ((("F3.foam_m", 0.01),), "F3 is made of F3.cabin, F3.exposed: write F3.cabin.foam_m."),
        ((("Q9.zzzz", 80.0),), "this layout has F1, F2"),
        ((("W4.foam_m", 0.01),), "'W4.foam_m' is no number of layout"),
        ((("F1.capacity_l", -3.0),), "F1.capacity_l is -3, it must be between 0.01 and 1000 L."),
        ((("F1.capacity_l", math.nan),), "F1.capacity_l is nan"),
        ((("F1.left_travel_l", 150.0),), "more than its capacity of 100 L"),
    ],
)
def test_an_override_that_does_not_fit_says_how_to_mend_it(
    overrides: tuple[tuple[str, float], ...], said: str
) -> None:
    with pytest.raises(FleetError) as wrong:
        layout_of(a_vehicle(overrides=overrides))
    assert "vehicle Y03: " in str(wrong.value)
    assert said in str(wrong.value)


def test_a_valve_number_for_a_layout_without_valve_is_refused() -> None:
    with pytest.raises(FleetError, match=r"'valve.opens_below_c' is no number of layout"):
        layout_of(a_vehicle(layout="small-camper", overrides=(("valve.opens_below_c", 4.0),)))


def test_an_unknown_layout_offers_the_nearest() -> None:
    with pytest.raises(FleetError, match=r"Did you mean 'panel-van'\?"):
        layout_of(a_vehicle(layout="panelvan"))


@each_layout
def test_every_number_that_may_be_overridden_can_be_set_to_its_own_default(layout: Layout) -> None:
    for name in override_names(layout):
        head, _, field = name.rpartition(".")
        part: object = {"shell": layout.shell, "valve": layout.valve, "heat": layout}.get(head)
        default = getattr(part or layout.item(head), field)
        number = default.value if isinstance(default, Figure) else default
        if number is not None:
            layout_of(a_vehicle(layout=layout.key, overrides=((name, number),)))


def test_an_underslung_tank_stands_under_the_floor_and_a_double_floor_in_the_locker() -> None:
    assert CATALOGUE["coachbuilt-underslung-fresh"].item("F1").place is Place.FLOOR
    assert CATALOGUE["a-class-double-floor"].item("W3").place is Place.LOCKER
    valve = CATALOGUE["panel-van"].valve
    assert valve is not None
    assert valve.place is Place.FLOOR
