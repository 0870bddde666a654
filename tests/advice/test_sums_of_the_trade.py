"""Heat sums of the trade, table by table, as checks of consistency.

None of these figures was measured: they are simple sums somebody in the trade worked out by hand,
sun and wind left out. Where the model says otherwise, both figures stand here with the reason.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from frostwatch.advice.handover import DIESEL_KWH_PER_L, PROPANE_KWH_PER_KG
from frostwatch.advice.handover_steps import water_heating_min
from frostwatch.advice.hold_need import need_by_hour_w
from frostwatch.advice.warm_up import (
    SLOW_VALVE_LAG_MIN,
    WarmUp,
    heavy,
    standing,
    warm_up,
)
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.layouts.parts import estimate
from frostwatch.fleet.vehicles import Circuit, Layout, Shell
from frostwatch.heatloss.warming import CABIN, DOORS_W_PER_K, course
from tests.advice.handovers import GAS_6, steady_air
from tests.builders import a_vehicle

TYPICAL = CATALOGUE["coachbuilt-seat-tank"]
"""The default vehicle: 95 W/K, 0.15 + 1.10 MJ/K, 200 W/K between them."""
VAN = CATALOGUE["panel-van-indoor-valve"]
"""Two thirds of its furniture."""

# Minutes from heating on until the dump valve can be shut, soaked at the air outside: nearest
# valve, remote valve. A two-node sum of 80 W/K and 1.8 MJ/K, the valve 15 and 30 minutes behind
# the air (computed). "About 9 h" and "about a day" stand as 540 and 1440.
VALVE_MIN = {
    6000.0: {2: (11, 17), 0: (14, 22), -3: (20, 30), -6: (26, 41), -10: (39, 58), -15: (69, 90)},
    4000.0: {
        2: (15, 23),
        0: (21, 32),
        -3: (32, 49),
        -6: (51, 73),
        -10: (102, 121),
        -15: (187, 203),
    },
    1800.0: {2: (38, 57), 0: (81, 101), -3: (191, 207), -6: (333, 349), -10: (540, 540)}
    | {-15: (1440, 1440)},
}
CELLS = [
    (float(air_c), power_w, near, remote)
    for power_w, row in VALVE_MIN.items()
    for air_c, (near, remote) in row.items()
]


def warmed(layout: Layout, air_c: float, power_w: float) -> WarmUp:
    stand = standing(a_vehicle(layout=layout.key), layout, steady_air(air_c, ahead_h=48))
    return warm_up(stand, stand.start, power_w, stand.end)


@pytest.mark.parametrize(("air_c", "power_w", "near", "remote"), CELLS)
def test_the_minutes_to_the_valve_enclose_the_sums_of_the_trade(
    air_c: float, power_w: float, near: float, remote: float
) -> None:
    """The default vehicle, all eighteen cells. Likely and planned minutes lie on both sides of the
    trade's range; what is planned is never earlier than its later figure but
    for a minute of rounding.

    On 1.8 kW at -10 and -15 degC the model is later: 13 to 20 h against 9, and never against a day.
    Both ways to reckon hang on half a degree: 1.8 kW lift 80 W/K by 22.5 K and this vehicle, 95 W/K
    and its lockers, by 17.9 K, where 17 and 22 K are asked for. The later answer is kept."""
    run = warmed(TYPICAL, air_c, power_w)
    likely, planned = float(run.valve_likely_min[0]), float(run.valve_min[0])
    assert planned >= remote - 1.0
    if power_w == 1800.0 and air_c <= -10.0:
        assert likely > 1.4 * near
        assert (planned == np.inf) is (air_c == -15.0)
        return
    assert 0.8 * near <= likely <= near + 1.0
    assert planned <= 1.35 * remote


@pytest.mark.parametrize(
    ("air_c", "minutes", "within"), [(-10.0, 540.0, 0.05), (-15.0, 1440.0, 0.2)]
)
def test_with_the_loss_and_the_weight_of_the_trade_the_two_cold_cells_come_out_as_there(
    air_c: float, minutes: float, within: float
) -> None:
    """The last half degree of 22.5 K takes hours: "about a day" is 28 h here."""
    own = TYPICAL.shell
    link = own.locker_to_cabin_w_per_k.value + DOORS_W_PER_K
    outside = own.locker_to_outside_w_per_k.value
    lockers = link * outside / (link + outside)
    rest_j = own.cabin_air_j_per_k.value + own.locker_j_per_k.value
    shell = replace(
        own,
        cabin_ua_w_per_k=estimate(80.0 - lockers, 70.0, 120.0),
        cabin_mass_j_per_k=estimate(1.8e6 - rest_j, 1e6, 2e6),
    )
    steps = 30 * 60
    run = course(
        shell,
        np.full((3, 1), air_c),
        np.full((1, steps + 1), air_c),
        np.zeros(steps + 1),
        step_s=60.0,
        power_w=1800.0,
        doors_open=True,
    )
    reached = np.flatnonzero(run.x_c[CABIN, 0] >= 7.0)
    assert reached[0] == pytest.approx(minutes, rel=within)


@pytest.mark.parametrize(("air_c", "power_w", "near", "remote"), CELLS)
def test_a_lighter_van_warms_sooner_and_takes_water_no_sooner_than_the_sums_have_the_valve(
    air_c: float, power_w: float, near: float, remote: float
) -> None:
    """A panel van has half the heat capacity of the trade's sum (0.98 against 1.8 MJ/K), so its air
    and its valve are warm sooner: likely 108 minutes against 187 at -15 degC on 4 kW, 197 against
    333 at -6 degC on 1.8 kW. Water waits for the pump's locker as well, and that is later than the
    trade has the valve in every cell."""
    van, typical = warmed(VAN, air_c, power_w), warmed(TYPICAL, air_c, power_w)
    assert van.valve_likely_min[0] <= typical.valve_likely_min[0]
    assert van.valve_min[0] >= 0.78 * remote
    assert max(van.pump_min[0], van.valve_min[0] + 7.0) >= remote


# Furnishings and pipes reach 5 degC, the second gate, of the same two-node sum (computed).
@pytest.mark.parametrize(
    ("air_c", "power_w", "minutes"),
    [(0.0, 4000.0, 62), (-6.0, 4000.0, 136), (-6.0, 6000.0, 90), (-6.0, 1800.0, 356)],
)
def test_water_waits_at_least_as_long_as_the_trade_lets_pipes_warm(
    air_c: float, power_w: float, minutes: float
) -> None:
    for layout in (TYPICAL, VAN):
        run = warmed(layout, air_c, power_w)
        assert run.pump_min[0] >= minutes
        assert 0.7 * minutes <= run.pump_likely_min[0] <= 1.5 * minutes


def test_the_minutes_planned_for_are_those_of_a_stiff_integrator() -> None:
    """The heavy vehicle and a fourth body, the valve, half an hour behind the air: scipy's LSODA at
    -6 degC with 4 kW and a heater that never reaches its setting."""
    shell = heavy(TYPICAL.shell)
    link = shell.locker_to_cabin_w_per_k.value + DOORS_W_PER_K

    def slope(_: float, x: np.ndarray) -> list[float]:
        cabin, locker, mass, valve = x
        to_mass = shell.air_to_mass_w_per_k.value * (mass - cabin)
        to_locker = link * (locker - cabin)
        loss = shell.cabin_ua_w_per_k.value * (-6.0 - cabin)
        out = shell.locker_to_outside_w_per_k.value * (-6.0 - locker)
        return [
            (4000.0 + loss + to_mass + to_locker) / shell.cabin_air_j_per_k.value,
            (out - to_locker) / shell.locker_j_per_k.value,
            -to_mass / shell.cabin_mass_j_per_k.value,
            (cabin - valve) / (60.0 * SLOW_VALVE_LAG_MIN),
        ]

    sure = solve_ivp(
        slope, (0.0, 18000.0), [-6.0] * 4, "LSODA", np.arange(0, 18001, 60), rtol=1e-9, atol=1e-9
    )
    run = warmed(TYPICAL, -6.0, 4000.0)
    assert run.valve_min[0] == pytest.approx(np.flatnonzero(sure.y[3] >= 7.0)[0], abs=1.0)
    assert run.pump_min[0] == pytest.approx(np.flatnonzero(sure.y[1] >= 5.0)[0], abs=1.0)


def test_six_kilowatts_take_the_heavy_vehicle_through_grade_3_as_the_trade_reckons() -> None:
    """From -15 to 20 degC in 3 h 17 (computed, 80 W/K and 1.8 MJ/K); the limit of the grade is 4 h,
    from six trade pages on EN 1646-1, not read in the standard. At 95 W/K it takes a little over
    the limit: the grade is met with the likely weight, in less."""

    def hours(shell: Shell) -> float:
        steps = 8 * 60
        run = course(
            shell,
            np.full((3, 1), -15.0),
            np.full((1, steps + 1), -15.0),
            np.zeros(steps + 1),
            step_s=60.0,
            power_w=6000.0,
            setting_c=99.0,
        )
        return float(np.flatnonzero(run.x_c[CABIN, 0] >= 20.0)[0]) / 60.0

    assert hours(TYPICAL.shell) < 4.0
    own = heavy(TYPICAL.shell)
    trade = replace(own, cabin_ua_w_per_k=estimate(77.0, 70.0, 120.0))
    assert hours(trade) == pytest.approx(3.28, rel=0.15)


# 10 L from 5 to 60 degC is 0.64 kWh, losses left out (computed); minutes rounded there.
@pytest.mark.parametrize(
    ("power_w", "litres", "minutes"),
    [
        (850.0, 10.0, 45),
        (1500.0, 10.0, 26),
        (1800.0, 10.0, 21),
        (2000.0, 10.0, 19),
        (4000.0, 10.0, 10),
        (6000.0, 10.0, 6),
        (1500.0, 14.0, 36),
    ],
)
def test_the_tank_takes_the_minutes_of_its_heat(
    power_w: float, litres: float, minutes: float
) -> None:
    items = tuple(
        replace(
            item,
            capacity_l=replace(item.capacity_l, value=litres),
            dry_j_per_k=replace(item.dry_j_per_k, value=0.0),
        )
        if item.circuit is Circuit.HEATER_TANK
        else item
        for item in VAN.items
    )
    own = replace(VAN, items=items, water_heat_w=replace(VAN.water_heat_w, value=power_w))
    assert water_heating_min(own, GAS_6) == pytest.approx(minutes, abs=0.6)


def test_the_losses_lie_in_the_range_that_bottles_let_one_reckon() -> None:
    """Two 11 kg bottles last barely a week (a van handbook), 11 kg two to three days (a trade page
    on gas); propane 12.87 kWh/kg: 40 to 71 kWh a day with cooking and hot water, at 20 to 28 K
    between in and out 60 to 150 W/K (computed), 70 to 120 as a working range."""
    two_a_week, two_days = 22 * 12.87 / 7 / 24 * 1000, 11 * 12.87 / 2 / 24 * 1000
    assert two_a_week == pytest.approx(1690, abs=20)
    assert two_days == pytest.approx(2950, abs=20)
    for layout in CATALOGUE.values():
        if layout.key != "small-camper":
            assert 60.0 <= layout.shell.cabin_ua_w_per_k.value <= 150.0
    assert 70.0 <= TYPICAL.shell.cabin_ua_w_per_k.value <= 120.0
    mild, cold = (
        float(
            need_by_hour_w(a_vehicle(layout=TYPICAL.key), TYPICAL.shell, steady_air(air_c), 20.0)[
                0, 0
            ]
        )
        for air_c in (0.0, -8.0)
    )
    assert two_a_week < mild < cold < two_days


# Holding 5 degC through 14 hours, sun and wind left out (computed): W and kWh by loss, then kg of
# propane and litres of diesel at 90 W/K.
HOLDING = {
    0: {70: (350, 4.9), 90: (450, 6.3), 120: (600, 8.4)},
    -3: {70: (560, 7.8), 90: (720, 10.1), 120: (960, 13.4)},
    -5: {70: (700, 9.8), 90: (900, 12.6), 120: (1200, 16.8)},
    -8: {70: (910, 12.7), 90: (1170, 16.4), 120: (1560, 21.8)},
    -10: {70: (1050, 14.7), 90: (1350, 18.9), 120: (1800, 25.2)},
    -15: {70: (1400, 19.6), 90: (1800, 25.2), 120: (2400, 33.6)},
}
FUEL = {0: (0.5, 0.8), -3: (0.8, 1.2), -5: (1.0, 1.5), -8: (1.3, 2.0), -10: (1.6, 2.3)} | {
    -15: (2.1, 3.0)
}


def a_shell(ua: float) -> Shell:
    """A cabin of that whole loss, its locker almost shut off."""
    return replace(
        TYPICAL.shell,
        cabin_ua_w_per_k=estimate(ua, ua, ua),
        locker_to_cabin_w_per_k=estimate(1e-6, 1e-6, 1e-6),
    )


@pytest.mark.parametrize("air_c", sorted(HOLDING))
def test_a_night_at_five_degrees_takes_the_heat_and_the_fuel_of_the_trades_table(
    air_c: int,
) -> None:
    """The fuel is counted with what a heater really gives of it (93 and 85 %, estimates), which is
    up to a twelfth more than the table's, never less."""
    vehicle = a_vehicle(layout=TYPICAL.key)
    for ua, (watt, kwh) in HOLDING[air_c].items():
        need = need_by_hour_w(vehicle, a_shell(float(ua)), steady_air(float(air_c)), 5.0)
        assert need[0, 0] == pytest.approx(watt, rel=1e-3)
        assert need[0, :14].sum() / 1000 == pytest.approx(kwh, abs=0.06)
    night_kwh = HOLDING[air_c][90][1]
    propane_kg, diesel_l = FUEL[air_c]
    assert propane_kg - 0.05 <= night_kwh / PROPANE_KWH_PER_KG <= 1.09 * propane_kg + 0.05
    assert diesel_l - 0.06 <= night_kwh / DIESEL_KWH_PER_L <= 1.09 * diesel_l + 0.05


def test_forty_vans_at_five_degrees_in_minus_five_need_36_kilowatts() -> None:
    """At 90 W/K (computed). The default vehicle of this model, 95 W/K and its lockers, needs a
    tenth more: 39 kW."""
    vehicle = a_vehicle(layout=TYPICAL.key)
    air = steady_air(-5.0)
    assert 40 * need_by_hour_w(vehicle, a_shell(90.0), air, 5.0)[0, 0] == pytest.approx(36e3)
    own_kw = 40 * need_by_hour_w(vehicle, TYPICAL.shell, air, 5.0)[0, 0] / 1000
    assert own_kw == pytest.approx(39.3, abs=0.3)


def test_1800_watts_hold_ten_degrees_at_minus_twelve_and_not_twenty() -> None:
    """80 W/K, lifted by 22 K (computed)."""
    vehicle = a_vehicle(layout=TYPICAL.key)
    for setting_c, is_held in ((10.0, True), (20.0, False)):
        need = need_by_hour_w(vehicle, a_shell(80.0), steady_air(-12.0), setting_c)
        assert bool(need[0, 0] <= 1800.0) is is_held
