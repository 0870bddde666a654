"""What the air does, in the few numbers that messages and rules need."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.band import Band
from frostwatch.advice.harm import EARLY_SHARE, LIKELY_SHARE, chance_of
from frostwatch.advice.slots import Diary
from frostwatch.weather.site_air import SiteAir

THAW_C = 2.0
THAW_H = 3
"""Thawed: air above +2 degC for 3 h in the cold reading. Estimate."""
MILD_H = 12
"""Hours at or above freezing that end a frost, in the likely reading. Estimate."""
HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class AirFacts:
    """The air of a stretch of time.

    Attributes:
        onset: likely hour at which it passes 0 degC, UTC; None if it likely does not.
        early: hour at which one member in ten has passed 0 degC, UTC.
        until: likely end of that frost, UTC; None if it lies beyond what is known.
        min_c: lowest air, likely [degC].
        mincold_c: lowest air, cold reading [degC].
        coldest_at: likely hour of the lowest air, UTC.
    """

    onset: datetime | None
    early: datetime | None
    until: datetime | None
    min_c: float
    mincold_c: float
    coldest_at: datetime


def air_facts(air: SiteAir, now: datetime, to: datetime) -> AirFacts:
    """What the air does from ``now`` to ``to``."""
    first = max(0, min(int((now - air.start) // HOUR), air.air_c.shape[1] - 1))
    end = min(air.air_c.shape[1], max(first + 2, int((to - air.start) // HOUR) + 1))
    paths = air.air_c[:, first:end]
    chance = chance_of(passes_h(paths))
    lowest = paths.min(axis=1)
    middle = np.median(air.air_c[:, first:], axis=0)
    start = air.start + first * HOUR

    def at(hour: float) -> datetime | None:
        return start + hour * HOUR if np.isfinite(hour) else None

    return AirFacts(
        onset=at(chance.likely_h),
        early=at(chance.earliest_h),
        until=at(_until_h(middle, chance.likely_h)),
        min_c=float(np.quantile(lowest, LIKELY_SHARE)),
        mincold_c=float(np.quantile(lowest, EARLY_SHARE)),
        coldest_at=start + int(middle[: end - first].argmin()) * HOUR,
    )


def passes_h(paths_c: NDArray[np.float64]) -> NDArray[np.float64]:
    """When each path passes 0 degC [h from its start], shape (M,); inf where it never does.

    Between whole hours the air runs straight, in the heat model too: an hour rounded up would lie
    behind the ice that follows from it.

    Args:
        paths_c: air at whole hours [degC], shape (M, H).
    """
    below = paths_c < 0.0
    first = below.argmax(axis=1)
    rows = np.arange(len(paths_c))
    after, before = paths_c[rows, first], paths_c[rows, np.maximum(first - 1, 0)]
    fall_k = np.maximum(before - after, 1e-9)
    part = np.where(first > 0, first - 1 + before / fall_k, 0.0)
    return np.where(below.any(axis=1), part, np.inf)


def _until_h(middle_c: NDArray[np.float64], onset_h: float) -> float:
    """First hour after onset from which the likely air stays mild for half a day."""
    if not np.isfinite(onset_h):
        return np.inf
    cold = np.flatnonzero(middle_c < 0.0)
    cold = cold[cold >= onset_h]
    if not cold.size:
        return onset_h + 1.0
    gaps = np.flatnonzero(np.diff(cold) > MILD_H)
    last = cold[gaps[0]] if gaps.size else cold[-1]
    return np.inf if last >= len(middle_c) - MILD_H else float(last + 1)


def thawed_hours(air: SiteAir) -> NDArray[np.bool_]:
    """At which hours the cold reading has been above +2 degC for 3 h, shape (H + 1,) of bool."""
    cold = np.quantile(air.air_c, EARLY_SHARE, axis=0)
    warm = cold > THAW_C
    held = warm.copy()
    for back in range(1, THAW_H + 1):
        held[back:] &= warm[:-back]
        held[:back] = False
    return held


def worth_looking(
    air: SiteAir, held: NDArray[np.bool_], diary: Diary, now: datetime
) -> datetime | None:
    """The first hour from ``now`` at which it has thawed and the person can look.

    None if that lies beyond what is known.
    """
    for index in range(max(0, int((now - air.start) // HOUR)), len(held)):
        if not held[index]:
            continue
        at = max(now, air.start + index * HOUR)
        if any(s.start <= at < s.end for s in diary.looks_within(diary.day(at))):
            return at
    return None


def mild_again(air: Band, diary: Diary, now: datetime) -> datetime | None:
    """The same from the air as it is shown, from ``now`` on: for a frost that began since a pass.

    What was mild enough before that frost says nothing about after it.
    """
    warm = [cold > THAW_C for cold in air.cold]
    for index in range(THAW_H, len(warm)):
        at = air.start + index * HOUR
        if at - THAW_H * HOUR < now or not all(warm[index - THAW_H : index + 1]):
            continue
        if any(s.start <= at < s.end for s in diary.looks_within(diary.day(at))):
            return at
    return None
