"""Rows of readings -> missed, false, notice and value of each rule.

The unit of what is missed and false is a filling: water that is put in on one day and stands for a
week, or until somebody who was called lets it out. The unit of the value is a reading at which
water still stands liquid, its event harm that begins in the window which only the next slot can
meet (Richardson 2000, Q. J. R. Meteorol. Soc. 126, 649): with ratio a of cost to loss and base rate
s, ``V = (min(a, s) - expense) / (min(a, s) - a s)``, 1 for a perfect forecast and 0 for the better
of always and never acting. ``week`` is the same per filling, where one act spares the whole week.
"""

from collections.abc import Callable
from dataclasses import dataclass

import pandas as pd

WEEK_H = 168.0
KEY = ["winter", "seed", "reader", "n"]
Rule = Callable[[pd.DataFrame], "pd.Series[bool]"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """How one rule did.

    Attributes:
        fillings: weeks looked at.
        harmed: those in which harm came that a slot could have met.
        calls: weeks in which somebody was called.
        missed: share of the harmed before which no call left a slot [fraction].
        false: share of the calls in weeks without harm [fraction].
        notice_h: median hours from a call in time to the harm [h].
        value: relative economic value per reading.
        week: the same per filling.
    """

    fillings: int
    harmed: int
    calls: int
    missed: float
    false: float
    notice_h: float
    value: float
    week: float


def line_of(rows: pd.DataFrame, rule: Rule, ratio: float) -> Line:
    """Score a rule.

    Args:
        rows: readings with ``harm_h``, in order of time within each filling.
        rule: rows -> whether it calls.
        ratio: cost ratio.
    """
    rows = rows.assign(call=rule(rows))
    weeks = rows.groupby(KEY, sort=False).agg(harm_h=("harm_h", "first"))
    weeks["reach"] = rows[rows.ready_h <= rows.harm_h].groupby(KEY).size()
    first = rows[rows.call].groupby(KEY, sort=False).first()
    weeks = weeks.join(first[["read_h", "ready_h", "until_h"]])
    called = weeks.read_h.notna()
    harmed = (weeks.harm_h <= WEEK_H) & (weeks.reach > 0)
    in_time = called & harmed & (weeks.ready_h <= weeks.harm_h)
    for_harm = weeks.harm_h <= weeks.until_h.clip(lower=WEEK_H)
    missed, false = harmed & ~in_time, called & ~for_harm
    return Line(
        fillings=len(weeks),
        harmed=int(harmed.sum()),
        calls=int(called.sum()),
        missed=_share(missed.sum(), harmed.sum()),
        false=_share(false.sum(), called.sum()),
        notice_h=float((weeks.harm_h - weeks.read_h)[in_time].median()),
        value=_value_of_readings(rows, ratio),
        week=value(len(weeks), int(harmed.sum()), int(called.sum()), int(missed.sum()), ratio),
    )


def _value_of_readings(rows: pd.DataFrame, ratio: float) -> float:
    liquid = rows[rows.harm_h > rows.ready_h]
    harm = liquid.harm_h <= liquid.until_h
    return value(
        len(liquid),
        int(harm.sum()),
        int(liquid.call.sum()),
        int((harm & ~liquid.call).sum()),
        ratio,
    )


def value(occasions: int, events: int, calls: int, missed: int, ratio: float) -> float:
    """Relative economic value; NaN where always or never acting cannot be bettered."""
    if occasions == 0:
        return float("nan")
    base = events / occasions
    expense = (ratio * calls + missed) / occasions
    habit, perfect = min(ratio, base), ratio * base
    return (habit - expense) / (habit - perfect) if habit > perfect else float("nan")


def _share(part: float, whole: float) -> float:
    return float(part / whole) if whole else float("nan")


def would_call(column: str) -> Rule:
    """The rule whose calls stand in a column."""
    return lambda rows: rows[column]


def perfect(rows: pd.DataFrame) -> "pd.Series[bool]":
    """Calls where harm begins in the window, and nowhere else."""
    return (rows.harm_h > rows.ready_h) & (rows.harm_h <= rows.until_h)
