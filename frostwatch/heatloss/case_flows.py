"""Bodies, links and heaters of one case, the heat between them, and how it changes with state."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.case import Case, CaseBody, Loss, Thermostat
from frostwatch.heatloss.water import (
    FUSION_J_PER_KG,
    ICE_J_PER_KG_K,
    ICE_W_PER_M_K,
    WATER_KG_PER_L,
    Body,
    make_body,
    round_shell_growth,
    round_shell_slope,
)

Array = NDArray[np.float64]

HOUR_S = 3600.0
WATER_KG_PER_M3 = 1000.0 * WATER_KG_PER_L
_TOLERANCE_K = 5e-5
_TOLERANCE_ICE = 5e-7
_LEAST_TOLERANCE_J = 1e-9
_NEAR_K = 1e-3
_FASTEST_S = 1e-3
"""No body follows its surroundings faster: nobody could tell, and the steps stay in reach."""


@dataclass(slots=True)
class Live:
    """A body as it stands now: its water changes by events and valves.

    Attributes:
        spec: the body as the case gives it.
        least_j_per_k: capacity below which it would follow its surroundings within a millisecond.
        body: its curve with the water it holds now.
        enthalpy_j: where it stands on it [J].
        last_c: temperature that new water takes if none is given [degC].
        last_ice: ice fraction that new water takes if no temperature is given.
        heater_w: heater from now on, shape (H + 1,) [W].
        open_valves: names of the valves that stand open over it.
    """

    spec: CaseBody
    least_j_per_k: float
    body: Body
    enthalpy_j: float
    last_c: float
    last_ice: float
    heater_w: Array
    open_valves: set[str] = field(default_factory=set)

    @classmethod
    def start(cls, spec: CaseBody, least_j_per_k: float) -> "Live":
        """The body at hour 0."""
        body = _holding(spec, spec.water_l, least_j_per_k)
        return cls(
            spec=spec,
            least_j_per_k=least_j_per_k,
            body=body,
            enthalpy_j=body.enthalpy_j(spec.start_c, spec.start_ice_fraction),
            last_c=spec.start_c,
            last_ice=spec.start_ice_fraction,
            heater_w=spec.heater_w,
        )

    def set_water(self, water_l: float, water_c: float | None = None) -> None:
        """Change the water; temperature and ice stay unless a temperature is given.

        While a valve stands open over the body everything runs out at once.
        """
        if not self.body.is_nothing:
            self.last_c = self.body.temperature_c(self.enthalpy_j)
            self.last_ice = self.body.ice_fraction(self.enthalpy_j)
        if water_c is not None:
            self.last_c, self.last_ice = water_c, 0.0
        held_l = 0.0 if self.open_valves else water_l
        self.body = _holding(self.spec, held_l, self.least_j_per_k)
        self.enthalpy_j = self.body.enthalpy_j(self.last_c, self.last_ice)


def _holding(spec: CaseBody, water_l: float, least_j_per_k: float) -> Body:
    """The body with that much water; one with neither water nor dry mass stays nothing."""
    kg, dry_j_per_k = water_l * WATER_KG_PER_L, spec.dry_j_per_k
    if kg > 0.0 or dry_j_per_k > 0.0:
        dry_j_per_k += max(0.0, least_j_per_k - kg * ICE_J_PER_KG_K - dry_j_per_k)
    return make_body(kg, dry_j_per_k, spec.glycol_mass_fraction)


class CaseFlows:
    """Heat flows of a case at one moment, arrays over N bodies and L links.

    Attributes:
        live: the N bodies.
        index: number of each body by its name.
        enthalpy_j: shape (N,) [J]; written back to ``live`` by whoever steps.
        scale_j: error allowed in one step, shape (N,) [J].
    """

    def __init__(self, case: Case) -> None:
        self.case = case
        self.live = [
            Live.start(body, _FASTEST_S * whole)
            for body, whole in zip(case.bodies, _conductances(case), strict=True)
        ]
        self.index = {body.name: n for n, body in enumerate(case.bodies)}
        links = [(n, loss) for n, body in enumerate(case.bodies) for loss in body.losses]
        self.losses = [loss for _, loss in links]
        self.source = np.array([n for n, _ in links], int)
        self.target = np.array([self.index.get(loss.to, -1) for loss in self.losses], int)
        self.is_inner = self.target >= 0
        self.is_round = np.array([loss.length_m > 0.0 for loss in self.losses], bool)
        self.heated = [n for n, body in enumerate(case.bodies) if body.thermostat is not None]
        numbers = np.arange(len(links))
        self.gain = np.zeros((len(self.live), len(links)))
        self.gain[self.source, numbers] = 1.0
        self.gain[self.target[self.is_inner], numbers[self.is_inner]] -= 1.0
        self.hour = 0
        self.refresh()

    def refresh(self) -> None:
        """Take over what changed: masses, removed bodies, heaters."""
        bodies = [item.body for item in self.live]
        self.enthalpy_j = np.array([item.enthalpy_j for item in self.live])
        self.present = np.array([not body.is_nothing for body in bodies])
        self.mixes = [n for n, body in enumerate(bodies) if body.is_mix]
        self.freezing_c = np.array([body.freezing_c for body in bodies])
        self.fusion_j = np.array([body.fusion_j for body in bodies])
        self.per_fusion = np.array([1.0 / b.fusion_j if b.fusion_j else 0.0 for b in bodies])
        self.by_liquid = np.array([b.slope_k_per_j(0.0) for b in bodies])
        self.by_solid = np.array([0.0 if b.is_nothing else 1.0 / b.solid_j_per_k for b in bodies])
        self.scale_j = np.array([_tolerance_j(body) for body in bodies])
        there = self.present[self.source] & np.where(self.is_inner, self.present[self.target], True)
        ua = np.array([loss.ua_w_per_k for loss in self.losses]) * there
        self.conductance = ua
        pairs = zip(self.source.tolist(), self.losses, strict=True)
        self.shell = np.array([_shell_k_per_w(self.live[n], loss) for n, loss in pairs])
        self.load_hour(self.hour)

    def load_hour(self, hour: int) -> None:
        """Straight lines of airs and heaters for the hour that begins at ``hour``."""
        self.hour = hour
        after = min(hour + 1, self.case.hours)
        airs = self.case.airs
        begin = {name: float(series[hour]) for name, series in airs.items()}
        rise = {name: float(series[after] - series[hour]) / HOUR_S for name, series in airs.items()}
        self.air_c, self.air_k_per_s = begin, rise
        self.link_c = np.array([begin.get(loss.to, 0.0) for loss in self.losses])
        self.link_k_per_s = np.array([rise.get(loss.to, 0.0) for loss in self.losses])
        heat_w = np.array([item.heater_w[hour] for item in self.live])
        later_w = np.array([item.heater_w[after] for item in self.live])
        self.heat_w = heat_w * self.present
        self.heat_w_per_s = (later_w - heat_w) * self.present / HOUR_S

    def sensed_c(self, name: str, enthalpy_j: Array, second: float) -> float | None:
        """Temperature of an air or a body [degC]; None if the body is removed."""
        if name in self.air_c:
            return self.air_c[name] + self.air_k_per_s[name] * second
        n = self.index[name]
        if not self.present[n]:
            return None
        return self.live[n].body.temperature_c(float(enthalpy_j[n]))

    def _curves(self, enthalpy_j: Array) -> tuple[Array, Array]:
        """Temperature [degC] and ice fraction of every body."""
        below = np.minimum(enthalpy_j + self.fusion_j, 0.0) * self.by_solid
        water_c = self.freezing_c + np.maximum(enthalpy_j, 0.0) * self.by_liquid + below
        ice = np.clip(-enthalpy_j * self.per_fusion, 0.0, 1.0)
        for n in self.mixes:
            body, value = self.live[n].body, float(enthalpy_j[n])
            water_c[n], ice[n] = body.temperature_c(value), body.ice_fraction(value)
        return water_c, ice

    def _slopes(self, enthalpy_j: Array) -> tuple[Array, Array]:
        """dT/dE [K/J] and df/dE [1/J] of every body."""
        is_frozen = enthalpy_j <= -self.fusion_j
        slope = np.where(enthalpy_j >= 0.0, self.by_liquid, np.where(is_frozen, self.by_solid, 0.0))
        growth = np.where((enthalpy_j < 0.0) & ~is_frozen, -self.per_fusion, 0.0)
        for n in self.mixes:
            body, value = self.live[n].body, float(enthalpy_j[n])
            slope[n], growth[n] = body.slope_k_per_j(value), body.ice_slope_per_j(value)
        return slope, growth

    def _links(self, water_c: Array, ice: Array, second: float) -> tuple[Array, Array]:
        """Temperature difference [K] and conductance [W/K] of every link, inward."""
        air_c = self.link_c + self.link_k_per_s * second
        far_c = np.where(self.is_inner, water_c[self.target], air_c)
        difference_k = far_c - water_c[self.source]
        own = ice[self.source]
        if not own.any():
            return difference_k, self.conductance
        growth = np.where(self.is_round, round_shell_growth(own), own)
        # ice resists outward heat only: melting from outside starts at the wall
        growth *= difference_k < 0.0
        return difference_k, self.conductance / (1.0 + self.conductance * self.shell * growth)

    def flow_w(self, enthalpy_j: Array, second: float) -> Array:
        """Net heat into every body [W], ``second`` seconds into the hour."""
        water_c, ice = self._curves(enthalpy_j)
        flow: Array = self.heat_w + self.heat_w_per_s * second
        for n in self.heated:
            flow[n] *= self._share(n, enthalpy_j, second)
        if self.losses:
            difference_k, conductance = self._links(water_c, ice, second)
            flow += self.gain @ (conductance * difference_k)
        return flow

    def _share(self, n: int, enthalpy_j: Array, second: float) -> float:
        """Share of its power that the heater of body ``n`` gives by its thermostat."""
        thermostat = self.live[n].spec.thermostat
        if thermostat is None:
            return 1.0
        sensed_c = self.sensed_c(thermostat.senses, enthalpy_j, second)
        if sensed_c is None:
            return 0.0
        band_k = thermostat.off_above_c - thermostat.full_below_c
        return min(max((thermostat.off_above_c - sensed_c) / band_k, 0.0), 1.0)

    def _regulates(self, thermostat: Thermostat, enthalpy_j: Array, second: float) -> bool:
        """Within its band or so near it that the next step may enter it.

        Beside the band the slope of a strong heater must be known before it is felt: without it a
        step falls far into the band, is refused, and is tried again in milliseconds.
        """
        sensed_c = self.sensed_c(thermostat.senses, enthalpy_j, second)
        low_c, high_c = thermostat.full_below_c, thermostat.off_above_c
        return sensed_c is not None and low_c - _NEAR_K < sensed_c < high_c + _NEAR_K

    def linearise(self, enthalpy_j: Array, second: float) -> tuple[Array, Array]:
        """Jacobian of the flows, shape (N, N) [1/s], and their own change with time [W/s]."""
        water_c, ice = self._curves(enthalpy_j)
        slope, melt = self._slopes(enthalpy_j)
        count = len(self.live)
        jacobian, drift = np.zeros((count, count)), np.zeros(count)
        if self.losses:
            difference_k, conductance = self._links(water_c, ice, second)
            own = self.source
            growth = np.where(self.is_round, round_shell_slope(ice[own]), 1.0)
            outward = np.where(difference_k < 0.0, self.shell * growth * melt[own], 0.0)
            by_own = -conductance * (slope[own] + difference_k * conductance * outward)
            np.add.at(jacobian, (own, own), by_own)
            inner = self.is_inner
            near, far = own[inner], self.target[inner]
            by_far = conductance[inner] * slope[far]
            np.add.at(jacobian, (near, far), by_far)
            np.add.at(jacobian, (far, near), -by_own[inner])
            np.add.at(jacobian, (far, far), -by_far)
            drift = self.gain @ (conductance * self.link_k_per_s)
        self._add_heaters(jacobian, drift, enthalpy_j, slope, second)
        return jacobian, drift

    def _add_heaters(
        self, jacobian: Array, drift: Array, enthalpy_j: Array, slope: Array, second: float
    ) -> None:
        rising = self.heat_w_per_s.copy()
        for n in self.heated:
            thermostat = self.live[n].spec.thermostat
            rising[n] *= self._share(n, enthalpy_j, second)
            if thermostat is None or not self._regulates(thermostat, enthalpy_j, second):
                continue
            power_w = self.heat_w[n] + self.heat_w_per_s[n] * second
            per_k = power_w / (thermostat.off_above_c - thermostat.full_below_c)
            if thermostat.senses in self.index:
                sensed = self.index[thermostat.senses]
                jacobian[n, sensed] -= per_k * slope[sensed]
            else:
                drift[n] -= per_k * self.air_k_per_s[thermostat.senses]
        drift += rising


def _conductances(case: Case) -> list[float]:
    """All conductances at each body, its own losses and those of others to it [W/K]."""
    whole = {body.name: 0.0 for body in case.bodies}
    for body in case.bodies:
        for loss in body.losses:
            whole[body.name] += loss.ua_w_per_k
            if loss.to in whole:
                whole[loss.to] += loss.ua_w_per_k
    return list(whole.values())


def _tolerance_j(body: Body) -> float:
    """Error allowed in one step [J]: a temperature and an ice fraction too small to matter."""
    if body.is_nothing:
        return 1.0
    allowed_j = min(body.liquid_j_per_k, body.solid_j_per_k) * _TOLERANCE_K
    allowed_j += body.water_kg * FUSION_J_PER_KG * _TOLERANCE_ICE
    return max(allowed_j, _LEAST_TOLERANCE_J)


def _shell_k_per_w(item: Live, loss: Loss) -> float:
    """Resistance of the ice on a face, or in a ring, per unit of its growth [K/W].

    A face takes the share of the ice that its transmittance has in the whole loss through flat
    faces: thickness f V U / sum(A U).
    """
    if loss.length_m > 0.0:
        return 1.0 / (2.0 * np.pi * ICE_W_PER_M_K * loss.length_m)
    if loss.area_m2 <= 0.0:
        return 0.0
    whole = sum(other.area_m2 * other.u_w_per_m2_k for other in item.spec.losses)
    if whole <= 0.0:
        return 0.0
    depth_m = item.body.water_kg / WATER_KG_PER_M3 * loss.u_w_per_m2_k / whole
    return depth_m / (ICE_W_PER_M_K * loss.area_m2)
