"""Single records refuse nonsense, and words for circuits are understood."""

from datetime import time
from typing import Any

import pytest

from frostwatch.errors import FleetError
from frostwatch.fleet.circuit_words import CIRCUITS_BY_WORD, circuits_named
from frostwatch.fleet.people import Channel, Slot
from frostwatch.fleet.sites import Shift
from frostwatch.fleet.vehicles import Circuit, HeatedHold
from tests.builders import a_layout, a_site, an_owner


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"latitude_deg": 95.0}, "site cold-rigg: latitude is 95, it must be between -90 and 90"),
        ({"longitude_deg": float("nan")}, "longitude is nan"),
        ({"height_m": 9000.0}, "Give metres above sea level, or leave it out."),
        ({"cost_ratio": 0.0}, "0.05 is careful, 0.1 balanced, 0.2 sparing."),
        ({"time_zone": "Europe/Nowhere"}, "time zone 'Europe/Nowhere' is not known."),
        ({"time_zone": ""}, "Give an IANA name"),
    ],
)
def test_a_site_that_cannot_be_is_refused(changed: dict[str, Any], said: str) -> None:
    with pytest.raises(FleetError) as wrong:
        a_site(**changed)
    assert said in str(wrong.value)


@pytest.mark.parametrize("weekday", [-1, 7])
def test_a_weekday_that_does_not_exist_is_refused(weekday: int) -> None:
    with pytest.raises(FleetError, match=r"one of mon\.\.sun"):
        Shift(weekday=weekday, opens=time(8), closes=time(16))
    with pytest.raises(FleetError, match=r"one of mon\.\.sun"):
        Slot(weekday=weekday, starts=time(8), ends=time(16))


def test_hours_that_end_before_they_begin_are_refused() -> None:
    with pytest.raises(FleetError, match="the end must be later than the start"):
        Shift(weekday=0, opens=time(16), closes=time(8))
    with pytest.raises(FleetError, match="the end must be later than the start"):
        Slot(weekday=0, starts=time(16), ends=time(16))


def test_a_channel_of_a_form_that_does_not_exist_is_refused() -> None:
    with pytest.raises(FleetError, match="channel phone: form 'tiny' is not known"):
        Channel(name="phone", address="outbox://local", form="tiny")


def test_a_way_of_more_than_two_days_is_refused() -> None:
    with pytest.raises(FleetError, match="person maelle: travel is 9999"):
        an_owner(travel_min=9999.0)


@pytest.mark.parametrize(("power_w", "setting_c"), [(1.38, 5.0), (1380.0, 50.0)])
def test_a_heated_hold_that_cannot_be_is_refused(power_w: float, setting_c: float) -> None:
    with pytest.raises(FleetError, match="heated hold by hook-up 6 A"):
        HeatedHold(source="hook-up 6 A", power_w=power_w, setting_c=setting_c)


@pytest.mark.parametrize(
    ("word", "circuits"),
    [
        ("fresh", (Circuit.FRESH_TANK,)),
        (" Waste ", (Circuit.WASTE_TANK,)),
        ("pipes", (Circuit.COLD_PIPES, Circuit.HOT_PIPES)),
        ("w3", (Circuit.WASTE_TANK,)),
        ("flush valve", (Circuit.FLUSH_VALVE,)),
        ("waste_pipes", (Circuit.WASTE_PIPES,)),
    ],
)
def test_circuits_go_by_code_or_word(word: str, circuits: tuple[Circuit, ...]) -> None:
    assert circuits_named(word) == circuits


def test_every_circuit_has_a_word() -> None:
    assert {circuit for those in CIRCUITS_BY_WORD.values() for circuit in those} == set(Circuit)


@pytest.mark.parametrize(
    ("word", "said"), [("heeter", "Did you mean 'heater'?"), ("??", "Give a code such as W3")]
)
def test_a_word_nobody_knows_gets_a_hint(word: str, said: str) -> None:
    with pytest.raises(FleetError) as wrong:
        circuits_named(word)
    assert said in str(wrong.value)


def test_an_item_a_layout_has_not_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        a_layout().item("Q1")
