"""One vehicle as nodes and links: cabin, cabin mass, locker, outside, and what holds water."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from frostwatch.fleet.vehicles import HeatedHold, Item, Layout, Place, Vehicle
from frostwatch.heatloss.slush import liquidus_fraction
from frostwatch.heatloss.vessels import exposure_of
from frostwatch.heatloss.water import WATER_KG_PER_L
from frostwatch.records.antifreeze import freezing_c
from frostwatch.records.entries import State
from frostwatch.records.standing_water import CircuitWater
from frostwatch.weather.site_air import SiteAir

Array = NDArray[np.float64]
HarmFraction = Callable[[Item, float, bool], float]

THERMOSTAT_BAND_K = 2.0
"""From full power to off around the setting of a heated hold. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Network:
    """One vehicle, ready to be stepped. I items hold water; arrays follow their order.

    Attributes:
        vehicle: key of the vehicle.
        item_keys: keys of the items that hold water.
        water_kg: mass of water or mix, shape (I,) [kg].
        dry_j_per_k: wall and fittings, shape (I,) [J/K].
        glycol_mass_fraction: shape (I,).
        cabin_w_per_k: links to the cabin air, shape (I,) [W/K].
        locker_w_per_k: links to the locker air, shape (I,) [W/K].
        outside_w_per_k: links to the outside air by hour, shape (I, H + 1) [W/K].
        flat_shell: slowing by flat ice, shape (I,).
        round_shell: slowing by a ring of ice, shape (I,).
        harm_fraction: ice fraction at which harm begins, shape (I,); inf where none can come.
        cool_c: warmth above freezing from which skin ice is possible, shape (I,) [K].
        heater_w: heaters in the items, shape (I,) [W].
        heater_on_c: full power below, shape (I,) [degC].
        heater_off_c: off above, shape (I,) [degC].
        filled_at: when each item got its water, shape (I,); None if it was always there.
        is_known: whether anybody knows what is in each item, shape (I,).
        shut_at: when water was last recorded in the item that the dump valve empties: then the
            valve was shut; None if never, or without valve.
        shell: cabin loss, air, mass, air to mass, locker, locker to cabin, locker to outside, in
            this order [W/K] and [J/K], shape (7,).
        hold_w: heat of a heated hold by hour, shape (H + 1,) [W].
        hold_c: its full-below and off-above temperatures [degC].
        valve_item: index of the item the dump valve empties, -1 for none.
        valve_shares: its local air as shares of cabin, locker, outside, shape (3,).
        valve_opens_c: air below which it opens [degC].
    """

    vehicle: str
    item_keys: tuple[str, ...]
    water_kg: Array
    dry_j_per_k: Array
    glycol_mass_fraction: Array
    cabin_w_per_k: Array
    locker_w_per_k: Array
    outside_w_per_k: Array
    flat_shell: Array
    round_shell: Array
    harm_fraction: Array
    cool_c: Array
    heater_w: Array
    heater_on_c: Array
    heater_off_c: Array
    filled_at: tuple[datetime | None, ...]
    is_known: tuple[bool, ...]
    shut_at: datetime | None
    shell: Array
    hold_w: Array
    hold_c: tuple[float, float]
    valve_item: int
    valve_shares: Array
    valve_opens_c: float

    @property
    def signature(self) -> bytes:
        """Equal for two vehicles that behave alike under the same air."""
        arrays = (
            self.water_kg,
            self.dry_j_per_k,
            self.glycol_mass_fraction,
            self.cabin_w_per_k,
            self.locker_w_per_k,
            self.outside_w_per_k,
            self.flat_shell,
            self.round_shell,
            self.harm_fraction,
            self.cool_c,
            self.heater_w,
            self.heater_on_c,
            self.heater_off_c,
            self.shell,
            self.hold_w,
            self.valve_shares,
        )
        words = f"{self.item_keys}{self.filled_at}{self.hold_c}{self.valve_item}"
        words += f"{self.valve_opens_c}{self.shut_at}"
        return b"".join(array.tobytes() for array in arrays) + words.encode()

    @property
    def water_signature(self) -> str:
        """One word for each item and one for the valve; see ``kept``."""
        words = []
        for i, key in enumerate(self.item_keys):
            filled = _stamp(self.filled_at[i])
            known = "known" if self.is_known[i] else "unknown"
            kg, glycol = float(self.water_kg[i]), float(self.glycol_mass_fraction[i])
            words.append(f"{key};{kg:.3f};{filled};{known};{glycol:.4f}")
        return "|".join([*words, f"shut;{_stamp(self.shut_at)}"])


def _stamp(moment: datetime | None) -> str:
    return "" if moment is None else f"{moment.timestamp():.0f}"


def _litres(
    layout: Layout, water: Sequence[CircuitWater]
) -> list[tuple[Item, CircuitWater, float]]:
    """Items that hold water, with their litres; a circuit's litres are shared by capacity."""
    by_circuit = {entry.circuit: entry for entry in water}
    found = []
    for item in layout.items:
        entry = by_circuit.get(item.circuit)
        if entry is None or entry.litres_soon_l <= 0.0 or item.capacity_l.value <= 0.0:
            continue
        alike = [other for other in layout.items if other.circuit is item.circuit]
        whole = sum(other.capacity_l.value for other in alike)
        litres = entry.litres_soon_l * item.capacity_l.value / whole
        found.append((item, entry, min(litres, item.capacity_l.value)))
    return found


