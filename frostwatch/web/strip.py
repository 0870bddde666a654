"""The strip of hours over a list: daylight, air, and the hour to work to."""

from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from frostwatch.advice.air_facts import AirFacts
from frostwatch.advice.band import Band
from frostwatch.fleet.sites import Site
from frostwatch.web.air_course import AirCourse, air_course
from frostwatch.web.hours_axis import HATCH, Axis, Label
from frostwatch.web.words import Tongue

LOW_IS_LEFT = 25.0
"""Where the lowest value is written so far left, 0 degC is written at the right edge [%]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A word on the strip at a height of its own; ``top`` is a declaration of a place."""

    text: Markup
    x: float
    side: str
    top: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A strip, ready to be put into a page."""

    defs: Markup
    now: Label | None
    act_by: Label | None
    height: str
    air: AirCourse
    marks: tuple[Placed, ...]
    ticks: tuple[Label, ...]
    days: tuple[Label, ...]
    changes: tuple[Label, ...]
    caption: Markup


def strip_of(
    air: Band,
    facts: AirFacts,
    *,
    site: Site,
    tongue: Tongue,
    act_by: datetime | None = None,
    week: bool = False,
) -> Strip:
    """Draw a strip.

    Args:
        air: the air, cut to what is shown.
        facts: what it does there.
        site: the place.
        tongue: language, zone and present moment.
        act_by: the hour to work to, UTC.
        week: it shows a week: days alone, no hours.
    """
    axis = Axis(start=air.start, end=air.end, known_to=air.end, site=site, tongue=tongue)
    shown = act_by if axis.holds(act_by) else None
    has_now = axis.holds(tongue.now) and not week
    lines = [("now", tongue.now if has_now else None), ("act", shown)]
    course = air_course(air, axis, with_three=not week)
    return Strip(
        defs=HATCH.format(ground=axis.ground(lines)),
        now=axis.now_flag(shown) if has_now else None,
        act_by=axis.act_by_flag(shown),
        height="4.5rem" if week else "5.5rem",
        air=course,
        marks=_marks(axis, course, facts, tongue),
        ticks=() if week else axis.ticks(),
        days=axis.days(),
        changes=() if week else axis.clock_changes(),
        caption=_caption(air, facts, tongue, shown),
    )


def _marks(axis: Axis, course: AirCourse, facts: AirFacts, tongue: Tongue) -> tuple[Placed, ...]:
    found = []
    onset = facts.onset
    if onset is not None and axis.holds(onset) and onset > tongue.now:
        label = axis.label(onset, "")
        side = label.side or ("start" if label.x > 50.0 else "end")
        text = tongue("strip.zero", at=tongue.about(onset))
        found.append(Placed(text=text, x=label.x, side=side, top="top:3%"))
    elif course.zero_y is not None:
        text = Markup(tongue.degrees(0.0))
        far = course.lowest.x < LOW_IS_LEFT
        x, place = (99.6, "there") if far else (0.4, "here")
        found.append(Placed(text=text, x=x, side=place, top=f"top:{course.zero_y:g}%"))
    low = course.lowest
    side = low.side or "start"
    found.append(
        Placed(text=tongue("strip.low", min=low.text), x=low.x, side=side, top="bottom:4%")
    )
    return tuple(found)


def _caption(air: Band, facts: AirFacts, tongue: Tongue, act_by: datetime | None) -> Markup:
    first, last = tongue.hour(air.start), tongue.hour(air.end)
    parts = [tongue("strip.span", first=first, last=last), air_sentence(facts, tongue)]
    if act_by is not None:
        parts.append(tongue("strip.act_by", by=tongue.hour(act_by)))
    return Markup(" ").join(parts)


def air_sentence(facts: AirFacts, tongue: Tongue) -> Markup:
    """What the air does, in one sentence."""
    t = tongue
    low = {
        "min": t.degrees(facts.min_c),
        "mincold": t.degrees(facts.mincold_c),
        "coldest": t.about(facts.coldest_at),
    }
    if facts.onset is not None and facts.onset <= t.now:
        if facts.coldest_at <= t.now:
            return t("air.lowest_now", **low)
        return t("air.below", **low)
    if facts.onset is not None:
        early = facts.early if facts.early is not None and facts.early < facts.onset else None
        if early is not None:
            return t("air.passes_perhaps", onset=t.about(facts.onset), early=t.early(early), **low)
        return t("air.passes", onset=t.about(facts.onset), **low)
    if facts.early is not None:
        return t("air.may", early=t.early(facts.early), **low)
    return t("air.stays", **low)
