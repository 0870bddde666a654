"""When, in a run of heating, the valve may be shut and the water go in."""

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.handover_steps import (
    SHUT_MIN,
    WATCH_MIN,
    Gates,
    Work,
)
from frostwatch.advice.warm_up import WarmUp

COLD, LIKELY = 0.9, 0.5
"""Shares of the members that are ready by an hour."""


def gates_of(run: WarmUp, work: Work) -> Gates:
    """Minutes to the gates, at the cold end and likely."""
    fill_min = _fill_min(run.valve_min, run.pump_min, work)
    fill_likely_min = _fill_min(run.valve_likely_min, run.pump_likely_min, work)
    return Gates(
        valve_min=quantile(run.valve_min, COLD),
        fill_min=quantile(fill_min, COLD),
        valve_likely_min=quantile(run.valve_likely_min, LIKELY),
        fill_likely_min=quantile(fill_likely_min, LIKELY),
    )


def _fill_min(
    valve_min: NDArray[np.float64], pump_min: NDArray[np.float64], work: Work
) -> NDArray[np.float64]:
    """Minutes to the gate of filling, by member."""
    fill_min = pump_min if work.by_pump else np.zeros_like(pump_min)
    return np.maximum(fill_min, valve_min + SHUT_MIN + WATCH_MIN) if work.has_valve else fill_min


def quantile(values: NDArray[np.float64], share: float) -> float:
    """By a member's own value: some may be infinite."""
    return float(np.quantile(values, share, method="higher"))
