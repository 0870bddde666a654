"""Airs and networks for tests of the heat model."""

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.harm import harm_fraction_of
from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.vehicles import HeatedHold, Vehicle
from frostwatch.heatloss.network import Network, build_network
from frostwatch.records.entries import Evidence, State
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.site_air import SiteAir

START = datetime(2026, 12, 1, tzinfo=UTC)


def an_air(
    air_c: NDArray[np.float64], *, now_index: int = 0, wind: float = 3.0, roof_k: float = -2.0
) -> SiteAir:
    """Members of shape (M, H + 1), steady wind and sky."""
    length = air_c.shape[1]
    return SiteAir(
        start=START,
        air_c=air_c,
        wind_m_per_s=np.full(length, wind),
        roof_k=np.full(length, roof_k),
        now_index=now_index,
    )


def a_spell(hours: int, *, mean_c: float, swing_k: float = 4.0, members: int = 1) -> Any:
    """A cold spell: nights, a slow dip in the middle, members half a kelvin apart."""
    h = np.arange(hours + 1)
    path = mean_c - swing_k * np.cos(2 * np.pi * (h - 3) / 24) - 3.0 * np.sin(np.pi * h / hours)
    return path + 0.5 * np.arange(members)[:, None]


def a_network(
    layout_key: str,
    air: SiteAir,
    *,
    full: float = 0.6,
    leave_out: tuple[str, ...] = (),
    hold: HeatedHold | None = None,
    glycol: float = 0.0,
) -> Network:
    """A vehicle of that layout with every circuit filled to a share, small ones wholly."""
    layout = CATALOGUE[layout_key]
    water = []
    for circuit in dict.fromkeys(item.circuit for item in layout.items):
        if circuit.value in leave_out:
            continue
        whole = sum(i.capacity_l.value for i in layout.items if i.circuit is circuit)
        litres = whole * (full if whole > 15.0 else 1.0)
        water.append(
            CircuitWater(
                circuit=circuit,
                state=State.PART_FULL,
                evidence=Evidence.SEEN,
                since=None,
                by="ab",
                litres_soon_l=litres,
                litres_cost_l=litres,
                glycol_volume_fraction=glycol if circuit.value == "W1" else 0.0,
            )
        )
    vehicle = Vehicle(key="V1", site="s", layout=layout_key, hold=hold)
    return build_network(vehicle, layout, water, air, harm_fraction_of)


def failing_from(network: Network, hour: int) -> Network:
    """The same vehicle, its heat gone from that hour on."""
    hold_w = network.hold_w.copy()
    hold_w[hour:] = 0.0
    return replace(network, hold_w=hold_w)
