"""Water, ice, antifreeze and surface films against reference equations, libraries and standards."""

import numpy as np
import pytest

from frostwatch.heatloss import films
from frostwatch.heatloss.slush import glycol_freezing_c, slush_fraction
from frostwatch.heatloss.water import (
    FUSION_J_PER_KG,
    ICE_J_PER_KG_K,
    WATER_J_PER_KG_K,
    make_body,
)
from frostwatch.records.antifreeze import diluted
from frostwatch.records.antifreeze import freezing_c as handbook_freezing_c
from tests.heatloss.properties import of_coolprop

ATMOSPHERE_PA = 101_325.0


def heat_of_water(celsius: float) -> float:
    """Specific heat by IAPWS R6-95 [J/(kg K)]."""
    import iapws

    return float(iapws.IAPWS95(T=celsius + 273.15, P=ATMOSPHERE_PA / 1e6).cp * 1000)


def test_the_rounded_constants_stay_near_the_reference_equations() -> None:
    """IAPWS R6-95 and R10-06 (package iapws): latent heat 333.427 kJ/kg, c_p 4219 to 4195 and of
    ice 2097 to 2023 J/(kg K) near 0 degC, expansion on freezing 9.067 %."""
    import iapws

    pressure = ATMOSPHERE_PA / 1e6
    liquid = iapws.IAPWS95(T=273.1526, P=pressure)
    ice, colder = (iapws._iapws._Ice(kelvin, pressure) for kelvin in (273.1524, 263.15))
    assert (liquid.h - ice["h"]) * 1000 == pytest.approx(333_427, abs=20)
    assert pytest.approx(333_427, rel=0.001) == FUSION_J_PER_KG
    assert heat_of_water(10.0) <= WATER_J_PER_KG_K <= liquid.cp * 1000
    assert colder["cp"] * 1000 <= ICE_J_PER_KG_K <= ice["cp"] * 1000
    assert liquid.rho / ice["rho"] - 1 == pytest.approx(0.09067, abs=0.0001)


def test_the_ice_equation_gives_its_published_verification_values() -> None:
    """IAPWS R10-06, Table 6, at 273.152519 K and 101 325 Pa."""
    import iapws

    ice = iapws._iapws._Ice(273.152519, ATMOSPHERE_PA / 1e6)
    assert ice["rho"] == pytest.approx(916.721463419, rel=1e-9)
    assert ice["h"] == pytest.approx(-333.354873, rel=1e-7)
    assert ice["cp"] == pytest.approx(2.09671391, rel=1e-7)


@pytest.mark.parametrize("celsius", [5.0, 10.0, 20.0])
def test_two_codes_of_the_water_equation_agree(celsius: float) -> None:
    """iapws and CoolProp."""
    other = of_coolprop("C", "T", celsius + 273.15, "P", ATMOSPHERE_PA, "Water")
    assert heat_of_water(celsius) == pytest.approx(other, rel=1e-4)


@pytest.mark.parametrize("fraction", [0.02, 0.05, 0.10, 0.20, 0.30, 0.40, 0.50, 0.60])
def test_the_freezing_curve_is_that_of_the_library(fraction: float) -> None:
    """CoolProp 8, INCOMP::MPG (Melinder 2010), by mass."""
    kelvin = of_coolprop("T_freeze", "T", 300, "P", ATMOSPHERE_PA, f"INCOMP::MPG[{fraction}]")
    assert glycol_freezing_c(fraction) == pytest.approx(kelvin - 273.15, abs=1e-4)


LANGE = {5: -1.1, 10: -2.2, 15: -3.9, 20: -6.7, 25: -8.9, 30: -12.8, 35: -16.1, 40: -20.6}


@pytest.mark.parametrize(("percent", "freezing"), LANGE.items())
def test_the_handbook_row_is_promised_and_never_more(percent: int, freezing: float) -> None:
    """Lange's Handbook of Chemistry, 15th ed., Table 5.13, volume per cent. CoolProp by volume
    (mass from density 1.036, from memory, not verified) promises up to 1.3 K more."""
    assert handbook_freezing_c(percent / 100) == pytest.approx(freezing, abs=0.01)
    mass = percent * 1.036 / (percent * 1.036 + (100 - percent))
    assert -1.4 <= glycol_freezing_c(mass) - handbook_freezing_c(percent / 100) <= 0.1


@pytest.mark.parametrize(
    ("mass", "celsius", "ice"),
    [(0.1, -5, 0.35), (0.1, -10, 0.61), (0.2, -10, 0.21), (0.2, -20, 0.49), (0.3, -15, 0.10)],
)
def test_mixes_turn_to_slush_by_the_lever_rule(mass: float, celsius: float, ice: float) -> None:
    """f = 1 - w0 / w_liquid(T), computed with CoolProp's curve."""
    assert slush_fraction(celsius, mass) == pytest.approx(ice, abs=0.01)


@pytest.mark.parametrize("mass", [0.005, 0.1, 0.3, 0.6])
def test_the_curve_of_a_mix_can_be_read_both_ways(mass: float) -> None:
    body = make_body(3.0, 500.0, mass)
    for enthalpy_j in -np.geomspace(1.0, 3e6, 40):
        celsius, ice = body.temperature_c(enthalpy_j), body.ice_fraction(enthalpy_j)
        by_hand = (3.0 * 4200 + 500) * (celsius - body.freezing_c) - 3.0 * 333_500 * ice
        assert by_hand == pytest.approx(enthalpy_j, rel=1e-9)
        assert ice == pytest.approx(float(slush_fraction(celsius, mass)), abs=2e-4)


