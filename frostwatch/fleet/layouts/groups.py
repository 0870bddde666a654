"""Groups of items that most layouts share: cold side, hot side, waste, toilet."""

from frostwatch.fleet.layouts.parts import (
    estimate,
    fitting,
    heater_tank,
    none_left,
    pipe,
    practice,
    tank,
)
from frostwatch.fleet.vehicles import Figure, Item, Place

EDGE_SHARE = 0.7
"""Share of cabin air around pipes and traps at the cabin's edge, range 0.4 to 0.9. Estimate."""


def fresh_tank(
    place: Place,
    size_m: tuple[float, float, float],
    litres: float,
    *,
    left_travel_l: float = 20.0,
    foam_m: float = 0.0,
    lets_go: str,
) -> Item:
    """The fresh tank; the travel-level knob leaves 20 L unless said otherwise."""
    return tank(
        "F1",
        place,
        size_m,
        capacity_l=practice(litres, 0.8 * litres, 1.5 * litres),
        left_travel_l=practice(left_travel_l, 0.5 * left_travel_l, 1.5 * left_travel_l),
        left_drained_l=estimate(1.0, 0.5, 3.0),
        foam_m=foam_m,
        could_split="fresh tank seam",
        lets_go=lets_go,
    )


def cold_side(
    *, pump: Place, cabin_m: float, exposed_m: float = 0.0, exposed_foam_m: float = 0.0
) -> tuple[Item, ...]:
    """Pump with strainer, cold pipes along the cabin's edge, and a run outside the shell if any."""
    items = [
        fitting(
            "F2",
            pump,
            estimate(0.2, 0.1, 0.3),
            ua_w_per_k=estimate(0.32, 0.2, 0.5),
            dry_j_per_k=estimate(600.0, 300.0, 1000.0),
            could_split="pump and strainer bowl",
            lets_go="strainer bowl off, short pump burst with taps open",
        ),
        pipe("F3.cabin", Place.CABIN, cabin_m, cabin_share=EDGE_SHARE),
    ]
    if exposed_m:
        items.append(pipe("F3.exposed", Place.FLOOR, exposed_m, foam_m=exposed_foam_m))
    return tuple(items)


def outside_point() -> Item:
    """Tap point in the skirt for an outside shower."""
    return fitting(
        "F4",
        Place.OUTSIDE,
        estimate(0.15, 0.1, 0.3),
        ua_w_per_k=estimate(0.30, 0.2, 0.5),
        dry_j_per_k=estimate(150.0, 80.0, 300.0),
        could_split="valve body of the outside shower",
        lets_go="couple the hose, open, leave open",
    )


def filter_housing(place: Place) -> Item:
    """Water filter cartridge with its housing."""
    return fitting(
        "F5",
        place,
        estimate(0.5, 0.3, 1.0),
        ua_w_per_k=estimate(0.45, 0.3, 0.7),
        dry_j_per_k=estimate(400.0, 200.0, 700.0),
        could_split="filter housing",
        lets_go="unscrew the bowl, take the cartridge out",
    )


def hot_side(
    *,
    heater: Place,
    cabin_m: float,
    lets_go: str = "dump valve beside the heater, hot taps open",
    diameter_m: float = 0.20,
    length_m: float = 0.32,
    exposed_m: float = 0.0,
    taps: int = 3,
) -> tuple[Item, ...]:
    """Heater tank, hot pipes, the taps' cartridges and the shower."""
    items = [
        heater_tank(heater, diameter_m=diameter_m, length_m=length_m, lets_go=lets_go),
        pipe("H2.cabin", Place.CABIN, cabin_m, cabin_share=EDGE_SHARE),
    ]
    if exposed_m:
        items.append(pipe("H2.exposed", Place.FLOOR, exposed_m))
    items.append(
        fitting(
            "H2.taps",
            Place.CABIN,
            estimate(0.05 * taps, 0.03 * taps, 0.1 * taps),
            left_drained_l=estimate(0.02 * taps, 0.0, 0.05 * taps),
            ua_w_per_k=estimate(0.12 * taps, 0.08 * taps, 0.2 * taps),
            dry_j_per_k=estimate(200.0 * taps, 100.0 * taps, 400.0 * taps),
            could_split="tap cartridges",
            lets_go="levers up and in the middle",
        )
    )
    items.append(
        fitting(
            "H3",
            Place.CABIN,
            estimate(0.3, 0.2, 0.4),
            left_drained_l=estimate(0.2, 0.1, 0.3),
            ua_w_per_k=estimate(0.35, 0.2, 0.6),
            dry_j_per_k=estimate(250.0, 150.0, 500.0),
            closed=False,
            could_split="shower head",
            lets_go="unscrew the head, shake, lay the hose in the tray",
        )
    )
    return tuple(items)


