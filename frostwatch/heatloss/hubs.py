"""Cabin air, locker and cabin mass of many vehicles: one trapezoidal step by elimination.

Over a step of length 2 h, with the water held at its old temperature, the three follow

    C (x' - x) = h (heat at the start + heat at the end)

each exchanging with the others, with the outside air and with the water. That is linear, so a step
is one weighted sum of seven numbers; the weights hold for an hour. A heated hold adds a
proportional thermostat on the cabin air, whose piecewise linear equation is solved exactly.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from frostwatch.heatloss.network import Network

Single = NDArray[np.float32]

CABIN, LOCKER, MASS, OUTSIDE, WARM_CABIN, WARM_LOCKER, ROOF = range(7)
"""Rows of ``Hubs.x``: three temperatures [degC], the outside air at both ends of the step added up
[K], what the water would give to cabin and locker at 0 degC over half a step [J], and what the
roof adds to the outside air at both ends of the step [K]."""
AIRS = 3
"""Rows of ``Hubs.airs_c``: outside, cabin, locker."""
ROOF_SHARE = 0.2
"""Share of the cabin's loss that goes through the roof. Estimate."""


def _columns(rows: Sequence[float]) -> Single:
    return np.array(rows, np.float32)[:, None]


def _share(of: Single) -> Single:
    """Held to 0 to 1, in place: ``np.clip`` takes longer for so few numbers."""
    np.maximum(of, 0.0, out=of)
    return np.minimum(of, 1.0, out=of)


class Hubs:
    """The airs that the items of V vehicles see, in M members.

    Attributes:
        airs_c: outside, cabin and locker air now, a view, shape (3, V, M) [degC].
        x: what a step is reckoned from, see the names of its rows; shape (7, V, M). Cabin and
            locker stand in both.
    """

    def __init__(self, networks: Sequence[Network], members: int, half_s: float) -> None:
        self.half_s = half_s
        rows = np.zeros((8, len(networks), members), np.float32)
        self.airs_c, self.x = rows[:AIRS], rows[1:]
        self.weights = np.zeros((3, 7, len(networks), members), np.float32)
        self._product = np.empty_like(self.weights)
        (
            self.cabin_ua,
            self.cabin_j,
            self.mass_j,
            self.mass_ua,
            self.locker_j,
            self.locker_cabin,
            self.locker_outside,
        ) = (_columns([n.shell[row] for n in networks]) for row in range(7))
        h = np.float32(half_s)
        self.mass_b = h * self.mass_ua / (self.mass_j + h * self.mass_ua)
        self.fixed_links = h * (self.cabin_ua + self.mass_ua + self.locker_cabin)
        self.fixed_back = h * self.mass_ua * self.mass_b
        self.fixed_locker = self.locker_j + h * (self.locker_cabin + self.locker_outside)
        self.hold_j = half_s * np.stack([n.hold_w for n in networks]).astype(np.float32).T
        self.hold_low = _columns([n.hold_c[0] for n in networks])
        self.hold_high = _columns([n.hold_c[1] for n in networks])
        self.has_hold = bool(self.hold_j.any())
        self.give_back_k_per_j = 1.0 / np.stack([self.cabin_j, self.locker_j])
        self.from_power: Single = np.zeros_like(self.x[:3])

    def load_hour(self, cabin_phi: Single, locker_phi: Single) -> None:
        """Weights for an hour.

        Args:
            cabin_phi: conductance between cabin air and water times half a step, (V, M) [J/K].
            locker_phi: the same for the locker [J/K].
        """
        h, mass_b = np.float32(self.half_s), self.mass_b
        per_locker = 1.0 / (self.fixed_locker + locker_phi)
        locker_b = h * self.locker_cabin * per_locker
        links = self.fixed_links + cabin_phi
        links -= self.fixed_back + h * self.locker_cabin * locker_b
        twice = np.float32(2.0) / (self.cabin_j + links)
        cabin, locker, mass = self.weights
        cabin[CABIN] = self.cabin_j * twice - 1.0
        np.multiply(locker_b, twice, out=cabin[WARM_LOCKER])
        np.multiply(self.locker_j, cabin[WARM_LOCKER], out=cabin[LOCKER])
        np.multiply(h * self.mass_ua * (1.0 - mass_b), twice, out=cabin[MASS])
        np.multiply(0.5 * h * self.cabin_ua, twice, out=cabin[ROOF])
        cabin[OUTSIDE] = cabin[ROOF] + 0.5 * h * self.locker_outside * cabin[WARM_LOCKER]
        cabin[WARM_CABIN] = twice
        np.multiply(locker_b, cabin, out=locker)
        locker[CABIN] += locker_b
        locker[LOCKER] += 2.0 * self.locker_j * per_locker - 1.0
        locker[OUTSIDE] += h * self.locker_outside * per_locker
        locker[WARM_LOCKER] += 2.0 * per_locker
        np.multiply(mass_b, cabin, out=mass)
        mass[CABIN] += mass_b
        mass[MASS] += 1.0 - 2.0 * mass_b
        if self.has_hold:
            power = np.stack([twice, locker_b * twice, mass_b * twice])
            self.from_power = np.multiply(0.5, power, dtype=np.float32)

    def step(self, hour: int) -> Single:
        """The three temperatures at the end of a step, shape (3, V, M); ``x`` stays as it was."""
        np.multiply(self.weights, self.x, out=self._product)
        new: Single = np.add.reduce(self._product, axis=1)
        if self.has_hold:
            self._hold(hour, new)
        return new

    def _hold(self, hour: int, new: Single) -> None:
        """Add the heat of the heated holds: half by the air before, half by the air after."""
        band = self.hold_high - self.hold_low
        power = 0.5 * (self.hold_j[hour] + self.hold_j[hour + 1])[:, None]
        share = _share((self.hold_high - self.x[CABIN]) / band)
        pull = self.from_power[CABIN] * power
        off_c = new[CABIN] + pull * share
        # cabin air c = off_c + pull * clip((high - c) / band, 0, 1)
        share += _share((self.hold_high - off_c) / (band + pull))
        new += self.from_power * (power * share)

    def give_back(self, new: Single, more_j: Single) -> None:
        """Take over ``new`` and what the water really gave beyond what was reckoned.

        Args:
            new: result of ``step``.
            more_j: to cabin and locker, shape (2, V, M) [J].
        """
        self.x[:3] = new
        more_j *= self.give_back_k_per_j
        self.x[:2] += more_j
