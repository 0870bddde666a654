"""Rows of readings -> missed, false, notice and value of each rule.

The unit of what is missed is a filling: water that is put in on one day and stands for a week, or
until somebody who was called lets it out. A call is one a spell, so it stands for the whole spell:
it is false if no harm comes in its window nor before its spell ends, which is when no harm has been
in sight for three days, by the sight of the rule that called. Harm later in the same week does not
make it right; harm after the week, in a spell that goes on, does.

The unit of the value is a reading at which water still stands liquid, its event harm that begins in
the window which only the next slot can meet (Richardson 2000, Q. J. R. Meteorol. Soc. 126, 649):
with ratio a of cost to loss and base rate s, ``V = (min(a, s) - expense) / (min(a, s) - a s)``, 1
for a perfect forecast and 0 for the better of always and never acting. ``week`` is the same per
filling, where one act spares the whole week.
"""

from collections.abc import Callable
from dataclasses import dataclass

import pandas as pd

from tests.bench.winters.cases import CASES

WEEK_H = 168.0
QUIET_H = 72.0
FOLLOWED_H = 264.0
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
        missed_se: its standard error, weeks at one place as the independent cases [fraction].
        false: share of the calls in spells without harm [fraction].
        false_se: its standard error [fraction].
        in_week: share of the calls in weeks without harm, whatever the spell [fraction].
        notice_h: median hours from a call in time to the harm [h].
        value: relative economic value per reading.
        week: the same per filling.
    """

    fillings: int
    harmed: int
    calls: int
    missed: float
    missed_se: float
    false: float
    false_se: float
    in_week: float
    notice_h: float
    value: float
    week: float


def line_of(rows: pd.DataFrame, rule: Rule, quiet: Rule, ratio: float) -> Line:
    """Score a rule.

    Args:
        rows: readings with ``harm_h``, in order of time within each filling.
        rule: rows -> whether it calls.
        quiet: rows -> whether it has no harm in sight.
        ratio: cost ratio.
    """
    every = rows.assign(quiet=quiet(rows))
    rows = rows.assign(call=rule(rows))
    rows = rows[rows.read_h < WEEK_H]
    weeks = rows.groupby(KEY, sort=False).agg(harm_h=("harm_h", "first"))
    weeks["reach"] = rows[rows.ready_h <= rows.harm_h].groupby(KEY).size()
    first = rows[rows.call].groupby(KEY, sort=False).first()
    weeks = weeks.join(first[["read_h", "ready_h", "until_h"]])
    called = weeks.read_h.notna()
    harmed = (weeks.harm_h <= WEEK_H) & (weeks.reach > 0)
    in_time = called & harmed & (weeks.ready_h <= weeks.harm_h)
    spell_h = weeks.until_h.combine(_spell_ends_h(every, weeks.read_h), max)
    missed, false = harmed & ~in_time, called & ~(weeks.harm_h <= spell_h)
    outside = called & ~(weeks.harm_h <= weeks.until_h.clip(lower=WEEK_H))
    return Line(
        fillings=len(weeks),
        harmed=int(harmed.sum()),
        calls=int(called.sum()),
        missed=_share(missed.sum(), harmed.sum()),
        missed_se=_standard_error(missed, harmed),
        false=_share(false.sum(), called.sum()),
        false_se=_standard_error(false, called),
        in_week=_share(outside.sum(), called.sum()),
        notice_h=float((weeks.harm_h - weeks.read_h)[in_time].median()),
        value=_value_of_readings(rows, ratio),
        week=value(len(weeks), int(harmed.sum()), int(called.sum()), int(missed.sum()), ratio),
    )


def _spell_ends_h(rows: pd.DataFrame, called_h: "pd.Series[float]") -> "pd.Series[float]":
    """When the spell of each call ends: once it has been quiet for three days [h]."""
    called = called_h.rename("called_h")
    rows = rows.join(called, on=KEY)
    rows = rows[rows.read_h >= rows.called_h]
    ends: dict[tuple[object, ...], float] = {}
    since: dict[tuple[object, ...], float] = {}
    for *key, read_h, quiet in rows[[*KEY, "read_h", "quiet"]].itertuples(index=False):
        week = tuple(key)
        if week in ends:
            continue
        if not quiet:
            since.pop(week, None)
        elif read_h - since.setdefault(week, read_h) >= QUIET_H:
            ends[week] = read_h
    found = pd.Series(ends, dtype=float)
    return found.reindex(called_h.index).fillna(FOLLOWED_H)


def _standard_error(part: "pd.Series[bool]", whole: "pd.Series[bool]") -> float:
    """Standard error of a ratio whose cases hang together by place and week."""
    place = [whole.index.get_level_values(name) for name in ("winter", "seed")]
    week = whole.index.get_level_values("n") // len(CASES)
    sums = pd.DataFrame({"part": part, "whole": whole}).groupby([*place, week]).sum()
    total = float(sums.whole.sum())
    if not total:
        return float("nan")
    rest = sums.part - sums.part.sum() / total * sums.whole
    return float((rest**2).sum() ** 0.5 / total)


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