def trap(name: str, place: Place) -> Item:
    """One trap, 0.3 L: it never drains by itself."""
    under_floor = place in (Place.FLOOR, Place.OUTSIDE)
    return fitting(
        f"W1.{name}",
        place,
        estimate(0.3, 0.2, 0.5),
        ua_w_per_k=estimate(0.35, 0.25, 0.5) if under_floor else estimate(0.20, 0.12, 0.3),
        dry_j_per_k=estimate(170.0, 100.0, 300.0),
        cabin_share=EDGE_SHARE if place is Place.CABIN else None,
        closed=False,
        could_split="trap",
        lets_go="dose with drinking-water antifreeze, or blow out",
    )


def waste_pipes(place: Place, sag_m: float = 2.4) -> Item:
    """The stretch of waste pipe in which water stays, bore 28 mm."""
    litres = 0.615 * sag_m
    return pipe(
        "W2",
        place,
        sag_m,
        bore_m=0.028,
        left_drained_l=estimate(litres, 0.2, litres),
        closed=False,
        could_split="",
        lets_go="park with fall to the tank, straighten the hose",
    )


def waste_tank(
    place: Place,
    size_m: tuple[float, float, float],
    litres: float,
    *,
    foam_m: float = 0.0,
    heater_w: float = 0.0,
    lets_go: str = "slide valve under the floor, left open",
) -> tuple[Item, ...]:
    """Waste tank with the outlet stub outside its valve.

    A heated one needs 10 L before its heater works (printed in one van handbook).
    """
    return (
        tank(
            "W3",
            place,
            size_m,
            capacity_l=practice(litres, 0.75 * litres, 1.35 * litres),
            left_drained_l=estimate(1.0, 1.0, 4.0),
            foam_m=foam_m,
            could_split="slide valve and tank seam",
            lets_go=lets_go,
            heater_w=heater_w,
            heater_needs_l=10.0 if heater_w else 0.0,
        ),
        outlet_stub(),
    )


def outlet_stub() -> Item:
    """Outlet stub and slide valve, 40 mm by 0.2 m, always outdoors."""
    return fitting(
        "W4",
        Place.FLOOR,
        estimate(0.25, 0.2, 0.5),
        left_drained_l=none_left(),
        ua_w_per_k=Figure(
            value=0.45,
            low=0.3,
            high=0.8,
            source="computed from a 40 mm x 0.2 m stub and its valve at about 15 W/(m2 K)",
        ),
        dry_j_per_k=estimate(200.0, 100.0, 400.0),
        closed=False,
        could_split="slide valve",
        lets_go="valve open, cap off",
    )


def toilet(*, flush_tank: bool, cassette: bool = True) -> tuple[Item, ...]:
    """Own flush tank or a valve fed from the fresh tank; cassette in its locker."""
    items: list[Item] = []
    if flush_tank:
        items.append(
            tank(
                "T1",
                Place.LOCKER,
                (0.40, 0.10, 0.20),
                capacity_l=practice(8.0, 8.0, 15.0),
                left_drained_l=estimate(0.2, 0.1, 0.5),
                could_split="flush pump",
                lets_go="its own drain tube beside the cassette",
            )
        )
    else:
        items.append(
            fitting(
                "T2",
                Place.CABIN,
                estimate(0.05, 0.03, 0.1),
                ua_w_per_k=estimate(0.12, 0.08, 0.2),
                dry_j_per_k=estimate(150.0, 80.0, 300.0),
                could_split="flush valve",
                lets_go="press flush with the pump off and the taps open",
            )
        )
    if cassette:
        items.append(
            tank(
                "T3",
                Place.LOCKER,
                (0.40, 0.30, 0.15),
                capacity_l=practice(18.0, 18.0, 20.0),
                left_drained_l=none_left(),
                could_split="blade seal",
                lets_go="empty at a disposal point, leave the blade open, take it indoors",
            )
        )
    return tuple(items)


def carriers(litres: float = 5.0) -> Item:
    """Loose water carriers and the washer bottle."""
    return tank(
        "X3",
        Place.LOCKER,
        (0.25, 0.16, 0.125 * litres / 5.0),
        capacity_l=estimate(litres, 0.0, 2 * litres),
        left_drained_l=none_left(),
        could_split="washer bottle",
        lets_go="tip out, or winter mix",
    )