def _valve(layout: Layout, keys: Sequence[str]) -> tuple[int, Array, float]:
    valve = layout.valve
    if valve is None or valve.drains not in keys:
        return -1, np.zeros(3), -np.inf
    shares = {
        Place.CABIN: (1.0, 0.0, 0.0),
        Place.LOCKER: (0.0, 1.0, 0.0),
        Place.FLOOR: (0.0, 0.0, 1.0),
        Place.OUTSIDE: (0.0, 0.0, 1.0),
    }[valve.place]
    return keys.index(valve.drains), np.array(shares), valve.opens_below_c.value


def _shut_at(wet: Sequence[tuple[Item, CircuitWater, float]], valve_item: int) -> datetime | None:
    """Whoever recorded water over a dump valve found it shut."""
    entry = wet[valve_item][1] if valve_item >= 0 else None
    told = entry is not None and entry.state is not State.TRIPPED
    return entry.since if told and entry is not None else None


def _shell(layout: Layout) -> Array:
    shell = layout.shell
    return np.array(
        [
            figure.value
            for figure in (
                shell.cabin_ua_w_per_k,
                shell.cabin_air_j_per_k,
                shell.cabin_mass_j_per_k,
                shell.air_to_mass_w_per_k,
                shell.locker_j_per_k,
                shell.locker_to_cabin_w_per_k,
                shell.locker_to_outside_w_per_k,
            )
        ]
    )


def _hold(hold: HeatedHold | None, hours: int) -> tuple[Array, tuple[float, float]]:
    if hold is None:
        return np.zeros(hours), (0.0, 1.0)
    half = THERMOSTAT_BAND_K / 2.0
    return np.full(hours, hold.power_w), (hold.setting_c - half, hold.setting_c + half)


def _glycol(entry: CircuitWater) -> float:
    """Mass fraction with the freezing point that the handbook gives for the volume share.

    The handbook row (Lange, 15th ed., Table 5.13) promises up to 1.3 K less than the curve the
    heat model follows; going by the freezing point keeps the lesser promise.
    """
    if entry.glycol_volume_fraction <= 0.0:
        return 0.0
    return float(liquidus_fraction(freezing_c(entry.glycol_volume_fraction)))


def build_network(
    vehicle: Vehicle,
    layout: Layout,
    water: Sequence[CircuitWater],
    air: SiteAir,
    harm_fraction: HarmFraction,
) -> Network:
    """One vehicle with the water that is known or must be reckoned with.

    Args:
        vehicle: the vehicle; its overrides are already in ``layout``.
        layout: its layout.
        water: what each circuit holds; circuits with nothing in them become no node at all.
        air: air around it; its wind sets the outdoor films.
        harm_fraction: (item, litres, open end) -> ice fraction at which harm begins.
    """
    wet = _litres(layout, water)
    wind = air.wind_m_per_s
    exposures = [exposure_of(item, litres, wind) for item, _, litres in wet]
    keys = tuple(item.key for item, _, _ in wet)
    valve_item, valve_shares, valve_opens_c = _valve(layout, keys)
    hold_w, hold_c = _hold(vehicle.hold, len(wind))
    heated = [item.heater_w if litres >= item.heater_needs_l else 0.0 for item, _, litres in wet]
    tanks = [item.capacity_l.value >= 5.0 for item, _, _ in wet]
    return Network(
        vehicle=vehicle.key,
        item_keys=keys,
        water_kg=np.array([litres * WATER_KG_PER_L for _, _, litres in wet]),
        dry_j_per_k=np.array([item.dry_j_per_k.value for item, _, _ in wet]),
        glycol_mass_fraction=np.array([_glycol(entry) for _, entry, _ in wet]),
        cabin_w_per_k=np.array([way.cabin_w_per_k for way in exposures]),
        locker_w_per_k=np.array([way.locker_w_per_k for way in exposures]),
        outside_w_per_k=np.array([way.outside_w_per_k for way in exposures]).reshape(
            len(wet), len(wind)
        ),
        flat_shell=np.array([way.flat_shell for way in exposures]),
        round_shell=np.array([way.round_shell for way in exposures]),
        harm_fraction=np.array([harm_fraction(i, n, e.open_end) for i, e, n in wet]),
        cool_c=np.where(tanks, 2.0, 3.0),
        heater_w=np.array(heated),
        heater_on_c=np.array([item.heater_on_below_c for item, _, _ in wet]),
        heater_off_c=np.array([item.heater_off_above_c for item, _, _ in wet]),
        filled_at=tuple(entry.filled_at for _, entry, _ in wet),
        is_known=tuple(entry.state is not State.UNKNOWN for _, entry, _ in wet),
        shut_at=_shut_at(wet, valve_item),
        shell=_shell(layout),
        hold_w=hold_w,
        hold_c=hold_c,
        valve_item=valve_item,
        valve_shares=valve_shares,
        valve_opens_c=valve_opens_c,
    )
