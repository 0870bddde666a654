"""One step of a stiff integrator, and the cubic through it on which passages are found.

RODAS3, a Rosenbrock method of order three with an embedded second-order result (Sandu, Verwer,
Blom, Spee, Carmichael & Potra 1997, Atmospheric Environment 31, 3459): L-stable, so that a light
body costs no small steps once it has settled, and without Newton iterations, which would stumble
over the corners of the enthalpy curve.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_GAMMA = 0.5
_TO_S = 1e-3


class System(Protocol):
    """What is stepped."""

    def flow_w(self, enthalpy_j: Array, second: float) -> Array:
        """Change of every value [J/s]."""


def rosenbrock(
    system: System,
    before: Array,
    flow: Array,
    slopes: tuple[Array, Array],
    second: float,
    step_s: float,
) -> tuple[Array, Array]:
    """New values and the estimate of their error.

    Args:
        system: gives the flow at any values and moment.
        before: values at ``second``, shape (N,).
        flow: flow there, shape (N,).
        slopes: Jacobian of the flow there, (N, N), and its own change with time, (N,).
        second: moment at which the step begins [s].
        step_s: its length [s].
    """
    jacobian, drift = slopes
    solve = np.linalg.inv(np.eye(len(before)) / (_GAMMA * step_s) - jacobian)
    push = step_s * drift
    k1 = solve @ (flow + 0.5 * push)
    k2 = solve @ (flow + 4.0 / step_s * k1 + 1.5 * push)
    near = system.flow_w(before + 2.0 * k1, second + step_s)
    k3 = solve @ (near + (k1 - k2) / step_s)
    last = system.flow_w(before + 2.0 * k1 + k3, second + step_s)
    k4 = solve @ (last + (k1 - k2 - 8.0 / 3.0 * k3) / step_s)
    return before + 2.0 * k1 + k3 + k4, k4


@dataclass(frozen=True, slots=True, eq=False)
class Cubic:
    """The cubic through both ends of a step and their flows.

    Attributes:
        before: values at its start, shape (N,).
        after: values at its end.
        flow: flow at its start [1/s].
        flow_after: flow at its end [1/s].
        step_s: its length [s].
    """

    before: Array
    after: Array
    flow: Array
    flow_after: Array
    step_s: float

    def at(self, second: float) -> Array:
        """Values that many seconds into the step."""
        s = second / self.step_s
        rest = 1.0 - s
        bend = s * rest * self.step_s * (rest * self.flow - s * self.flow_after)
        level = rest * rest * (1.0 + 2.0 * s) * self.before + s * s * (3.0 - 2.0 * s) * self.after
        return np.asarray(level + bend)

    def falls_to(self, n: int, goal: float, until_s: float) -> float | None:
        """Seconds after which value ``n`` falls below ``goal``; None if it is not below it then."""
        alone = Cubic(
            before=self.before[n : n + 1],
            after=self.after[n : n + 1],
            flow=self.flow[n : n + 1],
            flow_after=self.flow_after[n : n + 1],
            step_s=self.step_s,
        )

        def above(second: float) -> float:
            return float(alone.at(second)[0]) - goal

        return falls(above, until_s) if above(until_s) < 0.0 else None


def falls(above: Callable[[float], float], high: float) -> float:
    """Where ``above`` falls below 0 in [0, high], to a millisecond."""
    low = 0.0
    if above(low) < 0.0:
        return low
    while high - low > _TO_S:
        middle = 0.5 * (low + high)
        if above(middle) < 0.0:
            high = middle
        else:
            low = middle
    return high
