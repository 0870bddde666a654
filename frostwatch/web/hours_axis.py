"""Hours laid out from left to right: daylight, ticks, days, and the lines that cross a drawing.

Strip and night chart share it. Every drawing is stretched to its column; every word on it is text
at its own size, placed in per cent. Hours run in UTC, so the night of a clock change is as long as
it is; its ticks stand where the place's clock says so.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from markupsafe import Markup

from frostwatch.advice.daylight import daylight, local
from frostwatch.fleet.sites import Site
from frostwatch.web.words import Tongue

WIDE, HIGH = 600.0, 100.0
"""Size of every drawing before it is stretched."""
TICKS = (time(0), time(6), time(12), time(18))
LAST_DAY = 90.0
"""A day that begins further right has no room for its name [%]."""
LETTER, LETTER_ON_A_PHONE = 0.8, 2.2
"""Room that a letter takes: 7 px bold, of 900 and 328 px [%]; estimates."""
EDGE = 6.0
"""Words nearer to an edge than this share of the width are placed on its inner side [%]."""
HATCH = Markup(
    '<svg class="defs plot" width="0" height="0" aria-hidden="true" focusable="false"><defs>'
    '<pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><rect class="hatch-g" width="7" height="7"/>'
    '<line class="hatch-a" x1="0" y1="0" x2="0" y2="7"/></pattern>'
    '<pattern id="unknown" width="9" height="9" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(-45)"><line class="hatch-u" x1="0" y1="0" x2="0" y2="9"/></pattern>'
    "{ground}</defs></svg>"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A word on a drawing.

    Attributes:
        text: the word.
        x: place from the left [%].
        side: "" centred, "start" left of its place, "end" right of it.
        fine: left out where there is little room.
    """

    text: str
    x: float
    side: str = ""
    fine: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """The hours of one drawing.

    Attributes:
        start: left edge, UTC.
        end: right edge, UTC.
        known_to: end of what is known, UTC; the rest is hatched.
        site: the place.
        tongue: language and zone.
    """

    start: datetime
    end: datetime
    known_to: datetime
    site: Site
    tongue: Tongue

    def x(self, moment: datetime) -> float:
        """Place of a moment, 0 to 600, beyond the edges too."""
        return WIDE * ((moment - self.start) / (self.end - self.start))

    def percent(self, moment: datetime) -> float:
        """Place of a moment [%]."""
        return round(self.x(moment) * 100.0 / WIDE, 2)

    def holds(self, moment: datetime | None) -> bool:
        """Whether a moment lies inside."""
        return moment is not None and self.start <= moment <= self.end

    def _days(self) -> Iterator[date]:
        day = self.start.astimezone(self.tongue.zone).date()
        last = self.end.astimezone(self.tongue.zone).date()
        while day <= last:
            yield day
            day += timedelta(days=1)

    def ground(self, lines: Iterable[tuple[str, datetime | None]] = ()) -> Markup:
        """Dark hours, daylight, what is not known, and vertical lines by class.

        It is drawn once in a page; drawings refer to it. Its classes stand alone in the style: what
        is referred to is not inside the drawing, so no rule finds it through one.
        """
        site = self.site
        parts = [f'<rect class="ground-dark" width="{WIDE:g}" height="{HIGH:g}"/>']
        for day in self._days():
            light = daylight(site.latitude_deg, site.longitude_deg, site.time_zone, day)
            left, right = max(0.0, self.x(light.start)), min(WIDE, self.x(light.end))
            if left < right:
                parts.append(_rect("ground-day", left, right))
        if self.known_to < self.end:
            parts.append(_rect("ground-unknown", self.x(self.known_to), WIDE))
        for kind, moment in lines:
            if moment is not None and self.holds(moment):
                at = f"{self.x(moment):.1f}"
                parts.append(
                    f'<line class="ground-{kind}" x1="{at}" x2="{at}" y1="0" y2="{HIGH:g}"/>'
                )
        return Markup(f'<g id="ground">{"".join(parts)}</g>')

    def ticks(self) -> tuple[Label, ...]:
        """Six-hourly ticks by the place's clock."""
        found = []
        for day in self._days():
            for at in TICKS:
                moment = local(day, at, self.tongue.zone)
                x = self.percent(moment)
                if 2.0 <= x <= 98.0:
                    fine = at.hour % 12 == 6
                    found.append(Label(text=self.tongue.clock(moment), x=x, fine=fine))
        return tuple(found)

    def days(self) -> tuple[Label, ...]:
        """Names of the days, where they begin; the first at the left edge."""
        found = []
        for day in self._days():
            begins = max(self.start, local(day, time(0), self.tongue.zone))
            x = self.percent(begins)
            ends = min(self.end, local(day + timedelta(days=1), time(0), self.tongue.zone))
            room = self.percent(ends) - x
            if x < LAST_DAY and (x > 0.0 or room > 12.0):
                text = self.tongue.day(begins)
                if room < (len(text) + 1) * LETTER_ON_A_PHONE:
                    text = self.tongue.weekday(begins)
                found.append(Label(text=text, x=x))
        return tuple(found)

    def clock_changes(self) -> tuple[Label, ...]:
        """Where the place's clock is put forward or back."""
        found = []
        moment = self.start
        while moment < self.end:
            then = moment + timedelta(hours=1)
            before = moment.astimezone(self.tongue.zone).utcoffset()
            after = then.astimezone(self.tongue.zone).utcoffset()
            if before is not None and after is not None and before != after:
                key = "axis.forward" if after > before else "axis.back"
                found.append(self.label(then, str(self.tongue(key))))
            moment = then
        return tuple(found)

    def now_flag(self, act_by: datetime | None) -> Label | None:
        """The word at the present moment; it gives way to the hour to work to."""
        now = self.tongue.now
        if not self.holds(now):
            return None
        word = self.label(now, str(self.tongue("flag.now")))
        flag = self.act_by_flag(act_by)
        if flag is None:
            return word
        if _meet(word, flag, LETTER):
            return None
        return replace(word, fine=_meet(word, flag, LETTER_ON_A_PHONE))

    def act_by_flag(self, act_by: datetime | None) -> Label | None:
        """The words at the hour to work to, on the side that has room; None for no hour."""
        if act_by is None:
            return None
        x = self.percent(act_by)
        text = str(self.tongue("flag.act_by", by=self.tongue.plain_hour(act_by)))
        return Label(text=text, x=x, side="start" if x > 45.0 else "end")

    def label(self, moment: datetime, text: str, *, fine: bool = False) -> Label:
        """A word at a moment, turned inwards near the edges."""
        x = min(100.0, max(0.0, self.percent(moment)))
        side = "end" if x < EDGE else "start" if x > 100.0 - EDGE else ""
        return Label(text=text, x=x, side=side, fine=fine)