def test_residual_water_weakens_a_dose() -> None:
    """1 L of 33 % into 3 L left behind is about 8 %, good to about -1.8 degC (computed)."""
    share = diluted(0.33, 1.0, 3.0, 0.0)
    assert share == pytest.approx(0.0825, abs=0.001)
    assert handbook_freezing_c(share) == pytest.approx(-1.8, abs=0.1)


# --- films ----------------------------------------------------------------------------------------

TABLE_A2 = [(1, 0.08), (2, 0.06), (3, 0.05), (4, 0.04), (5, 0.04), (7, 0.03), (10, 0.02)]


@pytest.mark.parametrize(("wind", "resistance"), TABLE_A2)
def test_the_outside_film_follows_the_standard(wind: float, resistance: float) -> None:
    """ISO 6946:2007 Table A.2 as quoted in public code [m2 K/W]; its formula gives 0.0349 where the
    table prints 0.04, hence the tolerance."""
    assert 1 / films.face_w_per_m2_k(wind) == pytest.approx(resistance, abs=0.006)


@pytest.mark.parametrize(("inner", "resistance"), [(5.0, 0.10), (2.5, 0.13), (0.7, 0.17)])
def test_inside_films_are_those_of_the_standard(inner: float, resistance: float) -> None:
    """EN ISO 13789 Table 8 convection (as quoted in public code) with radiation at 20 degC, up,
    level and down; level is the one used."""
    film = inner + films.radiative_w_per_m2_k(20.0)
    assert 1 / film == pytest.approx(resistance, abs=0.002)
    assert pytest.approx(1 / 0.13, rel=0.01) == films.INSIDE_W_PER_M2_K


def test_the_film_library_gives_the_textbook_examples() -> None:
    """ht 1.2.0 ties these to textbook examples 7.3 and 9.2."""
    import ht

    assert ht.Nu_cylinder_Churchill_Bernstein(6071.0, 0.7) == pytest.approx(40.637, rel=1e-4)
    free = ht.Nu_horizontal_cylinder_Churchill_Chu(0.69, 2.63e9)
    assert free == pytest.approx(139.135, rel=1e-4)
    assert ht.Nu_vertical_plate_Churchill(0.69, 2.63e9) == pytest.approx(147.162, rel=1e-4)


PIPE_15_MM = [(0.5, 19.5), (1.0, 27.7), (2.0, 39.5), (4.0, 56.8), (8.0, 82.5)]


@pytest.mark.parametrize(("wind", "computed"), PIPE_15_MM)
def test_the_pipe_film_is_churchill_and_bernstein(wind: float, computed: float) -> None:
    """Against ht with air at -2 degC (k, nu, Pr from CoolProp): 15 mm pipe."""
    import ht

    ours = films.cylinder_w_per_m2_k(wind, 0.015)
    assert ours == pytest.approx(computed, rel=0.015)
    air = ("T", 271.15, "P", ATMOSPHERE_PA, "Air")
    conductivity = of_coolprop("L", *air)
    viscosity = of_coolprop("V", *air) / of_coolprop("D", *air)
    prandtl = of_coolprop("PRANDTL", *air)
    nusselt = ht.Nu_cylinder_Churchill_Bernstein(wind * 0.015 / viscosity, prandtl)
    assert ours == pytest.approx(nusselt * conductivity / 0.015, rel=0.015)


def test_the_pipe_film_never_falls_with_wind() -> None:
    """The pipe formula of ISO 12241 (as published in public code) drops from 18.7 to 13.5 W/(m2 K)
    between 0.5 and 1 m/s on a 15 mm pipe, where its branch changes; ours must not."""
    film = films.pipe_w_per_m2_k(np.linspace(0.0, 10.0, 400), 0.015)
    assert (np.diff(film) >= 0.0).all()


def test_a_pipe_in_still_air_has_free_convection_and_radiation() -> None:
    """15 mm, 5 K warmer than air at 0 degC: Churchill and Chu through ht, 5.1 W/(m2 K), and 4.2."""
    import ht

    grashof = 9.81 / 273.15 * 5 * 0.015**3 / 1.33e-5**2
    free = ht.Nu_horizontal_cylinder_Churchill_Chu(0.71, grashof) * 0.0243 / 0.015
    whole = free + films.radiative_w_per_m2_k(0.0)
    assert pytest.approx(whole, rel=0.05) == films.PIPE_STILL_W_PER_M2_K


@pytest.mark.parametrize(("wind", "turbulent"), [(1.0, 5.9), (2.0, 10.2), (4.0, 17.5)])
def test_the_film_of_a_face_is_the_rough_upper_value(wind: float, turbulent: float) -> None:
    """4 + 4 v against a smooth turbulent plate of 1.2 m (computed with ht)."""
    assert films.face_w_per_m2_k(wind) - films.radiative_w_per_m2_k() >= turbulent


def test_the_radiative_coefficient_is_four_sigma_t_cubed() -> None:
    """Computed: 4.16 at 0 degC and 3.72 at -10 degC for emissivity 0.9."""
    assert films.radiative_w_per_m2_k(0.0) == pytest.approx(4.16, abs=0.01)
    assert films.radiative_w_per_m2_k(-10.0) == pytest.approx(3.72, abs=0.01)
