"""A dry vehicle warmed from cold: cabin air, locker and furniture, minute by minute.

The three masses of the heat model without any water, which is not in yet. With the outside air
straight between its hours the equations are linear; the trapezoidal rule steps them, and a
thermostat takes back what would lift the cabin air above its setting. Every step balances: what
the heater gives is stored or lost, to rounding.

Opened locker doors let cabin air in. A doorway exchanges by stack effect
Q = Cd/3 A sqrt(g H dT/T) (Brown and Solvason 1962, from memory): 0.16 m2, 0.4 m high, 10 K and
Cd 0.6 give 0.012 m3/s, about 15 W/K.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frostwatch.fleet.vehicles import Shell
from frostwatch.heatloss.hubs import ROOF_SHARE

Array = NDArray[np.float64]

DOORS_W_PER_K = 15.0
"""What open locker doors add between cabin and locker. Estimate, see above."""
CABIN, LOCKER, FURNITURE = range(3)
"""Rows of a state, as the fleet solver keeps them [degC]."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """Temperatures and heat of one vehicle over T steps, for M columns of air.

    Attributes:
        step_s: length of a step [s].
        x_c: cabin air, locker and furniture, shape (3, M, T + 1) [degC].
        outside_c: air around it, shape (M, T + 1) [degC].
        heat_j: heat given since the first step, shape (M, T + 1) [J].
        lost_j: heat lost to the outside since then, shape (M, T + 1) [J].
    """

    step_s: float
    x_c: Array
    outside_c: Array
    heat_j: Array
    lost_j: Array

    def stored_j(self, shell: Shell) -> Array:
        """Heat taken up by air, locker and furniture since the first step, (M, T + 1) [J]."""
        stored: Array = np.tensordot(_capacities(shell), self.x_c - self.x_c[:, :, :1], axes=1)
        return stored


def course(
    shell: Shell,
    start_c: Array,
    outside_c: Array,
    roof_k: Array,
    *,
    step_s: float,
    power_w: float = 0.0,
    setting_c: float = 20.0,
    doors_open: bool = False,
) -> Course:
    """Step a dry vehicle.

    Args:
        shell: its capacities and conductances.
        start_c: cabin air, locker, furniture, shape (3, M) [degC].
        outside_c: air around it at the steps, shape (M, T + 1) [degC].
        roof_k: roof surface minus that air, shape (T + 1,) [K].
        step_s: length of a step [s]; 300 s and less resolve the cabin air.
        power_w: most heat of its heater [W].
        setting_c: cabin air at which the heater is throttled [degC].
        doors_open: locker doors stand open.
    """
    capacity = _capacities(shell)
    matrix = _matrix(shell, doors_open) / capacity[:, None]
    half = 0.5 * step_s
    left = np.linalg.inv(np.eye(3) - half * matrix)
    forward = left @ (np.eye(3) + half * matrix)
    ua, locker_ua = shell.cabin_ua_w_per_k.value, shell.locker_to_outside_w_per_k.value
    drive_w = np.zeros((3, *outside_c.shape))
    drive_w[CABIN] = ua * (outside_c + ROOF_SHARE * roof_k)
    drive_w[LOCKER] = locker_ua * outside_c
    pushed = np.tensordot(half * left / capacity, drive_w[:, :, 1:] + drive_w[:, :, :-1], axes=1)
    per_w = step_s * left[:, CABIN] / capacity[CABIN]
    x_c, heat_j = _stepped(forward, pushed, start_c, per_w, power_w, setting_c)
    heat_j *= step_s
    lost_w = ua * x_c[CABIN] + locker_ua * x_c[LOCKER] - drive_w.sum(axis=0)
    lost_j = np.zeros(outside_c.shape)
    lost_j[:, 1:] = half * (lost_w[:, 1:] + lost_w[:, :-1])
    return Course(
        step_s=step_s,
        x_c=x_c,
        outside_c=outside_c,
        heat_j=heat_j.cumsum(axis=1),
        lost_j=lost_j.cumsum(axis=1),
    )


def _stepped(
    forward: Array, pushed: Array, start_c: Array, per_w: Array, power_w: float, setting_c: float
) -> tuple[Array, Array]:
    """States, shape (3, M, T + 1), and what is given over each step [W], shape (M, T + 1).

    Plans step thousands of hours: time runs along the first axis here, and nothing is allocated.
    """
    steps = np.ascontiguousarray(pushed.transpose(2, 0, 1))
    x_c = np.empty((len(steps) + 1, *start_c.shape))
    given_w = np.zeros((len(steps) + 1, start_c.shape[1]))
    lift_k, column = np.empty_like(start_c), np.ascontiguousarray(per_w[:, None])
    x_c[0] = start_c
    for before, new, push, given in zip(x_c, x_c[1:], steps, given_w[1:], strict=False):
        np.matmul(forward, before, out=new)
        new += push
        if power_w > 0.0:
            np.subtract(setting_c, new[CABIN], out=given)
            given /= per_w[CABIN]
            np.maximum(given, 0.0, out=given)
            np.minimum(given, power_w, out=given)
            new += np.multiply(column, given, out=lift_k)
    return np.ascontiguousarray(x_c.transpose(1, 2, 0)), np.ascontiguousarray(given_w.T)


def steady_c(shell: Shell, outside_c: Array, power_w: float, *, doors_open: bool = True) -> Array:
    """Where a heater would bring it in the end, without a thermostat, shape (3, ...) [degC]."""
    ua, locker_ua = shell.cabin_ua_w_per_k.value, shell.locker_to_outside_w_per_k.value
    link = shell.locker_to_cabin_w_per_k.value + (DOORS_W_PER_K if doors_open else 0.0)
    through = link * locker_ua / (link + locker_ua)
    cabin = outside_c + power_w / (ua + through)
    locker = (link * cabin + locker_ua * outside_c) / (link + locker_ua)
    return np.stack([cabin, locker, cabin])


def _capacities(shell: Shell) -> Array:
    return np.array(
        [
            shell.cabin_air_j_per_k.value,
            shell.locker_j_per_k.value,
            shell.cabin_mass_j_per_k.value,
        ]
    )


def _matrix(shell: Shell, doors_open: bool) -> Array:
    """Conductances between the three, losses to the outside on the diagonal [W/K]."""
    link = shell.locker_to_cabin_w_per_k.value + (DOORS_W_PER_K if doors_open else 0.0)
    mass = shell.air_to_mass_w_per_k.value
    ua, locker_ua = shell.cabin_ua_w_per_k.value, shell.locker_to_outside_w_per_k.value
    return np.array(
        [
            [-(ua + link + mass), link, mass],
            [link, -(link + locker_ua), 0.0],
            [mass, 0.0, -mass],
        ]
    )