def _meet(one: Label, other: Label, letter: float) -> bool:
    """Whether two words on one line would touch, at so much room a letter [%]."""
    spans = []
    for label in (one, other):
        wide = (len(label.text) + 1) * letter
        left = {"end": 0.0, "start": wide}.get(label.side, wide / 2.0)
        spans.append((label.x - left, label.x - left + wide))
    (from_a, to_a), (from_b, to_b) = spans
    return from_a < to_b and from_b < to_a


def _rect(kind: str, left: float, right: float) -> str:
    return f'<rect class="{kind}" x="{left:.1f}" width="{right - left:.1f}" height="{HIGH:g}"/>'


def points(xs: Sequence[float], ys: Sequence[float]) -> str:
    """Corners of a line."""
    return " ".join(f"{x:g},{y:.1f}" for x, y in zip(xs, ys, strict=True))


def line(kind: str, xs: Sequence[float], ys: Sequence[float]) -> str:
    """A line through points."""
    return f'<polyline class="{kind}" points="{points(xs, ys)}"/>'


def between(kind: str, xs: Sequence[float], upper: Sequence[float], lower: Sequence[float]) -> str:
    """The area between two lines."""
    back = points(xs[::-1], lower[::-1])
    return f'<polygon class="{kind}" points="{points(xs, upper)} {back}"/>'


def level(kind: str, y: float) -> str:
    """A line from edge to edge."""
    return f'<line class="{kind}" x1="0" x2="{WIDE:g}" y1="{y:.1f}" y2="{y:.1f}"/>'


def svg(*parts: str) -> Markup:
    """One drawing on the common ground."""
    inner = "".join(parts)
    return Markup(
        f'<svg viewBox="0 0 {WIDE:g} {HIGH:g}" preserveAspectRatio="none" aria-hidden="true" '
        f'focusable="false"><use href="#ground"/>{inner}</svg>'
    )
