"""The night of a vehicle as a drawing and as a table, both from the same record.

One lane under another over common hours: the air, then each vessel, the first to freeze on top.
Above a lane's middle line stands the water's temperature from 0 to 10 degC, below it the share
turned to ice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from frostwatch.advice.band import HOUR, Band
from frostwatch.advice.night_reading import SHORTEST_H
from frostwatch.advice.night_view import Drawn, Fate, ItemNight, NightView
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Layout
from frostwatch.web.air_course import AirCourse, air_course, xs_of
from frostwatch.web.hours_axis import HATCH, Axis, Label, between, level, line, svg
from frostwatch.web.night_words import NightWords, Row
from frostwatch.web.words import Tongue

MOST_LANES = 8
"""More would not be read; the table holds everything."""
MIDDLE, WARM, SOLID = 52.0, 2.0, 98.0
"""Heights of 0 degC, 10 degC and "all ice" in a lane."""
WARMEST_C = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One vessel over the hours.

    Attributes:
        name: what it is.
        notes: how much, where, and its hours.
        drawing: its courses.
        mark: the hour written into it; None for none.
        first: scales are written into the first lane alone.
    """

    name: str
    notes: tuple[Markup, ...]
    drawing: Markup
    mark: Label | None
    first: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A night, ready to be put into a page.

    Attributes:
        title: the nights it is about.
        defs: patterns and the common ground.
        now: flag of the present moment; None where it lies outside.
        act_by: flag of the hour to work to; None for none in these hours.
        air: the lane of the air.
        air_note: its lowest value, in words.
        lanes: the vessels.
        ticks: hours.
        days: names of days.
        changes: where the clock changes.
        unknown_from: flag where the forecast ends; None where it reaches.
        morning: moment for which the table tells the ice.
        rows: the table.
    """

    title: str
    defs: Markup
    now: Label | None
    act_by: Label | None
    air: AirCourse
    air_note: Markup
    lanes: tuple[Lane, ...]
    ticks: tuple[Label, ...]
    days: tuple[Label, ...]
    changes: tuple[Label, ...]
    unknown_from: Label | None
    morning: Markup
    rows: tuple[Row, ...]


def night_chart(
    night: NightView,
    *,
    site: Site,
    layout: Layout,
    tongue: Tongue,
    act_by: datetime | None,
) -> Chart:
    """Draw a night.

    Args:
        night: what it is.
        site: where the vehicle stands.
        layout: the vehicle's layout.
        tongue: language, zone and present moment.
        act_by: the hour to work to, UTC; None for none.
    """
    known_to = night.air.end
    end = max(known_to, night.air.start + SHORTEST_H * HOUR)
    axis = Axis(start=night.air.start, end=end, known_to=known_to, site=site, tongue=tongue)
    air = air_course(night.air, axis, with_three=layout.valve is not None)
    shown = act_by if axis.holds(act_by) else None
    ground = axis.ground([("now", tongue.now), ("act", shown)])
    says = NightWords(tongue, night)
    return Chart(
        title=says.title(),
        defs=HATCH.format(ground=ground),
        now=axis.now_flag(shown),
        act_by=axis.act_by_flag(shown),
        air=air,
        air_note=says.air(),
        lanes=tuple(_lane(item, axis, says, first=n == 0) for n, item in enumerate(_drawn(night))),
        ticks=axis.ticks(),
        days=axis.days(),
        changes=axis.clock_changes(),
        unknown_from=axis.label(known_to, str(tongue("flag.unknown"))) if known_to < end else None,
        morning=tongue.about(night.morning_at),
        rows=tuple(says.row(item) for item in night.items),
    )


def _drawn(night: NightView) -> Sequence[ItemNight]:
    """The lanes there is room for; what lets itself go keeps its place."""
    lanes = night.lanes
    if len(lanes) <= MOST_LANES:
        return lanes
    leaving = [item for item in lanes if item.fate is Fate.LEAVES]
    others = [item for item in lanes if item.fate is not Fate.LEAVES]
    return (*others[: MOST_LANES - len(leaving)], *leaving)


def _lane(item: ItemNight, axis: Axis, says: NightWords, *, first: bool) -> Lane:
    assert item.drawn is not None
    drawn = item.drawn
    xs = xs_of(drawn.water_c, axis)
    parts = [*_water(drawn.water_c, xs), level("zero", MIDDLE), *_ice(drawn, xs)]
    mark = None
    if item.fate is Fate.LEAVES:
        if axis.holds(item.opens_likely):
            x, y = xs[-1], _y(drawn.water_c.likely[-1])
            parts.append(f'<line class="left" x1="{x:g}" x2="{x:g}" y1="{y:.1f}" y2="{SOLID:g}"/>')
            mark = axis.label(drawn.water_c.end, says.opens(item))
    elif item.ice_early is not None and axis.holds(item.ice_early):
        parts.append(_span(item, axis))
        if axis.holds(item.ice_likely) and not says.begun(item.ice_likely):
            assert item.ice_likely is not None
            mark = axis.label(item.ice_likely, says.clock(item.ice_likely))
    return Lane(
        name=says.name(item), notes=says.notes(item), drawing=svg(*parts), mark=mark, first=first
    )


def _y(celsius: float) -> float:
    share = min(max(celsius, 0.0), WARMEST_C) / WARMEST_C
    return MIDDLE - (MIDDLE - WARM) * share


def _ice_y(share: float) -> float:
    return MIDDLE + (SOLID - MIDDLE) * share


def _water(band: Band, xs: Sequence[float]) -> list[str]:
    mild, cold = [_y(c) for c in band.mild], [_y(c) for c in band.cold]
    return [between("band", xs, mild, cold), line("temp", xs, [_y(c) for c in band.likely])]


def _ice(drawn: Drawn, xs: Sequence[float]) -> list[str]:
    parts = []
    most = _icy(drawn.ice_most)
    if most is not None:
        ys = [_ice_y(share) for share in drawn.ice_most[most:]]
        parts.append(line("ice-most", xs[most:], ys))
    likely = _icy(drawn.ice)
    if likely is not None:
        ys = [_ice_y(share) for share in drawn.ice[likely:]]
        parts.append(between("ice", xs[likely:], ys, [MIDDLE] * len(ys)))
    return parts


def _icy(shares: Sequence[float]) -> int | None:
    """Index just before the first ice; None for none."""
    first = next((n for n, share in enumerate(shares) if share > 0.0), None)
    return None if first is None or len(shares) < 2 else max(0, first - 1)


def _span(item: ItemNight, axis: Axis) -> str:
    """The thick piece of the middle line: when ice may begin."""
    assert item.ice_early is not None
    left = axis.x(item.ice_early)
    right = axis.x(item.ice_likely) if item.ice_likely is not None else axis.x(axis.known_to)
    right = min(max(right, left + 3.0), axis.x(axis.known_to))
    return f'<line class="span" x1="{left:.1f}" x2="{right:.1f}" y1="{MIDDLE:g}" y2="{MIDDLE:g}"/>'
